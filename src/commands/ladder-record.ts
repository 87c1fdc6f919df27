// Ladders are taken up where they were left, when the same one is asked for.

import type { Ladder } from '../coaching/ladder.ts';
import { ladderKey, recallLadder } from '../coaching/ladder-memory.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { SessionPlan } from '../session/plan.ts';
import { ladderName } from '../session/rung.ts';

export function takeUpLadders(plan: SessionPlan, record: PracticeRecord): SessionPlan {
  const steps = plan.steps.map((planned) => {
    if (!planned.ladder) return planned;
    const kept = record.recall(ladderKey(plan.span, ladderName(planned)));
    return kept === undefined ? planned : { ...planned, ladder: takenUp(kept, planned.ladder) };
  });
  const { ladder } = steps[0]!;
  if (!ladder || ladder.rung === 0) return { ...plan, steps };
  const bpm = Math.round(ladder.rungs[ladder.rung]! * 10) / 10;
  const told = `The ladder goes on from rung ${ladder.rung + 1} of ${ladder.rungs.length}, ${bpm} a minute; --afresh begins at the bottom.`;
  return { ...plan, steps, notice: [plan.notice, told].filter((one) => one !== undefined).join(' ') };
}

/** A ladder that was held at the goal is shown once more to hold there. What cannot be read starts anew. */
function takenUp(kept: unknown, asked: Ladder): Ladder {
  const recalled = recallLadder(kept);
  if (!recalled.ok || JSON.stringify(recalled.value.plan) !== JSON.stringify(asked.plan)) return asked;
  return { ...recalled.value, done: false, cleanInRow: 0 };
}
