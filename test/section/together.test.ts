// Where players are apart, and who pulls the tempo. All worked by hand.

import { describe, expect, it } from 'vitest';
import type { PlayerOnsets } from '../../src/section/player-onsets.ts';
import { pulling, together } from '../../src/section/together.ts';
import { Random } from '../../src/simulation/random.ts';

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

describe('a constant lead of one who rests for a while', () => {
  // A and B are exact throughout; C is 150 ms late of all that is theirs, the second half.
  const exact = Array.from({ length: 8 }, () => 0);
  const late = exact.map((_, k) => (k < 4 ? undefined : 150));
  const players = [player('A', exact), player('B', exact), player('C', late)];

  it('makes nobody else uneven, and no moment of the music apart', () => {
    const found = together(players);
    expect(found.moments).toHaveLength(8);
    for (const { apartMicros } of found.moments) expect(apartMicros).toBeCloseTo(0, 3);
    for (const { spreadMicros } of found.players) expect(spreadMicros).toBeCloseTo(0, 3);
  });

  it('is told, against the middle of the others', () => {
    const leads = together(players).players.map(({ leadMicros }) => Math.round(leadMicros! / 1000));
    expect(leads).toEqual([-75, -75, 150]);
  });

  it('is no pulling, neither of the others nor of all', () => {
    const found = pulling(players, place);
    expect(found.players.filter(({ sure }) => sure)).toEqual([]);
    const duet = pulling([players[0]!, players[2]!], place);
    expect(duet.all!.microsInAll).toBeCloseTo(0, 3);
  });

  it('is found over players who never meet each other', () => {
    // A meets B, B meets C; A and C share no onset. B is 20 ms behind A, C 30 ms behind B.
    const chain = together([
      player('A', [0, 0, undefined, undefined]),
      player('B', [20, 20, 20, 20]),
      player('C', [undefined, undefined, 50, 50]),
    ]);
    expect(chain.players.map(({ leadMicros }) => Math.round(leadMicros! / 1000))).toEqual([-20, -5, 30]);
    for (const { apartMicros } of chain.moments) expect(apartMicros).toBeCloseTo(0, 3);
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

describe('what chance does', () => {
  /** Who is said to lead, and who to pull, in so many takes of players who only stray, by 12 ms. */
  function said(
    players: number,
    onsets: number,
    { takes = 100, spoilt = (_: number, ms: number) => ms } = {},
  ) {
    const random = new Random(7);
    const names = { lead: 0, pull: 0 };
    for (let take = 0; take < takes; take += 1) {
      const all = Array.from({ length: players }, (_, i) =>
        player(
          `P${i}`,
          Array.from({ length: onsets }, (_, k) => {
            const ms = random.normal(0, 12);
            return i === 0 ? spoilt(k / (onsets - 1), ms) : ms;
          }),
        ),
      );
      names.lead += Number(together(all).players.some(({ leads }) => leads));
      names.pull += Number(pulling(all, place).players.some(({ sure }) => sure));
    }
    return names;
  }

  // 1 in 370 for pulling; for leads 1 in 22 at most: of many onsets a mean of 15 ms does not come of chance at all.
  it.each([
    [3, 4],
    [8, 5],
    [16, 4],
    [16, 12],
  ])('is seldom taken for a lead or a pull: %d players, %d onsets', (players, onsets) => {
    const { lead, pull } = said(players, onsets);
    expect(pull).toBeLessThanOrEqual(2);
    expect(lead).toBeLessThanOrEqual(8);
  });

  it('does not hide a lead of 40 ms, nor a pull of 100', () => {
    expect(said(8, 12, { spoilt: (_, ms) => ms + 40 }).lead).toBeGreaterThan(95);
    expect(said(8, 12, { spoilt: (share, ms) => ms - 100 * share }).pull).toBeGreaterThan(95);
  });
});
