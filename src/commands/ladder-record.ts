// Ladders are taken up where they were left, when the same one is asked for.

import type { Ladder } from '../coaching/ladder.ts';
import { ladderKey, recallLadder } from '../coaching/ladder-memory.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { stepKey } from '../session/conclude.ts';
import type { SessionPlan } from '../session/plan.ts';

export function takeUpLadders(plan: SessionPlan, record: PracticeRecord): SessionPlan {
  const steps = plan.steps.map((planned) => {
    if (!planned.ladder) return planned;
    const kept = record.recall(ladderKey(plan.span, stepKey(planned.drill, planned.step.run.name)));
    return kept === undefined ? planned : { ...planned, ladder: takenUp(kept, planned.ladder) };
  });
  return { ...plan, steps };
}

/** A ladder that was held at the goal is shown once more to hold there. What cannot be read starts anew. */
function takenUp(kept: unknown, asked: Ladder): Ladder {
  const recalled = recallLadder(kept);
  if (!recalled.ok || JSON.stringify(recalled.value.plan) !== JSON.stringify(asked.plan)) return asked;
  return { ...recalled.value, done: false, cleanInRow: 0 };
}
