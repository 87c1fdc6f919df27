// A span: a contiguous part of a passage. Onsets are numbered from 1, both ends inclusive.

import { barAt, beatLengths, beatsOfBar } from './meter.ts';
import type { Onset } from './onset.ts';
import type { Passage } from './passage.ts';

export interface Span {
  readonly passage: Passage;
  /** Number of the first onset, 1 or more. */
  readonly first: number;
  /** Number of the last onset, at least `first`. */
  readonly last: number;
}

export function wholeSpan(passage: Passage): Span {
  return { passage, first: 1, last: passage.onsets.length };
}

export function spanOnsets(span: Span): readonly Onset[] {
  return span.passage.onsets.slice(span.first - 1, span.last);
}

export function onsetNumbered(passage: Passage, number: number): Onset {
  const onset = passage.onsets[number - 1];
  if (!onset) throw new RangeError(`Cannot find onset ${number}: the passage has ${passage.onsets.length}`);
  return onset;
}

/** Ticks of all beats of the passage, in order. */
export function passageBeats(passage: Passage): number[] {
  return passage.bars.flatMap(beatsOfBar);
}

/** Ticks of the beat that a place is in (past the end the last bar's, before the start the first bar's). */
export function beatTicksAt(passage: Passage, tick: number): number {
  const bar = passage.bars[barAt(passage.bars, tick)]!;
  const lengths = beatLengths(bar.meter);
  const first = lengths.length - (bar.pickup ? beatsOfBar(bar).length : 0);
  const begun = beatsOfBar(bar).filter((beat) => beat <= tick).length;
  return lengths[(first + Math.max(0, begun - 1)) % lengths.length]!;
}
