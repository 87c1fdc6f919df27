// The screen of a story at one moment, as text and as a golden file.

import { expect } from 'vitest';
import type { TerminalSize } from '../../src/ports/terminal.ts';
import { draw } from '../../src/screen/draw.ts';
import { playScript, readScript } from '../sessions/script.ts';
import { plainText } from './emulator.ts';

export const SMALL: TerminalSize = { columns: 80, rows: 24 };
export const LARGE: TerminalSize = { columns: 120, rows: 40 };

/** What is seen so many seconds into a story; what it tells of later is left out. */
export async function textAt(seconds: number, text: string, size = SMALL): Promise<string[]> {
  const lines = text
    .split('\n')
    .filter((line) => !/^[\d.]+ /.test(line) || Number(line.split(' ')[0]) <= seconds);
  const { session } = playScript(await readScript([...lines, `${seconds} look`].join('\n')));
  return plainText(draw(session, size, { unicode: false, source: 'script' }));
}

export async function golden(
  name: string,
  size: TerminalSize,
  seconds: number,
  text: string,
): Promise<string> {
  return keptPicture(name, size, await textAt(seconds, text, size));
}

export async function keptPicture(
  name: string,
  size: TerminalSize,
  rows: readonly string[],
): Promise<string> {
  const picture = `${rows.map((row) => row.trimEnd()).join('\n')}\n`;
  await expect(picture).toMatchFileSnapshot(`golden/${name}-${size.columns}x${size.rows}.txt`);
  return picture;
}
