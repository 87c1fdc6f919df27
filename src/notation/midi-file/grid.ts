// Whether a MIDI file was written or recorded, and where its ticks lie on the grid. In a written file nearly every
// onset stands on a simple division of the quarter, exactly or up to the rounding of the file's own ticks; in a
// recording few do, by chance.

import { TICKS_PER_QUARTER } from '../../music/ticks.ts';

/** Duple and triple divisions of a quarter, the commonest first. */
const PLAIN = [1, 2, 4, 3, 8, 6, 16, 12, 32, 24] as const;
/** With quintuplets, septuplets and nonuplets, also of a half note or an eighth. */
const ALL = [...PLAIN, 5, 7, 9, 10, 14, 20, 18, 28] as const;
/** Grids that may speak for a written file: the coarser proves more, the finer holds more. */
const EVIDENCE: readonly (readonly number[])[] = [PLAIN.filter((n) => n <= 16), PLAIN, ALL];
/** Share of the onsets that must stand on it. */
const WRITTEN_SHARE = 0.85;
/** Where this share of all ticks is on the grid, being on it proves nothing. */
const TELLING = 0.6;

export interface Grid {
  /** Our tick for an onset; undefined where it is on no grid. */
  placeOn(fileTick: number): number | undefined;
  /** Our tick for an end, undefined where it is neither with an onset nor on a grid. */
  placeEnd(fileTick: number): number | undefined;
  /**
   * Whether an end speaks for notes of full length: with an onset, on a plain grid, or on one that onsets of its
   * quarter are on. Nine tenths of a quarter are on a grid, but on none of these.
   */
  isPlainEnd(fileTick: number): boolean;
  nearest(fileTick: number): number;
  readonly written: boolean;
}

export function gridOf(onTicks: readonly number[], ticksPerQuarter: number): Grid {
  const places = new Map<number, number>();
  const witnessed = new Map<number, Set<number>>();
  for (const tick of onTicks) {
    const place = placeIn(tick, ALL, ticksPerQuarter);
    if (place === undefined) continue;
    places.set(tick, place);
    if (placeIn(tick, PLAIN, ticksPerQuarter) !== undefined) continue;
    const quarter = Math.floor(tick / ticksPerQuarter);
    const tuplets = witnessed.get(quarter) ?? new Set();
    witnessed.set(quarter, tuplets);
    for (const n of ALL) if (placeIn(tick, [n], ticksPerQuarter) !== undefined) tuplets.add(n);
  }
  return {
    placeOn: (tick) => places.get(tick),
    placeEnd: (tick) => places.get(tick) ?? placeIn(tick, ALL, ticksPerQuarter),
    isPlainEnd: (tick) => {
      const around = witnessed.get(Math.floor(tick / ticksPerQuarter)) ?? [];
      return places.has(tick) || placeIn(tick, [...PLAIN, ...around], ticksPerQuarter) !== undefined;
    },
    nearest: (tick) => Math.round((tick * TICKS_PER_QUARTER) / ticksPerQuarter),
    written: EVIDENCE.some((divisions) => looksWritten(onTicks, divisions, ticksPerQuarter)),
  };
}

/** Whether a tick is on any grid, rounded only where the file's ticks cannot divide a quarter so. */
export function isOnGrid(tick: number, ticksPerQuarter: number): boolean {
  const coarse = ticksPerQuarter < 192;
  const divisions = ALL.filter((n) => coarse || ticksPerQuarter % n === 0 || n === 3 || n === 6);
  return placeIn(tick, divisions, ticksPerQuarter) !== undefined;
}

function looksWritten(
  onTicks: readonly number[],
  divisions: readonly number[],
  ticksPerQuarter: number,
): boolean {
  let on = 0;
  for (const tick of onTicks) if (placeIn(tick, divisions, ticksPerQuarter) !== undefined) on++;
  return on >= WRITTEN_SHARE * onTicks.length && byChance(divisions, ticksPerQuarter) < TELLING;
}

/** Share of all ticks of a quarter that are on the grid. */
function byChance(divisions: readonly number[], ticksPerQuarter: number): number {
  const whole = Math.floor(ticksPerQuarter);
  let on = 0;
  for (let tick = 0; tick < whole; tick++) if (placeIn(tick, divisions, ticksPerQuarter) !== undefined) on++;
  return on / Math.max(1, whole);
}

function placeIn(tick: number, divisions: readonly number[], ticksPerQuarter: number): number | undefined {
  const quarter = Math.floor(tick / ticksPerQuarter);
  const offset = tick - quarter * ticksPerQuarter;
  for (const n of divisions) {
    const part = partOf(offset, n, ticksPerQuarter);
    if (part !== undefined) return quarter * TICKS_PER_QUARTER + Math.round((part * TICKS_PER_QUARTER) / n);
  }
  return undefined;
}

/** Which of n parts of a quarter begins at an offset, if one does: exactly, or rounded down or up to a file tick. */
function partOf(offset: number, n: number, ticksPerQuarter: number): number | undefined {
  const part = Math.round((offset * n) / ticksPerQuarter);
  const exact = (part * ticksPerQuarter) / n;
  // Coarse ticks cannot tell a rounded place from the one beside it.
  const slack = ticksPerQuarter >= 192 ? 0.999 : 0.5;
  const fits = Number.isInteger(exact) ? exact === offset : Math.abs(exact - offset) <= slack;
  return fits ? part : undefined;
}
