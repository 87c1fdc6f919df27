// Places in a passage as a teacher calls them: "bar 3, beats 1 to 2", "bar 3 beat 4 to bar 4 beat 1".
// Divisions are counted "1& 2&", in compound meter "1& 1a 2& 2a".

import { type BeatGrid, beatAt, divisionTicks, type GridBeat } from './beat-grid.ts';

/** The beats from one tick to another. */
export function beatsName(grid: BeatGrid, fromTick: number, toTick: number): string {
  const from = beatAt(grid, fromTick);
  const to = beatAt(grid, toTick);
  const start = countName(grid, fromTick);
  const stop = countName(grid, toTick);
  if (from.bar !== to.bar) return `${barName(from.bar)} beat ${start} to ${barName(to.bar)} beat ${stop}`;
  // A repeat leads back into the same bar.
  if (toTick - fromTick >= barTicks(from) || to.place < from.place)
    return `${barName(from.bar)} beat ${start} to ${barName(to.bar)} again, beat ${stop}`;
  return `${barName(from.bar)}, beats ${start} to ${stop}`;
}

function barTicks({ lengths }: GridBeat): number {
  return lengths.reduce((ticks, { beatTicks }) => ticks + beatTicks, 0);
}

/** @example placeName(grid, tick) // 'bar 3, beat 2' */
export function placeName(grid: BeatGrid, tick: number): string {
  return `${barName(beatAt(grid, tick).bar)}, beat ${countName(grid, tick)}`;
}

export function barName(bar: number): string {
  return bar <= 0 ? 'pickup' : `bar ${bar}`;
}

/** The count at a tick; a place between two counts has the earlier one's name and a plus sign. */
function countName(grid: BeatGrid, tick: number): string {
  const beat = beatAt(grid, tick);
  const division = divisionTicks(beat);
  const passed = Math.floor((tick - beat.tick) / division);
  const exact = (tick - beat.tick) % division === 0;
  return `${beat.place}${['', '&', 'a'][passed] ?? ''}${exact ? '' : '+'}`;
}
