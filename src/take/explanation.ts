// What explains the deviations of a take. Causes want opposite advice: after a short interval all that follows is
// early, a displaced note is early or late alone, a drift moves each note a little more, a wrong tempo scales all, a
// pattern repeats. Each is a shape of the placements, and several may be at work: the explanation that costs least
// wins. A cost is the negative logarithm of how likely it is that the take was so: how likely what is left is (as far as
// fingers stray, `straying.ts`), how likely each cause is of that size and at that place beforehand, and how finely its
// size is known. Where nothing explains it the fingers may stray farther, or the clock wander: the take was uneven.
// Where an explanation with the opposite advice comes near, a cause is not told, which is the weaker thing to say.

import type { Cause } from './cause.ts';
import { type Shape, shapesOf } from './cause-shapes.ts';
import { LineFit } from './line-fit.ts';
import { afterLag, baseOf, independent, lagRow, type Stood } from './standing-shapes.ts';
import type { Moment } from './strands.ts';
import { cheaper, type Explained, strayingCost, strayingOf } from './straying.ts';
import { wanderingCost } from './wandering.ts';

/**
 * Prices in natural units, besides those of size and place: of any cause (a take that was not in time has one more often
 * than not), of one that all notes share, and of each after the first. They, and what is believed beforehand of straying
 * and of sizes, were chosen on planted takes of test/take/planted-causes.ts (seeds 10,000, 200,000 and 300,000, and
 * takes of another maker) by what was named rightly; src/take/README.md has the figures for other seeds.
 */
const CAUSE_PRICE = -0.4;
const WHOLE_PRICE = 1.2;
const FURTHER_PRICE = 5;
/** A single place is blamed for some 1 to 3 times what is allowed; a cause that all notes share may be smaller. */
const PLACE_LEAST = 1;
const WHOLE_LEAST = 0.2;
const SIZE_MOST = 3;
/** Smaller sizes become unlikely as quickly as this power, larger ones as their square. */
const SMALLER_POWER = 6;
/** Unequal notes count as played evenly when they were evened by this share at least, and at most. */
const EVENED_LEAST = 0.5;
const EVENED_MOST = 1.4;
const IMPOSSIBLE = 1e-12;
/** Where an explanation with the opposite advice is nearer than this, neither is told. */
const NEAR = 2.5;
/** Just noticeable change of tempo from six intervals on: 3 % (Drake & Botte 1993, Percept Psychophys 54:277). */
const HEARD_SHARE = 0.03;
/** More causes than these are no explanation. */
const MOST_CAUSES = 5;
/** So many of the causes that explain most of what is left are weighed in full. */
const TRIED_MOST = 6;
/** Where the rest strays by more than this share of what is allowed, a single place must be so many times as far off. */
const REST_SHARE = 0.6;
const OUT_TIMES = 5;
/** A long recording is explained around its worst place. */
const MOST_MOMENTS = 240;

interface Candidate extends Shape {
  /** The size at which it makes an interval just as long or short as is allowed. */
  readonly allowed: number;
  readonly price: number;
}

interface NamedCause {
  readonly candidate: Candidate;
  readonly cause: Cause;
  readonly weight: number;
}

interface Explanation {
  readonly causes: readonly Candidate[];
  readonly cost: number;
}

export interface Deviations extends Stood {
  /** By onset. */
  readonly moments: readonly Moment[];
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
  const straying = strayingOf(moments, deviations.allowedMicros);
  const lag = lagRow(deviations, straying.usualSdMicros);
  const given = [lag.given, ...moments.map(({ askedMicros, atMicros }) => atMicros - askedMicros)];
  const base = independent(given, baseOf(deviations, moments, lag.weight));
  const known = moments.length + (lag.weight > 0 ? 1 : 0) - base.length;
  const entry = lag.weight > 0 ? given[0]! - lag.weight * given[1]! : undefined;
  const wandering = wanderingCost(deviations.expectation, moments, {
    straying,
    loose: deviations.loose,
    entry,
  });
  const fitOf = fitsOn(given, base);
  const costOf = (causes: readonly Candidate[]): number => {
    const fitted = fitOf(causes);
    fitted.cost ??= costWith(causes, fitted.fit);
    return fitted.cost;
  };
  const costWith = (causes: readonly Candidate[], fit: LineFit): number => {
    // One of the columns says what others say already.
    if (fit.lengths.length < base.length + causes.length) return Number.POSITIVE_INFINITY;
    const left = strayingCost(straying, fit.rest, known - causes.length, explainedBy(causes));
    const cost = left + fit.lengths.reduce((sum, length) => sum + Math.log(length), 0);
    return causes.length === 0 ? cheaper(cost, wandering) : cost + causesCost(causes, fit);
  };
  let candidates = candidatesOf(deviations, moments);
  for (;;) {
    const search = { given, base, candidates, fitOf, costOf };
    const best = likeliest(search);
    const told = standingOut(namesOf(best, search), best, search, deviations.allowedMicros).filter(
      ({ candidate }) => !isDoubtful(candidate, best, search),
    );
    const unheard = told.filter(({ cause }) => isUnheard(cause));
    if (unheard.length === 0) {
      const spare = Math.max(1, moments.length - base.length);
      return told.length > 0
        ? told.map(({ cause }) => cause)
        : [{ kind: 'uneven', sdMicros: Math.sqrt(fitOf([]).fit.rest / spare) }];
    }
    candidates = candidates.filter((one) => !unheard.some(({ candidate }) => candidate === one));
  }
}

function explainedBy(causes: readonly Candidate[]): Explained {
  if (causes.length === 0) return 'nothing';
  return causes.some(isPlace) ? 'place' : 'whole';
}

/** One note or one interval, and not what all of them share. */
function isPlace({ cause }: Shape): boolean {
  return cause === 'interval' || cause === 'displaced';
}

/** How unlikely these causes of these sizes are beforehand. */
function causesCost(causes: readonly Candidate[], fit: LineFit): number {
  const weights = fit.weightsOfLast(causes.length);
  return causes.reduce(
    (sum, cause, i) => sum + cause.price - Math.log(sizeDensity(cause, weights[i]!)),
    FURTHER_PRICE * (causes.length - 1),
  );
}

/** How likely a weight is beforehand, for each unit of it; either way. */
function sizeDensity(candidate: Candidate, weight: number): number {
  if (candidate.cause === 'evened') {
    const even = weight >= EVENED_LEAST && weight <= EVENED_MOST;
    return even ? 1 / (EVENED_MOST - EVENED_LEAST) : IMPOSSIBLE;
  }
  const least = isPlace(candidate) ? PLACE_LEAST : WHOLE_LEAST;
  const size = Math.abs(weight) / candidate.allowed;
  const height =
    size < least ? (size / least) ** SMALLER_POWER : size > SIZE_MOST ? (SIZE_MOST / size) ** 2 : 1;
  const area = least / (SMALLER_POWER + 1) + (SIZE_MOST - least) + SIZE_MOST;
  return Math.max(IMPOSSIBLE, height) / (2 * area * candidate.allowed);
}

/** A change of tempo that nobody notices is no cause of anything. */
function isUnheard(cause: Cause): boolean {
  return (
    (cause.kind === 'tempo' || cause.kind === 'tempo-mark' || cause.kind === 'drift') &&
    Math.abs(cause.share) < HEARD_SHARE
  );
}

function likeliest(search: Search): Explanation {
  const whole = search.candidates.filter((one) => !isPlace(one));
  const starts: Candidate[][] = [[], ...whole.map((one) => [one])];
  return starts.map((start) => grown(start, search)).reduce((a, b) => (b.cost < a.cost ? b : a));
}

interface Search {
  readonly given: readonly number[];
  readonly base: readonly Shape['column'][];
  readonly candidates: readonly Candidate[];
  fitOf(causes: readonly Candidate[]): Fitted;
  costOf(causes: readonly Candidate[]): number;
}

/** The explanation as long as another cause makes it cheaper, and then without what earns nothing any more. */
function grown(start: readonly Candidate[], search: Search): Explanation {
  const { given, candidates } = search;
  let { causes, cost } = explanation(start, search);
  while (causes.length < MOST_CAUSES) {
    const { fit } = search.fitOf(causes);
    const [points, steps] = [fit.pointGains(), fit.stepGains()];
    const { rest } = fit;
    const gains: { readonly cause: Candidate; readonly score: number }[] = [];
    for (const cause of candidates) {
      if (causes.includes(cause)) continue;
      const { column } = cause;
      const gain =
        'at' in column ? points[column.at]! : 'from' in column ? steps[column.from]! : fit.gain(column);
      const score = -0.5 * given.length * Math.log(Math.max(rest - gain, 1)) - cause.price;
      gains.push({ cause, score });
    }
    const tried = gains.sort((a, b) => b.score - a.score).slice(0, TRIED_MOST);
    const next = tried
      .map(({ cause }) => explanation([...causes, cause], search))
      .reduce<Explanation | undefined>((a, b) => (a && a.cost <= b.cost ? a : b), undefined);
    if (!next || next.cost >= cost) break;
    ({ causes, cost } = next);
  }
  for (const one of [...causes]) {
    const without = explanation(
      causes.filter((other) => other !== one),
      search,
    );
    if (without.cost <= cost) ({ causes, cost } = without);
  }
  return { causes, cost };
}

function explanation(causes: readonly Candidate[], { costOf }: Search): Explanation {
  return { causes, cost: costOf(causes) };
}

/**
 * Whether another cause in its place explains nearly as much and advises the opposite: a note early and the interval
 * after it long look alike where the take ends soon after.
 */
function isDoubtful(one: Candidate, { causes, cost }: Explanation, search: Search): boolean {
  const way = Math.sign(weightOf(one, causes, search));
  return search.candidates.some((other) => {
    if (causes.includes(other) || !mayOppose(one, other)) return false;
    const instead = causes.map((cause) => (cause === one ? other : cause));
    return search.costOf(instead) < cost + NEAR && Math.sign(weightOf(other, instead, search)) === -way;
  });
}

/** Two places next to each other, or how the time goes on in two ways: longer here is shorter there. */
function mayOppose(one: Candidate, other: Candidate): boolean {
  if (isPlace(one) && isPlace(other)) return Math.abs(one.onset - other.onset) <= 1;
  const [here, there] = [ON_THE_WAY.has(one.cause), ON_THE_WAY.has(other.cause)];
  return (here || one.cause === 'interval') && (there || other.cause === 'interval');
}

const ON_THE_WAY: ReadonlySet<Candidate['cause']> = new Set(['tempo', 'tempo-mark', 'drift']);

function weightOf(one: Candidate, causes: readonly Candidate[], { fitOf }: Search): number {
  return fitOf(causes).fit.weightsOfLast(causes.length)[causes.indexOf(one)]!;
}

/**
 * The causes but for single notes and intervals that are lost among the others: where so much is left that neighbours
 * are out of time for no cause it is not one place that is to blame, unless that stands out of the rest.
 */
function standingOut(
  named: readonly NamedCause[],
  { causes }: Explanation,
  { given, base, fitOf }: Search,
  allowedMicros: number,
): readonly NamedCause[] {
  const spare = Math.max(1, given.length - base.length - causes.length);
  const restMicros = Math.sqrt(fitOf(causes).fit.rest / spare);
  if (restMicros <= REST_SHARE * allowedMicros) return named;
  return named.filter(
    ({ weight, candidate }) => !isPlace(candidate) || Math.abs(weight) >= OUT_TIMES * restMicros,
  );
}

/** By what each is worth: what the explanation costs more without it. */
function namesOf({ causes }: Explanation, { fitOf, costOf }: Search): NamedCause[] {
  const weights = fitOf(causes).fit.weightsOfLast(causes.length);
  return causes
    .map((candidate, i) => ({
      candidate,
      cause: candidate.name(weights[i]!),
      weight: weights[i]!,
      worth: costOf(causes.filter((other) => other !== candidate)),
    }))
    .sort((a, b) => b.worth - a.worth);
}

/** A fit of some causes, and those of one cause more that have been made from it. */
interface Fitted {
  readonly fit: LineFit;
  cost?: number;
  readonly further: Map<Candidate, Fitted>;
}

/** Each fit is made from that of one cause fewer, once: the search comes back to the same causes again and again. */
function fitsOn(given: readonly number[], base: readonly Shape['column'][]): Search['fitOf'] {
  const none: Fitted = { fit: new LineFit(given), further: new Map() };
  for (const column of base) none.fit.add(column);
  return (causes) =>
    causes.reduce((fitted, cause) => {
      const known = fitted.further.get(cause);
      if (known) return known;
      const next: Fitted = { fit: new LineFit(fitted.fit), further: new Map() };
      next.fit.add(cause.column);
      fitted.further.set(cause, next);
      return next;
    }, none);
}

/** A single note or interval is to blame only for what was out of time at it. */
function candidatesOf(
  { expectation, touched, allowedMicros }: Deviations,
  moments: readonly Moment[],
): Candidate[] {
  const shapes = shapesOf(expectation, moments).filter(
    (shape) => !isPlace(shape) || touched.size === 0 || touched.has(shape.onset),
  );
  return shapes.map((shape) => ({
    ...shape,
    column: afterLag(shape.column),
    allowed: allowedMicros / greatestStep(shape.column),
    price: CAUSE_PRICE + (isPlace(shape) ? Math.log(moments.length) : WHOLE_PRICE + Math.log(shape.variants)),
  }));
}

/** By how much one unit moves a note against the one before it, at most. */
function greatestStep(column: Shape['column']): number {
  if (!('values' in column)) return 1;
  let greatest = 0;
  for (let i = 1; i < column.values.length; i++)
    greatest = Math.max(greatest, Math.abs(column.values[i]! - column.values[i - 1]!));
  return greatest;
}

function near({ moments, around }: Deviations): readonly Moment[] {
  if (moments.length <= MOST_MOMENTS) return moments;
  const middle = moments.findIndex(({ onset }) => onset >= around);
  const from = Math.min(Math.max(0, middle - MOST_MOMENTS / 2), moments.length - MOST_MOMENTS);
  return moments.slice(from, from + MOST_MOMENTS);
}
