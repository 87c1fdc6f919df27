// The one place where musical time becomes played time. Played time is integer microseconds.

/** The tempi that can be asked for, in beats a minute, both inclusive: as far as people practise to a click. */
export const LEAST_BPM = 10;
export const MOST_BPM = 400;

/** The nearest tempo that can be asked for. */
export function clampBpm(bpm: number): number {
  return Math.min(MOST_BPM, Math.max(LEAST_BPM, bpm));
}

/** Beats per minute, and which note value the beat is. */
export interface Tempo {
  /** Over 0; LEAST_BPM to MOST_BPM where somebody asks for it. */
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

/** A tempo that was rounded is no farther than this from the one that was meant: half a tenth, and a little for the arithmetic. */
export const ROUNDED_BPM = 0.06;

/** Tempi are shown and played in tenths of a beat a minute. */
export function roundedBpm(bpm: number): number {
  return Math.round(bpm * 10) / 10;
}
