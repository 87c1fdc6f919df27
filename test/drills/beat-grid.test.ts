import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatAt, beatGrid, beatsBetween, countedBack, divisionTicks } from '../../src/drills/beat-grid.ts';
import { passageBeats } from '../../src/music/span.ts';
import { arbitraryPassage } from './arbitrary-passage.ts';
import { line } from './line.ts';

const Q = 10_080;

describe('the beat grid', () => {
  it('has the beats of the passage', () => {
    fc.assert(
      fc.property(arbitraryPassage(), (passage) => {
        const inside = beatsBetween(beatGrid(passage), 0, passage.bars.at(-1)!.startTick + 1);
        const written = passageBeats(passage).filter((tick) => tick <= passage.bars.at(-1)!.startTick);
        expect(inside.map((beat) => beat.tick)).toEqual(written);
      }),
    );
  });

  it('counts a pickup as the end of its bar', () => {
    const grid = beatGrid(line('C4 D4 E4*2 F4*2 G4*2 A4*2', { pickupTicks: 1.5 * Q }));
    expect(beatsBetween(grid, 0, 3 * Q).map((beat) => [beat.tick / Q, beat.bar, beat.place])).toEqual([
      [0.5, 0, 4],
      [1.5, 1, 1],
      [2.5, 1, 2],
    ]);
    // The pickup begins half a beat before its first whole beat.
    expect(beatAt(grid, 0)).toMatchObject({ tick: -0.5 * Q, place: 3, bar: 0 });
  });

  it('counts a last bar that is cut short out in full', () => {
    const passage = line('C4*2 D4*2 E4*2 F4*2 G4*2 A4*2');
    const bars = passage.bars.map((bar, i) => (i === 1 ? { ...bar, durationTicks: 2 * Q } : bar));
    const grid = beatGrid({ ...passage, bars });
    expect(beatsBetween(grid, 4 * Q, 9 * Q).map((beat) => [beat.bar, beat.place])).toEqual([
      [2, 1],
      [2, 2],
      [2, 3],
      [2, 4],
      [3, 1],
    ]);
  });

  it('counts back in the meter of the bar that is entered', () => {
    const grid = beatGrid(line('C4 D4 E4 F4 G4 A4', { meter: { count: 6, unit: 8 } }));
    const back = [1, 2, 3].map((k) => countedBack(beatAt(grid, 0), k));
    expect(back.map((beat) => [beat.tick, beat.place, beat.bar])).toEqual([
      [-1.5 * Q, 2, 0],
      [-3 * Q, 1, 0],
      [-4.5 * Q, 2, -1],
    ]);
  });

  it('divides a plain beat in two and a dotted one in three', () => {
    expect(divisionTicks({ beatTicks: Q, divisions: 2 })).toBe(Q / 2);
    expect(divisionTicks({ beatTicks: 1.5 * Q, divisions: 3 })).toBe(Q / 2);
  });
});
