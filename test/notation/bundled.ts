// The bundled passages, for the tests.

import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Passage } from '../../src/music/passage.ts';
import { readPassageBytes } from '../../src/notation/read.ts';

const FOLDER = resolve(import.meta.dirname, '../../passages');

export const BUNDLED_FILES = readdirSync(FOLDER).filter((name) => /\.(abc|musicxml)$/.test(name));

export function bundledText(file: string): string {
  return readFileSync(join(FOLDER, file), 'utf8');
}

export async function bundledPassage(file: string): Promise<Passage> {
  const reading = await readPassageBytes(readFileSync(join(FOLDER, file)), file);
  if (!reading.passage) throw new Error(`${file}: ${reading.issues.map((i) => i.message).join('; ')}`);
  return reading.passage;
}
