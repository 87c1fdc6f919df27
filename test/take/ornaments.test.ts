// Ornaments as people play them: rightly played they are clean, whatever comes before and after; what is wrong beside them
// is told.

import { describe, expect, it } from 'vitest';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import { Random } from '../../src/simulation/random.ts';
import { judgedNotes } from '../../src/take/result.ts';
import { TOLERANCES } from '../../src/take/tolerance.ts';
import { line, take, ZERO_MICROS } from '../matching/takes.ts';
import { sample } from '../sample.ts';
import { ornamentedTake, PAIRS } from './ornamented-takes.ts';

const PLACES = ['inner', 'end'] as const;

describe('an ornament', () => {
  it('played rightly is clean, in a line, on a landing and on a last note', async () => {
    const takes = sample(100, 2);
    let seed = 50_000;
    let made = 0;
    const refused: string[] = [];
    for (const pair of PAIRS) {
      for (const place of PLACES) {
        for (let i = 0; i < takes; i++, made++) {
          const { what, abc, clean, said } = await ornamentedTake(pair, place, new Random(seed++, 77));
          if (!clean) refused.push(`${what}: ${said}\n${abc}`);
        }
      }
    }
    // A trill may be told from the note before it a little too late, once in some thousands of takes.
    expect(refused.length, refused.join('\n')).toBeLessThanOrEqual(made / 500);
  });

  it('hides no missing, late or added note', async () => {
    const takes = sample(40, 1);
    let seed = 90_000;
    for (const fault of ['missed', 'late', 'added'] as const) {
      for (const pair of PAIRS) {
        for (const place of PLACES) {
          for (let i = 0; i < takes; i++) {
            const { what, abc, clean, played } = await ornamentedTake(
              pair,
              place,
              new Random(seed++, 9),
              fault,
            );
            expect(clean, `${fault}: ${what}\n${abc}${played}`).toBe(false);
          }
        }
      }
    }
  });
});

describe('a trill before a grace note of its own upper note', () => {
  // Quarter notes of ours at 80: 750 ms each; the trill is on B4, the grace note C5 before D5.
  const slow = line([67, 69, 71, 74, 76], { tempo: { bpm: 20, beatTicks: TICKS_PER_QUARTER } });
  const onsets = slow.onsets.map((onset, i) => {
    if (i === 2) return { ...onset, notes: [{ ...onset.notes[0]!, ornament: 'trill' as const }] };
    const grace = { pitch: 72, durationTicks: 0, ornament: 'grace' as const };
    return i === 3 ? { ...onset, notes: [grace, ...onset.notes] } : onset;
  });
  const trill = [71, 72, 71, 72].map((pitch, i) => [1500 + 90 * i, pitch, 80] as const);
  const around = [67, 69, 74, 76].map((pitch, i) => [750 * (i < 2 ? i : i + 1), pitch, 600] as const);

  it('that ends on that note long before it is a trill and nothing added', () => {
    const played = take([...around, ...trill].toSorted((a, b) => a[0] - b[0]));
    const { verdict } = judgedNotes({ ...slow, onsets }, played, [], { tolerance: TOLERANCES.steady });
    expect(verdict.troubles).toEqual([]);
    const [end] = trill.slice(-1);
    const wrong = take(
      [...around, ...trill.slice(0, 3), [end![0], 66, 80] as const].toSorted((a, b) => a[0] - b[0]),
    );
    expect(
      judgedNotes({ ...slow, onsets }, wrong, [], { tolerance: TOLERANCES.steady }).verdict.troubles[0],
    ).toMatchObject({ kind: 'extra', playedPitch: 66 });
  });
});

describe('a grace note', () => {
  const plain = line([67, 69, 71, 72, 74, 76], { pulse: 'click', zeroMicros: ZERO_MICROS });
  const onsets = plain.onsets.map((onset, i) =>
    i === 3
      ? { ...onset, notes: [{ pitch: 74, durationTicks: 0, ornament: 'grace' as const }, ...onset.notes] }
      : onset,
  );
  const written = [67, 69, 71, 72, 74, 76].map((pitch, i) => [250 * i, pitch, 200] as const);
  const judged = (...added: (readonly [number, number, number])[]) =>
    judgedNotes({ ...plain, onsets }, take([...written, ...added].sort((a, b) => a[0] - b[0])), [], {
      tolerance: TOLERANCES.steady,
    }).verdict;

  it('is played shortly before its note, or left out', () => {
    expect(judged().clean).toBe(true);
    for (const before of [40, 90, 140]) expect(judged([750 - before, 74, 60]).clean).toBe(true);
  });

  it('is none where it is struck with the note before, or an onset too early', () => {
    for (const at of [500, 515, 380, 260, 120]) {
      const { troubles } = judged([at, 74, 60]);
      expect(troubles[0], `${at}`).toMatchObject({
        kind: expect.stringMatching(/^(extra|blip)$/),
        playedPitch: 74,
      });
    }
  });

  it('is none half a second before its note in slow music', () => {
    const slow = { ...plain, onsets, tempo: { ...plain.tempo, bpm: 15 } };
    const notes = (at: number) =>
      take(
        [...written.map(([ms, pitch]) => [4 * ms, pitch, 300] as const), [at, 74, 60] as const].sort(
          (a, b) => a[0] - b[0],
        ),
      );
    const clean = (at: number) =>
      judgedNotes(slow, notes(at), [], { tolerance: TOLERANCES.steady }).verdict.clean;
    expect(clean(3000 - 120)).toBe(true);
    expect(clean(3000 - 500)).toBe(false);
  });
});

describe('going back within one repeated pitch', () => {
  const written = [60, 60, 60, 60, 62, 64];
  const repeated = line(written);
  const after = (tried: number, from: number) =>
    judgedNotes(
      repeated,
      take([
        ...written.slice(0, tried).map((pitch, i) => [250 * i, pitch] as const),
        ...written.map((pitch, i) => [from + 250 * i, pitch] as const),
      ]),
      [],
      { tolerance: TOLERANCES.steady },
    ).verdict.troubles;

  it('is one going back, of as many notes as were given up', () => {
    for (const tried of [2, 3, 4]) {
      expect(after(tried, 250 * tried + 700)).toEqual([{ kind: 'restart', before: 0, notes: tried }]);
    }
  });
});
