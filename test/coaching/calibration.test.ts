// Independent oracle for spreads: simple-statistics' median absolute deviation and standard deviation.
import fc from 'fast-check';
import { medianAbsoluteDeviation, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { estimateLag, isJudgeable, measureJitter } from '../../src/coaching/calibration.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { jitterSentence, lagSentence, lagTroubleSentence } from '../../src/wording/calibration.ts';

const BEAT = 600_000;
const CLICKS = Array.from({ length: 16 }, (_, i) => 4_000_000 + i * BEAT);

/** Sums of twelve numbers: near enough to normal errors of standard deviation 1. */
function normalErrors(seed: number): () => number {
  let state = seed + 1;
  const uniform = () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
  return () => Array.from({ length: 12 }, uniform).reduce((sum, u) => sum + u, -6);
}

function lagOf(taps: number[]) {
  const outcome = estimateLag(CLICKS, taps);
  if (!outcome.ok) throw new Error(lagTroubleSentence(outcome));
  return outcome;
}

describe('the constant lag', () => {
  it('of exact taps is found to the microsecond, early or late, up to nearly half a beat', () => {
    fc.assert(
      fc.property(fc.integer({ min: -280_000, max: 280_000 }), (lag) => {
        const { lag: found } = lagOf(CLICKS.map((click) => click + lag));
        expect(found).toEqual({ lagMicros: lag, spreadMicros: 0, sureMicros: 0, taps: 13, missed: 0 });
      }),
      { numRuns: 200 },
    );
  });

  it('of a human hand is found within three times what it says it is sure of, nearly always', () => {
    let within = 0;
    for (let seed = 0; seed < 200; seed += 1) {
      const error = normalErrors(seed);
      const { lag } = lagOf(CLICKS.map((click) => Math.round(click + 35_000 + 12_000 * error())));
      if (Math.abs(lag.lagMicros - 35_000) <= 3 * lag.sureMicros) within += 1;
    }
    expect(within).toBeGreaterThanOrEqual(185);
  });

  it('is not moved by one note that went wrong, a missed click or an extra note', () => {
    const taps = CLICKS.map((click, i) => click + 30_000 + (i % 2) * 1000);
    const { lag } = lagOf([...taps.slice(0, 6), taps[6]! + 150_000, taps[6]! + 290_000, ...taps.slice(8)]);
    expect(Math.abs(lag.lagMicros - 30_500)).toBeLessThanOrEqual(500);
    expect(lag.missed).toBeLessThanOrEqual(1);
  });

  it('does not count the first three clicks, in which the beat is found', () => {
    const { lag } = lagOf(CLICKS.map((click, i) => click + (i < 3 ? -100_000 : 20_000)));
    expect(lag).toMatchObject({ lagMicros: 20_000, spreadMicros: 0, taps: 13 });
  });

  it('has the spread of the median absolute deviation', () => {
    const error = normalErrors(5);
    const offsets = CLICKS.map(() => Math.round(10_000 * error()));
    const { lag } = lagOf(CLICKS.map((click, i) => click + offsets[i]!));
    expect(lag.spreadMicros).toBe(Math.round(1.4826 * medianAbsoluteDeviation(offsets.slice(3))));
  });

  it('is told with its way and its size', () => {
    const said = (taps: number[]) => lagSentence(lagOf(taps).lag);
    const early = said(CLICKS.map((click, i) => click - 25_000 + (i % 3) * 1000));
    expect(early).toMatch(
      /^Your notes arrive 24 ms before the click \(give or take .* ms, single notes .* ms\)/,
    );
    expect(early).toContain('anticipate');
    expect(said(CLICKS.map((click) => click + 61_000))).toMatch(/61 ms after the click/);
    expect(said(CLICKS.map((click, i) => click + (i % 3) * 500))).toMatch(/^Your notes arrive on the click/);
  });

  it('is refused when too few clicks were answered, or the notes fit none', () => {
    expect(estimateLag(CLICKS, CLICKS.slice(0, 9))).toMatchObject({ ok: false, reason: 'too-few' });
    expect(estimateLag(CLICKS, [])).toMatchObject({ ok: false, reason: 'too-few' });
    const anywhere = CLICKS.map((click, i) => click + ((i * 7919) % 17) * 14_000);
    expect(estimateLag(CLICKS, anywhere)).toMatchObject({ ok: false, reason: 'too-loose' });
  });
});

describe('the jitter of a set-up', () => {
  it('of an even stream is nothing, at any pace', () => {
    expect(measureJitter(Array.from({ length: 64 }, (_, i) => 5e6 + i * 125_003))).toEqual({
      onsetMicros: 0,
      intervalMicros: 0,
      notes: 64,
    });
  });

  it('is the standard deviation of the errors, and root two of it for intervals', () => {
    const error = normalErrors(11);
    const errors = Array.from({ length: 2000 }, () => 3000 * error());
    const jitter = measureJitter(errors.map((e, i) => i * 125_000 + e))!;
    expect(jitter.onsetMicros / sampleStandardDeviation(errors)).toBeCloseTo(1, 1);
    const intervals = errors.slice(1).map((e, i) => e - errors[i]!);
    expect(jitter.intervalMicros / sampleStandardDeviation(intervals)).toBeCloseTo(1, 1);
  });

  it('is not told from fewer than eight notes', () => {
    expect(measureJitter([1, 2, 3, 4, 5, 6, 7])).toBeUndefined();
  });

  it('decides at which tolerance there is room for the player', () => {
    const jitter = (intervalMicros: number) => ({
      onsetMicros: Math.round(intervalMicros / Math.SQRT2),
      intervalMicros,
      notes: 64,
    });
    // Half of 16 ms is 8 ms; a third of it is 2.666 ms.
    expect(isJudgeable(jitter(2666), TOLERANCES.concert)).toBe(true);
    expect(isJudgeable(jitter(2667), TOLERANCES.concert)).toBe(false);
    expect(jitterSentence(jitter(2667), TOLERANCES.concert, false)).toMatch(
      /1\.9 ms by itself: too unsteady to be judged at the tolerance "concert" \(16 ms\)/,
    );
    expect(isJudgeable(jitter(2667), TOLERANCES.steady)).toBe(true);
  });
});
