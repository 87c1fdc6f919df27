// The hands of a passage (or the voices of one staff): judged apart, then together.

import type { Expectation, ExpectedNote } from '../matching/expectation.ts';

/** A name for whoever plays a note. */
export type Strand = 'left hand' | 'right hand' | 'upper voice' | 'lower voice';

/**
 * Which of two hands each note belongs to, by onset and note; undefined where there are not exactly two. Two staves of
 * one part are two hands, the upper one the right; two voices of one staff are voices.
 */
export function handsOf({ onsets }: Pick<Expectation, 'onsets'>): readonly (readonly Strand[])[] | undefined {
  const notes = onsets.flatMap((onset) => onset.notes);
  const [part] = new Set(notes.map((note) => note.part));
  if (part === undefined || notes.some((note) => note.part !== part)) return undefined;
  const byStaff = divided(notes, (note) => note.staff);
  const byVoice = byStaff ? undefined : divided(notes, (note) => note.voice);
  const lower = byStaff ?? byVoice;
  if (lower === undefined) return undefined;
  const key = byStaff ? (note: ExpectedNote) => note.staff : (note: ExpectedNote) => note.voice;
  const [high, low]: readonly [Strand, Strand] = byStaff
    ? ['right hand', 'left hand']
    : ['upper voice', 'lower voice'];
  return onsets.map((onset) => onset.notes.map((note) => (key(note) === lower ? low : high)));
}

/** The number of the lower of exactly two; each of both must have enough notes to be one. */
function divided(
  notes: readonly ExpectedNote[],
  key: (note: ExpectedNote) => number | undefined,
): number | undefined {
  const counts = new Map<number, number>();
  for (const note of notes) {
    const of = key(note);
    if (of === undefined) return undefined;
    counts.set(of, (counts.get(of) ?? 0) + 1);
  }
  if (counts.size !== 2 || Math.min(...counts.values()) < HAND_LEAST_NOTES) return undefined;
  return Math.max(...counts.keys());
}

const HAND_LEAST_NOTES = 2;
