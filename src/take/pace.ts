// The pace of a take: how its time relates to the time asked. Fitted so that hesitations, a rushed interval or a note
// out of place do not bend it: first a weighted median over the intervals, then a straight line through each row
// of intervals between those that stand out, all of them with one common slope.

import { mean, median, robustSd, weightedMedian } from '../statistics.ts';

/** An interval as asked and as played, microseconds, and where it belongs. */
export interface TimedInterval {
  readonly from: number;
  /** Absent: the next one. */
  readonly to?: number;
  readonly askedMicros: number;
  readonly playedMicros: number;
}

/** A free run has no click that says how fast: it may be ten times as fast as asked, or as slow as patience allows. */
const STRETCH_LEAST = 0.1;
const STRETCH_MOST = 8;
/** Beyond three standard deviations an interval stands out (1 in 370 by chance); never for less than 10 ms. */
const STANDS_OUT = 3;
const STANDS_OUT_LEAST_MICROS = 10_000;
const OUT_MOST_SHARE = 0.4;

/** Played time over time asked: 0.98 is 2 % faster. 1 when there is nothing to fit. */
export function fitStretch(intervals: readonly TimedInterval[]): number {
  const usable = intervals.filter((i) => i.askedMicros > 0 && i.playedMicros > 0);
  if (usable.length === 0) return 1;
  let stretch = weightedMedian(
    usable.map((i) => ({ value: i.playedMicros / i.askedMicros, weight: i.askedMicros })),
  );
  for (let pass = 0; pass < 3; pass++) stretch = refined(usable, stretch);
  return Math.min(Math.max(stretch, STRETCH_LEAST), STRETCH_MOST);
}

function refined(intervals: readonly TimedInterval[], stretch: number): number {
  const deviations = intervals.map((i) => i.playedMicros - stretch * i.askedMicros);
  const limit = Math.max(STANDS_OUT * robustSd(deviations), STANDS_OUT_LEAST_MICROS);
  const middle = median(deviations);
  const out = deviations.map((deviation) => Math.abs(deviation - middle) > limit);
  // Where nearly half of the intervals stand out, that is how it was played (lilting pairs): then none is left out.
  const apart = out.filter(Boolean).length > OUT_MOST_SHARE * out.length ? out.map(() => false) : out;
  let covariance = 0;
  let variance = 0;
  let points: { x: number; y: number }[] = [];
  const close = (): void => {
    const x0 = mean(points.map((p) => p.x));
    const y0 = mean(points.map((p) => p.y));
    for (const { x, y } of points) {
      covariance += (x - x0) * (y - y0);
      variance += (x - x0) ** 2;
    }
    points = [];
  };
  for (const [k, interval] of intervals.entries()) {
    const joined = k > 0 && intervals[k - 1]!.from + 1 === interval.from;
    if (apart[k]!) {
      close();
      continue;
    }
    if (!joined || points.length === 0) {
      close();
      points.push({ x: 0, y: 0 });
    }
    const last = points.at(-1)!;
    points.push({ x: last.x + interval.askedMicros, y: last.y + interval.playedMicros });
  }
  close();
  return variance > 0 ? covariance / variance : stretch;
}
