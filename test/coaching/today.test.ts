import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planToday, type Task, type Work } from '../../src/coaching/today.ts';

const task = (drill: string): Task => ({
  drill,
  first: 1,
  last: 8,
  tempoBpm: 60,
  why: { kind: 'check' },
});
const work = (passage: string, more: Partial<Work> = {}): Work => ({
  id: passage,
  passage,
  selection: {},
  dueDay: 10,
  cleanShare: 0.6,
  tasks: [task('landings'), task('through')],
  ...more,
});

const order = (slices: ReturnType<typeof planToday>) =>
  slices.map((slice) => (slice.kind === 'rest' ? 'rest' : `${slice.work.passage} ${slice.task.drill}`));

describe("today's plan", () => {
  it('goes round between what is due, three minutes each, the least clean first', () => {
    const works = [work('reel', { cleanShare: 0.9 }), work('ebb', { cleanShare: 0.3 })];
    expect(order(planToday(works, 10, 12))).toEqual([
      'ebb landings',
      'reel landings',
      'ebb through',
      'reel through',
    ]);
  });

  it('leaves out what is not due while something is', () => {
    const works = [work('reel', { dueDay: 12 }), work('ebb', { dueDay: 9 })];
    expect(
      planToday(works, 10, 6).every((slice) => slice.kind === 'rest' || slice.work.passage === 'ebb'),
    ).toBe(true);
    expect(order(planToday([works[0]!], 10, 6))).toEqual(['reel landings', 'reel through']);
  });

  it('takes the most overdue where time is short, and what a near concert asks for', () => {
    const works = [
      work('reel', { dueDay: 9 }),
      work('ebb', { dueDay: 2 }),
      work('march', { concertDay: 11 }),
    ];
    expect(order(planToday(works, 10, 6))[0]).toBe('ebb landings');
    expect(order(planToday([works[0]!, works[2]!], 10, 6))[0]).toBe('march landings');
  });

  it('asks once whether something held overnight, and goes round with the rest', () => {
    const again = (drill: string): Task => ({ ...task(drill), why: { kind: 'context' } });
    const reel = work('reel', { tasks: [task('landings'), again('widening'), again('through')] });
    expect(order(planToday([reel], 10, 15))).toEqual([
      'reel landings',
      'reel widening',
      'reel through',
      'reel widening',
      'reel through',
    ]);
  });

  it('rests for five minutes after 25', () => {
    const slices = planToday([work('reel'), work('ebb')], 10, 60);
    const at = order(slices).indexOf('rest');
    const before = slices.slice(0, at).reduce((sum, { minutes }) => sum + minutes, 0);
    expect(before).toBeGreaterThanOrEqual(24);
    expect(before).toBeLessThanOrEqual(27);
    expect(slices[at]).toEqual({ kind: 'rest', minutes: 5 });
  });

  it('fills the minutes, never with the same twice in a row', () => {
    const works = fc.uniqueArray(
      fc.record({
        passage: fc.constantFrom('reel', 'ebb', 'march', 'slip'),
        dueDay: fc.integer({ min: 0, max: 20 }),
        cleanShare: fc.double({ min: 0, max: 1, noNaN: true }),
        tasks: fc.integer({ min: 1, max: 3 }),
      }),
      { minLength: 1, selector: ({ passage }) => passage },
    );
    fc.assert(
      fc.property(works, fc.integer({ min: 3, max: 120 }), (made, minutes) => {
        const all = made.map(({ passage, dueDay, cleanShare, tasks }) =>
          work(passage, {
            dueDay,
            cleanShare,
            tasks: ['landings', 'widening', 'through'].slice(0, tasks).map(task),
          }),
        );
        const slices = planToday(all, 10, minutes);
        const worked = slices
          .filter(({ kind }) => kind === 'work')
          .reduce((sum, slice) => sum + slice.minutes, 0);
        expect(worked).toBe(3 * Math.floor(minutes / 3));
        const names = order(slices);
        for (const [i, name] of names.entries()) expect(name).not.toBe(names[i + 1]);
      }),
    );
  });
});
