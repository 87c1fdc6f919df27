// The intervals that stand out of a take: much shorter or longer than this player's own unevenness explains. A
// tolerance says what is asked for; this says what was unlike the rest.

import { mean, median, sampleSd } from '../statistics.ts';
import { justNoticeableMicros } from './intervals.ts';
import type { IntervalVerdict } from './verdict.ts';

/** Many intervals are looked at and the spread is measured from few: four standard deviations, a false one in some fifty takes. */
const TIMES_SD = 4;
/** Unevenness seldom comes below some 4 % of an interval (Repp & Su 2013: 3 to 5 % typical), so neither does its measure. */
const LEAST_SHARE = 0.04;
/** What stands out is the exception: at most this share of a take. */
const MOST_SHARE = 1 / 3;

/**
 * The intervals that stand out, in order. Several may hide one another by widening the spread, so the most extreme are
 * set aside one after another, and as many stand out as make the last of them extreme against the rest (the idea of
 * the generalized extreme studentized deviate test, Rosner 1983, Technometrics 25:165).
 */
export function standouts(intervals: readonly IntervalVerdict[]): IntervalVerdict[] {
  let rest = intervals.slice();
  const aside: IntervalVerdict[] = [];
  let out = 0;
  while (aside.length < Math.ceil(intervals.length * MOST_SHARE) && rest.length > 2) {
    const middle = median(rest.map((i) => i.deviationMicros));
    const excess = (i: IntervalVerdict): number => Math.abs(i.deviationMicros - middle) / scale(i, 0);
    const next = rest.reduce((a, b) => (excess(b) > excess(a) ? b : a));
    rest = rest.filter((i) => i !== next);
    aside.push(next);
    const sd = sampleSd(rest.map((i) => i.deviationMicros));
    if (Math.abs(next.deviationMicros - mean(rest.map((i) => i.deviationMicros))) > scale(next, sd))
      out = aside.length;
  }
  const standing = new Set(aside.slice(0, out));
  return intervals.filter((i) => standing.has(i));
}

/** The least deviation that stands out at an interval when the rest spread by `sd`. */
function scale({ expectedMicros }: IntervalVerdict, sd: number): number {
  return Math.max(
    TIMES_SD * Math.max(sd, LEAST_SHARE * expectedMicros),
    justNoticeableMicros(expectedMicros),
  );
}
