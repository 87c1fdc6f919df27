import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barTicks, beatsOfBar, beatTicks, isCompound, unitsOfBeats } from '../../src/music/meter.ts';
import { microsToTicks, ticksToMicros } from '../../src/music/tempo.ts';
import { TICKS_PER_QUARTER, TICKS_PER_WHOLE } from '../../src/music/ticks.ts';

describe('musical time', () => {
  it('is exact for every note value that is written: 128ths, triplets, quintuplets, septuplets, nonuplets', () => {
    for (const division of [2, 3, 4, 5, 6, 7, 8, 9, 12, 16, 24, 32]) {
      expect(TICKS_PER_QUARTER % division, `a quarter in ${division}`).toBe(0);
    }
    expect(TICKS_PER_WHOLE % 128).toBe(0);
  });

  it('has a dotted beat in compound meter and the written unit elsewhere', () => {
    const beats = (count: number, unit: number) => barTicks({ count, unit }) / beatTicks({ count, unit });
    expect([beats(6, 8), beats(9, 8), beats(12, 8), beats(6, 16)]).toEqual([2, 3, 4, 2]);
    expect([beats(3, 4), beats(4, 4), beats(2, 2), beats(3, 8), beats(7, 8), beats(6, 4)]).toEqual([
      3, 4, 2, 3, 7, 6,
    ]);
    expect(isCompound({ count: 3, unit: 8 })).toBe(false);
  });

  it('has beats of two and three units in five, seven and eleven, or as the music groups them', () => {
    // Common practice, no source: the three comes last.
    const units = (count: number, unit: number, groups?: readonly number[]) =>
      unitsOfBeats({ count, unit, ...(groups && { groups }) }).join('+');
    expect([units(5, 8), units(7, 8), units(11, 16)]).toEqual(['2+3', '2+2+3', '2+2+2+2+3']);
    expect([units(5, 8, [3, 2]), units(8, 8, [3, 3, 2])]).toEqual(['3+2', '3+3+2']);
    expect([units(7, 8, [3, 4]), units(9, 8, [4, 5])]).toEqual(['3+2+2', '2+2+2+3']);
    expect([units(6, 8), units(6, 8, [2, 2, 2])]).toEqual(['3+3', '2+2+2']);
    expect([units(5, 4, [2, 3]), units(3, 8)]).toEqual(['1+1+1+1+1', '1+1+1']);
    expect(isCompound({ count: 6, unit: 8, groups: [2, 2, 2] })).toBe(false);
    // What a tempo counts stays the written unit.
    expect(beatTicks({ count: 7, unit: 8 })).toBe(5_040);
  });

  it('counts unequal beats in a pickup back from the bar line, and on in a bar that is too long', () => {
    const meter = { count: 7, unit: 8 };
    const bar = { number: 1, startTick: 0, durationTicks: 20_160, meter, pickup: true };
    expect(beatsOfBar(bar)).toEqual([5_040]);
    expect(beatsOfBar({ ...bar, durationTicks: 25_200 })).toEqual([0, 10_080]);
    expect(beatsOfBar({ ...bar, durationTicks: 50_400, pickup: false })).toEqual([
      0, 10_080, 20_160, 35_280, 45_360,
    ]);
  });

  it('counts a pickup back from the bar line', () => {
    const meter = { count: 4, unit: 4 };
    const pickup = { number: 0, startTick: 0, durationTicks: 15_120, meter, pickup: true };
    expect(beatsOfBar(pickup)).toEqual([5_040]);
    expect(
      beatsOfBar({ ...pickup, number: 1, startTick: 15_120, durationTicks: 40_320, pickup: false }),
    ).toEqual([15_120, 25_200, 35_280, 45_360]);
  });

  it('becomes played time at the tempo: the MIDI clock’s period at 24 a quarter', () => {
    // Computed in the team's fact sheet: 60 bpm 41.667 ms, 90 27.778, 120 20.833, 144 17.361.
    const period = (bpm: number) =>
      ticksToMicros(TICKS_PER_QUARTER / 24, { bpm, beatTicks: TICKS_PER_QUARTER }) / 1000;
    expect([60, 90, 120, 144].map((bpm) => period(bpm).toFixed(2))).toEqual([
      '41.67',
      '27.78',
      '20.83',
      '17.36',
    ]);
  });

  it('goes to played time and back within a tick', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1e7, max: 1e7 }),
        fc.double({ min: 10, max: 400, noNaN: true }),
        (ticks, bpm) => {
          const tempo = { bpm, beatTicks: TICKS_PER_QUARTER };
          expect(Math.abs(microsToTicks(ticksToMicros(ticks, tempo), tempo) - ticks)).toBeLessThanOrEqual(1);
        },
      ),
    );
  });
});
