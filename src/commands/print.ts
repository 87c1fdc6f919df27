// Where every line for people and programs is printed.

import { printable } from '../printable.ts';

/** A line, or several, to standard output. */
export function print(line: string): void {
  console.log(printable(line));
}

/** A line of trouble, to standard error. */
export function printTrouble(line: string): void {
  console.error(printable(line));
}
