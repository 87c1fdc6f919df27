// What the player is told about a step before it is played: the drill's task, once, and where in the bar to enter.

import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import { onsetsOfAll } from '../drills/step.ts';
import { firstOfItsRun } from './rung.ts';
import type { Session, Stage } from './session.ts';
import type { StepEntry } from './step-entry.ts';
import { stepInForce } from './step-in-force.ts';

const GUIDED: ReadonlySet<Stage['kind']> = new Set(['listening', 'waiting', 'lead-in', 'entering']);

/** Whether the first note of the step is still to come, so that the player is told how to begin. */
export function isGuided({ stage }: Session): boolean {
  return GUIDED.has(stage.kind);
}

/** The drill whose task is told now: before its first step, until that step has been played once. */
export function taskDrill(session: Session): string | undefined {
  const { index, tallies, steps } = session;
  if (tallies[index]!.takes > 0 || firstOfItsRun(session) !== index) return undefined;
  return steps[index]!.drill;
}

/** Of the step at hand. */
export function stepEntry(session: Session): StepEntry {
  const step = stepInForce(session);
  const { run } = step;
  if (run.pulse === 'free') return { kind: 'free' };
  const knowsBars = run.clicks.some(({ accent }) => accent === 'bar') || run.leadInBeats === 0;
  if (!knowsBars) return { kind: 'lead-in' };
  const { tick } = onsetsOfAll(step)[0]!;
  const beat = beatAt(beatGrid(session.plan.span.passage), tick);
  return { kind: 'beat', place: beat.place, share: (tick - beat.tick) / beat.beatTicks };
}
