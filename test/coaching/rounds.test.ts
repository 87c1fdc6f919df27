// The ladder for a drill as a whole.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { climb, currentBpm, type Ladder, type LadderWishes, startLadder } from '../../src/coaching/ladder.ts';
import { climbAfter, ladderAfter, onOtherStep } from '../../src/coaching/rounds.ts';
import { need } from '../../src/commands/usage-problem.ts';

describe('a ladder by rounds', () => {
  it('goes on step by step, and up a rung only when the last step is passed', () => {
    const start = rounds();
    const first = climbAfter(start, { clean: true, lastStep: false });
    expect(first.next).toBe('next-step');
    expect(first.ladder.rung).toBe(0);
    const last = climbAfter(first.ladder, { clean: true, lastStep: true });
    expect(last.next).toBe('next-round');
    expect(last.ladder.rung).toBeGreaterThan(0);
  });

  it('takes long strides far from the goal while nothing is missed, and single rungs near it', () => {
    // 60 to 96 in rungs of 3 %: sixteen steps up. Half of what is left, four at most.
    expect(rungsOf(rounds(), () => true)).toEqual([0, 4, 8, 12, 14, 15, 16]);
    expect(rounds().rungs).toHaveLength(17);
  });

  it('takes one rung after a round in which something was missed, and long strides again after a clean one', () => {
    const missed = climbAfter(rounds(), { clean: false, lastStep: true }).ladder;
    const up = climbAfter(missed, { clean: true, lastStep: true }).ladder;
    expect(up.rung).toBe(1);
    expect(climbAfter(up, { clean: true, lastStep: true }).ladder.rung).toBe(5);
  });

  it('goes down a rung after so many misses on a step, and on from there', () => {
    const high = { ...rounds({ down: 3 }), rung: 5 };
    const miss = (ladder: Ladder) => climbAfter(ladder, { clean: false, lastStep: false });
    const twice = miss(miss(high).ladder);
    expect(twice.ladder.rung).toBe(5);
    const thrice = miss(twice.ladder);
    expect(thrice).toMatchObject({ next: 'again', ladder: { rung: 4, misses: 0 } });
    expect(climbAfter(thrice.ladder, { clean: true, lastStep: false }).next).toBe('next-step');
  });

  it('counts misses on one step only, and from the last clean take', () => {
    const high = { ...rounds({ down: 2, up: 2 }), rung: 5 };
    const take = (ladder: Ladder, clean: boolean) => climbAfter(ladder, { clean, lastStep: false }).ladder;
    expect(take(take(take(high, false), true), false).rung).toBe(5);
    expect(take(onOtherStep(take(high, false)), false).rung).toBe(5);
    expect(take(take(high, false), false).rung).toBe(4);
  });

  it('stays on the lowest rung, however much is missed', () => {
    let ladder = rounds({ down: 1 });
    for (let i = 0; i < 5; i++) ladder = climbAfter(ladder, { clean: false, lastStep: true }).ladder;
    expect(ladder.rung).toBe(0);
  });

  it('wants so many clean takes in a row of a step as were asked for', () => {
    const start = rounds({ up: 2 });
    const one = climbAfter(start, { clean: true, lastStep: false });
    expect(one.next).toBe('again');
    const slipped = climbAfter(one.ladder, { clean: false, lastStep: false });
    expect(climbAfter(slipped.ladder, { clean: true, lastStep: false }).next).toBe('again');
    expect(climbAfter(one.ladder, { clean: true, lastStep: false }).next).toBe('next-step');
  });

  it('is done when the last step is passed on the top rung, and stays so', () => {
    const top = { ...rounds(), rung: 16 };
    expect(climbAfter(top, { clean: true, lastStep: false }).next).toBe('next-step');
    const done = climbAfter(top, { clean: true, lastStep: true });
    expect(done).toMatchObject({ next: 'done', ladder: { done: true, rung: 16 } });
    expect(climbAfter(done.ladder, { clean: false, lastStep: true })).toEqual(done);
  });

  it('alternates with looks at the goal, which move nothing and are not needed on top', () => {
    const start = rounds({ alternate: true });
    const clean = climbAfter(start, { clean: true, lastStep: false });
    expect(clean).toMatchObject({ next: 'again', ladder: { turn: 'goal', rung: 0 } });
    expect(currentBpm(clean.ladder)).toBe(96);
    for (const look of [true, false]) {
      const after = climbAfter(clean.ladder, { clean: look, lastStep: false });
      expect(after).toMatchObject({ next: 'next-step', ladder: { turn: 'rung', rung: 0, cleanInRow: 0 } });
    }
    const top = climbAfter({ ...start, rung: 16 }, { clean: true, lastStep: true });
    expect(top.next).toBe('done');
    expect(onOtherStep(clean.ladder)).toMatchObject({ turn: 'rung', cleanInRow: 0, rung: 0 });
  });

  it('brings a perfect player over fifteen steps in about a hundred takes, not five hundred', () => {
    let takes = 0;
    let { ladder, next }: ReturnType<typeof climbAfter> = { ladder: rounds(), next: 'again' };
    for (let step = 0; next !== 'done'; step = next === 'next-round' ? 0 : step + 1) {
      ({ ladder, next } = climbAfter(ladder, { clean: true, lastStep: step === 14 }));
      takes++;
    }
    expect(takes).toBe(15 * 7);
  });

  it('is a fold over the takes that were kept; slower ones of the player’s own count for nothing', () => {
    const take = fc.record({ clean: fc.boolean(), lastStep: fc.boolean(), own: fc.boolean() });
    fc.assert(
      fc.property(fc.array(take), fc.boolean(), (takes, alternate) => {
        let live = rounds({ alternate });
        const kept = takes.map(({ clean, lastStep, own }) => {
          const bpm = Math.round(10 * currentBpm(live) * (own ? 0.96 : 1)) / 10;
          if (!own) live = climbAfter(live, { clean, lastStep }).ladder;
          return { clean, lastStep, bpm };
        });
        expect(ladderAfter(rounds({ alternate }), kept)).toEqual(live);
      }),
    );
  });
});

describe('a ladder for each step', () => {
  it('is the staircase, and knows no steps of others', () => {
    fc.assert(
      fc.property(fc.array(fc.boolean()), (takes) => {
        let ladder = ladderOf({ by: 'step', up: 2 });
        for (const clean of takes) {
          const after = climbAfter(ladder, { clean, lastStep: false });
          expect(after.ladder).toEqual(climb(ladder, clean));
          expect(after.next).toBe(after.ladder.done ? 'done' : 'again');
          ladder = after.ladder;
        }
        expect(onOtherStep(ladder)).toBe(ladder);
      }),
    );
  });
});

// Helpers

function ladderOf(wishes: Partial<LadderWishes>): Ladder {
  return need(startLadder({ startBpm: 60, goalBpm: 96, ...wishes }));
}

function rounds(wishes: Partial<LadderWishes> = {}): Ladder {
  return ladderOf({ by: 'round', up: 1, down: 3, ...wishes });
}

/** The rungs stood on, round by round, until it is done. */
function rungsOf(start: Ladder, isClean: (rung: number) => boolean): number[] {
  const stood = [start.rung];
  for (let ladder = start; ; ) {
    const after = climbAfter(ladder, { clean: isClean(ladder.rung), lastStep: true });
    if (after.next === 'done') return stood;
    if (after.ladder.rung !== ladder.rung) stood.push(after.ladder.rung);
    ladder = after.ladder;
  }
}
