// Ladders are taken up where they were left, when the same one is asked for.

import { leftLadder } from '../coaching/ladder-left.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { type SessionPlan, withNotice } from '../session/plan.ts';
import { takesOfPlan } from './plan-takes.ts';

export async function takeUpLadders(plan: SessionPlan, record: PracticeRecord): Promise<SessionPlan> {
  if (!plan.steps.some(({ ladder }) => ladder)) return plan;
  const climbed = await takesOfPlan(plan, record);
  const steps = plan.steps.map((planned) => {
    const { ladder, drill, step } = planned;
    if (!ladder) return planned;
    const takes = climbed.filter(
      (take) => take.drill === drill && (ladder.plan.by === 'round' || take.stepName === step.run.name),
    );
    return { ...planned, ladder: leftLadder(ladder, takes) };
  });
  const { ladder } = steps[0]!;
  if (!ladder || ladder.rung === 0) return { ...plan, steps };
  const bpm = Math.round(ladder.rungs[ladder.rung]! * 10) / 10;
  const told = `The ladder goes on from rung ${ladder.rung + 1} of ${ladder.rungs.length}, ${bpm} a minute; --afresh begins at the bottom.`;
  return withNotice({ ...plan, steps }, told);
}
