// What explains the deviations of a take. Causes want opposite advice: after a short interval all that follows is
// early, a displaced note is early or late alone, a drift moves each note a little more, a wrong tempo scales all, a
// pattern repeats. Each is a shape of the placements, and several may be at work: the explanation that costs least
// wins. A cost is the negative logarithm of how likely the deviations are under it (Gaussian, the fingers' standard
// deviation unknown but of the usual size) and a price for each cause, as in the Bayesian information criterion: what a
// free number costs grows with the logarithm of how many there are to explain, and what may stand anywhere costs the
// choice of its place besides. Where an explanation with the opposite advice comes near, neither is told: the take was
// uneven there, which is the weaker thing to say.

import type { Expectation } from '../matching/expectation.ts';
import { median } from '../statistics.ts';
import type { Cause } from './cause.ts';
import { type Shape, shapesOf } from './cause-shapes.ts';
import { LineFit } from './line-fit.ts';
import type { Moment } from './strands.ts';

/** The fingers' standard deviation, some 10 ms (a share of slow notes), and how many observations that belief is worth. */
const USUAL_SD_MICROS = 10_000;
const USUAL_SD_SHARE = 0.025;
const BELIEF = 3;
/** Where a player stands on the click when nothing is known yet, and when takes before have shown it (common practice, no source). */
const LAG_SD_MICROS = 25_000;
const KNOWN_LAG_SD_MICROS = 12_000;
/**
 * Price of a cause in natural units besides half the logarithm of the number of moments. What may stand at any of many
 * places costs the logarithm of their number; where no more than two or three intervals were out of time, one note is a
 * likely reason beforehand. These, the belief and the usual size were chosen on the planted takes of
 * test/take/planted-causes.ts (seeds 1 to 300), by what was named rightly.
 */
const FEW_PLACES = 7;
const ONE_PRICE = 2;
const WHOLE_PRICE = 4;
/** Where another kind of explanation is nearer than this and its advice the opposite, neither is told. */
const NEAR = 3;
/** Just noticeable change of tempo from six intervals on: 3 % (Drake & Botte 1993, Percept Psychophys 54:277). */
const HEARD_SHARE = 0.03;
/** More causes than these are no explanation. */
const MOST_CAUSES = 5;
/** Where the rest strays by more than this share of what is allowed, one place must be so many times as far off. */
const REST_SHARE = 0.55;
const OUT_TIMES = 5;
/** A long recording is explained around its worst place. */
const MOST_MOMENTS = 240;

interface Candidate extends Shape {
  readonly price: number;
}

interface NamedCause {
  readonly candidate: Candidate;
  readonly cause: Cause;
}

interface Explanation {
  readonly causes: readonly Candidate[];
  readonly cost: number;
}

export interface Deviations {
  readonly expectation: Expectation;
  /** By onset. */
  readonly moments: readonly Moment[];
  /** Onsets before which time may have stood still, whatever the reason: a slip, a stop, a lean. */
  readonly loose: ReadonlySet<number>;
  /** Where this player usually stands on the click, where that is known. */
  readonly usualLagMicros?: number;
  /** The onsets at either end of an interval that was out of time; empty where only the placement was. */
  readonly touched: ReadonlySet<number>;
  /** What the usual interval may stray. */
  readonly allowedMicros: number;
  /** The worst place, an onset: of a very long take only what is around it is explained. */
  readonly around: number;
}

/** The causes, the weightiest first; never empty. */
export function causesOf(deviations: Deviations): Cause[] {
  const moments = near(deviations);
  const lag = lagRow(deviations);
  const given = [lag.given, ...moments.map(({ askedMicros, atMicros }) => atMicros - askedMicros)];
  const base = baseOf(deviations, moments, lag.weight);
  const usual = usualVariance(moments);
  const costOf = (causes: readonly Candidate[]): number => {
    const fit = fitted(given, base, causes);
    return (
      ((BELIEF + given.length) / 2) * Math.log(1 + fit.rest / (BELIEF * usual)) +
      causes.reduce((sum, { price }) => sum + price, 0)
    );
  };
  let candidates = candidatesOf(deviations, moments);
  for (;;) {
    const search = { given, base, candidates, costOf };
    const best = likeliest(search);
    const named = isDoubtful(best, search) ? [] : namesOf(best, search);
    const told = standingOut(named, best, search, deviations.allowedMicros);
    const unheard = told.filter(({ cause }) => isUnheard(cause));
    if (unheard.length === 0) {
      const spare = Math.max(1, moments.length - base.length);
      return told.length > 0
        ? told.map(({ cause }) => cause)
        : [{ kind: 'uneven', sdMicros: Math.sqrt(fitted(given, base, []).rest / spare) }];
    }
    candidates = candidates.filter((one) => !unheard.some(({ candidate }) => candidate === one));
  }
}

/** A change of tempo that nobody notices is no cause of anything. */
function isUnheard(cause: Cause): boolean {
  return (cause.kind === 'tempo' || cause.kind === 'drift') && Math.abs(cause.share) < HEARD_SHARE;
}

function likeliest(search: Search): Explanation {
  const whole = search.candidates.filter(({ cause }) => cause !== 'interval' && cause !== 'displaced');
  const starts: Candidate[][] = [[], ...whole.map((one) => [one])];
  return starts.map((start) => grown(start, search)).reduce((a, b) => (b.cost < a.cost ? b : a));
}

interface Search {
  readonly given: readonly number[];
  readonly base: readonly Shape['column'][];
  readonly candidates: readonly Candidate[];
  costOf(causes: readonly Candidate[]): number;
}

/** The explanation as long as another cause makes it cheaper, and then without what earns nothing any more. */
function grown(start: readonly Candidate[], search: Search): Explanation {
  const { given, base, candidates, costOf } = search;
  let causes = [...start];
  let cost = costOf(causes);
  while (causes.length < MOST_CAUSES) {
    const fit = fitted(given, base, causes);
    const [points, steps] = [fit.pointGains(), fit.stepGains()];
    let best: { cause: Candidate; score: number } | undefined;
    for (const cause of candidates) {
      if (causes.includes(cause)) continue;
      const { column } = cause;
      const gain =
        'at' in column ? points[column.at]! : 'from' in column ? steps[column.from]! : fit.gain(column);
      const score = Math.log(Math.max(fit.rest - gain, 1)) * -0.5 * (BELIEF + given.length) - cause.price;
      if (!best || score > best.score) best = { cause, score };
    }
    if (!best) break;
    const next = [...causes, best.cause];
    const nextCost = costOf(next);
    if (nextCost >= cost) break;
    [causes, cost] = [next, nextCost];
  }
  for (const one of [...causes]) {
    const without = causes.filter((other) => other !== one);
    const less = costOf(without);
    if (less <= cost) [causes, cost] = [without, less];
  }
  return { causes, cost };
}

/**
 * A note early and the interval after it long (or late and short) look alike where the take ends soon after, and want
 * opposite advice.
 */
function isDoubtful({ causes, cost }: Explanation, { candidates, costOf }: Search): boolean {
  return causes.some((one) => {
    const others = candidates.filter(
      (other) =>
        (one.cause === 'displaced' && other.cause === 'interval' && other.onset === one.onset + 1) ||
        (one.cause === 'interval' && other.cause === 'displaced' && other.onset === one.onset - 1),
    );
    return others.some((other) => {
      const instead = causes.map((cause) => (cause === one ? other : cause));
      return costOf(instead) < cost + NEAR;
    });
  });
}

/** By what each is worth: what the explanation costs more without it. */
function namesOf({ causes }: Explanation, { given, base, costOf }: Search): NamedCause[] {
  const weights = fitted(given, base, causes).weights().slice(-causes.length);
  return causes
    .map((candidate, i) => ({
      candidate,
      cause: candidate.name(weights[i]!),
      worth: costOf(causes.filter((other) => other !== candidate)),
    }))
    .sort((a, b) => b.worth - a.worth);
}

/**
 * The causes but for single notes and intervals that are lost among the others: where all the rest strays by more than
 * half of what is allowed it is not one place that is to blame, unless that stands out of the rest.
 */
function standingOut(
  named: readonly NamedCause[],
  { causes }: Explanation,
  { given, base }: Search,
  allowedMicros: number,
): readonly NamedCause[] {
  const spare = Math.max(1, given.length - base.length - causes.length);
  const restMicros = Math.sqrt(fitted(given, base, causes).rest / spare);
  if (restMicros <= REST_SHARE * allowedMicros) return named;
  return named.filter(
    ({ cause, candidate }) =>
      (candidate.cause !== 'displaced' && candidate.cause !== 'interval') ||
      Math.abs(sizeOf(cause)) >= OUT_TIMES * restMicros,
  );
}

/** How far off one place is. */
function sizeOf(cause: Cause): number {
  if (cause.kind === 'interval') return cause.deviationMicros;
  return cause.kind === 'displaced' ? cause.offsetMicros : 0;
}

function fitted(
  given: readonly number[],
  base: readonly Shape['column'][],
  causes: readonly Candidate[],
): LineFit {
  const fit = new LineFit(given);
  for (const column of base) fit.add(column);
  for (const { column } of causes) fit.add(column);
  return fit;
}

/**
 * What is known beforehand of where the player stands on the click, as one more observation before the first: it tells
 * a first interval that was short from a first note that was late. Its weight is the fingers' spread over its own.
 */
function lagRow({ expectation: { pulse, zeroMicros }, usualLagMicros }: Deviations): {
  readonly given: number;
  readonly weight: number;
} {
  if (pulse === 'free' || zeroMicros === undefined) return { given: 0, weight: 0 };
  const weight = USUAL_SD_MICROS / (usualLagMicros === undefined ? LAG_SD_MICROS : KNOWN_LAG_SD_MICROS);
  return { given: weight * (zeroMicros + (usualLagMicros ?? 0)), weight };
}

function afterLag(column: Shape['column']): Shape['column'] {
  if ('at' in column) return { at: column.at + 1 };
  if ('from' in column) return { from: column.from + 1 };
  return { values: [0, ...column.values] };
}

/** What needs no explanation: where the player stands on the click, the pace of a free run, time lost in slips. */
function baseOf(
  { expectation, loose }: Deviations,
  moments: readonly Moment[],
  lagWeight: number,
): Shape['column'][] {
  const base: Shape['column'][] = [{ values: [lagWeight, ...moments.map(() => 1)] }];
  if (expectation.pulse === 'free')
    base.push(afterLag({ values: moments.map((m) => m.askedMicros - moments[0]!.askedMicros) }));
  for (let i = 1; i < moments.length; i++) {
    const [before, here] = [moments[i - 1]!.onset, moments[i]!.onset];
    if (before === here) continue;
    let broken = false;
    for (let onset = before + 1; onset <= here; onset++) broken ||= loose.has(onset);
    if (broken) base.push(afterLag({ from: i }));
  }
  return base;
}

/** A single note or interval is to blame only for what was out of time at it. */
function candidatesOf({ expectation, touched }: Deviations, moments: readonly Moment[]): Candidate[] {
  const isSingle = ({ cause }: Shape): boolean => cause === 'interval' || cause === 'displaced';
  const shapes = shapesOf(expectation, moments).filter(
    (shape) => !isSingle(shape) || touched.size === 0 || touched.has(shape.onset),
  );
  const free = 0.5 * Math.log(Math.max(2, moments.length));
  const count = shapes.filter(isSingle).length;
  const places = count > FEW_PLACES ? Math.log(count) : 0;
  return shapes.map((shape) => ({
    ...shape,
    column: afterLag(shape.column),
    price: free + (isSingle(shape) ? ONE_PRICE + places : WHOLE_PRICE + Math.log(shape.variants)),
  }));
}

function usualVariance(moments: readonly Moment[]): number {
  const gaps = moments.slice(1).map((m, i) => m.askedMicros - moments[i]!.askedMicros);
  const usual = gaps.filter((gap) => gap > 0);
  const interval = usual.length > 0 ? median(usual) : 0;
  return Math.max(USUAL_SD_MICROS, USUAL_SD_SHARE * interval) ** 2;
}

function near({ moments, around }: Deviations): readonly Moment[] {
  if (moments.length <= MOST_MOMENTS) return moments;
  const middle = moments.findIndex(({ onset }) => onset >= around);
  const from = Math.min(Math.max(0, middle - MOST_MOMENTS / 2), moments.length - MOST_MOMENTS);
  return moments.slice(from, from + MOST_MOMENTS);
}
