// Where a ladder was left, told from the record's takes.

import { describe, expect, it } from 'vitest';
import { type Ladder, startLadder } from '../../src/coaching/ladder.ts';
import { leftLadder } from '../../src/coaching/ladder-left.ts';
import type { Entry } from '../../src/record/entry.ts';
import { value } from '../drills/made.ts';
import { madeEntry } from '../record/made-entry.ts';

const asked: Ladder = value(startLadder({ startBpm: 60, goalBpm: 96, up: 1, by: 'round' }));

/** A take on a rung of it; a drill of one step, so that every clean take is a round. */
function take(rung: number, clean: boolean, more: Partial<Entry> = {}): Entry {
  const tempoBpm = Math.round(asked.rungs[rung]! * 10) / 10;
  return madeEntry(1, { tempoBpm, clean, ladder: { ...asked.plan, lastStep: true }, ...more });
}

describe('a ladder that was left', () => {
  it('goes on from the rung that the last take led to', () => {
    expect(leftLadder(asked, [take(3, true)]).rung).toBeGreaterThan(3);
    expect(leftLadder(asked, [take(3, false)]).rung).toBe(2);
    expect(leftLadder(asked, [])).toBe(asked);
  });

  it('stands where the last sitting left it, wherever earlier ones had come to', () => {
    const takes = [take(9, true), take(2, false, { sitting: 'tuesday' })];
    expect(leftLadder(asked, takes).rung).toBe(1);
  });

  it('is not gone on with where other rungs or rules are asked for', () => {
    const other = take(5, false, { ladder: { ...asked.plan, goalBpm: 100, lastStep: true } });
    expect(leftLadder(asked, [other])).toBe(asked);
    expect(leftLadder(asked, [take(5, false, { ladder: { ...asked.plan, up: 2 } })])).toBe(asked);
  });

  it('learns nothing from takes that do not count, are on no ladder or at a tempo of the player’s own', () => {
    expect(leftLadder(asked, [take(5, true, { counted: false })])).toBe(asked);
    const { ladder: _, ...bare } = take(5, true);
    expect(leftLadder(asked, [bare])).toBe(asked);
    expect(leftLadder(asked, [take(5, false, { tempoBpm: 61 })])).toBe(asked);
    expect(leftLadder(asked, [take(5, false, { tempoBpm: 61 }), take(4, false)]).rung).toBe(3);
  });

  it('starts its count anew, also where the goal had been held', () => {
    const top = asked.rungs.length - 1;
    expect(leftLadder(asked, [take(top, true)])).toMatchObject({ rung: top, done: false, cleanInRow: 0 });
  });
});
