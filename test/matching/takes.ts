// Small lines and takes for the tests: a line of pitches in equal notes, and a player who plays it as told.

import type { Expectation } from '../../src/matching/expectation.ts';
import type { PlayedNote } from '../../src/music/played-note.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';

/** Sixteenths at 60 beats a minute: 250 ms each. */
const STEP_TICKS = TICKS_PER_QUARTER / 4;
export const ZERO_MICROS = 2_000_000;

type Moment = number | readonly number[];

/** One onset for each entry; a list is a chord. */
export function line(moments: readonly Moment[], extra: Partial<Expectation> = {}): Expectation {
  return {
    onsets: moments.map((m, i) => ({
      tick: i * STEP_TICKS,
      notes: (typeof m === 'number' ? [m] : m).map((pitch) => ({ pitch, durationTicks: STEP_TICKS })),
    })),
    tempo: { bpm: 60, beatTicks: TICKS_PER_QUARTER },
    pulse: 'free',
    ...extra,
  };
}

/** A take of notes at the given times in milliseconds after the zero; each sounds for `lasts` milliseconds. */
export function take(notes: readonly (readonly [ms: number, pitch: number, lasts?: number])[]): PlayedNote[] {
  return notes.map(([ms, pitch, lasts = 200]) => ({
    pitch,
    onMicros: ZERO_MICROS + ms * 1000,
    offMicros: ZERO_MICROS + (ms + lasts) * 1000,
    velocity: 80,
  }));
}

/** The line just as it is written, `slower` times as slow. */
export function perfect(expectation: Expectation, slower = 1): PlayedNote[] {
  const microsPerTick = 60_000_000 / (expectation.tempo.bpm * expectation.tempo.beatTicks);
  return expectation.onsets.flatMap(({ tick, notes }) =>
    notes.map(({ pitch, durationTicks }) => {
      const onMicros = ZERO_MICROS + Math.round(tick * microsPerTick * slower);
      return {
        pitch,
        onMicros,
        offMicros: onMicros + Math.round(durationTicks * microsPerTick * slower),
        velocity: 80,
      };
    }),
  );
}

/** Verdicts as a string: r right, w wrong, m missed, o omitted, . open. */
export function verdicts(notes: readonly ({ readonly verdict: string } | undefined)[]): string {
  return notes.map((n) => n?.verdict[0] ?? '.').join('');
}

/** Notes that wander and repeat nothing for long. */
export function wandering(count: number, seed: number): number[] {
  let state = seed;
  return Array.from({ length: count }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return 55 + ((state >>> 16) % 24);
  });
}

/** Everything `micros` later. */
export function later(notes: readonly PlayedNote[], micros: number): PlayedNote[] {
  return notes.map((n) => ({ ...n, onMicros: n.onMicros + micros, offMicros: n.offMicros! + micros }));
}
