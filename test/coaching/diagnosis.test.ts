import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/coaching/diagnosis.ts';
import type { Snag, SnagKind } from '../../src/coaching/difficulty.ts';
import { findSnags } from '../../src/coaching/snags.ts';
import { evenTimes, handVerdict } from './hand-verdict.ts';
import { runInFour } from './tidewrack.ts';

function snag(onset: number, options: { kind?: SnagKind; confidence?: number; weight?: number } = {}): Snag {
  const { kind = 'wrong notes', confidence = 0.95, weight = 0.6 } = options;
  return { onset, kinds: [kind], deviationMicros: 0, confidence, weight };
}

const SPAN = runInFour(64);
const STEADY = [1, 2].map(() => ({
  verdict: handVerdict({ times: evenTimes(64, 312.5), expectedMs: 312.5 }),
}));

describe('the diagnosis', () => {
  it('is none where nothing is sure enough', () => {
    expect(diagnose([], STEADY, SPAN)).toEqual({ kind: 'none' });
    expect(diagnose([snag(7, { confidence: 0.4 })], STEADY, SPAN)).toEqual({ kind: 'none' });
  });

  it('is one interval, or a hesitation where the player stops before it', () => {
    const wrong = snag(7);
    expect(diagnose([wrong, snag(40, { confidence: 0.3 })], STEADY, SPAN)).toEqual({
      kind: 'interval',
      snag: wrong,
    });
    const stop = snag(7, { kind: 'hesitant' });
    expect(diagnose([stop], STEADY, SPAN)).toEqual({ kind: 'hesitation', snag: stop });
  });

  it('is a stretch of beats where snags stand close together, out to the next beats', () => {
    // Eighths in 4/4: onsets 1, 3, 5 ... stand on beats. Snags from onset 10 to 11 and from 13 to 14.
    const worst = snag(13, { weight: 0.9 });
    const difficulty = diagnose([worst, snag(10)], STEADY, SPAN);
    expect(difficulty).toEqual({ kind: 'beats', first: 9, last: 15, worst });
  });

  it('takes the heavier of two places that are far apart', () => {
    const single = snag(50, { weight: 0.8 });
    expect(diagnose([single, snag(10, { weight: 0.3 })], STEADY, SPAN)).toEqual({
      kind: 'interval',
      snag: single,
    });
    const pair = [snag(10, { weight: 0.5 }), snag(12, { weight: 0.5 })];
    expect(diagnose([single, ...pair], STEADY, SPAN)).toMatchObject({ kind: 'beats', first: 9, last: 13 });
  });

  it('is the whole line where the trouble is everywhere, or goes on for more than sixteen beats', () => {
    const worst = snag(3, { weight: 0.9 });
    const everywhere = [
      worst,
      ...[9, 10, 18, 21, 29, 31, 39, 41, 43, 50, 52, 60].map((onset) => snag(onset)),
    ];
    expect(diagnose(everywhere, STEADY, SPAN)).toEqual({ kind: 'line', worst });
    const long = [worst, ...Array.from({ length: 11 }, (_, i) => snag(7 + 4 * i))];
    expect(diagnose(long, STEADY, SPAN)).toEqual({ kind: 'line', worst });
  });

  it('is rushing where a whole stretch is too short, with or without single short intervals in it', () => {
    // Onsets 20 to 40 five per cent too fast: above the just noticeable 3 % (Drake & Botte 1993).
    const bent = Object.fromEntries(Array.from({ length: 20 }, (_, i) => [19 + i, -15.6]));
    const takes = [1, 2].map(() => ({
      verdict: handVerdict({ times: evenTimes(64, 312.5, bent), expectedMs: 312.5 }),
    }));
    const difficulty = diagnose([], takes, SPAN);
    expect(difficulty).toMatchObject({ kind: 'rushing', first: 20, last: 40 });
    expect(difficulty.kind === 'rushing' && difficulty.share).toBeCloseTo(0.05, 3);
    const short = [25, 30].map((onset) => snag(onset, { kind: 'rushed' }));
    expect(diagnose(short, takes, SPAN)).toMatchObject({ kind: 'rushing' });
    expect(diagnose([snag(25)], takes, SPAN)).toMatchObject({ kind: 'interval' });
    // Two per cent is not to be noticed.
    const faint = Object.fromEntries(Object.keys(bent).map((from) => [from, -6.2]));
    const fine = [1, 2].map(() => ({
      verdict: handVerdict({ times: evenTimes(64, 312.5, faint), expectedMs: 312.5 }),
    }));
    expect(diagnose([], fine, SPAN)).toEqual({ kind: 'none' });
  });

  it('follows from takes to snags to a difficulty, in the numbers of a span inside its passage', () => {
    const span = { ...SPAN, first: 17, last: 48 };
    const times = evenTimes(32, 312.5).map((time, i) => (i === 10 ? ('wrong' as const) : time));
    const takes = [1, 2, 3].map(() => ({ verdict: handVerdict({ times, expectedMs: 312.5 }) }));
    const snags = findSnags(takes, 32, span.first);
    expect(diagnose(snags, takes, span)).toMatchObject({
      kind: 'interval',
      snag: { onset: 26, kinds: ['wrong notes'] },
    });
  });
});
