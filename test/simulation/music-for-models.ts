// Lines of notes for the model to play. Not music: only enough of it for timing and slips.

import { spellPitch } from '../../src/music/pitch.ts';
import { TICKS_PER_QUARTER } from '../../src/music/ticks.ts';
import type { ModelOnset } from '../../src/simulation/slip.ts';

export const QUARTER = TICKS_PER_QUARTER;

/** The tempo at which an eighth note lasts so long. */
export function eighthsOf(micros: number): { readonly bpm: number; readonly beatTicks: number } {
  return { bpm: 30_000_000 / micros, beatTicks: QUARTER };
}

/** A line of equal eighths. */
export function line(pitches: readonly number[]): ModelOnset[] {
  return pitches.map((pitch, i) => ({
    tick: (i * QUARTER) / 2,
    number: i + 1,
    notes: [{ pitch, durationTicks: QUARTER / 2, spelling: spellPitch(pitch) }],
  }));
}

/** Up and down a scale within an octave, by step. */
export function scaleLine(count: number, from = 60): ModelOnset[] {
  const steps = [0, 2, 4, 5, 7, 9, 11, 12, 11, 9, 7, 5, 4, 2];
  return line(Array.from({ length: count }, (_, i) => from + steps[i % steps.length]!));
}
