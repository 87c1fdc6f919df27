// The pace at which a take began, seen from later on.

import { weightedMedian } from '../statistics.ts';
import { type Hypothesis, startHypothesis, stepsBetween } from './hypothesis.ts';
import type { Timetable } from './timetable.ts';

/** Enough intervals that one hesitation or slip among them does not matter, few enough to be the beginning. */
const OPENING_INTERVALS = 12;
/** A pace so found is good to some 10 %. */
const OPENING_VARIANCE = 0.1 * 0.1;

/** A start that knows the pace of the first intervals of a hypothesis of the whole take. */
export function openingPace(hypothesis: Hypothesis, timetable: Timetable): Hypothesis {
  const intervals: { value: number; weight: number }[] = [];
  for (const step of stepsBetween(undefined, hypothesis)) {
    const before = step.before;
    if (!before || before.cursor < 0 || step.cursor !== before.cursor + 1) continue;
    const asked = timetable.atMicros[step.cursor]! - timetable.atMicros[before.cursor]!;
    const took = step.atMicros - before.atMicros;
    if (asked > 0 && took > 0) intervals.push({ value: Math.log(took / asked), weight: asked });
    if (intervals.length >= OPENING_INTERVALS) break;
  }
  if (intervals.length < 2) return startHypothesis();
  return startHypothesis(weightedMedian(intervals), OPENING_VARIANCE);
}
