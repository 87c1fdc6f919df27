import { describe, expect, it } from 'vitest';
import { beatAt, beatGrid, type GridBeat } from '../../src/drills/beat-grid.ts';
import { type Every, fewerStops, moreStops } from '../../src/drills/run-length.ts';
import { line } from './line.ts';

describe('one key for more stops and one for fewer', () => {
  it('walk through the sizes, the bar at its own place', () => {
    expect(walk(0.5, (every) => fewerStops(every, bar(3)))).toEqual([0.5, 1, 2, 'bar', 4]);
    expect(walk(0.5, (every) => fewerStops(every, bar(6)))).toEqual([0.5, 1, 2, 4, 'bar']);
    expect(walk(4, (every) => moreStops(every, bar(3)))).toEqual([4, 'bar', 2, 1, 0.5]);
  });

  it('pass over a bar that is as long as another size', () => {
    expect(walk(0.5, (every) => fewerStops(every, bar(4)))).toEqual([0.5, 1, 2, 4]);
    expect(walk('bar', (every) => moreStops(every, bar(2)))).toEqual(['bar', 1, 0.5]);
  });

  it('walk through the group instead of two and four beats where beats come in groups', () => {
    const grouped = bar(5, [3, 2]);
    expect(walk(0.5, (every) => fewerStops(every, grouped))).toEqual([0.5, 1, 'group', 'bar']);
    expect(walk('group', (every) => moreStops(every, grouped))).toEqual(['group', 1, 0.5]);
    // Elsewhere a group is a beat.
    expect(fewerStops('group', bar(4))).toBe(2);
    expect(moreStops('group', bar(4))).toBe(0.5);
  });

  it('stay at the ends', () => {
    expect(moreStops(0.5, bar(4))).toBe(0.5);
    expect(fewerStops('growing', bar(4))).toBe('growing');
  });
});

/** The first beat of a bar of so many quarters. */
function bar(count: number, groups?: readonly number[]): GridBeat {
  const meter = { count, unit: 4, ...(groups ? { groups } : {}) };
  return beatAt(beatGrid(line('C4 D4 E4 F4', { meter })), 0);
}

function walk(from: Every, step: (every: Every) => Every): Every[] {
  const sizes = [from];
  for (let next = step(from); next !== sizes.at(-1); next = step(next)) sizes.push(next);
  return sizes;
}
