// Where runs stop: the onsets of a span that lie on the boundaries asked for, its first and its last included.

import { beatIndexAt, divisionTicks, type GridBeat } from './beat-grid.ts';
import type { Ground } from './beat-run.ts';
import type { RunLength } from './run-length.ts';

/**
 * Onset numbers, ascending: the span's first, every landing, the span's last. A run aims at the next boundary of its
 * size; where nothing starts there (a rest, a tied note) it goes on to the next beat (in half-beat runs the next
 * division) that has an onset. Sizes are counted from the span's beginning, after a pickup from the first whole bar.
 * The tail after the last boundary with an onset is a run of its own from that landing to the span's last onset,
 * however far off the beat that is: so no note of the span is left out and every join is one onset.
 */
export function landingPlaces(ground: Ground, length: RunLength): readonly number[] {
  const { boundaries, targets } = boundariesOf(ground, length);
  const { onsets } = ground;
  const numberAt = new Map(onsets.map((onset) => [onset.tick, onset.number]));
  const places = [onsets[0]!.number];
  let tick = onsets[0]!.tick;
  let t = 0;
  let b = 0;
  for (;;) {
    while (t < targets.length && targets[t]! <= tick) t++;
    const target = targets[t];
    if (target === undefined) break;
    while (b < boundaries.length && (boundaries[b]! < target || !numberAt.has(boundaries[b]!))) b++;
    const landing = boundaries[b];
    if (landing === undefined) break;
    places.push(numberAt.get(landing)!);
    tick = landing;
  }
  const last = onsets.at(-1)!.number;
  if (places.at(-1) !== last) places.push(last);
  return places;
}

/** The boundary at or before the first onset: where the first run begins, be it with a rest. */
export function firstBoundary(ground: Ground, length: RunLength): number {
  const tick = ground.onsets[0]!.tick;
  const beat = ground.grid[beatIndexAt(ground.grid, tick)]!;
  if (length !== 0.5) return beat.tick;
  const division = divisionTicks(beat);
  return beat.tick + Math.floor((tick - beat.tick) / division) * division;
}

interface Boundaries {
  /** Every place where a run may stop, ascending. */
  readonly boundaries: readonly number[];
  /** Those at which runs of this size aim. */
  readonly targets: readonly number[];
}

function boundariesOf({ grid, onsets }: Ground, length: RunLength): Boundaries {
  const from = beatIndexAt(grid, onsets[0]!.tick);
  const to = beatIndexAt(grid, onsets.at(-1)!.tick);
  const beats = grid.slice(from, to + 1);
  const ticks = beats.map((beat) => beat.tick);
  if (length === 0.5) {
    const divisions = beats.flatMap((beat, i) => divisionsOf(beat, beats[i + 1]));
    return { boundaries: divisions, targets: divisions };
  }
  if (length === 'whole') return { boundaries: ticks, targets: [] };
  if (length === 'bar') return { boundaries: ticks, targets: ticks.filter((_, i) => beats[i]!.place === 1) };
  if (length === 'group') return { boundaries: ticks, targets: ticks.filter((_, i) => beats[i]!.opensGroup) };
  const anchor =
    beats[0]!.bar === 0
      ? Math.max(
          0,
          beats.findIndex((beat) => beat.place === 1),
        )
      : 0;
  return { boundaries: ticks, targets: ticks.filter((_, i) => (i - anchor) % length === 0) };
}

function divisionsOf(beat: GridBeat, next: GridBeat | undefined): number[] {
  const division = divisionTicks(beat);
  const end = Math.min(beat.tick + beat.beatTicks, next?.tick ?? Number.POSITIVE_INFINITY);
  const ticks: number[] = [];
  for (let tick = beat.tick; tick < end; tick += division) ticks.push(tick);
  return ticks;
}
