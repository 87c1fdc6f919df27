// Laws that hold for every line and every take. The takes are made by a small invented player (drawn.ts): clean, or with
// slips, blips, legato overlap, hesitations and restarts as wind players make them.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { align } from '../../src/matching/align.ts';
import type { Alignment } from '../../src/matching/alignment.ts';
import type { Expectation } from '../../src/matching/expectation.ts';
import { alignmentSoFar, passTime, startFollowing } from '../../src/matching/follow.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { judge } from '../../src/take/judge.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { sample } from '../sample.ts';
import { drawnExpectation, drawnTake, followAll, noiseTake } from './drawn.ts';
import { perfect } from './takes.ts';

const RUNS = { numRuns: sample(100, 30) };
const steady = { tolerance: TOLERANCES.steady };

/** Every expected note once, every played note once, nothing invented. */
function expectLawful(expectation: Expectation, played: readonly PlayedNote[], alignment: Alignment): void {
  const wanted = expectation.onsets.flatMap((o, onset) => o.notes.map((_, note) => `${onset}.${note}`));
  expect(alignment.notes.map((n) => `${n.onset}.${n.note}`)).toEqual(wanted);
  const used = [...alignment.notes.flatMap((n) => n.played ?? []), ...alignment.extras.map((e) => e.played)];
  expect(used.sort((a, b) => a - b)).toEqual(played.map((_, i) => i));
  for (const { verdict, played: by } of alignment.notes) {
    expect(by === undefined).toBe(verdict === 'missed' || verdict === 'omitted');
  }
}

describe('every take', () => {
  it('gives every expected note one verdict and every played note one slot, however wild', () => {
    fc.assert(
      fc.property(drawnExpectation(), noiseTake(), (expectation, played) => {
        const alignment = align(expectation, played);
        expectLawful(expectation, played, alignment);
        const follower = passTime(followAll(expectation, played), 1e10);
        expectLawful(expectation, follower.played, alignmentSoFar(follower));
        judge(expectation, played, alignment, steady);
      }),
      RUNS,
    );
  });

  it('that is perfect is all right, in time and clean, at any steady pace', () => {
    fc.assert(
      fc.property(
        drawnExpectation(),
        fc.double({ min: 0.5, max: 2.4, noNaN: true }),
        (expectation, slower) => {
          const played = perfect(expectation, slower);
          const alignment = align(expectation, played);
          const verdict = judge(expectation, played, alignment, steady);
          expect(alignment.notes.every((n) => n.verdict === 'right')).toBe(true);
          expect(verdict.troubles).toEqual([]);
          for (const i of verdict.intervals) expect(Math.abs(i.deviationMicros)).toBeLessThan(1000);
          expect(followAll(expectation, played).slip).toBeUndefined();
        },
      ),
      RUNS,
    );
  });

  it('is judged the same when all of it comes later', () => {
    fc.assert(
      fc.property(drawnTake(), fc.integer({ min: 0, max: 1e9 }), ({ expectation, played }, later) => {
        const shifted = played.map((n) => ({
          ...n,
          onMicros: n.onMicros + later,
          offMicros: n.offMicros! + later,
        }));
        expect(align(expectation, shifted)).toEqual(align(expectation, played));
        const [a, b] = [played, shifted].map((p) => judge(expectation, p, align(expectation, p), steady));
        expect(b!.intervals).toEqual(a!.intervals);
        expect(earlier(later, b!.troubles)).toEqual(earlier(0, a!.troubles));
      }),
      RUNS,
    );
  });

  it('is judged the same when passage and take are transposed alike', () => {
    fc.assert(
      fc.property(drawnTake(), fc.integer({ min: -11, max: 11 }), ({ expectation, played }, by) => {
        const moved = {
          ...expectation,
          onsets: expectation.onsets.map((o) => ({
            ...o,
            notes: o.notes.map((n) => ({ ...n, pitch: n.pitch + by })),
          })),
        };
        const take = played.map((n) => ({ ...n, pitch: n.pitch + by }));
        expect(align(moved, take)).toEqual(align(expectation, played));
      }),
      RUNS,
    );
  });

  it('is clean only without a slip', () => {
    fc.assert(
      fc.property(drawnTake(), ({ expectation, played }) => {
        const verdict = judge(expectation, played, align(expectation, played), {
          tolerance: TOLERANCES.rough,
        });
        expect(verdict.clean).toBe(verdict.troubles.length === 0);
        if (!verdict.clean) return;
        expect(verdict.notes.every((n) => n.verdict === 'right' || n.verdict === 'omitted')).toBe(true);
        expect(verdict.extras.every((e) => e.kind === 'ornament')).toBe(true);
      }),
      RUNS,
    );
  });

  it('changes nothing that it is given', () => {
    fc.assert(
      fc.property(drawnTake(), ({ expectation, played }) => {
        const before = JSON.stringify({ expectation, played });
        const frozen = played.map((n) => Object.freeze({ ...n }));
        judge(expectation, Object.freeze(frozen), align(expectation, frozen), steady);
        followAll(expectation, frozen);
        expect(JSON.stringify({ expectation, played })).toBe(before);
      }),
      { numRuns: sample(40, 20) },
    );
  });
});

describe('following', () => {
  it('gives the same however the time between notes is cut', () => {
    fc.assert(
      fc.property(drawnTake(), fc.integer({ min: 10_000, max: 900_000 }), ({ expectation, played }, cut) => {
        const end = (played.at(-1)?.onMicros ?? 0) + 9_000_000;
        const whole = passTime(followAll(expectation, played), end);
        const often = passTime(followAll(expectation, played, cut), end);
        expect(often.committed).toEqual(whole.committed);
        expect(often.extras).toEqual(whole.extras);
        expect(often.slip).toEqual(whole.slip);
        expect(often.complete).toBe(whole.complete);
      }),
      { numRuns: sample(80, 30) },
    );
  });

  it('says no more than is decided, and in the end everything that was reached', () => {
    fc.assert(
      fc.property(drawnTake(), ({ expectation, played }) => {
        const clicked = { ...expectation, pulse: 'click' as const, zeroMicros: 2_000_000 };
        const done = passTime(followAll(clicked, played), 1e10);
        expect(done.committed.every((n) => n !== undefined)).toBe(true);
        expect(done.position).toBe(expectation.onsets.length);
        expect(done.nextDeadlineMicros).toBeUndefined();
        expect(startFollowing(clicked).committed.every((n) => n === undefined)).toBe(true);
      }),
      RUNS,
    );
  });
});

/** Times as they were before all came later, rounded to a thousandth of a microsecond: floating point is not exact. */
function earlier(later: number, troubles: unknown): unknown {
  const times = ['leftMicros', 'onMicros', 'rightMicros'];
  return JSON.parse(
    JSON.stringify(troubles, (key, value) =>
      typeof value === 'number'
        ? Math.round((times.includes(key) ? value - later : value) * 1000) / 1000 + 0
        : value,
    ),
  );
}
