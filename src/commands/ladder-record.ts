// Ladders are taken up where they were left, when the same one is asked for.

import { leftLadder } from '../coaching/ladder-left.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { SessionPlan } from '../session/plan.ts';

export function takeUpLadders(plan: SessionPlan, record: PracticeRecord): SessionPlan {
  const { passage, first, last } = plan.span;
  const fingerprint = passageFingerprint(passage);
  const steps = plan.steps.map((planned) => {
    const { ladder, drill, step } = planned;
    if (!ladder) return planned;
    const takes = record
      .headings({ fingerprint, drill })
      .filter((take) => take.first === first && take.last === last && take.player === plan.players[0]!.id)
      .filter(({ stepName }) => ladder.plan.by === 'round' || stepName === step.run.name);
    return { ...planned, ladder: leftLadder(ladder, takes) };
  });
  const { ladder } = steps[0]!;
  if (!ladder || ladder.rung === 0) return { ...plan, steps };
  const bpm = Math.round(ladder.rungs[ladder.rung]! * 10) / 10;
  const told = `The ladder goes on from rung ${ladder.rung + 1} of ${ladder.rungs.length}, ${bpm} a minute; --afresh begins at the bottom.`;
  return { ...plan, steps, notice: [plan.notice, told].filter((one) => one !== undefined).join(' ') };
}
