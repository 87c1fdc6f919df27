// When a passage is due again: the next day first, then in growing gaps toward the concert. [Cepeda2008] Psychol Sci
// 19:1095: the best gap is about 20 % of the time until the test, for delays of weeks (verbal facts, not movements);
// [Simmons2012] JRME 59:357 and [Walker2002] Neuron 35:205: a night between two days of practice helps. Growing gaps
// and equal gaps lead to the same in the end (Kang et al. 2014), but with growing ones more is remembered on the way.
// Days are whole calendar days.

/** Gap to the day that matters, as a share of what is left until then. */
const GAP_SHARE = 0.2;
/** A gap never grows faster than this from one return to the next. Common practice, no source. */
const GROWTH = 2;
/** Without a concert no gap is longer. Judgement: after three weeks much has to be found again. */
const LONGEST_GAP_DAYS = 21;

export interface ReturnDay {
  readonly day: number;
  /** What was worked held that day: its check was clean, or its step was passed. */
  readonly held: boolean;
}

/**
 * The day on which a passage is due again, from the days on which it was worked, in order; undefined when it never
 * was. A day that did not hold brings it back the next day, and the gaps grow anew from there.
 */
export function dueDay(days: readonly ReturnDay[], concertDay?: number): number | undefined {
  const last = days.at(-1);
  if (!last) return undefined;
  const heldInARow = days.length - 1 - days.findLastIndex(({ held }) => !held);
  const grown = heldInARow === 0 ? 1 : Math.min(LONGEST_GAP_DAYS, GROWTH ** (heldInARow - 1));
  if (concertDay === undefined || concertDay <= last.day) return last.day + grown;
  const left = concertDay - last.day;
  // Never on to the concert itself: the day before is the last return.
  const share = Math.max(1, Math.round(GAP_SHARE * left));
  return Math.min(last.day + Math.min(grown, share), Math.max(last.day + 1, concertDay - 1));
}

/** Whole days from one calendar date to another, ISO 8601: dayNumber('2026-03-01') - dayNumber('2026-02-28') is 1. */
export function dayNumber(date: string): number {
  return Math.round(Date.parse(`${date.slice(0, 10)}T00:00:00Z`) / 86_400_000);
}

/** The other way. */
export function dateOf(day: number): string {
  return new Date(day * 86_400_000).toISOString().slice(0, 10);
}
