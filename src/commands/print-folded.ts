// Long lines for people, broken between words where a terminal would break them anywhere.

import { print } from './print.ts';

/** Signs that take a cell each; no other takes more than two a UTF-16 unit. */
const ONE_CELL_EACH = /^[\x20-\x7e]*$/;

/** As wide as the terminal; in a pipe a line stays a line, and so does one with a command to be copied. */
export async function printFolded(lines: readonly string[]): Promise<void> {
  const { columns = Number.POSITIVE_INFINITY } = process.stdout;
  const mayStay = (line: string) =>
    line.length * (ONE_CELL_EACH.test(line) ? 1 : 2) <= columns || line.includes('  fettle ');
  // What knows how many cells a text takes is slow to load: only where it is needed.
  const fold = lines.every(mayStay) ? undefined : (await import('./folded.ts')).folded;
  for (const line of lines) print(fold && !mayStay(line) ? fold(line, columns) : line);
}
