// The step being worked, as it is played now: dealt out among the players, at the tempo in force.

import { currentBpm } from '../coaching/ladder.ts';
import { dealtOut } from '../drills/dealt-out.ts';
import { clickedSlowly } from '../drills/slow-click.ts';
import type { Run, Step } from '../drills/step.ts';
import { roundedBpm } from '../music/tempo.ts';
import { bpmAt } from '../music/timing.ts';
import type { Session } from './session.ts';
import { atPulse } from './shared-pulse.ts';

export function stepInForce(session: Session): Step {
  const step = atTempoInForce(session);
  return { ...step, run: clickedSlowly(step.run, session.steps[session.index]!.click) };
}

function atTempoInForce({ plan, steps, index, pulse, tempoScale }: Session): Step {
  const { ladder } = steps[index]!;
  const step = dealtOut(steps[index]!.step, plan.players, plan.span.passage);
  if (pulse) return atPulse(step, pulse);
  const bpm = ladder ? currentBpm(ladder) : step.run.tempo.bpm;
  const tempo = { ...step.run.tempo, bpm: roundedBpm(bpm * tempoScale) };
  return { ...step, run: { ...step.run, tempo } };
}

/** The tempo at which a run begins: the one asked for, or what a change in the music before the run has made of it. */
export function bpmInForce(run: Run): number {
  return run.paces ? roundedBpm(bpmAt(run, run.startTick)) : run.tempo.bpm;
}
