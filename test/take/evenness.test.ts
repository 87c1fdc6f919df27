// Evenness against published worked examples and relations, and against an independent statistics library.

import fc from 'fast-check';
import * as ss from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { mean, median, medianSlope, robustSd, sampleSd, weightedMedian } from '../../src/statistics.ts';
import { evennessOf } from '../../src/take/evenness.ts';
import { justNoticeableMicros } from '../../src/take/intervals.ts';
import { fitStretch } from '../../src/take/pace.ts';
import { TOLERANCES, toleranceMicros } from '../../src/take/tolerance.ts';
import type { IntervalVerdict } from '../../src/take/verdict.ts';

/** Intervals from played onsets in ms against an even grid of `expectedMs`. */
function intervals(onsetsMs: readonly number[], expectedMs: number): IntervalVerdict[] {
  return onsetsMs.slice(1).map((end, from) => {
    const playedMicros = (end - onsetsMs[from]!) * 1000;
    const expectedMicros = expectedMs * 1000;
    const deviationMicros = playedMicros - expectedMicros;
    const share = deviationMicros / expectedMicros;
    return {
      from,
      to: from + 1,
      expectedMicros,
      playedMicros,
      deviationMicros,
      share,
      allowedMicros: 0,
      clean: true,
    };
  });
}

/** Normal numbers from a seed (Box and Muller 1958), so that every run is the same. */
function normals(seed: number, count: number): number[] {
  let state = seed;
  const uniform = (): number => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  return Array.from(
    { length: count },
    () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform()),
  );
}

describe('evenness', () => {
  it('agrees with the worked example: onsets 0, 100, 210, 300, 400 ms', () => {
    // Worked by hand: intervals 100, 110, 90, 100; mean 100, sample SD 8.165; SD over mean 8.165 %.
    const even = evennessOf(intervals([0, 100, 210, 300, 400], 100))!;
    expect(even.sdMicros).toBeCloseTo(8165, 0);
    expect(even.variation).toBeCloseTo(0.08165, 5);
  });

  it('is nothing with fewer than two intervals, and splits no variance of fewer than six neighbours', () => {
    expect(evennessOf(intervals([0, 100], 100))).toBeUndefined();
    expect(evennessOf(intervals([0, 100, 210, 300, 400], 100))).not.toHaveProperty('clockSdMicros');
  });

  // Wing & Kristofferson 1973 (Percept Psychophys 14:5): I_j = C_j + D_{j+1} - D_j, so var(I) = var(C) + 2 var(D) and
  // the lag-1 autocovariance is -var(D). Relations from memory, high confidence.
  it('calls pure onset jitter on a perfect grid motor variance: interval SD is the jitter times root 2', () => {
    const jitter = normals(7, 4001).map((n) => 10 * n);
    const even = evennessOf(
      intervals(
        jitter.map((j, i) => 250 * i + j),
        250,
      ),
    )!;
    expect(even.sdMicros / 1000).toBeCloseTo(10 * Math.SQRT2, 0);
    expect(even.motorSdMicros! / 1000).toBeCloseTo(10, 0);
    expect(even.clockSdMicros! / 1000).toBeLessThan(3);
  });

  it('calls independent intervals clock variance', () => {
    let at = 0;
    const onsets = normals(11, 4001).map((n) => {
      at += 250 + 12 * n;
      return at;
    });
    const even = evennessOf(intervals(onsets, 250))!;
    expect(even.clockSdMicros! / 1000).toBeGreaterThan(11);
    expect(even.motorSdMicros! / 1000).toBeLessThan(3.5);
  });

  it('keeps the relation var(I) = clock + 2 motor, and both within the model', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 50, max: 400 }), { minLength: 9, maxLength: 40 }), (steps) => {
        let at = 0;
        const onsets = [0, ...steps.map((s) => (at += s))];
        const all = intervals(onsets, 200);
        const { clockSdMicros, motorSdMicros } = evennessOf(all)!;
        const variance = ss.variance(all.map((i) => i.deviationMicros));
        expect(clockSdMicros! ** 2 + 2 * motorSdMicros! ** 2).toBeCloseTo(variance, -3);
      }),
    );
  });
});

describe('the just noticeable difference', () => {
  // Friberg & Sundberg 1995 (JASA 98:2524): 6 ms below 240 ms, 2.5 % above.
  it('follows the published table, and no tolerance is stricter', () => {
    for (const [intervalMs, noticeableMs] of [
      [100, 6],
      [125, 6],
      [150, 6],
      [187.5, 6],
      [240, 6],
      [300, 7.5],
      [500, 12.5],
      [600, 15],
      [1000, 25],
    ] as const) {
      expect(justNoticeableMicros(intervalMs * 1000)).toBeCloseTo(noticeableMs * 1000, 6);
      for (const tolerance of Object.values(TOLERANCES)) {
        expect(toleranceMicros(tolerance, intervalMs * 1000)).toBeGreaterThan(noticeableMs * 1000);
      }
    }
  });
});

describe('the statistics', () => {
  const numbers = fc.array(fc.integer({ min: -1e6, max: 1e6 }), { minLength: 2, maxLength: 60 });

  it('agree with an independent library (simple-statistics)', () => {
    fc.assert(
      fc.property(numbers, (values) => {
        expect(mean(values)).toBeCloseTo(ss.mean(values), 4);
        expect(median(values)).toBeCloseTo(ss.median(values), 6);
        expect(sampleSd(values)).toBeCloseTo(ss.sampleStandardDeviation(values), 4);
        expect(robustSd(values)).toBeCloseTo(1.4826 * ss.medianAbsoluteDeviation(values), 4);
      }),
    );
  });

  it('weigh as if each value stood there as often as its weight', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: 1, max: 5 })), {
          minLength: 1,
        }),
        (rows) => {
          const spread = rows
            .flatMap(([value, times]) => new Array<number>(times).fill(value))
            .sort((a, b) => a - b);
          const lower = spread[Math.ceil(spread.length / 2) - 1]!;
          expect(weightedMedian(rows.map(([value, weight]) => ({ value, weight })))).toBe(lower);
        },
      ),
    );
  });

  it('find a slope that a few outliers do not move', () => {
    const points = Array.from({ length: 30 }, (_, x) => ({ x, y: 3 * x + 5 + (x % 7 === 0 ? 400 : 0) }));
    expect(medianSlope(points)).toBeCloseTo(3, 6);
    expect(medianSlope(Array.from({ length: 500 }, (_, x) => ({ x, y: -2 * x })))).toBeCloseTo(-2, 6);
  });
});

describe('the fitted pace', () => {
  const asked = (i: number): number => (i % 3 === 0 ? 500_000 : 250_000);

  it('agrees with a straight-line fit (simple-statistics) where nothing stands out', () => {
    const uneven = normals(5, 40).map((n) => 8_000 * n);
    let at = 0;
    let x = 0;
    const points: [number, number][] = [[0, 0]];
    const timed = uneven.map((d, from) => {
      const playedMicros = Math.round(1.17 * asked(from) + d);
      at += playedMicros;
      x += asked(from);
      points.push([x, at]);
      return { from, askedMicros: asked(from), playedMicros };
    });
    expect(fitStretch(timed)).toBeCloseTo(ss.linearRegression(points).m, 3);
  });

  it('is not bent by hesitations, a rush and a gap in what can be judged', () => {
    const timed = Array.from({ length: 24 }, (_, from) => ({
      from,
      askedMicros: asked(from),
      playedMicros:
        0.8 * asked(from) + (from === 5 ? 900_000 : from === 11 ? 400_000 : from === 17 ? -90_000 : 0),
    })).filter(({ from }) => from !== 8);
    expect(fitStretch(timed)).toBeCloseTo(0.8, 6);
  });

  it('is the tempo asked when there is nothing to fit, and never beyond what a take can be', () => {
    expect(fitStretch([])).toBe(1);
    expect(fitStretch([{ from: 0, askedMicros: 100, playedMicros: 99_999 }])).toBe(8);
  });
});
