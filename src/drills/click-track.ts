// The click of a step that keeps the beat: a bar counted before it, every beat of the run, every beat of the hold.

import { type BeatGrid, beatAt, beatIndexFrom, countedBack, type GridBeat, isGrouped } from './beat-grid.ts';
import type { ClickMark } from './step.ts';

/** A beat grid with its clicks and ticks, made once: a thousand steps of a thousand beats only cut from them. */
export interface Pulse {
  readonly grid: BeatGrid;
  readonly clicks: readonly ClickMark[];
  readonly ticks: readonly number[];
}

export function pulseOf(grid: BeatGrid): Pulse {
  return { grid, clicks: grid.map(clickOf), ticks: grid.map((beat) => beat.tick) };
}

export interface ClickTrack {
  readonly leadInBeats: number;
  /** Through the hold, whose end is not clicked: there the next step begins. */
  readonly clicks: readonly ClickMark[];
  /** From startTick on through the hold, its end included. */
  readonly beats: readonly number[];
}

/** Where a step begins to sound and stops sounding; `endTick` is the end of the hold or rest. */
export function clickTrack(
  { grid, clicks, ticks }: Pulse,
  { startTick, endTick }: Record<'startTick' | 'endTick', number>,
): ClickTrack {
  const leadIn = leadInBeats(grid, startTick);
  const from = beatIndexFrom(grid, startTick);
  return {
    leadInBeats: leadIn.length,
    clicks: leadIn.map(clickOf).concat(clicks.slice(from, beatIndexFrom(grid, endTick))),
    beats: ticks.slice(from, beatIndexFrom(grid, endTick + 1)),
  };
}

/**
 * A bar's worth of beats strictly before a tick, never less than two, in the meter of the bar that is entered: so the
 * step enters at its own place in the bar.
 */
function leadInBeats(grid: BeatGrid, startTick: number): GridBeat[] {
  const entry = beatAt(grid, startTick);
  const nearest = entry.tick < startTick ? 0 : 1;
  const count = Math.max(2, entry.perBar);
  return Array.from({ length: count }, (_, i) => countedBack(entry, nearest + count - 1 - i));
}

/** The beat that a click of a run is on or inside of, as it is counted: a lead-in in the meter that is entered. */
export function beatOfClick(grid: BeatGrid, startTick: number, tick: number): GridBeat {
  if (tick >= startTick) return beatAt(grid, tick);
  let beat = beatAt(grid, startTick);
  while (beat.tick > tick) beat = countedBack(beat, 1);
  return beat;
}

function clickOf(beat: GridBeat): ClickMark {
  if (beat.place === 1) return { tick: beat.tick, accent: 'bar' };
  return { tick: beat.tick, accent: isGrouped(beat) && beat.opensGroup ? 'group' : 'beat' };
}
