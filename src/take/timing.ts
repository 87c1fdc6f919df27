// What of a take was not in time, and why. Whether it was is decided by the tolerance alone: each interval within it,
// the placement within twice it. Only then is asked what explains it.

import type { Expectation } from '../matching/expectation.ts';
import { median } from '../statistics.ts';
import type { Cause } from './cause.ts';
import { causesOf } from './explanation.ts';
import { placementTrouble } from './placement-trouble.ts';
import type { Moment } from './strands.ts';
import type { Tolerance } from './tolerance.ts';
import type { IntervalVerdict, Placement, Trouble } from './verdict.ts';

/** A hesitation is a pause, not just a slow interval: half as long again and a quarter of a second over. */
const HESITATION_SHARE = 0.5;
const HESITATION_MICROS = 250_000;
const STOP_TIMES = 3;

export interface Timed {
  readonly expectation: Expectation;
  readonly moments: readonly Moment[];
  readonly intervals: readonly IntervalVerdict[];
  /** Of one hand alone, where two play. */
  readonly handIntervals: readonly IntervalVerdict[];
  readonly placement: Placement | undefined;
  readonly tolerance: Tolerance;
  /** Where this player usually stands on the click, positive = late, where that is known. */
  readonly usualLagMicros?: number | undefined;
  /** Played time over time asked, of the take's usual interval. */
  readonly stretch: number;
}

/** The weightiest first; empty exactly when all was in time. */
export function timingOf(timed: Timed): Trouble[] {
  const { expectation, intervals, handIntervals } = timed;
  const all = [...intervals, ...handIntervals];
  const unclean = all.filter((interval) => !interval.clean);
  // A stop stands out from the rest: where every interval is that long, it is simply how the take was played.
  const ordinary = STOP_TIMES * median(all.map(({ deviationMicros }) => Math.abs(deviationMicros)));
  const stopped = unclean.filter((one) => isHesitation(one, timed) && one.deviationMicros > ordinary);
  const backwards = unclean.filter(({ playedMicros }) => playedMicros < 0);
  const leaned = unclean.filter(({ from }) => (expectation.onsets[from]!.leanTicks ?? 0) > 0);
  const named = [...new Set([...stopped, ...backwards, ...leaned])];
  // A step in the placement after a slip or a stop has its cause named already.
  const leans = expectation.onsets.some(({ leanTicks = 0 }) => leanTicks > 0);
  // Up to the last onset that was played: a player slower than the click has no time for the rest.
  const last = Math.max(0, ...intervals.map(({ to }) => to));
  const whole = intervals.length >= last && named.length === 0 && !leans;
  const placed = whole ? placementTrouble(timed) : undefined;
  if (placed?.whole && unclean.length === 0) return [placed];
  const off = placed !== undefined;
  const apart = handsApart(timed);
  const rest = unclean.filter((interval) => !named.includes(interval));
  const plain = byExcess(named.filter((one) => !isOfBoth(one, named))).map((interval) =>
    intervalTrouble(interval, timed),
  );
  if (rest.length === 0 && !off && apart.length === 0) return plain;
  const worst = byExcess(rest.length > 0 ? rest : all)[0];
  const causes = causesOf({
    expectation,
    moments: timed.moments,
    loose: looseOnsets(timed, named),
    ...(timed.usualLagMicros === undefined ? {} : { usualLagMicros: timed.usualLagMicros }),
    touched: new Set([...rest.flatMap(({ from, to }) => [from, to]), ...apart.map(({ onset }) => onset)]),
    allowedMicros: median(all.map(({ allowedMicros }) => allowedMicros)),
    around: worst?.to ?? 0,
  });
  const explained = causes
    .filter((cause) => cause.kind !== 'drift' || isDriftHeard(cause, timed))
    .flatMap((cause) => causeTrouble(cause, timed, worst));
  const troubles = [...plain, ...explained, ...(isOfHands(explained) ? [] : apart)];
  return troubles.length > 0 ? troubles : fallback(timed, worst);
}

/** An interval of one hand where the same is told of all that is played. */
function isOfBoth({ hand, from, to }: IntervalVerdict, named: readonly IntervalVerdict[]): boolean {
  return hand !== undefined && named.some((one) => !one.hand && one.from >= from && one.to <= to);
}

type Drift = Extract<Cause, { readonly kind: 'drift' }>;

/**
 * Whether the tempo went the way of a drift in the end. Two drifts against each other stand for a tempo that changed once:
 * the second of them was not played.
 */
function isDriftHeard(drift: Drift, timed: Timed): boolean {
  return Math.sign(shareAtTheEnd(drift, timed, 2)) === Math.sign(drift.share);
}

/** The drift, but no steeper than it was played: one that is fitted to a tempo that changed at once is too steep. */
function asPlayed(drift: Drift, timed: Timed): Drift {
  const most = DRIFT_END_TIMES * Math.abs(shareAtTheEnd(drift, timed, 4));
  return { ...drift, share: Math.sign(drift.share) * Math.min(Math.abs(drift.share), most) };
}

/** A drift goes somewhat farther at its very end than in its last quarter. */
const DRIFT_END_TIMES = 1.25;
const END_LEAST = 3;

/** How much too long the intervals were in the last half (or third, or quarter) of a drift; negative: too short. */
function shareAtTheEnd({ from }: Drift, { intervals }: Timed, part: number): number {
  const after = intervals.filter((interval) => interval.from >= from);
  const end = after.slice(-Math.max(END_LEAST, Math.ceil(after.length / part)));
  const asked = end.reduce((sum, { expectedMicros }) => sum + expectedMicros, 0);
  return asked === 0 ? 0 : end.reduce((sum, { deviationMicros }) => sum + deviationMicros, 0) / asked;
}

/** Where two hands struck farther apart than two notes may stray, each to its side. */
function handsApart({ moments, tolerance }: Timed): Extract<Trouble, { kind: 'chord' }>[] {
  return moments.flatMap((here, i) => {
    const before = moments[i - 1];
    if (before?.onset !== here.onset) return [];
    const spreadMicros = Math.abs(here.atMicros - before.atMicros);
    return spreadMicros > 2 * tolerance.floorMicros
      ? [{ kind: 'chord' as const, onset: here.onset, spreadMicros }]
      : [];
  });
}

function isOfHands(troubles: readonly Trouble[]): boolean {
  return troubles.some(
    (trouble) =>
      trouble.kind === 'hand' ||
      (trouble.kind === 'displaced' && trouble.hand !== undefined) ||
      ('interval' in trouble && trouble.interval?.hand !== undefined),
  );
}

/** Onsets that do not follow in time from the one before: a slip on the way, a stop, a lean. */
function looseOnsets(
  { expectation: { onsets }, intervals }: Timed,
  named: readonly IntervalVerdict[],
): Set<number> {
  const timed = new Set(intervals.map(({ to }) => to));
  const loose = new Set(named.map(({ to }) => to));
  for (let onset = 1; onset < onsets.length; onset++) {
    if (!timed.has(onset) || (onsets[onset - 1]!.leanTicks ?? 0) > 0) loose.add(onset);
  }
  return loose;
}

function causeTrouble(cause: Cause, timed: Timed, worst: IntervalVerdict | undefined): Trouble[] {
  if (cause.kind === 'uneven') {
    const { sdMicros } = cause;
    return worst && !worst.clean ? [{ kind: 'uneven', sdMicros, interval: worst }] : [];
  }
  if (cause.kind === 'drift') return [asPlayed(cause, timed)];
  if (cause.kind !== 'interval') return [cause];
  const { from, hand, deviationMicros } = cause;
  if (hand === undefined) {
    const interval = timed.intervals.find((one) => one.from === from);
    return interval && !interval.clean ? [intervalTrouble(interval, timed)] : [];
  }
  const own = timed.handIntervals.find((one) => one.from === from && one.hand?.name === hand);
  // Where no single interval of it made the way, it has moved off little by little.
  return own && own.deviationMicros / deviationMicros >= AT_ONCE_LEAST
    ? [intervalTrouble(own, timed)]
    : [{ kind: 'hand', hand, from: own?.to ?? from, offsetMicros: deviationMicros }];
}

/** One hand leaves the other at an interval that makes at least this share of the way. */
const AT_ONCE_LEAST = 0.6;

/** Nothing that can be told explains it. */
function fallback(timed: Timed, worst: IntervalVerdict | undefined): Trouble[] {
  const placed = placementTrouble(timed);
  if (placed && (!worst || worst.clean)) return [placed];
  return worst ? [{ kind: 'uneven', sdMicros: Math.abs(worst.deviationMicros), interval: worst }] : [];
}

function intervalTrouble(interval: IntervalVerdict, timed: Timed): Trouble {
  if (interval.deviationMicros < 0) return { kind: 'rushed', interval };
  return { kind: isHesitation(interval, timed) ? 'hesitated' : 'dragged', interval };
}

/**
 * Against the pace of the take: where all is slow, a slow interval is no stop. Nor is one that only makes up for a note
 * that came early, or is made up for at once: then one note alone was late.
 */
function isHesitation(
  { from, to, deviationMicros, expectedMicros, playedMicros, allowedMicros }: IntervalVerdict,
  { stretch, expectation, intervals }: Timed,
): boolean {
  const usual = expectation.pulse === 'click' ? expectedMicros * Math.max(1, stretch) : expectedMicros;
  const before = intervals.find((one) => one.to === from)?.deviationMicros ?? 0;
  const after = intervals.find((one) => one.from === to)?.deviationMicros ?? 0;
  const over = Math.min(deviationMicros, playedMicros - usual) + Math.min(0, before) + Math.min(0, after);
  return over > Math.max(HESITATION_MICROS, HESITATION_SHARE * usual, 2 * allowedMicros);
}

function byExcess(intervals: readonly IntervalVerdict[]): IntervalVerdict[] {
  const excess = (i: IntervalVerdict): number => Math.abs(i.deviationMicros) / i.allowedMicros;
  return intervals.toSorted((a, b) => excess(b) - excess(a));
}
