// The click of a step that keeps the beat: a bar counted before it, every beat of the run, every beat of the hold.

import { type BeatGrid, beatAt, beatsBetween, countedBack, type GridBeat } from './beat-grid.ts';
import type { ClickMark } from './step.ts';

export interface ClickTrack {
  readonly leadInBeats: number;
  /** Through the hold, whose end is not clicked: there the next step begins. */
  readonly clicks: readonly ClickMark[];
  /** From startTick on through the hold, its end included. */
  readonly beats: readonly number[];
}

/** Where a step begins to sound and stops sounding; `endTick` is the end of the hold or rest. */
export function clickTrack(
  grid: BeatGrid,
  { startTick, endTick }: Record<'startTick' | 'endTick', number>,
): ClickTrack {
  const leadIn = leadInBeats(grid, startTick);
  return {
    leadInBeats: leadIn.length,
    clicks: [...leadIn, ...beatsBetween(grid, startTick, endTick)].map(clickOf),
    beats: beatsBetween(grid, startTick, endTick + 1).map((beat) => beat.tick),
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

function clickOf(beat: GridBeat): ClickMark {
  return { tick: beat.tick, accent: beat.place === 1 ? 'bar' : 'beat' };
}
