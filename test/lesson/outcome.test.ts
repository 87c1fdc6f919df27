// What became of an assignment, on takes that are written down here: nothing of it is worked out by the code under test.

import { describe, expect, it } from 'vitest';
import type { Assignment } from '../../src/lesson/lesson.ts';
import { isOver, outcomeOf } from '../../src/lesson/outcome.ts';
import { wholeSpan } from '../../src/music/span.ts';
import type { EntrySummary } from '../../src/record/entry.ts';
import { line } from '../drills/line.ts';
import { madeEntry } from '../record/made-entry.ts';

const span = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5'));
const fingerprint = '0123456789abcdef0123456789abcdef';
const steps = ['one', 'two', 'three'].map((name) => ({ drill: 'landings', name }));
const assignment: Assignment = {
  passage: fingerprint,
  drill: 'landings',
  tempo: 60,
  goal: 72,
  tolerance: 'steady',
};

function take(stepName: string, more: Partial<EntrySummary> = {}): EntrySummary {
  return madeEntry(1, { stepName, fingerprint, tempoBpm: 72, onward: true, clean: true, ...more });
}

const outcome = (...takes: EntrySummary[]) => outcomeOf({ assignment, span, steps }, takes);

describe('an assignment', () => {
  it('is not begun without a take of its steps', () => {
    expect(outcome().state).toBe('not-begun');
    const others = [
      take('one', { fingerprint: 'f'.repeat(32) }),
      take('one', { first: 2 }),
      take('one', { drill: 'chain' }),
      take('four'),
    ];
    expect(outcome(...others)).toMatchObject({ state: 'not-begun', takes: 0, passed: 0, steps: 3 });
  });

  it('is done when each step was passed, clean, at its goal', () => {
    const done = outcome(
      take('one', { date: '2026-11-24T19:00:00.000+01:00' }),
      take('three', { date: '2026-11-26T19:00:00.000+01:00' }),
      take('two', { date: '2026-11-25T19:00:00.000+01:00' }),
    );
    expect(done).toMatchObject({ state: 'done', passed: 3, skipped: [], doneDay: '2026-11-26' });
    expect(isOver(done)).toBe(true);
  });

  it.each([
    ['slower than the goal', { tempoBpm: 70 }],
    ['not clean by today\u2019s judge', { clean: false }],
    ['clean, and the gate still closed', { onward: false }],
  ])('is under way where a step was played %s', (_, more) => {
    const found = outcome(take('one'), take('two'), take('three', more));
    expect(found).toMatchObject({ state: 'under-way', passed: 2 });
    expect(isOver(found)).toBe(false);
  });

  it('is over, and not done, where steps were skipped; a skipped step that was passed later is passed', () => {
    const skip = (name: string) => take(name, { end: 'skipped', clean: false, onward: false });
    const over = outcome(skip('one'), take('one'), take('two'), skip('three'));
    expect(over).toMatchObject({
      state: 'skipped-some',
      passed: 2,
      skipped: [{ drill: 'landings', name: 'three' }],
      takes: 2,
    });
    expect(isOver(over)).toBe(true);
    expect(outcome(skip('one')).state).toBe('under-way');
  });

  it('counts clean takes among the complete ones, and names the intervals that went wrong', () => {
    const wrong = {
      onward: false,
      clean: false,
      verdict: { clean: false, slips: [{ kind: 'wrong', onset: 2 } as const], intervals: [], pace: 1 },
    };
    const found = outcome(take('one'), take('one', wrong), take('one', { ...wrong, end: 'slipped' }));
    expect(found).toMatchObject({ takes: 3, cleanShare: 1 / 2 });
    expect(found.intervals).toMatchObject([{ from: 1, takes: 3, troubledShare: 2 / 3 }]);
  });
});
