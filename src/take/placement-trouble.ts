// When placement alone makes a take unclean, though every interval was within its tolerance. Small deviations to one
// side add up: after eight notes each a little short a player is off the click, which is what the click is there to
// tell. An interval may stray by its tolerance, so an onset may stand twice that away from where the take as a whole
// stands (one note early and the next late); farther is adding up. A steady drift is named as one thing, when from
// beginning to end it comes to as much. A constant lag is no fault unless it is too long for gear and habit: then the
// player came in at another time than the count said.

import type { IntervalVerdict, Placement, Trouble } from './verdict.ts';

interface Placed {
  readonly intervals: readonly IntervalVerdict[];
  readonly placement: Placement | undefined;
}

/** Habit (to some 80 ms ahead, Repp 2005) and a slow instrument (some 70 ms) together: more is no constant of either. */
const LAG_MOST_MICROS = 150_000;
const TIMES_TOLERANCE = 2;
/** A slope from fewer onsets is a guess. */
const DRIFT_LEAST_ONSETS = 6;

/** The onset that stands farthest off; the first where all of it does. */
export function placementTrouble({ intervals, placement }: Placed): Trouble | undefined {
  if (!placement || intervals.length === 0) return undefined;
  const { lagMicros, offsetsMicros, driftMicrosPerSecond } = placement;
  if (lagMicros !== undefined && Math.abs(lagMicros) > LAG_MOST_MICROS)
    return { kind: 'placed', onset: 0, offsetMicros: lagMicros };
  const seconds = intervals.reduce((sum, i) => sum + i.expectedMicros, 0) / 1e6;
  const least = Math.min(...intervals.map((i) => i.allowedMicros));
  const drifted = Math.abs(driftMicrosPerSecond) * seconds > TIMES_TOLERANCE * least;
  const places = intervals.map(({ to, allowedMicros }) => {
    const offsetMicros = offsetsMicros[to] ?? 0;
    return { excess: Math.abs(offsetMicros) / (TIMES_TOLERANCE * allowedMicros), onset: to, offsetMicros };
  });
  const worst = places.reduce((a, b) => (b.excess > a.excess ? b : a));
  if (worst.excess <= 1 && !(drifted && intervals.length >= DRIFT_LEAST_ONSETS)) return undefined;
  return { kind: 'placed', onset: worst.onset, offsetMicros: worst.offsetMicros };
}
