// `fettle work` goes on where it was left: at the step that was being worked, after the one before it has been played
// once more, clean, when a night lies between.

import { ROUNDED_BPM } from '../music/tempo.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { standingOf } from '../record/standing.ts';
import { type SessionPlan, stepNames, withNotice } from '../session/plan.ts';
import { takesOfPlan } from './plan-takes.ts';

/** Takes that are looked at: the last sitting is among them. */
const LATEST = 500;

const AFRESH = '--afresh begins again.';

/** `today`: the local day. A ladder has its own way of going on, and a survey none. */
export async function takeUpWork(
  plan: SessionPlan,
  record: PracticeRecord,
  today: string,
): Promise<SessionPlan> {
  if (plan.runThroughs !== undefined || plan.steps.some(({ ladder }) => ladder)) return plan;
  const takes = await takesOfPlan(plan, record, LATEST);
  const names = stepNames(plan);
  const standing = standingOf(takes, names);
  if (!standing) return plan;
  const { next, lastPassed, skipped, day, tempoBpm } = standing;
  const check = day === today ? undefined : lastPassed;
  if (next >= names.length) {
    // At another tempo it is to be worked from the beginning.
    const isOfThis = Math.abs(plan.steps.at(-1)!.step.run.tempo.bpm - tempoBpm) <= ROUNDED_BPM;
    if (check === undefined || !isOfThis) return plan;
    const all =
      names.length === 1
        ? 'It was passed'
        : skipped.length === 0
          ? `All ${names.length} steps were passed`
          : `${names.length - skipped.length} of ${names.length} steps were passed`;
    const again = names.length === 1 ? 'once more' : 'the last one once more';
    return {
      ...withNotice(plan, `${all} on ${day}: ${again}, clean, to see whether it held. ${AFRESH}`),
      startsAt: { index: check, onceClean: true, skipped },
    };
  }
  if (next === 0) return plan;
  const told =
    check !== undefined
      ? `Taken up at step ${next + 1} of ${names.length}, left on ${day}: first step ${check + 1} once more, clean, to see whether it held. ${AFRESH}`
      : `Taken up at step ${next + 1} of ${names.length}. ${AFRESH}`;
  return {
    ...withNotice(plan, told),
    startsAt: { index: check ?? next, onceClean: check !== undefined, skipped },
  };
}
