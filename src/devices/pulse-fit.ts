// The line through incoming MIDI clocks: robust, because a busy sender is late now and then and never early. Slope by
// the median of slopes half a window apart (Theil 1950, Sen 1968), height by the median of what is left. Pure.

import { median } from '../statistics.ts';
import { CLOCKS_PER_QUARTER } from './midi-clock.ts';

/** Four quarters smooth a sender's jitter of some milliseconds to a tenth of one a quarter. */
export const LONGEST_FIT = 4 * CLOCKS_PER_QUARTER + 1;
/** Sure enough to plan a bar ahead. */
export const SHORTEST_FIT = 2 * CLOCKS_PER_QUARTER + 1;
/** The last quarter this far off the line as a whole means another tempo: the older quarters count no more. */
const BROKEN_MICROS = 4_000;

export interface PulseFit {
  /** Time of the first of the clocks that were given, on the line. */
  readonly firstMicros: number;
  readonly clockMicros: number;
}

/** From the times of clocks one after the other, the latest of which count most when the tempo has changed. */
export function fitPulse(timesMicros: readonly number[]): PulseFit {
  const whole = fitAll(timesMicros);
  if (timesMicros.length <= SHORTEST_FIT) return whole;
  const from = timesMicros.length - CLOCKS_PER_QUARTER;
  const off = median(
    timesMicros.slice(from).map((time, i) => time - whole.firstMicros - (from + i) * whole.clockMicros),
  );
  if (Math.abs(off) <= BROKEN_MICROS) return whole;
  const recent = fitAll(timesMicros.slice(from));
  return { ...recent, firstMicros: recent.firstMicros - from * recent.clockMicros };
}

function fitAll(times: readonly number[]): PulseFit {
  const half = times.length >> 1;
  const slopes = times.slice(half).map((time, i) => (time - times[i]!) / half);
  const clockMicros = median(slopes);
  return { firstMicros: median(times.map((time, i) => time - i * clockMicros)), clockMicros };
}
