// How sure a snag is, worked out once more the plain way: probabilities multiplied, without logarithms (Bayes' rule; the
// normal density from any handbook). What each interval showed comes from the figures; how it is weighed is said here
// again.

import { mean } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import {
  type IntervalFigures,
  intervalFigures,
  type SurveyTake,
} from '../../src/coaching/interval-figures.ts';
import { SLIP_WORDS, type SlipCounts, slipCounts } from '../../src/coaching/slip-counts.ts';
import { weighIntervals } from '../../src/coaching/snags.ts';
import { evenTimes, type HandTake, handVerdict } from './hand-verdict.ts';

const survey = (...takes: readonly HandTake[]): SurveyTake[] =>
  takes.map((take) => ({ verdict: handVerdict(take) }));

/** Nine notes of 200 ms, no two takes alike: a little uneven, one interval short, one note wrong or missed now and then. */
const TAKES = survey(
  {
    times: slipped(evenTimes(9, 200, { 0: 6, 1: -9, 2: -52, 3: 12, 5: 9, 6: 44 }), { 7: 'wrong' }),
    expectedMs: 200,
  },
  { times: slipped(evenTimes(9, 200, { 0: -8, 1: 4, 2: -41, 3: -6, 4: 11, 6: -48 }), {}), expectedMs: 200 },
  {
    times: slipped(evenTimes(9, 200, { 1: 7, 2: -60, 4: -12, 5: 6, 6: 10 }), { 7: 'missed' }),
    expectedMs: 200,
  },
  {
    times: slipped(evenTimes(9, 200, { 0: 10, 2: -35, 3: 5, 5: -11, 6: -30 }), { 4: 'wrong' }),
    expectedMs: 200,
  },
);

describe('how sure a snag is', () => {
  it('is what the plain sum of probabilities says, whatever was foreseen', () => {
    for (const foreseen of [[], [1, 0.5, 1.2, 1, 1, 0.3, 1, 1]]) {
      const weighed = weighIntervals(TAKES, 9, 1, foreseen);
      const { intervals } = intervalFigures(TAKES, 9);
      const counts = slipCounts(TAKES, intervals);
      expect(weighed).toHaveLength(8);
      for (const [i, { confidence }] of weighed.entries()) {
        const prior = Math.min(0.3, ((foreseen[i] ?? 1) * 2) / 8);
        const snag = prior * timesLikelier(intervals[i]!) * slipsLikelier(counts[i]!, counts);
        expect(confidence).toBeCloseTo(snag / (snag + 1 - prior), 9);
      }
    }
    expect(weighIntervals(TAKES, 9)[2]!.confidence).toBeGreaterThan(0.9);
  });

  it('never expects more than three snags in ten intervals', () => {
    const short = survey({ times: evenTimes(3, 200), expectedMs: 200 });
    const { intervals } = intervalFigures(short, 3);
    const counts = slipCounts(short, intervals);
    const snag = 0.3 * timesLikelier(intervals[0]!) * slipsLikelier(counts[0]!, counts);
    expect(weighIntervals(short, 3)[0]!.confidence).toBeCloseTo(snag / (snag + 0.7), 9);
  });
});

it('a deviation is drawn towards none as a normal mean with a normal prior is, wider where the interval is bent', () => {
  const { intervals } = intervalFigures(TAKES, 9);
  for (const [i, { deviationMicros }] of weighIntervals(TAKES, 9).entries()) {
    const { shares, ordinaryShare, deviationShare, expectedMicros } = intervals[i]!;
    if (shares.length === 0) continue;
    const { bent, uneven } = timing(intervals[i]!);
    const between = 0.025 ** 2 + (bent / (1 + bent + uneven)) * 0.25 ** 2;
    const within = ordinaryShare ** 2 / shares.length;
    const drawn = (deviationShare * between) / (between + within);
    expect(Math.abs(deviationMicros - drawn * expectedMicros)).toBeLessThanOrEqual(0.5 + 1e-6);
  }
});

it('a snag that is short every time is named so, and one that is long; of one take only where there is nothing else', () => {
  const kinds = (...takes: readonly SurveyTake[]) => weighIntervals(takes, 9)[2]!.kinds;
  const bent = (ms: number, slips: Readonly<Record<number, 'wrong' | 'missed'>> = {}) =>
    survey({ times: slipped(evenTimes(9, 200, { 2: ms }), slips), expectedMs: 200 })[0]!;
  expect(kinds(bent(-50), bent(-50))).toEqual(['rushed']);
  expect(kinds(bent(50), bent(50))).toEqual(['dragged']);
  expect(kinds(bent(-50))).toEqual(['rushed']);
  // Three short and two wrong of five: both, the weightier first.
  const mixed = [bent(-80), bent(-80), bent(-80), bent(0, { 3: 'wrong' }), bent(0, { 3: 'wrong' })];
  expect(kinds(...mixed)).toEqual(['rushed', 'wrong notes']);
  expect(kinds(bent(-20), bent(-20), bent(-20), ...mixed.slice(3))).toEqual(['wrong notes', 'rushed']);
});

it('a snag costs what trips there, a third of the interval counting like one slip each take', () => {
  const { intervals } = intervalFigures(TAKES, 9);
  const counts = slipCounts(TAKES, intervals);
  const ordinary = ordinaryRate(counts, ({ any }) => any, 0.01);
  for (const [i, { weight, confidence, deviationMicros, kinds }] of weighIntervals(TAKES, 9).entries()) {
    const { any, takes } = counts[i]!;
    const { expectedMicros, spreadShare = 0, ordinaryShare } = intervals[i]!;
    const rate = (any + 2 * ordinary) / (takes + 2);
    const deviation = Math.abs(deviationMicros) / Math.max(1, expectedMicros) / 0.3;
    const uneven = kinds.includes('uneven')
      ? Math.min(1, Math.max(0, (spreadShare - ordinaryShare) / 0.3)) / 2
      : 0;
    expect(weight / confidence).toBeCloseTo(rate + Math.min(1, deviation) + uneven, 4);
  }
});

// Helpers

function slipped(
  times: readonly number[],
  slips: Readonly<Record<number, 'wrong' | 'missed'>>,
): HandTake['times'] {
  return times.map((time, i) => slips[i] ?? time);
}

/** How many times likelier the lengths are at a snag than elsewhere. */
function timesLikelier(figures: IntervalFigures): number {
  const { bent, uneven } = timing(figures);
  return figures.shares.length === 0 ? 1 : oneOf(bent, uneven);
}

/** The same for one that goes wrong the same way each time, and another way each time. */
function timing({ shares, ordinaryShare }: IntervalFigures) {
  const sd = Math.hypot(ordinaryShare, 0.025);
  const chance = (centre: number, spread: number) =>
    product(
      shares.map(
        (share) =>
          0.97 * normal(share - centre, spread) + 0.03 * normal(share - centre, Math.hypot(spread, 0.3)),
      ),
    );
  const centres = [0.1, 0.15, 0.22, 0.32, 0.45].flatMap((share) => [share, -share]);
  return {
    bent: mean(centres.map((centre) => chance(centre, sd))) / chance(0, sd),
    uneven: mean([0.12, 0.2, 0.35].map((spread) => chance(0, Math.hypot(sd, spread)))) / chance(0, sd),
  };
}

/** The same of the slips: of any kind, or of one kind. */
function slipsLikelier(slips: SlipCounts, all: readonly SlipCounts[]): number {
  const habit = (count: number, ordinary: number) => {
    const chance = (rate: number) => rate ** count * (1 - rate) ** (slips.takes - count);
    return mean([0.2, 0.35, 0.5, 0.65, 0.8, 0.95].map(chance)) / chance(ordinary);
  };
  const kinds = SLIP_WORDS.map((word) => {
    const count = ({ kinds }: SlipCounts) => kinds.get(word) ?? 0;
    return habit(count(slips), ordinaryRate(all, count, 0.01 / 6));
  });
  return oneOf(
    habit(
      slips.any,
      ordinaryRate(all, ({ any }) => any, 0.01),
    ),
    mean(kinds),
  );
}

/** Slips an interval and take where it does not trip most of the time; the guess before is worth thirty. */
function ordinaryRate(
  all: readonly SlipCounts[],
  count: (slips: SlipCounts) => number,
  guess: number,
): number {
  const usual = all.filter((slips) => !(count(slips) >= 2 && count(slips) >= slips.takes / 2));
  const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
  return Math.min(0.3, (sum(usual.map(count)) + guess * 30) / (sum(usual.map(({ takes }) => takes)) + 30));
}

/** Two ways to show, each as likely as the other, and one in five to show nothing. */
function oneOf(one: number, other: number): number {
  return 0.4 * one + 0.4 * other + 0.2;
}

function normal(x: number, sd: number): number {
  return Math.exp(-((x / sd) ** 2) / 2) / (sd * Math.sqrt(2 * Math.PI));
}

function product(numbers: readonly number[]): number {
  return numbers.reduce((a, b) => a * b, 1);
}
