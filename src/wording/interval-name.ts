// What an interval is called: the two notes as the player reads them.

import { requiredNotes } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import { spellingName } from '../music/pitch.ts';
import { onsetNumbered } from '../music/span.ts';

/**
 * From an onset to the next, a chord by its top note. Throws a RangeError for the last onset.
 * @example intervalName(passage, 10) // 'A#4 to B4'
 */
export function intervalName(passage: Passage, onset: number): string {
  const top = (number: number) =>
    spellingName(requiredNotes(onsetNumbered(passage, number)).at(-1)!.spelling);
  return `${top(onset)} to ${top(onset + 1)}`;
}
