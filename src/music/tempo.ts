// The one place where musical time becomes played time. Played time is integer microseconds.

/** Beats per minute, and which note value the beat is. */
export interface Tempo {
  /** Over 0; the command line accepts 10 to 400. */
  readonly bpm: number;
  readonly beatTicks: number;
}

/** Exact (unrounded) microseconds of one tick. */
export function microsPerTick(tempo: Tempo): number {
  return 60_000_000 / (tempo.bpm * tempo.beatTicks);
}

/** Rounded to the nearest microsecond. @example ticksToMicros(10080, { bpm: 60, beatTicks: 10080 }) // 1000000 */
export function ticksToMicros(ticks: number, tempo: Tempo): number {
  return Math.round((ticks * 60_000_000) / (tempo.bpm * tempo.beatTicks));
}

/** Rounded to the nearest tick; the inverse of ticksToMicros within one tick. */
export function microsToTicks(micros: number, tempo: Tempo): number {
  return Math.round((micros * tempo.bpm * tempo.beatTicks) / 60_000_000);
}
