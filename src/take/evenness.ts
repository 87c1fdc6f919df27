// How even a take was, and whether unevenness comes from the clock or from the fingers.

import { mean, sampleSd } from '../statistics.ts';
import type { Evenness, IntervalVerdict } from './verdict.ts';

/** With fewer pairs of neighbouring intervals the two variances would be guesses. */
const SPLIT_LEAST_PAIRS = 6;

/** Undefined with fewer than two intervals. */
export function evennessOf(intervals: readonly IntervalVerdict[]): Evenness | undefined {
  if (intervals.length < 2) return undefined;
  const sdMicros = sampleSd(intervals.map((i) => i.deviationMicros));
  const variation = sdMicros / mean(intervals.map((i) => i.playedMicros));
  return { sdMicros, variation, ...clockAndMotor(intervals) };
}

/**
 * Wing & Kristofferson 1973: an interval is a clock's interval plus the motor delay at its end minus the one at its
 * beginning, so neighbouring intervals covary by minus the motor variance, and the variance is the clock's plus twice
 * the motor's. Estimates outside the model (a positive covariance, more motor variance than there is) are cut to it.
 */
function clockAndMotor(
  intervals: readonly IntervalVerdict[],
): { clockSdMicros: number; motorSdMicros: number } | Record<string, never> {
  const middle = mean(intervals.map((i) => i.deviationMicros));
  const products: number[] = [];
  for (let k = 1; k < intervals.length; k++) {
    const [a, b] = [intervals[k - 1]!, intervals[k]!];
    if (a.to === b.from) products.push((a.deviationMicros - middle) * (b.deviationMicros - middle));
  }
  if (products.length < SPLIT_LEAST_PAIRS) return {};
  const variance = mean(intervals.map((i) => (i.deviationMicros - middle) ** 2));
  const motor = Math.min(Math.max(-mean(products), 0), variance / 2);
  return { clockSdMicros: Math.sqrt(variance - 2 * motor), motorSdMicros: Math.sqrt(motor) };
}
