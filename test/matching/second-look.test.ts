// When a note that the first look left out was due: between its neighbours, or by the pace of those next to it.

import { describe, expect, it } from 'vitest';
import { emptyAccount } from '../../src/matching/account.ts';
import { lookAgain } from '../../src/matching/second-look.ts';
import { timetableOf } from '../../src/matching/timetable.ts';
import { trailOf } from '../../src/matching/trail.ts';
import { line, take } from './takes.ts';

/** Eight equal notes of one pitch, half as slow again as asked. */
const PITCH = 60;
const written = line(Array<number>(8).fill(PITCH));
const STEP_MS = 375;

/** The fills after a second look, where the first look left out some onsets and one more note came at a time. */
function lookedAt(leftOut: readonly number[], moreMs: number, early: Readonly<Record<number, number>> = {}) {
  const own = Array.from({ length: 8 }, (_, i) => STEP_MS * i - (early[i] ?? 0));
  const times = [...own, moreMs].sort((a, b) => a - b);
  const played = take(times.map((ms) => [ms, PITCH]));
  const numbers = own.map((ms) => times.indexOf(ms));
  const fills = numbers.map((number, i) => (leftOut.includes(i) ? -1 : number));
  const rest = times.flatMap((_, i) =>
    fills.includes(i) ? [] : [{ played: i, kind: 'extra' as const, before: 0 }],
  );
  const timetable = timetableOf(written);
  const account = { ...emptyAccount(timetable), fills, extras: trailOf(rest), cursor: 7 };
  return { fills: lookAgain(account, played, timetable).fills, own: numbers };
}

describe('a note that the first look left out', () => {
  it('is the one that came when it was due, at the beginning, inside and at the end', () => {
    for (const onset of [0, 1, 3, 6, 7]) {
      for (const way of [-1, 1]) {
        const { fills, own } = lookedAt([onset], STEP_MS * onset + (way * STEP_MS) / 2);
        expect([onset, way, fills]).toEqual([onset, way, own]);
      }
    }
  });

  it('two of which are left out at either end is told by a pace over as long a time, not by one hasty interval', () => {
    const first = lookedAt([0, 1], STEP_MS / 2, { 3: 100 });
    expect(first.fills).toEqual(first.own);
    const last = lookedAt([6, 7], STEP_MS * 6.5, { 4: -100 });
    expect(last.fills).toEqual(last.own);
  });
});
