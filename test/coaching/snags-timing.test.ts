import { mean, medianAbsoluteDeviation, sampleCovariance, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { intervalFigures, splitVariances } from '../../src/coaching/interval-figures.ts';
import { playTake } from '../../src/simulation/play-take.ts';
import { PROFILES } from '../../src/simulation/profile.ts';
import { Random } from '../../src/simulation/random.ts';
import { eighthsOf, scaleLine } from '../simulation/music-for-models.ts';
import { evenTimes, handVerdict } from './hand-verdict.ts';

describe('the timing of intervals over several takes', () => {
  it('keeps what is systematic apart from what varies from take to take', () => {
    // Interval 3 is 30 ms long every time; interval 6 is 40 ms long, then 40 ms short, then right.
    const takes = [40, -40, 0].map((uneven) => ({
      verdict: handVerdict({ times: evenTimes(12, 200, { 3: 30, 6: uneven }), expectedMs: 200 }),
    }));
    const { intervals } = intervalFigures(takes, 12);
    expect(intervals[3]!.deviationShare).toBeCloseTo(0.15, 5);
    expect(intervals[3]!.spreadShare).toBeCloseTo(0, 5);
    expect(intervals[6]!.deviationShare).toBeCloseTo(0, 5);
    // Independent: the sample SD of the same shares by simple-statistics.
    expect(intervals[6]!.spreadShare).toBeCloseTo(sampleStandardDeviation([0.2, -0.2, 0]), 5);
  });

  it('compares takes of any tempo and any slow drift', () => {
    const plain = evenTimes(40, 200, { 11: -40 });
    const drifting = plain.map((_, i) =>
      plain.slice(0, i + 1).reduce((t, at, k) => (k ? t + (at - plain[k - 1]!) * (1 + 0.002 * k) : 0), 0),
    );
    const takes = [plain, plain.map((t) => t * 1.7), plain.map((t) => t * 0.6), drifting].map((times) => ({
      verdict: handVerdict({ times, expectedMs: 200 }),
    }));
    const { intervals } = intervalFigures(takes, 40);
    for (const share of intervals[11]!.shares) expect(share).toBeCloseTo(-0.2, 2);
    for (const share of intervals[25]!.shares) expect(Math.abs(share)).toBeLessThan(0.01);
  });

  it('counts a late onset once: the short interval after it is its reply', () => {
    // The published worked example (one onset late by d makes one interval +d and the next -d): 0, 100, 210, 300, 400 ms.
    const takes = [1, 2].map(() => ({
      verdict: handVerdict({ times: [0, 100, 210, 300, 400, 500, 600, 700], expectedMs: 100 }),
    }));
    const { intervals } = intervalFigures(takes, 8);
    expect(intervals.map((i) => Math.round(i.deviationShare * 1000) / 1000)).toEqual([0, 0.1, 0, 0, 0, 0, 0]);
  });

  it('takes a stop for a hesitation and not for unevenness, and the hurry after it for its consequence', () => {
    const takes = [
      { verdict: handVerdict({ times: evenTimes(12, 200, { 4: 300, 5: -30 }), expectedMs: 200 }) },
      { verdict: handVerdict({ times: evenTimes(12, 200), expectedMs: 200 }) },
    ];
    const { intervals } = intervalFigures(takes, 12);
    expect(intervals[4]).toMatchObject({ hesitations: [0], shares: [0] });
    expect(intervals[5]!.shares).toEqual([0]);
  });

  it('separates the clock from the fingers by the autocovariance, as Wing and Kristofferson do', () => {
    for (const [clockShare, motorSdMicros] of [
      [0.04, 5_000],
      [0.02, 10_000],
      [0.005, 9_000],
    ] as const) {
      const profile = { ...PROFILES.exact, clockShare, motorSdMicros };
      const takes = [1, 2, 3, 4].map((seed) => {
        const options = { zeroMicros: 1_000_000, click: false };
        const { notes } = playTake(scaleLine(900), eighthsOf(250_000), profile, new Random(seed), options);
        return notes.slice(1).map((n, i) => n.onMicros - notes[i]!.onMicros);
      });
      const cells = takes.map((take) =>
        take.map((d) => ({ share: d / 250_000 - 1, expectedMicros: 250_000 })),
      );
      const split = splitVariances(cells);
      expect(split.clockShare).toBeCloseTo(clockShare, 1.9);
      expect(split.motorSdMicros / motorSdMicros).toBeGreaterThan(0.85);
      expect(split.motorSdMicros / motorSdMicros).toBeLessThan(1.15);
      // Second opinion: simple-statistics' covariance of neighbouring intervals in one take.
      const covariance = sampleCovariance(takes[0]!.slice(0, -1), takes[0]!.slice(1));
      expect(Math.abs(split.motorSdMicros ** 2 + covariance)).toBeLessThan(0.35 * motorSdMicros ** 2 + 4e6);
    }
  });

  it('splits the variance as the formulas say, worked out independently', () => {
    // Three takes of six intervals of two lengths, one of them far out in one take: it counts for 2.5 SDs at most.
    const lengths = [200_000, 100_000, 200_000, 200_000, 100_000, 200_000];
    const shares = [
      [0.03, 0.05, 0.02, 0.04, -0.03, 0.04],
      [-0.05, -0.03, 0, -0.03, 0, 0.04],
      [-0.04, 0.05, 0.3, -0.05, 0.04, -0.04],
    ];
    const takes = shares.map((take) => take.map((share, i) => ({ share, expectedMicros: lengths[i]! })));
    const raw = shares.map((take) =>
      take.map((share, i) => (share - mean(shares.map((other) => other[i]!))) * Math.sqrt(3 / 2)),
    );
    const most = 2.5 * 1.4826 * medianAbsoluteDeviation(raw.flat());
    const residuals = raw.map((take) =>
      take.map((share) => Math.sign(share) * Math.min(Math.abs(share), most)),
    );
    expect(raw.flat().some((share) => Math.abs(share) > most)).toBe(true);
    const variance = mean(residuals.flat().map((share) => share ** 2));
    const inverse = mean(lengths.map((length) => length ** -2));
    const neighbours = residuals.flatMap((take) =>
      take.slice(1).map((share, i) => share * lengths[i + 1]! * take[i]! * lengths[i]!),
    );
    const motor = -mean(neighbours);
    expect(motor).toBeGreaterThan(0);
    expect(motor).toBeLessThan(variance / (2 * inverse));
    const split = splitVariances(takes);
    expect(split.motorSdMicros).toBeCloseTo(Math.sqrt(motor), 6);
    expect(split.clockShare).toBeCloseTo(Math.sqrt(variance - 2 * motor * inverse), 9);
  });

  it('puts all on the clock where neighbours go the same way, all on the fingers where they go against each other', () => {
    const cells = (...shares: readonly number[]) =>
      shares.map((share) => ({ share, expectedMicros: 200_000 }));
    const same = splitVariances([cells(0.04, 0.04, 0.04, -0.04, -0.04, -0.04)]);
    expect(same).toEqual({ clockShare: expect.closeTo(0.04, 9), motorSdMicros: 0 });
    const against = splitVariances([cells(0.04, -0.04, 0.04, -0.04, 0.04, -0.04)]);
    expect(against.clockShare).toBeCloseTo(0, 6);
    expect(against.motorSdMicros).toBeCloseTo(Math.sqrt((0.04 * 200_000) ** 2 / 2), 6);
    // With no two neighbours there is the clock alone.
    const apart = cells(0.04, -0.04, 0.04, -0.04, 0.04, -0.04, 0.04).map((cell, i) =>
      i % 2 ? undefined : cell,
    );
    expect(splitVariances([apart]).motorSdMicros).toBe(0);
  });

  it('guesses where fewer than four intervals are known, and learns nothing from a stop or from one take of several', () => {
    const cells = (...shares: readonly number[]) =>
      shares.map((share) => ({ share, expectedMicros: 200_000 }));
    const guess = { clockShare: 0.04, motorSdMicros: 8_000 };
    expect(splitVariances([cells(0.1, -0.1, 0.1)])).toEqual(guess);
    expect(splitVariances([cells(0.1, -0.1, 0.1, 0.1)])).not.toEqual(guess);
    expect(splitVariances([cells(0.1, -0.1, 0.1, 0.46)])).toEqual(guess);
    expect(splitVariances([cells(0.1, -0.1, 0.1, 0.45)])).not.toEqual(guess);
    expect(splitVariances([cells(0.1, -0.1, 0.1, 0.1), []])).toEqual(guess);
  });

  it('takes from an interval as much as the one before explains, if that stands out and goes the other way', () => {
    const deviations = (bent: Readonly<Record<number, number>>) =>
      intervalFigures(
        [1, 2].map(() => ({ verdict: handVerdict({ times: evenTimes(20, 200, bent), expectedMs: 200 }) })),
        20,
      ).intervals.map(({ deviationShare }) => Math.round(deviationShare * 1000) / 1000);
    expect(deviations({ 5: -40, 6: 60 }).slice(5, 7)).toEqual([-0.2, 0.1]);
    expect(deviations({ 5: 40, 6: -60 }).slice(5, 7)).toEqual([0.2, -0.1]);
    expect(deviations({ 5: -40, 6: 30 }).slice(5, 7)).toEqual([-0.2, 0]);
    expect(deviations({ 5: -40, 6: -60 }).slice(5, 7)).toEqual([-0.2, -0.3]);
    // Stamps are no finer than that: this is nothing that stands out.
    expect(deviations({ 5: -1, 6: 60 }).slice(5, 7)).toEqual([-0.005, 0.3]);
  });

  it('calls it a stop from 45 % too long on, and still tells of a long interval after a stop', () => {
    const stop = (ms: number, after: number) =>
      intervalFigures(
        [{ verdict: handVerdict({ times: evenTimes(20, 200, { 4: ms, 5: after }), expectedMs: 200 }) }],
        20,
      ).intervals;
    expect(stop(88, 0)[4]!.hesitations).toEqual([]);
    expect(stop(92, 0)[4]!.hesitations).toEqual([0]);
    expect(stop(92, 20)[5]!.shares).toEqual([expect.closeTo(0.1, 6)]);
    expect(stop(92, -20)[5]!.shares).toEqual([]);
    expect(stop(92, 0)[4]).not.toHaveProperty('spreadShare');
    // The SD of an ordinary interval: of the clock, and of two stamps of 1.5 ms at least.
    const [even] = stop(0, 0);
    expect(even!.ordinaryShare).toBeCloseTo(Math.SQRT2 * (1_500 / 200_000), 9);
  });

  it('gives no figures for no takes, for silence and for a single note', () => {
    expect(intervalFigures([], 5).intervals.map((i) => i.shares)).toEqual([[], [], [], []]);
    const silence = { verdict: handVerdict({ times: ['missed', 'missed', 'missed'], expectedMs: 200 }) };
    expect(intervalFigures([silence, silence], 3).intervals.every((i) => i.deviationShare === 0)).toBe(true);
    expect(intervalFigures([{ verdict: handVerdict({ times: [0], expectedMs: 200 }) }], 1).intervals).toEqual(
      [],
    );
  });
});
