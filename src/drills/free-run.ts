// A run that is not tied to the bar, made into a step: ticks count from the step's own start; entered freely and even
// against the take's own pace, unless a click is asked for.

import type { Passage } from '../music/passage.ts';
import type { Tempo } from '../music/tempo.ts';
import { REST_BEATS } from './beat-run.ts';
import { wholeLine } from './dealt-out.ts';
import type { ClickMark, Run, Step, StepOnset } from './step.ts';

export interface FreeRun {
  readonly name: string;
  readonly tempo: Tempo;
  /** Tick of the last onset. */
  readonly stopTick: number;
  /** The first at tick 0. Called once, when a step's onsets are first looked at. */
  writeOut(): readonly StepOnset[];
  /** Absent: every beat of the tempo. */
  readonly beats?: readonly number[];
  /** Clicks counted before it, and then on every beat of the tempo; absent or 0: no click. */
  readonly leadInBeats?: number;
}

/**
 * The onsets of a free step are written out when they are first looked at: a switchback over 1,000 onsets has a
 * million notes, of which a player meets one lap at a time. Copies and comparisons see plain data.
 */
export function freeStep(passage: Passage, run: FreeRun): Step {
  const { name, tempo, stopTick, leadInBeats = 0 } = run;
  const endTick = stopTick + REST_BEATS * tempo.beatTicks;
  // A run within one long beat has no boundary of its own: it stops at its end.
  let beats = run.beats?.some((tick) => tick > 0) === false ? [...run.beats, endTick] : run.beats;
  let clicks: readonly ClickMark[] | undefined;
  const shared: Run = {
    name,
    tempo,
    pulse: leadInBeats > 0 ? 'click' : 'free',
    startTick: 0,
    stopTick,
    landing: false,
    joinsNext: false,
    leadInBeats,
    holdBeats: REST_BEATS,
    endTick,
    get clicks() {
      clicks ??= leadInBeats > 0 ? evenClicks(tempo, { leadInBeats, endTick }) : [];
      return clicks;
    },
    get beats() {
      beats ??= everyBeat(tempo, endTick);
      return beats;
    },
  };
  return { run: shared, lines: [wholeLine(passage, () => run.writeOut())] };
}

/** Beats of the tempo from 0 to a tick, both inclusive. */
function everyBeat(tempo: Tempo, toTick: number): number[] {
  return Array.from({ length: Math.floor(toTick / tempo.beatTicks) + 1 }, (_, k) => k * tempo.beatTicks);
}

/** This click knows no bars: the run is not tied to them. */
function evenClicks(
  tempo: Tempo,
  { leadInBeats, endTick }: Record<'leadInBeats' | 'endTick', number>,
): ClickMark[] {
  const count = leadInBeats + Math.ceil(endTick / tempo.beatTicks);
  return Array.from({ length: count }, (_, k) => ({
    tick: (k - leadInBeats) * tempo.beatTicks,
    accent: 'beat',
  }));
}
