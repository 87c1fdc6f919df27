// A run that keeps the beat, made into a step: ticks count from the passage's start, the click goes on from the
// lead-in through the hold.

import type { Passage } from '../music/passage.ts';
import { onsetNumbered } from '../music/span.ts';
import type { Tempo } from '../music/tempo.ts';
import { pacesOf } from '../music/timing.ts';
import { type BeatGrid, beatAt, beatGrid, countedOn } from './beat-grid.ts';
import { clickTrack, type Pulse, pulseOf } from './click-track.ts';
import { wholeLine } from './dealt-out.ts';
import type { Run, Step, StepOnset } from './step.ts';
import { type OnsetRange, stepOnsets } from './step-onset.ts';

/** What all runs of one drill share. Made once, so that long spans cost little. */
export interface Ground {
  readonly passage: Passage;
  readonly grid: BeatGrid;
  readonly pulse: Pulse;
  readonly tempo: Tempo;
  /** Where the music has the tempo that is asked for; elsewhere it is kept in proportion. */
  readonly askedTick: number;
  readonly range: OnsetRange;
  /** The onsets of the range, in order. */
  readonly onsets: readonly StepOnset[];
}

export interface BeatRun extends OnsetRange {
  readonly name: string;
  /** Absent: the beat at or before the first onset. */
  readonly startTick?: number;
  readonly landing: boolean;
  readonly joinsNext: boolean;
  readonly holdBeats: number;
}

/** A breath between two steps that do not join, in beats. */
export const REST_BEATS = 2;

/** The tempo is that of the range's first onset, or of the onset numbered `askedAt`. */
export function layGround(passage: Passage, range: OnsetRange, tempo: Tempo, askedAt = range.first): Ground {
  const { first, last } = range;
  const grid = beatGrid(passage);
  return {
    passage,
    grid,
    pulse: pulseOf(grid),
    tempo,
    askedTick: onsetNumbered(passage, askedAt).tick,
    range: { first, last },
    onsets: stepOnsets(passage, range),
  };
}

/** The run's onsets as the music has them. Numbers lie inside the ground's range. */
export function beatStep(ground: Ground, run: BeatRun): Step {
  const from = run.first - ground.range.first;
  return beatStepOf(ground, run, ground.onsets.slice(from, run.last - ground.range.first + 1));
}

/** The same with onsets of the drill's own making, ticks from the passage's start. */
export function beatStepOf(ground: Ground, run: BeatRun, onsets: readonly StepOnset[]): Step {
  const { grid, tempo } = ground;
  const startTick = run.startTick ?? beatAt(grid, onsets[0]!.tick).tick;
  const stopTick = onsets.at(-1)!.tick;
  const stop = beatAt(grid, stopTick);
  const endTick = stopTick + countedOn(stop, run.holdBeats).tick - stop.tick;
  const { name, landing, joinsNext, holdBeats } = run;
  const paces = pacesOf(ground.passage, {
    askedTick: ground.askedTick,
    fromTick: startTick,
    toTick: stopTick,
  });
  const track = clickTrack(ground.pulse, { startTick, endTick });
  const shared: Run = {
    name,
    tempo,
    ...(paces ? { paces } : {}),
    pulse: 'click',
    startTick,
    stopTick,
    landing,
    joinsNext,
    holdBeats,
    endTick,
    ...track,
  };
  return { run: shared, lines: [wholeLine(ground.passage, () => onsets)] };
}
