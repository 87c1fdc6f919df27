// The order of a switchback: places (from 0) of the line's notes as they are struck.

import { requiredNotes } from '../music/onset.ts';
import type { StepOnset } from './step.ts';

/**
 * Out to each turn and back to place 0, which is struck once between two laps.
 * @example patternPlaces([1, 2]) // [0, 1, 0, 1, 2, 1, 0]
 */
export function patternPlaces(turns: readonly number[]): number[] {
  const places = [0];
  for (const turn of turns) {
    for (let place = 1; place <= turn; place++) places.push(place);
    for (let place = turn - 1; place >= 0; place--) places.push(place);
  }
  return places;
}

/** Places where the top line changes direction or repeats a note, and the last place. */
export function turningPlaces(onsets: readonly StepOnset[]): number[] {
  const tops = onsets.map((onset) => requiredNotes(onset).at(-1)!.pitch);
  const last = tops.length - 1;
  const turns: number[] = [];
  for (let i = 1; i < last; i++) {
    if ((tops[i]! - tops[i - 1]!) * (tops[i + 1]! - tops[i]!) <= 0) turns.push(i);
  }
  return [...turns, last];
}

/** The commonest interval from one onset to the next; of several equally common ones the shortest. */
export function commonestInterval(onsets: readonly StepOnset[]): number {
  const counts = new Map<number, number>();
  for (let i = 1; i < onsets.length; i++) {
    const ticks = onsets[i]!.tick - onsets[i - 1]!.tick;
    counts.set(ticks, (counts.get(ticks) ?? 0) + 1);
  }
  return [...counts].reduce((best, next) =>
    next[1] > best[1] || (next[1] === best[1] && next[0] < best[0]) ? next : best,
  )[0];
}
