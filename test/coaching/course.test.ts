import { describe, expect, it } from 'vitest';
import { type CourseDrill, drilled, nextCourseBpm, nextTurn } from '../../src/coaching/course.ts';
import type { PrescribedDrill } from '../../src/coaching/prescription.ts';

const TODAY = '2026-11-26';
const YESTERDAY = '2026-11-25';

const drill = (name: string, ladder = false): PrescribedDrill => ({
  name,
  first: 1,
  last: 9,
  settings: {},
  ladder,
});

/** "tenuto 2/4 yesterday": two of four steps passed. */
function course(...told: readonly string[]): CourseDrill[] {
  return told.map((text) => {
    const [, name, passed, steps, day] = /^(\w+) (\d)\/(\d)(?: (\w+))?$/.exec(text)!;
    const played = day === undefined ? {} : { day: day === 'today' ? TODAY : YESTERDAY };
    return { drill: drill(name!), passed: Number(passed), steps: Number(steps), ...played };
  });
}

const turn = (drills: readonly CourseDrill[], spentMinutes: number, last?: number) =>
  nextTurn(drills, { minutes: 30, spentMinutes, today: TODAY, ...(last === undefined ? {} : { last }) });

describe('the next turn of a course', () => {
  it('goes round the drills that are open, five minutes each', () => {
    const drills = course('tenuto 1/4 today', 'widening 0/7', 'rhythms 2/2 today');
    expect(turn(drills, 2)).toEqual({ kind: 'drill', index: 0, minutes: 5, checks: false });
    expect(turn(drills, 7, 0)).toEqual({ kind: 'drill', index: 1, minutes: 5, checks: false });
    expect(turn(drills, 12, 1)).toMatchObject({ index: 0 });
    expect(turn(course('tenuto 1/4 today'), 12, 0)).toMatchObject({ index: 0 });
  });

  it('keeps three minutes for the passage in its context', () => {
    const drills = course('tenuto 1/4 today', 'widening 0/7');
    expect(turn(drills, 24)).toMatchObject({ kind: 'drill', minutes: 3 });
    expect(turn(drills, 26.5)).toEqual({ kind: 'context', minutes: 3 });
    expect(turn(drills, 29.8)).toEqual({ kind: 'context', minutes: 1 });
  });

  it('asks first, once, for what was passed on another day, and for the step before where one was left', () => {
    const drills = course('tenuto 3/4 yesterday', 'widening 7/7 yesterday');
    expect(turn(drills, 0)).toEqual({ kind: 'check', index: 1, minutes: 2 });
    const held = course('tenuto 3/4 yesterday', 'widening 7/7 today');
    expect(turn(held, 1, 1)).toEqual({ kind: 'drill', index: 0, minutes: 5, checks: true });
    expect(turn(course('tenuto 0/4 yesterday'), 0)).toMatchObject({ checks: false });
  });

  it('ends with the context where nothing is left to drill', () => {
    expect(turn(course('tenuto 4/4 today'), 5)).toEqual({ kind: 'context', minutes: 3 });
  });
});

describe('a course', () => {
  it('leaves the way up the ladder out while there is something to drill', () => {
    const up = drill('through', true);
    expect(drilled({ drills: [drill('tenuto'), drill('through'), up], why: { kind: 'none' } })).toEqual([
      drill('tenuto'),
      drill('through'),
    ]);
    expect(drilled({ drills: [up], why: { kind: 'none' } })).toEqual([up]);
  });

  it('is a tenth faster the next time, and no faster than the goal', () => {
    expect(nextCourseBpm(48, 72)).toBe(53);
    expect(nextCourseBpm(70, 72)).toBe(72);
    expect(nextCourseBpm(80, 72)).toBe(80);
  });
});
