// When a tick is. Worked out by hand: at 60 a minute a quarter (10,080 ticks) lasts a second.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { microsToTicks, ticksToMicros } from '../../src/music/tempo.ts';
import {
  bpmAt,
  microsAt,
  microsBetween,
  pacesOf,
  type Timing,
  tempoAt,
  tickAt,
} from '../../src/music/timing.ts';
import { line } from '../drills/line.ts';

const Q = 10_080;
const SECOND = 1_000_000;
const SIXTY = { bpm: 60, beatTicks: Q };

/** A beat at the tempo asked, then twice as fast for two beats, then half as fast. */
const bent: Timing = {
  tempo: SIXTY,
  paces: [
    { fromTick: 0, ratio: 1 },
    { fromTick: Q, ratio: 2 },
    { fromTick: 3 * Q, ratio: 0.5 },
  ],
};

describe('the time of a tick', () => {
  it('follows every change of tempo', () => {
    const seconds = [0, 0.5, 1, 1.25, 1.5, 2, 3, 4];
    const beats = [0, 0.5, 1, 1.5, 2, 3, 3.5, 4];
    expect(beats.map((beat) => microsAt(bent, beat * Q) / SECOND)).toEqual(seconds);
    expect(microsBetween(bent, Q / 2, 3.5 * Q)).toBe(2.5 * SECOND);
    expect(microsBetween(bent, 3.5 * Q, Q / 2)).toBe(-2.5 * SECOND);
  });

  it('before the first change goes as fast as after it: a lead-in counts the tempo that is entered', () => {
    const entered: Timing = { tempo: SIXTY, paces: [{ fromTick: 4 * Q, ratio: 2 }] };
    expect(microsBetween(entered, 0, 4 * Q)).toBe(2 * SECOND);
    expect(microsAt(entered, 5 * Q)).toBe(2.5 * SECOND);
  });

  it('keeps the proportion at any tempo asked', () => {
    expect(microsAt({ ...bent, tempo: { bpm: 30, beatTicks: Q } }, 4 * Q)).toBe(8 * SECOND);
  });

  it('is the plain one where the music does not change its tempo', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e6, max: 1e6 }), fc.integer({ min: 10, max: 400 }), (tick, bpm) => {
        const tempo = { bpm, beatTicks: Q };
        expect(microsAt({ tempo }, tick)).toBe(ticksToMicros(tick, tempo));
        expect(tickAt({ tempo }, tick)).toBe(microsToTicks(tick, tempo));
        expect(
          Math.abs(microsAt({ tempo, paces: [{ fromTick: Q, ratio: 1 }] }, tick) - microsAt({ tempo }, tick)),
        ).toBeLessThanOrEqual(1);
      }),
    );
  });

  it('is found again from the time', () => {
    fc.assert(
      fc.property(fc.integer({ min: -3 * Q, max: 9 * Q }), (tick) => {
        expect(Math.abs(tickAt(bent, microsAt(bent, tick)) - tick)).toBeLessThanOrEqual(1);
      }),
    );
  });

  it('has its own number of beats a minute', () => {
    expect([-Q, 0, Q, 2.9 * Q, 3 * Q].map((tick) => bpmAt(bent, tick))).toEqual([60, 60, 120, 120, 30]);
    expect(bpmAt({ tempo: SIXTY }, 5)).toBe(60);
  });
});

describe('how a passage departs from the tempo asked', () => {
  const tempo = (bpm: number, beatTicks = Q) => ({ bpm, beatTicks });
  const passage = {
    ...line('C4 D4 E4 F4 G4 A4 B4 C5', { unitTicks: Q }),
    tempo: tempo(90),
    tempoChanges: [
      { tick: 2 * Q, tempo: tempo(60) },
      // A dotted quarter of 60 is a quarter of 90.
      { tick: 5 * Q, tempo: tempo(60, 1.5 * Q) },
    ],
  };
  const paces = (askedTick: number, fromTick: number, toTick: number) =>
    pacesOf(passage, { askedTick, fromTick, toTick });

  it('is told in proportion to the place where the tempo is asked', () => {
    expect(paces(0, 0, 7 * Q)).toEqual([
      { fromTick: 0, ratio: 1 },
      { fromTick: 2 * Q, ratio: expect.closeTo(2 / 3, 12) },
      { fromTick: 5 * Q, ratio: 1 },
    ]);
    expect(paces(3 * Q, 2 * Q, 4 * Q)).toBeUndefined();
    expect(paces(3 * Q, 0, 4 * Q)).toEqual([
      { fromTick: 0, ratio: 1.5 },
      { fromTick: 2 * Q, ratio: 1 },
    ]);
  });

  it('holds on at the stop: what changes after it is not played', () => {
    expect(paces(0, 0, 1.9 * Q)).toBeUndefined();
    expect(paces(0, 0, 2 * Q)).toHaveLength(2);
  });

  it('is nothing where the music keeps its tempo', () => {
    expect(
      pacesOf({ ...passage, tempoChanges: [] }, { askedTick: 0, fromTick: 0, toTick: 7 * Q }),
    ).toBeUndefined();
  });

  it('waits on a fermata as long again as its note, but not on the last note, which is held anyway', () => {
    const onsets = passage.onsets.map((onset, i) =>
      i === 3 || i === 7
        ? { ...onset, notes: onset.notes.map((note) => ({ ...note, articulations: ['fermata' as const] })) }
        : onset,
    );
    const waiting = { ...passage, tempoChanges: [], onsets };
    const told = pacesOf(waiting, { askedTick: 0, fromTick: 0, toTick: 7 * Q });
    expect(told).toEqual([
      { fromTick: 0, ratio: 1 },
      { fromTick: 3 * Q, ratio: 0.5 },
      { fromTick: 4 * Q, ratio: 1 },
    ]);
    expect(microsBetween({ tempo: tempo(60), ...(told ? { paces: told } : {}) }, 0, 7 * Q)).toBe(8 * SECOND);
  });

  it('knows the tempo that is written where a tick is', () => {
    expect([-1, 0, 2 * Q - 1, 2 * Q, 6 * Q].map((tick) => tempoAt(passage, tick).bpm)).toEqual([
      90, 90, 90, 60, 60,
    ]);
  });
});
