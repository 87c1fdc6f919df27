// Where players are apart, and who pulls the tempo. All worked by hand.

import { describe, expect, it } from 'vitest';
import { type PlayerOnsets, pulling, together } from '../../src/section/together.ts';

const BEAT = 500_000;

/** Onset k on tick k, so many milliseconds from its beat; undefined: not played. */
function player(name: string, ms: readonly (number | undefined)[]): PlayerOnsets {
  return {
    player: name,
    onsetMicrosByTick: new Map(
      ms.flatMap((one, k) => (one === undefined ? [] : [[k, k * BEAT + 1000 * one]])),
    ),
  };
}

const place = (tick: number) => tick * BEAT;

describe('moments and intervals', () => {
  it('are of the onsets that two or more have, a constant lead taken off', () => {
    // B is 20 ms late throughout, and another 30 on the third beat; alone on the fourth.
    const found = together([player('A', [0, 0, 0, undefined]), player('B', [20, 20, 50, 0])]);
    expect(found.moments.map(({ tick }) => tick)).toEqual([0, 1, 2]);
    // B is (20 + 20 + 50) / 3 = 30 ms behind A in the mean: 10 less than that on the first two, 20 more on the third.
    expect(
      found.moments.map(({ first, last, apartMicros }) => [first, last, Math.round(apartMicros / 1000)]),
    ).toEqual([
      ['B', 'A', 10],
      ['B', 'A', 10],
      ['A', 'B', 20],
    ]);
    expect(
      found.intervals.map(({ fromTick, toTick, micros }) => [fromTick, toTick, Math.abs(micros) / 1000]),
    ).toEqual([
      [0, 1, 0],
      [1, 2, 30],
    ]);
  });

  it('name who departs from the others', () => {
    const found = together([player('A', [0, 0, 0]), player('B', [0, 0, 0]), player('C', [0, 25, 25])]);
    expect(found.intervals[0]).toMatchObject({ player: 'C', micros: 25_000 });
  });
});

describe('who pulls the tempo', () => {
  const rushing = (by: number) => Array.from({ length: 9 }, (_, k) => -by * k);

  it('one who rushes alone departs from the others, and the section does not rush', () => {
    const found = pulling([player('A', rushing(8)), player('B', rushing(0)), player('C', rushing(0))], place);
    const sure = found.players.filter((one) => one.sure).map(({ player: name }) => name);
    // A against B and C; B and C each stand against the middle of A and the other, 4 ms an onset: also heard.
    expect(sure[0]).toBe('A');
    expect(found.players[0]!.microsInAll).toBeCloseTo(-64_000, 0);
    expect(found.all!.microsInAll).toBeCloseTo(0, 0);
  });

  it('all who rush together do not depart from each other', () => {
    const found = pulling([player('A', rushing(8)), player('B', rushing(8)), player('C', rushing(8))], place);
    expect(found.players.map(({ sure }) => sure)).toEqual([false, false, false]);
    expect(found.all).toMatchObject({ sure: true });
    expect(found.all!.microsInAll).toBeCloseTo(-64_000, 0);
  });

  it('less than what is heard, and what chance does, are nothing', () => {
    const found = pulling([player('A', rushing(2)), player('B', rushing(0)), player('C', rushing(0))], place);
    expect(found.players.some(({ sure }) => sure)).toBe(false);
    const chance = pulling(
      [player('A', [30, -30, 25, -35, 30, -40]), player('B', [0, 0, 0, 0, 0, 0])],
      place,
    );
    expect(chance.players.some(({ sure }) => sure)).toBe(false);
  });
});
