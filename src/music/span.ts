// A span: a contiguous part of a passage. Onsets are numbered from 1, both ends inclusive.

import { barAt, beatsOfBar, beatTicks } from './meter.ts';
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

/** Ticks of a beat at a place: that of the bar it is in (the last bar's past the end, the first bar's before the start). */
export function beatTicksAt(passage: Passage, tick: number): number {
  return beatTicks(passage.bars[barAt(passage.bars, tick)]!.meter);
}
