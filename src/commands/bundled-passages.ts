// The music that comes with Fettle, by name.

import { readdirSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { PASSAGES_FOLDER } from '../passages-folder.ts';

export function bundledNames(): string[] {
  const files = readdirSync(fileURLToPath(PASSAGES_FOLDER)).filter((file) => file.endsWith('.abc'));
  return files.map((file) => basename(file, extname(file))).sort();
}

/** From the one that a beginner can begin with to the hardest; what is not told here comes last. */
const BY_DIFFICULTY = ['slipway', 'ropewalk', 'mudlarks', 'fogbell', 'crosstide', 'lamplighter', 'lanterns'];

export function simplestFirst(names: readonly string[]): string[] {
  const rank = (name: string) => BY_DIFFICULTY.indexOf(name) + 1 || BY_DIFFICULTY.length + 1;
  return [...names].sort((a, b) => rank(a) - rank(b));
}

/** Where a bundled passage is; undefined when there is none of that name. */
export function bundledPath(name: string): string | undefined {
  return bundledNames().includes(name) ? fileURLToPath(new URL(`${name}.abc`, PASSAGES_FOLDER)) : undefined;
}
