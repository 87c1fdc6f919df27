// Snags: the intervals that trip the player, found from two or more takes of the whole span. Each interval is weighed
// under two readings, ordinary and snag, by everything that was heard there: deviations, unevenness from take to take,
// slips. What an ordinary interval does is learned from the takes themselves (empirical Bayes: Efron & Morris 1975,
// JASA 70:311), so that a rough player's every interval is not a snag and a fine player's small one is still found.

import { mean } from '../statistics.ts';
import type { Snag, SnagKind } from './difficulty.ts';
import { type IntervalFigures, intervalFigures, type SurveyTake } from './interval-figures.ts';
import { SLIP_WORDS, type SlipCounts, type SlipWord, slipCounts } from './slip-counts.ts';

/** How many snags a passage has before anything is heard: the prior, spread by what the fingers have to do. */
const EXPECTED_SNAGS = 2;

/** Deviations that a snag may have, shares of the interval; a tenth is where a listener begins to mind. */
const SNAG_DEVIATIONS = [0.1, 0.15, 0.22, 0.32, 0.45].flatMap((share) => [share, -share]);
/** Unevenness from take to take that a snag may have, beside the ordinary. */
const SNAG_SPREADS = [0.12, 0.2, 0.35];
/** How often a snag may trip. */
const SNAG_RATES = [0.2, 0.35, 0.5, 0.65, 0.8, 0.95];

/** Every ordinary interval has a systematic deviation below hearing (2.5 %: Friberg & Sundberg 1995). */
const ORDINARY_DEVIATION = 0.025;
/** One ordinary interval in so many is far off by mere chance. */
const STRAY = 0.03;
const STRAY_SHARE = 0.3;

/** Ordinary slips an interval and take, and how many intervals that guess is worth. */
const PRIOR_SLIP_RATE = 0.01;
const PRIOR_SLIP_WEIGHT = 30;

/** With less confidence than this an interval is not called a snag. */
const LEAST_CONFIDENCE = 0.03;

/**
 * The snags, the worst first. Needs two takes or more to tell a habit from an accident; of one it says what it can.
 * @param onsetCount Onsets of the span; takes index them from 0.
 * @param first Number of the span's first onset, 1 or more.
 * @param foreseen How much likelier than the others each interval is to be a snag (`foreseenWeights`); all alike without.
 */
export function findSnags(
  takes: readonly SurveyTake[],
  onsetCount: number,
  first = 1,
  foreseen: readonly number[] = [],
): Snag[] {
  return weighIntervals(takes, onsetCount, first, foreseen)
    .filter(({ confidence, onset }) => {
      // Where nothing was heard there is only the prior, and that is no finding.
      const prior = priorOf(onsetCount - 1, foreseen[onset - first]);
      return confidence >= Math.max(LEAST_CONFIDENCE, 1.2 * prior);
    })
    .sort((a, b) => b.weight - a.weight || a.onset - b.onset);
}

/** Every interval with its confidence, in order of the passage. */
export function weighIntervals(
  takes: readonly SurveyTake[],
  onsetCount: number,
  first = 1,
  foreseen: readonly number[] = [],
): Snag[] {
  if (takes.length === 0) return [];
  const { intervals } = intervalFigures(takes, onsetCount);
  const counts = slipCounts(takes, intervals);
  const rates = ordinaryRates(counts);
  return intervals.map((figures, i) => {
    const prior = priorOf(intervals.length, foreseen[i]);
    const slips = counts[i]!;
    const timing = weighTiming(figures);
    const tripping = weighSlips(slips, rates);
    const logOdds = Math.log(prior / (1 - prior)) + timing.logFactor + tripping;
    const confidence = 1 / (1 + Math.exp(-Math.max(-50, Math.min(50, logOdds))));
    const rate = (slips.any + 2 * rates.any) / (slips.takes + 2);
    const deviation = shrunkDeviation(figures, timing.bent);
    const unevenness = timing.systematic ? 0 : (figures.spreadShare ?? 0) - figures.ordinaryShare;
    const cost =
      rate + Math.min(1, Math.abs(deviation) / 0.3) + 0.5 * Math.max(0, Math.min(1, unevenness / 0.3));
    return {
      onset: figures.from + first,
      kinds: kindsOf(slips, timing, figures.shares.length, deviation, unevenness),
      deviationMicros: Math.round(deviation * figures.expectedMicros),
      confidence,
      weight: confidence * cost,
    };
  });
}

function priorOf(intervalCount: number, foreseen = 1): number {
  return Math.min(0.3, (foreseen * EXPECTED_SNAGS) / Math.max(1, intervalCount));
}

interface TimingEvidence {
  /** Logarithm of how many times likelier the deviations are at a snag than at an ordinary interval. */
  readonly logFactor: number;
  /** True: the same way each time; false: another way each time. */
  readonly systematic: boolean;
  /** Chance that it is bent the same way each time, by the timing alone. */
  readonly bent: number;
}

function weighTiming(figures: IntervalFigures): TimingEvidence {
  const { shares, ordinaryShare } = figures;
  if (shares.length === 0) return { logFactor: 0, systematic: true, bent: 0 };
  const sd = Math.hypot(ordinaryShare, ORDINARY_DEVIATION);
  const likelihood = (centre: number, spread: number) =>
    shares.reduce((sum, share) => sum + Math.log(strayNormal(share - centre, spread)), 0);
  const ordinary = likelihood(0, sd);
  const systematic = logMean(SNAG_DEVIATIONS.map((centre) => likelihood(centre, sd))) - ordinary;
  const uneven = logMean(SNAG_SPREADS.map((spread) => likelihood(0, Math.hypot(sd, spread)))) - ordinary;
  const bent = 1 / (1 + Math.exp(-systematic) + Math.exp(uneven - systematic));
  return { logFactor: evidence(systematic, uneven), systematic: systematic >= uneven, bent };
}

/** Normal density with a share of strays, so that one bad day is not a habit. */
function strayNormal(x: number, sd: number): number {
  return (1 - STRAY) * normal(x, sd) + STRAY * normal(x, Math.hypot(sd, STRAY_SHARE));
}

function normal(x: number, sd: number): number {
  return Math.exp(-0.5 * (x / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));
}

/** Rates of ordinary slips, an interval and take. */
interface OrdinaryRates {
  readonly any: number;
  readonly kinds: ReadonlyMap<SlipWord, number>;
}

/** Logarithm of how many times likelier the slips are at a snag, whose habit may be slips of one kind or of any. */
function weighSlips(slips: SlipCounts, rates: OrdinaryRates): number {
  const habit = (count: number, ordinary: number) => {
    const likelihood = (rate: number) => count * Math.log(rate) + (slips.takes - count) * Math.log(1 - rate);
    return logMean(SNAG_RATES.map(likelihood)) - likelihood(ordinary);
  };
  const oneKind = SLIP_WORDS.map((word) => habit(slips.kinds.get(word) ?? 0, rates.kinds.get(word)!));
  return evidence(habit(slips.any, rates.any), logMean(oneKind));
}

function ordinaryRates(counts: readonly SlipCounts[]): OrdinaryRates {
  const rate = (count: (slips: SlipCounts) => number, prior: number) => {
    // Without the intervals that trip most of the time: they are what is looked for.
    const usual = counts.filter((slips) => count(slips) < 2 || count(slips) < slips.takes / 2);
    const slips = usual.reduce((sum, each) => sum + count(each), 0);
    const chances = usual.reduce((sum, { takes }) => sum + takes, 0);
    return Math.min(0.3, (slips + prior * PRIOR_SLIP_WEIGHT) / (chances + PRIOR_SLIP_WEIGHT));
  };
  const kinds = SLIP_WORDS.map((word): [SlipWord, number] => [
    word,
    rate(({ kinds }) => kinds.get(word) ?? 0, PRIOR_SLIP_RATE / SLIP_WORDS.length),
  ]);
  return { any: rate(({ any }) => any, PRIOR_SLIP_RATE), kinds: new Map(kinds) };
}

/** Normal-normal shrinkage of the mean deviation; the likelier that it is bent, the wider what it may be. */
function shrunkDeviation(figures: IntervalFigures, bent: number): number {
  if (figures.shares.length === 0) return 0;
  const between = ORDINARY_DEVIATION ** 2 + bent * 0.25 ** 2;
  const within = figures.ordinaryShare ** 2 / figures.shares.length;
  return (figures.deviationShare * between) / (between + within);
}

/** What is wrong, the weightiest first; at least one. */
function kindsOf(
  slips: SlipCounts,
  timing: TimingEvidence,
  timedTakes: number,
  deviation: number,
  unevenness: number,
): readonly SnagKind[] {
  const all: [SnagKind, number][] = [...slips.kinds].map(([word, takes]: [SlipWord, number]) => [
    word,
    takes / Math.max(1, slips.takes),
  ]);
  // Of one take nobody can tell a habit; it is named only where there is nothing else to name.
  const habit = timedTakes > 1 ? 1 : 0;
  if (timing.systematic)
    all.push([deviation < 0 ? 'rushed' : 'dragged', (habit * Math.abs(deviation)) / 0.3]);
  else all.push(['uneven', unevenness / 0.4]);
  all.sort((a, b) => b[1] - a[1]);
  const telling = all.filter(([, share], i) => i === 0 || share >= 0.25);
  return telling.map(([kind]) => kind);
}

/** A snag shows in one of two ways, equally likely, or (one in five) not at all; factors by their logarithms. */
function evidence(oneWay: number, otherWay: number): number {
  return logMean([oneWay, oneWay, otherWay, otherWay, 0]);
}

/** Logarithm of the mean of numbers given by their logarithms. */
function logMean(logs: readonly number[]): number {
  const most = Math.max(...logs);
  return most + Math.log(mean(logs.map((log) => Math.exp(log - most))));
}
