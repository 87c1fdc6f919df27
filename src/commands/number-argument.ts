// Numbers as they are typed on the command line.

import { LEAST_BPM, MOST_BPM } from '../music/tempo.ts';
import { usage } from './usage-problem.ts';

/** A whole number in a range, from text. */
export function wholeNumber(
  text: string,
  what: string,
  range: { readonly least: number; readonly most: number },
): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < range.least || value > range.most || text.trim() === '') {
    throw usage(
      'option.range',
      `Cannot use ${what} "${text}": a whole number from ${range.least} to ${range.most} is needed`,
    );
  }
  return value;
}

/** Beats a minute from text. */
export function tempoBpm(text: string): number {
  const value = Number(text);
  if (!Number.isFinite(value) || value < LEAST_BPM || value > MOST_BPM || text.trim() === '') {
    throw usage(
      'option.tempo',
      `Cannot use the tempo "${text}": beats a minute from ${LEAST_BPM} to ${MOST_BPM} are needed`,
    );
  }
  return value;
}
