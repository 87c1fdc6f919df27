// The clefs that a tune names, where they are others than its notes call for.

import type { Passage, StaffClef } from '../../music/passage.ts';
import { clefsOf } from '../written/voice.ts';
import type { AbcVoice } from './voice.ts';

/** Of several voices of a staff the first that names one counts. */
export function withClefs(passage: Passage, voices: Iterable<AbcVoice>): Passage {
  const named = [...voices].filter(({ clef }) => clef !== undefined);
  if (named.length === 0) return passage;
  const clefs = clefsOf(passage).flatMap((usual): StaffClef[] => {
    const { clef = usual.clef } =
      named.find((one) => one.part === usual.part && one.staff === usual.staff) ?? {};
    return clef === usual.clef ? [] : [{ ...usual, clef }];
  });
  return clefs.length > 0 ? { ...passage, clefs } : passage;
}
