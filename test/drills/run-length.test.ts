import { describe, expect, it } from 'vitest';
import { type Every, fewerStops, moreStops } from '../../src/drills/run-length.ts';

describe('one key for more stops and one for fewer', () => {
  it('walk through the sizes, the bar at its own place', () => {
    expect(walk(0.5, (every) => fewerStops(every, 3))).toEqual([0.5, 1, 2, 'bar', 4]);
    expect(walk(0.5, (every) => fewerStops(every, 6))).toEqual([0.5, 1, 2, 4, 'bar']);
    expect(walk(4, (every) => moreStops(every, 3))).toEqual([4, 'bar', 2, 1, 0.5]);
  });

  it('pass over a bar that is as long as another size', () => {
    expect(walk(0.5, (every) => fewerStops(every, 4))).toEqual([0.5, 1, 2, 4]);
    expect(walk('bar', (every) => moreStops(every, 2))).toEqual(['bar', 1, 0.5]);
  });

  it('stay at the ends', () => {
    expect(moreStops(0.5, 4)).toBe(0.5);
    expect(fewerStops('growing', 4)).toBe('growing');
  });
});

function walk(from: Every, step: (every: Every) => Every): Every[] {
  const sizes = [from];
  for (let next = step(from); next !== sizes.at(-1); next = step(next)) sizes.push(next);
  return sizes;
}
