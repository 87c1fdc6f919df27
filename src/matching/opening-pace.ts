// The pace at which a take began, seen from later on.

import { weightedMedian } from '../statistics.ts';
import { type Hypothesis, startHypothesis, stepsBetween } from './hypothesis.ts';
import type { Timetable } from './timetable.ts';

/** Enough intervals that one hesitation among them does not matter, few enough to be the beginning. Judgement. */
export const OPENING_INTERVALS = 12;
/** Variance of the pace found so (its logarithm): good to some 10 %. Judgement. */
const OPENING_VARIANCE = 0.1 * 0.1;

/** A start that knows at what pace a hypothesis played its first intervals. */
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
