// The part of a recorded take that is a span, where the take holds more of the passage than that.

import { align } from '../matching/align.ts';
import type { Expectation } from '../matching/expectation.ts';
import type { PlayedNote } from '../music/played-note.ts';

export interface PartOfTake {
  /** The notes that belong to the span, the added ones between them included. */
  readonly played: readonly PlayedNote[];
  /** How many others there are, before and after it. */
  readonly outside: number;
}

/** So many right notes elsewhere in the passage are no chance. */
const LEAST_OUTSIDE = 3;

/**
 * The take is matched with the whole passage; `first` and `last` are indexes (from 0) of the span's onsets in it.
 * Undefined where the take does not plainly hold more than the span: then all of it is meant for the span.
 */
export function partOfTake(
  passage: Expectation,
  played: readonly PlayedNote[],
  { first, last }: { readonly first: number; readonly last: number },
): PartOfTake | undefined {
  const expected = passage.onsets.slice(first, last + 1).reduce((sum, { notes }) => sum + notes.length, 0);
  if (played.length < expected + LEAST_OUTSIDE) return undefined;
  const matched = align(passage, played).notes.filter((note) => note.played !== undefined);
  const isInside = (onset: number) => onset >= first && onset <= last;
  const inside = matched.filter(({ onset }) => isInside(onset)).map((note) => played[note.played!]!.onMicros);
  const outside = matched.filter(({ onset }) => !isInside(onset));
  if (inside.length === 0) return undefined;
  const from = Math.min(...inside);
  const to = Math.max(...inside);
  const elsewhere = new Set(outside.map((note) => note.played!));
  const part = played.filter(({ onMicros }, i) => onMicros >= from && onMicros <= to && !elsewhere.has(i));
  const left = played.length - part.length;
  const right = outside.filter(({ verdict }) => verdict === 'right').length;
  // What is elsewhere must be the passage too, and not notes that went astray.
  return right >= LEAST_OUTSIDE && right >= left / 2 ? { played: part, outside: left } : undefined;
}
