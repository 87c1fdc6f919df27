// The steps of a drill as other programs read them (`fettle steps --json`). Ticks count from the passage's start in
// steps that keep the beat, from the step's start in free ones; 10,080 ticks to the quarter note.

import { requiredNotes } from '../music/onset.ts';
import { onsetsOfAll, type Step } from './step.ts';

const STEPS_FORMAT = 1;

export interface StepsJson {
  readonly format: typeof STEPS_FORMAT;
  readonly passage: string;
  readonly drill: string;
  readonly steps: readonly StepJson[];
}

interface StepJson {
  readonly name: string;
  readonly tempoBpm: number;
  readonly leadInBeats: number;
  readonly holdBeats: number;
  readonly onsets: readonly StepOnsetJson[];
}

interface StepOnsetJson {
  readonly tick: number;
  readonly durationTicks: number;
  /** Sounding MIDI numbers of the notes that must be played, lowest first, each once; grace notes left out. */
  readonly pitches: readonly number[];
}

/** `passage` as the player named it; `drill` one name, or several in a row with commas. */
export function stepsJson(passage: string, drill: string, steps: readonly Step[]): StepsJson {
  return {
    format: STEPS_FORMAT,
    passage,
    drill,
    steps: steps.map((step) => ({
      name: step.run.name,
      tempoBpm: step.run.tempo.bpm,
      leadInBeats: step.run.leadInBeats,
      holdBeats: step.run.holdBeats,
      onsets: onsetsOfAll(step).map((onset) => ({
        tick: onset.tick,
        durationTicks: onset.durationTicks,
        pitches: [...new Set(requiredNotes(onset).map((note) => note.pitch))].sort((a, b) => a - b),
      })),
    })),
  };
}
