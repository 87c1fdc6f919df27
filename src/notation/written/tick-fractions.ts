// Lengths as fractions of a whole note.

import { TICKS_PER_WHOLE } from '../../music/ticks.ts';

/** The odd factor of the denominator of a length in whole notes: 1 for plain and dotted values, 3 in triplets. */
export function oddPart(ticks: number): number {
  let denominator = TICKS_PER_WHOLE / gcd(ticks, TICKS_PER_WHOLE);
  while (denominator % 2 === 0) denominator /= 2;
  return denominator;
}

export function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}
