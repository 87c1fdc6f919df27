// Where the step being worked stands on its ladder. The ladder lies with the steps, so that a step which is left and come
// back to stands where it stood.

import type { Ladder } from '../coaching/ladder.ts';
import { onOtherStep } from '../coaching/rounds.ts';
import type { PlannedStep } from './plan.ts';
import type { Session } from './session.ts';

export function ladderOf({ steps, index }: Pick<Session, 'steps' | 'index'>): Ladder | undefined {
  return steps[index]!.ladder;
}

/** By rounds all steps of the drill stand on one rung. */
export function withLadder(session: Session, ladder: Ladder): Session {
  const { steps, index } = session;
  const here = steps[index]!;
  const shares = (one: PlannedStep) =>
    one === here || (ladder.plan.by === 'round' && one.drillRun === here.drillRun);
  return { ...session, steps: steps.map((one) => (shares(one) ? { ...one, ladder } : one)) };
}

/** What was counted on another step of the same ladder does not count here. */
export function withFreshCounts(session: Session): Session {
  const ladder = ladderOf(session);
  if (!ladder) return session;
  const fresh = onOtherStep(ladder);
  return fresh === ladder ? session : withLadder(session, fresh);
}

/** The player's own tempo below the rung's proves nothing about the rung. */
export function countsForRung({ tempoScale }: Session): boolean {
  return tempoScale >= 1;
}

export function isLastOfItsRun({ steps, index }: Pick<Session, 'steps' | 'index'>): boolean {
  return steps[index + 1]?.drillRun !== steps[index]!.drillRun;
}

export function firstOfItsRun({ steps, index }: Session): number {
  const { drillRun } = steps[index]!;
  return steps.findIndex((one) => one.drillRun === drillRun);
}
