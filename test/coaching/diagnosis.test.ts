import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/coaching/diagnosis.ts';
import type { Snag, SnagKind } from '../../src/coaching/difficulty.ts';
import { prescribe } from '../../src/coaching/prescription.ts';
import { findSnags } from '../../src/coaching/snags.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import type { Trouble } from '../../src/take/verdict.ts';
import { prescriptionSentence } from '../../src/wording/prescription.ts';
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

/** Two takes of 64 eighths of 300 ms; `bent[i]` ms more or less on the interval from the onset of index i. */
function bentTakes(bent: Readonly<Record<number, number>>) {
  return [1, 2].map(() => ({
    verdict: handVerdict({ times: evenTimes(64, 300, bent), expectedMs: 300 }),
  }));
}

/** From an index on: S is an interval 15 % short, L one 2 % long, E an even one. */
function bends(from: number, pattern: string): Record<number, number> {
  const ms = { S: -45, L: 6, E: 0 } as const;
  return Object.fromEntries([...pattern].map((sign, i) => [from + i, ms[sign as keyof typeof ms]]));
}

const snagsAt = (...onsets: readonly number[]) => onsets.map((onset) => snag(onset));

describe('the diagnosis', () => {
  it('is none where nothing is sure enough', () => {
    expect(diagnose([], STEADY, SPAN)).toEqual({ kind: 'none' });
    expect(diagnose([snag(7, { confidence: 0.4 })], STEADY, SPAN)).toEqual({ kind: 'none' });
  });

  it('agrees with the takes: what most of them had in common, and never "nothing" where none was clean', () => {
    const takes = (...troubles: readonly (Trouble | undefined)[]) =>
      troubles.map((trouble, i) => ({
        verdict: { ...STEADY[i % STEADY.length]!.verdict, troubles: trouble ? [trouble] : [] },
      }));
    const faster: Trouble = { kind: 'drift', from: 0, share: -0.2 };
    const slower: Trouble = { kind: 'drift', from: 0, share: 0.2 };
    const wide: Trouble = { kind: 'ran-on', notes: 1 };
    expect(diagnose([], takes(faster, faster), SPAN)).toEqual({ kind: 'whole', fault: 'speeding' });
    expect(diagnose([], takes(slower, slower, faster), SPAN)).toEqual({ kind: 'whole', fault: 'slowing' });
    expect(diagnose([], takes({ kind: 'tempo', share: 0.1 }, { kind: 'tempo', share: 0.2 }), SPAN)).toEqual({
      kind: 'whole',
      fault: 'too slow',
    });
    const hand: Trouble = { kind: 'hand', hand: 'left hand', offsetMicros: 80_000 };
    expect(diagnose([], takes(hand, hand, undefined), SPAN)).toEqual({ kind: 'whole', fault: 'hands apart' });
    // Never "slower" to somebody whose instrument sounds elsewhere, nor "even" to one who has played long and short alike.
    const [high, octave]: Trouble[] = [
      { kind: 'transposed', semitones: 2 },
      { kind: 'octave', octaves: -1 },
    ];
    const otherwise = diagnose([], takes(high, octave), SPAN);
    expect(otherwise).toEqual({ kind: 'whole', fault: 'set otherwise' });
    const { drills, why } = prescribe(otherwise, SPAN);
    expect(drills.map(({ name, ladder }) => [name, ladder ?? false])).toEqual([['through', false]]);
    expect(prescriptionSentence(why, SPAN.passage)).toMatch(/set the instrument's octave or transposition/);
    const evened: Trouble = { kind: 'evened', share: 1 };
    expect(diagnose([], takes(evened, evened), SPAN)).toEqual({ kind: 'whole', fault: 'evened' });
    expect(diagnose([], takes(faster, slower), SPAN)).toEqual({ kind: 'unsettled' });
    expect(diagnose([], takes(wide, wide), SPAN)).toEqual({ kind: 'unsettled' });
    expect(diagnose([], takes(wide, undefined), SPAN)).toEqual({ kind: 'none' });
    // A snag that is sure says more than what the takes had in common.
    expect(diagnose([snag(7)], takes(faster, faster), SPAN).kind).toBe('interval');
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

describe('the diagnosis of a place', () => {
  it('counts a snag that is as likely as not', () => {
    expect(diagnose([snag(7, { confidence: 0.5 })], STEADY, SPAN)).toMatchObject({ kind: 'interval' });
  });

  it('takes snags together across two good beats, and not across more', () => {
    // Eighths: from the end of the interval at 10 to the onset 15 are two beats, to 16 two and a half.
    expect(diagnose(snagsAt(10, 15), STEADY, SPAN)).toMatchObject({ kind: 'beats', first: 9, last: 17 });
    expect(diagnose(snagsAt(10, 16), STEADY, SPAN)).toMatchObject({ kind: 'interval' });
  });

  it('takes the first of two that weigh the same', () => {
    expect(diagnose(snagsAt(50, 10), STEADY, SPAN)).toMatchObject({ snag: { onset: 10 } });
    expect(diagnose(snagsAt(10, 13), STEADY, SPAN)).toMatchObject({ kind: 'beats', worst: { onset: 10 } });
    const heavy = snag(10, { weight: 0.9 });
    expect(diagnose([snag(13), heavy], STEADY, SPAN)).toMatchObject({ kind: 'beats', worst: heavy });
  });

  it('is a stretch of up to sixteen beats, and over sixteen the line', () => {
    const sixteen = snagsAt(5, 10, 15, 20, 25, 30, 35, 36);
    expect(diagnose(sixteen, STEADY, SPAN)).toMatchObject({ kind: 'beats', first: 5, last: 37 });
    const more = [...sixteen, snag(37)];
    expect(diagnose(more, STEADY, SPAN)).toMatchObject({ kind: 'line' });
    expect(diagnose([...more, snag(50)], STEADY, SPAN)).toMatchObject({ kind: 'line' });
  });

  it('is the whole line where there is trouble in four places and also in more than 35 % of the beats', () => {
    // 64 eighths are 32 beats.
    const four = snagsAt(1, 3, 5, 17, 19, 21, 33, 35, 37, 49, 51, 53);
    expect(diagnose(four, STEADY, SPAN)).toMatchObject({ kind: 'line' });
    expect(diagnose(four.slice(0, -1), STEADY, SPAN)).toMatchObject({ kind: 'beats' });
    const three = snagsAt(1, 3, 5, 7, 21, 23, 25, 27, 41, 43, 45, 47);
    expect(diagnose(three, STEADY, SPAN)).toMatchObject({ kind: 'beats' });
    // 7 of 20 beats are 35 of a hundred, not more.
    const twenty = { ...SPAN, last: 41 };
    expect(diagnose(snagsAt(1, 3, 11, 13, 21, 23, 31), STEADY, twenty)).toMatchObject({ kind: 'beats' });
  });

  it('goes out to beats no further than the span', () => {
    const inside = { ...SPAN, first: 2, last: 62 };
    expect(diagnose(snagsAt(2, 3), STEADY, inside)).toMatchObject({ first: 2, last: 5 });
    expect(diagnose(snagsAt(59, 61), STEADY, inside)).toMatchObject({ first: 59, last: 62 });
  });

  it('counts beats from the bar they are in, also after a bar cut short, and back from the end of a pickup', () => {
    // Sixteenths. The pickup is a beat and a quarter; the second bar is cut short by three quarters of a beat.
    const sixteenths = runInFour(64, 4);
    const beat = TICKS_PER_QUARTER;
    const starts = [0, 1.25, 5.25, 8.5, 12.5, 16.5].map((beats) => beats * beat);
    const bars = starts.slice(1).map((end, i) => ({
      ...sixteenths.passage.bars[0]!,
      number: i,
      startTick: starts[i]!,
      durationTicks: end - starts[i]!,
      pickup: i === 0,
    }));
    const span = { ...sixteenths, passage: { ...sixteenths.passage, bars } };
    const placed = (...onsets: readonly number[]) => diagnose(snagsAt(...onsets), STEADY, span);
    // The pickup's beats begin at onsets 2 and 6, where bar 1 begins.
    expect(placed(3, 4)).toMatchObject({ kind: 'beats', first: 2, last: 6 });
    // Bar 2 begins at onset 22, bar 3 at onset 35: their beats are every fourth onset from there.
    expect(placed(22, 24)).toMatchObject({ kind: 'beats', first: 22, last: 26 });
    expect(placed(27, 28)).toMatchObject({ kind: 'beats', first: 26, last: 30 });
    expect(placed(36, 37)).toMatchObject({ kind: 'beats', first: 35, last: 39 });
  });
});

describe('the diagnosis of rushing', () => {
  const rushed = (...onsets: readonly number[]) => onsets.map((onset) => snag(onset, { kind: 'rushed' }));
  // The intervals from onset 20 to onset 40.
  const takes = bentTakes(bends(19, 'S'.repeat(20)));
  const kindOf = (snags: readonly Snag[]) => diagnose(snags, takes, SPAN).kind;

  it('covers short intervals within the stretch only, from its first to its last', () => {
    expect(kindOf(rushed(20, 39))).toBe('rushing');
    expect(kindOf(rushed(25, 40))).toBe('interval');
    expect(kindOf(rushed(25, 19))).toBe('interval');
    expect(kindOf(rushed(5, 50))).toBe('interval');
  });

  it('is not told of a single short interval, also where there is other trouble', () => {
    expect(kindOf(rushed(25))).toBe('interval');
    expect(kindOf([...rushed(25), snag(35)])).toBe('interval');
  });

  it('is told from six intervals on', () => {
    expect(diagnose([], bentTakes(bends(19, 'SSSSSS')), SPAN)).toMatchObject({ first: 20, last: 26 });
    expect(diagnose([], bentTakes(bends(19, 'SSSSS')), SPAN)).toEqual({ kind: 'none' });
  });

  it('is no rushing when every other interval is even or long: that is unevenness', () => {
    expect(diagnose([], bentTakes(bends(19, 'SESESESESES')), SPAN)).toEqual({ kind: 'none' });
    expect(diagnose([], bentTakes(bends(19, 'SLSLSLSLSLS')), SPAN)).toEqual({ kind: 'none' });
  });

  it('is still rushing when one interval in four is even', () => {
    const difficulty = diagnose([], bentTakes(bends(19, 'SSSEESSS')), SPAN);
    expect(difficulty).toMatchObject({ kind: 'rushing', first: 20, last: 28 });
    expect(difficulty.kind === 'rushing' && difficulty.share).toBeCloseTo((6 * 0.15) / 8, 9);
    expect(diagnose([], bentTakes(bends(19, 'SSSEEESSSS')), SPAN)).toEqual({ kind: 'none' });
  });

  it('looks past wrong notes, whether in one take or in all of them', () => {
    const wrongAt = (index: number) => ({
      verdict: handVerdict({
        times: evenTimes(64, 300, bends(19, 'S'.repeat(20))).map((time, i) => (i === index ? 'wrong' : time)),
        expectedMs: 300,
      }),
    });
    for (const survey of [
      [wrongAt(24), takes[0]!],
      [wrongAt(24), wrongAt(24)],
    ]) {
      expect(diagnose([], survey, SPAN)).toMatchObject({ kind: 'rushing', first: 20, last: 40 });
    }
  });
});
