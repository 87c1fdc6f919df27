// A take of one hand where two are asked: nearly all of that hand is there, and hardly anything of the other.

import { align } from '../matching/align.ts';
import type { Alignment } from '../matching/alignment.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';
import { handsOf, type Strand } from './hands.ts';

/** At least this share of the hand and of what was played must be right then, and at most this share of both hands is. */
const ALONE_LEAST = 0.9;
const BOTH_MOST = 0.75;
const LEAST_NOTES = 4;

/** The hand (or voice of one staff) that alone was played; undefined where it was not so. `notes`: as both matched. */
export function handAlone(
  expectation: Expectation,
  played: readonly PlayedNote[],
  { notes }: Pick<Alignment, 'notes'>,
): Strand | undefined {
  const hands = handsOf(expectation);
  if (!hands || played.length < LEAST_NOTES || rightOf(notes) > BOTH_MOST * notes.length) return undefined;
  return [...new Set(hands.flat())].find((hand) => {
    const onsets = expectation.onsets
      .map((onset, i) => ({ ...onset, notes: onset.notes.filter((_, k) => hands[i]![k] === hand) }))
      .filter((onset) => onset.notes.length > 0);
    const alone = align({ ...expectation, onsets }, played).notes;
    return rightOf(alone) >= ALONE_LEAST * Math.max(alone.length, played.length);
  });
}

function rightOf(notes: Alignment['notes']): number {
  return notes.filter(({ verdict }) => verdict === 'right' || verdict === 'omitted').length;
}
