import { describe, expect, it } from 'vitest';
import { climb, currentBpm, startLadder } from '../../src/coaching/ladder.ts';
import { ladderKey, recallLadder, rememberLadder } from '../../src/coaching/ladder-memory.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { line } from '../drills/line.ts';
import { problem, value } from '../drills/made.ts';

const ladder = [true, true, true, true, true].reduce(
  climb,
  value(startLadder({ startBpm: 60, goalBpm: 90, jump: true })),
);

describe('a remembered ladder', () => {
  it('stands on the rung where it was left, after a trip through text', () => {
    const recalled = value(recallLadder(JSON.parse(JSON.stringify(rememberLadder(ladder)))));
    expect(currentBpm(recalled)).toBe(currentBpm(ladder));
    expect(recalled.plan).toEqual(ladder.plan);
  });

  it('counts its clean takes anew and does not jump again', () => {
    const recalled = value(recallLadder(rememberLadder(ladder)));
    expect(ladder.cleanInRow).toBe(1);
    expect([recalled.cleanInRow, recalled.jumping]).toEqual([0, false]);
  });

  it('is kept for each span and drill apart', () => {
    const passage = line('C4 D4 E4 F4');
    const keys = [
      ladderKey(wholeSpan(passage), 'through'),
      ladderKey(wholeSpan(passage), 'landings'),
      ladderKey({ passage, first: 1, last: 3 }, 'through'),
      ladderKey(wholeSpan({ ...passage, name: 'other' }), 'through'),
    ];
    expect(new Set(keys).size).toBe(4);
    expect(ladderKey(wholeSpan(line('C4 D4 E4 F4')), 'through')).toBe(keys[0]);
  });

  it.each([
    null,
    'text',
    42,
    [],
    {},
    { ...rememberLadder(ladder), format: 2 },
    { ...rememberLadder(ladder), rung: -1 },
    { ...rememberLadder(ladder), rung: 999 },
    { ...rememberLadder(ladder), rung: '3' },
    { ...rememberLadder(ladder), done: 'yes' },
    { ...rememberLadder(ladder), plan: {} },
    { ...rememberLadder(ladder), plan: null },
    { ...rememberLadder(ladder), plan: { ...ladder.plan, goalBpm: 10 } },
  ])('is refused when it is not one: %o', (kept) => {
    expect(problem(recallLadder(kept))).toMatchObject({ code: 'ladder.memory', exitStatus: 5 });
  });
});
