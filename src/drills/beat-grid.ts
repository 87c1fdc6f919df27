// The beats of a passage with their place in the bar, counted on before its start and past its end, so that lead-ins
// and holds have a beat to stand on. All ticks count from the passage's start; those before it are negative.

import { type Bar, barTicks, beatsOfBar, groupStarts, unitsOfBeats } from '../music/meter.ts';
import type { Passage } from '../music/passage.ts';
import { TICKS_PER_WHOLE } from '../music/ticks.ts';
import { Remembered } from '../remembered.ts';

type BeatLength = Pick<GridBeat, 'beatTicks' | 'divisions' | 'opensGroup'>;

export interface GridBeat {
  readonly tick: number;
  /** Printed number of its bar; a pickup is 0. */
  readonly bar: number;
  /** Place in the bar, from 1. In a pickup counted as if the bar were whole. */
  readonly place: number;
  /** Beats in a whole bar of its meter. */
  readonly perBar: number;
  readonly beatTicks: number;
  /** Into how many a beat is divided: two, in compound meter and in unequal beats its units. */
  readonly divisions: number;
  /** A group of beats begins with it; every beat does where beats are not grouped. */
  readonly opensGroup: boolean;
  /** All beats of a whole bar of its meter, in order. */
  readonly lengths: readonly BeatLength[];
}

/** By tick; never empty. */
export type BeatGrid = readonly GridBeat[];

/** How far the grid is counted on past both ends of the passage: the longest hold, and more than any lead-in. */
export const BEATS_BEYOND = 64;

export function beatGrid(passage: Passage): BeatGrid {
  return GRIDS.known(passage) ?? GRIDS.keep(passage, newGrid(passage));
}

/** Every frame of a screen and every sentence with a place asks for one. */
const GRIDS = new Remembered<Passage, BeatGrid>();

function newGrid(passage: Passage): BeatGrid {
  const inside = passage.bars.flatMap(barBeats);
  const first = inside[0] ?? firstBeatOf(passage.bars[0]!);
  const before: GridBeat[] = [];
  for (let k = BEATS_BEYOND; k >= 1; k--) before.push(countedBack(first, k));
  return [...before, ...inside, ...countedOut(passage.bars.at(-1)!)];
}

/** Index of the last beat at or before a tick (0 when there is none). */
export function beatIndexAt(grid: BeatGrid, tick: number): number {
  return Math.max(0, firstIndexAfter(grid, tick) - 1);
}

export function beatAt(grid: BeatGrid, tick: number): GridBeat {
  return grid[beatIndexAt(grid, tick)]!;
}

/** Beats from a tick (inclusive) to another (exclusive). */
export function beatsBetween(grid: BeatGrid, fromTick: number, toTick: number): readonly GridBeat[] {
  return grid.slice(beatIndexFrom(grid, fromTick), beatIndexFrom(grid, toTick));
}

/** Index of the first beat at or after a tick. */
export function beatIndexFrom(grid: BeatGrid, tick: number): number {
  return firstIndexAfter(grid, tick - 1);
}

/**
 * The beat `k` beats before another, in the other's own meter: what a teacher counts in front of a new meter is the
 * new one.
 */
export function countedBack(beat: GridBeat, k: number): GridBeat {
  return countedOn(beat, -k);
}

/** Whether its bar's beats come in groups. */
export function isGrouped({ lengths }: GridBeat): boolean {
  return lengths.some(({ opensGroup }) => !opensGroup);
}

/** The beat `k` beats after another (before it where negative), in the other's own meter. */
export function countedOn(beat: GridBeat, k: number): GridBeat {
  const { perBar, lengths } = beat;
  const passed = beat.place - 1 + k;
  const bars = Math.floor(passed / perBar);
  const place = passed - bars * perBar;
  const tick = beat.tick - ticksBefore(lengths, beat.place - 1) + bars * ticksBefore(lengths, perBar);
  return {
    ...beat,
    ...lengths[place]!,
    tick: tick + ticksBefore(lengths, place),
    place: place + 1,
    bar: beat.bar + bars,
  };
}

/** Ticks of the first beats of a bar; in a bar that is longer than its meter, counted on. */
function ticksBefore(lengths: readonly BeatLength[], beats: number): number {
  let ticks = 0;
  for (let i = 0; i < beats; i++) ticks += lengths[i % lengths.length]!.beatTicks;
  return ticks;
}

/** Ticks of one division of a beat: its half, in compound meter and in unequal beats the unit (the eighth of 6/8). */
export function divisionTicks({ beatTicks, divisions }: Pick<BeatLength, 'beatTicks' | 'divisions'>): number {
  const division = beatTicks / divisions;
  return Number.isInteger(division) ? division : beatTicks;
}

// Beats of one bar, and beyond the last one.

function barBeats(bar: Bar): GridBeat[] {
  const ticks = beatsOfBar(bar);
  const one = firstBeatOf(bar);
  // A pickup is the tail of a whole bar: its last beat is the bar's last.
  const skipped = bar.pickup ? Math.max(0, one.perBar - ticks.length) : 0;
  return ticks.map((tick, i) => {
    const place = skipped + i;
    return { ...one, ...one.lengths[place % one.perBar]!, tick, place: place + 1 };
  });
}

function firstBeatOf(bar: Bar): GridBeat {
  const unit = TICKS_PER_WHOLE / bar.meter.unit;
  const groups = groupStarts(bar.meter);
  const lengths = unitsOfBeats(bar.meter).map((units, i) => ({
    beatTicks: units * unit,
    divisions: units === 1 ? 2 : units,
    opensGroup: groups[i]!,
  }));
  return {
    tick: bar.startTick,
    bar: bar.number,
    place: 1,
    perBar: lengths.length,
    lengths,
    ...lengths[0]!,
  };
}

/** A last bar that is cut short (to make up for a pickup) is counted out in full, then bars like it follow. */
function countedOut(last: Bar): GridBeat[] {
  const end = last.startTick + last.durationTicks;
  const longer = last.pickup || last.durationTicks > barTicks(last.meter);
  const one = firstBeatOf(last);
  const origin = longer ? { ...one, tick: end, bar: last.number + 1 } : one;
  const beats: GridBeat[] = [];
  for (let k = 0; beats.length < BEATS_BEYOND; k++) {
    const beat = countedOn(origin, k);
    if (beat.tick >= end) beats.push(beat);
  }
  return beats;
}

function firstIndexAfter(grid: BeatGrid, tick: number): number {
  let low = 0;
  let high = grid.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (grid[middle]!.tick <= tick) low = middle + 1;
    else high = middle;
  }
  return low;
}
