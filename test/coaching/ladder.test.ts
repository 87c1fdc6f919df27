import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { climb, currentBpm, type Ladder, type LadderWishes, startLadder } from '../../src/coaching/ladder.ts';
import { problem, value } from '../drills/made.ts';
import { bpmOfChance, chanceOfClean, lots, type SuccessCurve } from './simulated-climber.ts';

describe('the tempo ladder', () => {
  it('goes from start to goal in equal ratios of 2 to 4 %', () => {
    fc.assert(
      fc.property(fc.integer({ min: 30, max: 120 }), fc.integer({ min: 10, max: 200 }), (startBpm, more) => {
        const { rungs } = start({ startBpm, goalBpm: startBpm + more });
        expect([rungs[0], rungs.at(-1)]).toEqual([startBpm, startBpm + more]);
        const ratios = rungs.slice(1).map((bpm, i) => bpm / rungs[i]!);
        for (const ratio of ratios) {
          expect(ratio).toBeCloseTo(ratios[0]!, 9);
          expect(ratio).toBeLessThanOrEqual(1.04 + 1e-9);
          expect(ratio).toBeGreaterThanOrEqual(1.015);
        }
      }),
    );
  });

  it('with wide steps is cut finer before the goal', () => {
    const { rungs } = start({ startBpm: 60, goalBpm: 120, stepShare: 0.2 });
    const ratios = rungs.slice(1).map((bpm, i) => bpm / rungs[i]!);
    expect(ratios.slice(0, 3).every((ratio) => ratio > 1.15 && ratio <= 1.2)).toBe(true);
    expect(ratios.slice(-4).every((ratio) => ratio >= 1.02 && ratio <= 1.04)).toBe(true);
    expect(rungs.at(-1)).toBe(120);
  });

  it('has as many rungs as are asked for', () => {
    expect(start({ startBpm: 60, goalBpm: 120, rungCount: 2 }).rungs).toEqual([60, 120]);
    const { rungs } = start({ startBpm: 50, goalBpm: 200, rungCount: 3 });
    expect(rungs[1]).toBeCloseTo(100, 9);
  });

  it('climbs after so many clean takes in a row and comes down after a miss', () => {
    const ladder = start({ startBpm: 60, goalBpm: 90, up: 3 });
    expect(path(ladder, 'ccc')).toEqual([0, 0, 1]);
    expect(path(ladder, 'ccmccc')).toEqual([0, 0, 0, 0, 0, 1]);
    expect(path(ladder, 'cccccccccmm')).toEqual([0, 0, 1, 1, 1, 2, 2, 2, 3, 2, 1]);
  });

  it('comes down only after as many misses as are asked for', () => {
    const ladder = start({ startBpm: 60, goalBpm: 90, up: 2, down: 2 });
    expect(path(ladder, 'ccmm')).toEqual([0, 1, 1, 0]);
    expect(path(ladder, 'ccmcm')).toEqual([0, 1, 1, 1, 0]);
    expect(path(ladder, 'ccmccm')).toEqual([0, 1, 1, 1, 2, 2]);
  });

  it('does not fall off its first rung', () => {
    expect(path(start({ startBpm: 60, goalBpm: 90 }), 'mmm')).toEqual([0, 0, 0]);
  });

  it('is done when the goal is held, not when it is reached, and then stays', () => {
    const ladder = start({ startBpm: 88, goalBpm: 90, up: 2 });
    const reached = takes(ladder, 'cc');
    expect([currentBpm(reached), reached.done]).toEqual([90, false]);
    expect(takes(reached, 'cm').done).toBe(false);
    const held = takes(reached, 'cc');
    expect(held.done).toBe(true);
    expect(climb(held, false)).toBe(held);
    expect(takes(start({ startBpm: 90, goalBpm: 90 }), 'cc').done).toBe(true);
  });

  it('lets a confident player jump until the first miss', () => {
    const ladder = start({ startBpm: 60, goalBpm: 120, up: 1, jump: true });
    expect(path(ladder, 'cccc')).toEqual([1, 3, 7, 11]);
    expect(path(ladder, 'ccmcc')).toEqual([1, 3, 2, 3, 4]);
    expect(path(ladder, 'cccccccc').at(-1)).toBe(ladder.rungs.length - 1);
  });

  it('alternates with the goal tempo, whose takes move nothing', () => {
    const ladder = start({ startBpm: 60, goalBpm: 120, up: 2, alternate: true });
    const tempi = [ladder];
    for (const mark of 'cmcmcmcm') tempi.push(takes(tempi.at(-1)!, mark));
    const rung1 = ladder.rungs[1]!;
    const rung2 = ladder.rungs[2]!;
    expect(tempi.map(currentBpm)).toEqual([60, 120, 60, 120, rung1, 120, rung1, 120, rung2]);
  });

  it('alternating is done when the looks at the goal are clean in a row', () => {
    const ladder = start({ startBpm: 60, goalBpm: 120, up: 2, alternate: true });
    const held = takes(ladder, 'ccmc');
    expect(held.done).toBe(true);
    expect(currentBpm(held)).toBe(120);
    expect(takes(ladder, 'ccmmmc').done).toBe(false);
  });

  it('alternating has no more looks to take once it stands at the goal', () => {
    const ladder = start({ startBpm: 88, goalBpm: 90, up: 2, alternate: true });
    const reached = takes(ladder, 'cmc');
    expect(currentBpm(reached)).toBe(90);
    expect(takes(reached, 'cc').done).toBe(true);
    expect(takes(start({ startBpm: 90, goalBpm: 90, up: 3, alternate: true }), 'ccc').done).toBe(true);
  });

  it('never leaves its rungs, whatever happens, and forgets nothing on a trip through text', () => {
    const wishes = fc.record({
      startBpm: fc.integer({ min: 10, max: 200 }),
      goalBpm: fc.integer({ min: 200, max: 400 }),
      up: fc.integer({ min: 1, max: 5 }),
      down: fc.integer({ min: 1, max: 3 }),
      jump: fc.boolean(),
      alternate: fc.boolean(),
    });
    fc.assert(
      fc.property(wishes, fc.array(fc.boolean(), { maxLength: 200 }), (wish, results) => {
        let ladder = start(wish);
        for (const clean of results) {
          const next = climb(ladder, clean);
          expect(climb(JSON.parse(JSON.stringify(ladder)) as Ladder, clean)).toEqual(next);
          ladder = next;
          expect(currentBpm(ladder)).toBeGreaterThanOrEqual(wish.startBpm);
          expect(currentBpm(ladder)).toBeLessThanOrEqual(wish.goalBpm);
        }
      }),
    );
  });

  it.each([
    [
      { startBpm: 100, goalBpm: 80 },
      'ladder.goal-below-start',
      'Cannot set up the ladder: the goal 80 is below the start 100',
    ],
    [{ startBpm: 0, goalBpm: 80 }, 'ladder.tempo', 'Cannot set up the ladder: a start of 0 is no tempo'],
    [{ startBpm: 60, goalBpm: 9999 }, 'ladder.tempo', 'Cannot set up the ladder: a goal of 9999 is no tempo'],
    [
      { startBpm: Number.NaN, goalBpm: 80 },
      'ladder.tempo',
      'Cannot set up the ladder: a start of NaN is no tempo',
    ],
    [
      { startBpm: 60, goalBpm: 80, up: 0 },
      'ladder.up',
      'Cannot set up the ladder: 0 takes for a rung up cannot be counted',
    ],
    [
      { startBpm: 60, goalBpm: 80, down: 0.5 },
      'ladder.down',
      'Cannot set up the ladder: 0.5 takes for a rung down cannot be counted',
    ],
    [
      { startBpm: 60, goalBpm: 80, stepShare: 0 },
      'ladder.step',
      'Cannot set up the ladder: a rung of 0 is no step',
    ],
    [
      { startBpm: 60, goalBpm: 80, rungCount: 1 },
      'ladder.rungs',
      'Cannot set up the ladder: 1 rungs cannot be made',
    ],
  ])('refuses %o', (wishes, code, message) => {
    const refusal = problem(startLadder(wishes));
    expect(refusal).toMatchObject({ code, message, exitStatus: 2 });
    expect(refusal.hint).toBeTruthy();
  });
});

describe('the tempo ladder as a transformed up-down staircase', () => {
  // Levitt 1971, JASA 49:467, table I: 1 up after 2 settles at 70.7 %, after 3 at 79.4 % (p^n = 1/2).
  const curve: SuccessCurve = { halfBpm: 120, width: 0.12 };
  const SEEDS = 60;
  const TAKES = 600;

  it.each([
    [2, 70.7, 'plain'],
    [3, 79.4, 'plain'],
    [2, 70.7, 'jumping'],
    [3, 79.4, 'jumping'],
  ])('up after %i clean takes settles where %f %% of the takes are clean (%s)', (up, percent, manner) => {
    const share = percent / 100;
    const settled = Array.from({ length: SEEDS }, (_, seed) =>
      settlingLogBpm(start({ startBpm: 60, goalBpm: 400, up, jump: manner === 'jumping' }), seed),
    );
    const mean = settled.reduce((sum, x) => sum + x, 0) / SEEDS;
    const variance = settled.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (SEEDS - 1);
    const standardError = Math.sqrt(variance / SEEDS);
    const truth = Math.log(bpmOfChance(curve, share));
    // Four standard errors of what so many takes allow, and a tenth of a rung for the coarseness of the rungs.
    expect(Math.abs(mean - truth)).toBeLessThan(4 * standardError + 0.003);
    expect(standardError).toBeLessThan(0.003);
    expect(chanceOfClean(curve, Math.exp(mean))).toBeGreaterThan(share - 0.015);
    expect(chanceOfClean(curve, Math.exp(mean))).toBeLessThan(share + 0.015);
  });

  /** Levitt's estimate: the mean of the midpoints between the turns up and the turns down, the first ones left out. */
  function settlingLogBpm(ladder: Ladder, seed: number): number {
    const lot = lots(seed);
    const turns: number[] = [];
    let direction = 0;
    let stand = ladder;
    for (let take = 0; take < TAKES; take++) {
      const next = climb(stand, lot() < chanceOfClean(curve, currentBpm(stand)));
      const move = Math.sign(next.rung - stand.rung);
      if (move !== 0) {
        if (direction !== 0 && move !== direction) turns.push(Math.log(stand.rungs[stand.rung]!));
        direction = move;
      }
      stand = next;
    }
    const kept = turns.slice(6, 6 + 2 * Math.floor((turns.length - 6) / 2));
    return kept.reduce((sum, x) => sum + x, 0) / kept.length;
  }
});

// Helpers

function start(wishes: LadderWishes): Ladder {
  return value(startLadder(wishes));
}

/** "cmc": clean, missed, clean. */
function takes(ladder: Ladder, marks: string): Ladder {
  return [...marks].reduce((stand, mark) => climb(stand, mark === 'c'), ladder);
}

/** The rung stood on after each take. */
function path(ladder: Ladder, marks: string): number[] {
  return [...marks].map((_, i) => takes(ladder, marks.slice(0, i + 1)).rung);
}
