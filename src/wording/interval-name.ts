// What an interval is called: the two notes as the player reads them.

import { type Onset, requiredNotes } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName } from '../music/pitch.ts';
import { onsetNumbered } from '../music/span.ts';

/**
 * From an onset to the next, a chord by its top note. Throws a RangeError for the last onset.
 * @example intervalName(passage, 10) // 'A#4 to B4'
 */
export function intervalName(passage: Passage, onset: number): string {
  const top = (number: number) => topName(onsetNumbered(passage, number));
  return `${top(onset)} to ${top(onset + 1)}`;
}

/** Of the highest note that must be played. @example topName(onset) // 'B4' */
export function topName(onset: Pick<Onset, 'notes'>): string {
  return spellingName(requiredNotes(onset).at(-1)!.spelling);
}
