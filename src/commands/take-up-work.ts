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
  const { next, passedBefore, day, tempoBpm } = standing;
  const checks = passedBefore && day !== today;
  if (next >= names.length) {
    // At another tempo it is to be worked from the beginning.
    const isOfThis = Math.abs(plan.steps.at(-1)!.step.run.tempo.bpm - tempoBpm) <= ROUNDED_BPM;
    if (!checks || !isOfThis) return plan;
    const all = names.length === 1 ? 'It was passed' : `All ${names.length} steps were passed`;
    const again = names.length === 1 ? 'once more' : 'the last one once more';
    return {
      ...withNotice(plan, `${all} on ${day}: ${again}, clean, to see whether it held. ${AFRESH}`),
      startsAt: { index: names.length - 1, onceClean: true },
    };
  }
  if (next === 0) return plan;
  const told = checks
    ? `Taken up at step ${next + 1} of ${names.length}, left on ${day}: first step ${next} once more, clean, to see whether it held. ${AFRESH}`
    : `Taken up at step ${next + 1} of ${names.length}. ${AFRESH}`;
  return { ...withNotice(plan, told), startsAt: { index: checks ? next - 1 : next, onceClean: checks } };
}
