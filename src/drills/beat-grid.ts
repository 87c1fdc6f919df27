// The beats of a passage with their place in the bar, counted on before its start and past its end, so that lead-ins
// and holds have a beat to stand on. All ticks count from the passage's start; those before it are negative.

import { type Bar, barTicks, beatsOfBar, beatTicks, isCompound } from '../music/meter.ts';
import type { Passage } from '../music/passage.ts';

export interface GridBeat {
  readonly tick: number;
  /** Printed number of its bar; a pickup is 0. */
  readonly bar: number;
  /** Place in the bar, from 1. In a pickup counted as if the bar were whole. */
  readonly place: number;
  /** Beats in a whole bar of its meter. */
  readonly perBar: number;
  readonly beatTicks: number;
  /** True in compound meter, where the beat is the dotted note. */
  readonly dotted: boolean;
}

/** By tick; never empty. */
export type BeatGrid = readonly GridBeat[];

/** How far the grid is counted on past both ends of the passage: the longest hold, and more than any lead-in. */
export const BEATS_BEYOND = 64;

export function beatGrid(passage: Passage): BeatGrid {
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
  const steps = beat.place - 1 - k;
  return {
    ...beat,
    tick: beat.tick - k * beat.beatTicks,
    place: (((steps % beat.perBar) + beat.perBar) % beat.perBar) + 1,
    bar: beat.bar + Math.floor(steps / beat.perBar),
  };
}

/** Ticks of one division of a beat: its half, in compound meter its third (the eighth of 6/8). */
export function divisionTicks(beat: { readonly beatTicks: number; readonly dotted: boolean }): number {
  const division = beat.beatTicks / (beat.dotted ? 3 : 2);
  return Number.isInteger(division) ? division : beat.beatTicks;
}

// Beats of one bar, and beyond the last one.

function barBeats(bar: Bar): GridBeat[] {
  const ticks = beatsOfBar(bar);
  const perBar = beatsPerBar(bar);
  // A pickup is the tail of a whole bar: its last beat is the bar's last.
  const skipped = bar.pickup ? Math.max(0, perBar - ticks.length) : 0;
  return ticks.map((tick, i) => ({ ...firstBeatOf(bar), tick, place: skipped + i + 1 }));
}

function firstBeatOf(bar: Bar): GridBeat {
  return {
    tick: bar.startTick,
    bar: bar.number,
    place: 1,
    perBar: beatsPerBar(bar),
    beatTicks: beatTicks(bar.meter),
    dotted: isCompound(bar.meter),
  };
}

/** A last bar that is cut short (to make up for a pickup) is counted out in full, then bars like it follow. */
function countedOut(last: Bar): GridBeat[] {
  const end = last.startTick + last.durationTicks;
  const one = firstBeatOf(last);
  const origin = last.pickup || last.durationTicks > barTicks(last.meter) ? end : last.startTick;
  const firstBar = origin === end ? last.number + 1 : last.number;
  const beats: GridBeat[] = [];
  for (let k = 0; beats.length < BEATS_BEYOND; k++) {
    const tick = origin + k * one.beatTicks;
    if (tick < end) continue;
    beats.push({ ...one, tick, place: (k % one.perBar) + 1, bar: firstBar + Math.floor(k / one.perBar) });
  }
  return beats;
}

function beatsPerBar(bar: Bar): number {
  return barTicks(bar.meter) / beatTicks(bar.meter);
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
