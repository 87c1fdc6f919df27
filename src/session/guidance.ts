// What the player is told about a step before it is played: the drill's task, once, and where in the bar to enter.

import { beatAt, beatGrid } from '../drills/beat-grid.ts';
import { onsetsOfAll, type Step } from '../drills/step.ts';
import { entryWords, taskWords } from '../wording/practice.ts';
import { firstOfItsRun } from './rung.ts';
import type { Session } from './session.ts';
import { stepInForce } from './step-in-force.ts';

/** The drill's task: before its first step, until that has been played once. */
export function taskOf(session: Session): string | undefined {
  const { index, tallies, steps } = session;
  if (tallies[index]!.takes > 0 || firstOfItsRun(session) !== index) return undefined;
  return taskWords(steps[index]!.drill);
}

/** Where the step at hand is entered, as a clause. */
export function entryOf(session: Session): string {
  return entryOfStep(session, stepInForce(session));
}

function entryOfStep({ plan }: Session, step: Step): string {
  const { run } = step;
  if (run.pulse === 'free') return 'enter when you like';
  const { tick } = onsetsOfAll(step)[0]!;
  const beat = beatAt(beatGrid(plan.span.passage), tick);
  return entryWords({
    place: beat.place,
    share: (tick - beat.tick) / beat.beatTicks,
    barred: run.clicks.some(({ accent }) => accent === 'bar') || run.leadInBeats === 0,
  });
}
