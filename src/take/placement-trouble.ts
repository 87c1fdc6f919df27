// When placement alone makes a take unclean, though every interval was within its tolerance. Small deviations to one
// side add up: after eight notes each a little short a player is off the click, which is what the click is there to
// tell. An interval may stray by its tolerance, so an onset may stand twice that away from where the take as a whole
// stands (one note early and the next late); farther is adding up. A steady drift is named as one thing, when from
// beginning to end it comes to as much. A constant lag is no fault unless it is too long for gear and habit: then the
// player came in at another time than the count said.

import type { Tolerance } from './tolerance.ts';
import type { IntervalVerdict, Placement, Trouble } from './verdict.ts';

type PlacedTrouble = Extract<Trouble, { readonly kind: 'placed' }>;

interface Placed {
  readonly intervals: readonly IntervalVerdict[];
  readonly placement: Placement | undefined;
  /** Where this player usually stands on the click, where that is known. */
  readonly usualLagMicros?: number | undefined;
  readonly tolerance: Tolerance;
}

/** A habit (up to some 80 ms ahead, Repp 2005) and a slow instrument (some 70 ms) together; more than that comes of neither. */
const LATE_MOST_MICROS = 150_000;
const EARLY_MOST_MICROS = -110_000;
const TIMES_TOLERANCE = 2;
/** A take as a whole stands nearer to where its player usually does than a note may to the rest, but that is known from few takes. */
const ENTRY_TIMES_FLOOR = 2.5;
/** In slow music it may stray by this share of what the shortest interval may, but no farther than this. */
const ENTRY_SHARE = 0.3;
const ENTRY_SLOW_MOST_MICROS = 110_000;
/** A slope from fewer onsets is a guess. */
const DRIFT_LEAST_ONSETS = 6;

/** The onset that stands farthest off; the first where all of it does. */
export function placementTrouble({
  intervals,
  placement,
  usualLagMicros,
  tolerance,
}: Placed): PlacedTrouble | undefined {
  if (!placement) return undefined;
  const { lagMicros, offsetsMicros, driftMicrosPerSecond } = placement;
  const least = Math.min(...intervals.map((i) => i.allowedMicros));
  if (lagMicros !== undefined) {
    const away = lagMicros - (usualLagMicros ?? 0);
    const slow = Math.min(ENTRY_SHARE * least, ENTRY_SLOW_MOST_MICROS);
    const entry = Math.max(ENTRY_TIMES_FLOOR * tolerance.floorMicros, slow);
    const [early, late] =
      usualLagMicros === undefined ? [EARLY_MOST_MICROS, LATE_MOST_MICROS] : [-entry, entry];
    // A player who was on the click at first and left it later did not come in wrongly.
    const entered = away + (offsetsMicros.find((offset) => offset !== undefined) ?? 0);
    if ((away < early && entered < early) || (away > late && entered > late))
      return { kind: 'placed', onset: 0, offsetMicros: away, whole: true };
  }
  if (intervals.length === 0) return undefined;
  const seconds = intervals.reduce((sum, i) => sum + i.expectedMicros, 0) / 1e6;
  const drifted = Math.abs(driftMicrosPerSecond) * seconds > TIMES_TOLERANCE * least;
  const places = intervals.map(({ to, allowedMicros }) => {
    const offsetMicros = offsetsMicros[to] ?? 0;
    return { excess: Math.abs(offsetMicros) / (TIMES_TOLERANCE * allowedMicros), onset: to, offsetMicros };
  });
  const worst = places.reduce((a, b) => (b.excess > a.excess ? b : a));
  if (worst.excess <= 1 && !(drifted && intervals.length >= DRIFT_LEAST_ONSETS)) return undefined;
  // It added up since the beginning.
  const begun = offsetsMicros.find((offset) => offset !== undefined) ?? 0;
  const since = places.map(({ onset, offsetMicros }) => ({ onset, offsetMicros: offsetMicros - begun }));
  const farthest = since.reduce((a, b) => (Math.abs(b.offsetMicros) > Math.abs(a.offsetMicros) ? b : a));
  return { kind: 'placed', ...farthest };
}
