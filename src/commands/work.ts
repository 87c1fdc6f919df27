// `fettle work`: working a passage, a lesson or today's plan.

import type { WorkSlice } from '../coaching/today.ts';
import { chooseSpan } from '../notation/choice/span.ts';
import { ProblemError } from '../problem.ts';
import { type SessionPlan, withNotice } from '../session/plan.ts';
import { hasLeft } from '../session/session.ts';
import { sliceWords, taskOptions, todayLines } from '../wording/today.ts';
import { refuseIdleClockOptions } from './idle-options.ts';
import { workToRemember } from './last-work.ts';
import { asItWasLeft } from './left-work.ts';
import { lessonArgument } from './lesson-file.ts';
import { workLesson } from './lesson-work.ts';
import { loadOwnSpan, loadSpan } from './passage-argument.ts';
import { print, printTrouble } from './print.ts';
import { printFolded } from './print-folded.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession } from './session-setup.ts';
import { slicesFor } from './today.ts';
import { need } from './usage-problem.ts';
import { workCourse } from './work-course.ts';

/** `typed`: the options that were typed, as commander names them. */
export async function work(
  argument: string | undefined,
  options: SessionOptions & WorkPorts,
  typed: readonly string[],
): Promise<void> {
  refuseIdleClockOptions(options);
  if (argument === undefined) {
    await workToday(options);
    return;
  }
  const lesson = lessonArgument(argument);
  if (lesson) {
    await workLesson(lesson, options, typed);
    return;
  }
  if (options.minutes !== undefined && isUndecided(options)) {
    await workCourse(argument, options);
    return;
  }
  const span = await loadOwnSpan(argument, options);
  const { own, told } = isUndecided(options) ? await asItWasLeft(span, options) : { own: options };
  const plan = planSession(need(chooseSpan(span.passage, own)), own);
  await runWork(withNotice(plan, told), { ...own, remembered: workToRemember(argument, own) });
}

/** Nothing says what to do in the minutes: neither a drill nor anything that only one of them has a use for. */
function isUndecided(options: SessionOptions): boolean {
  return (['drill', 'ladder', 'snag', 'every', 'hold', 'note', 'variant', 'pulse'] as const).every(
    (name) => options[name] === undefined,
  );
}

const MINUTES_TODAY = '20';

/**
 * Today's plan, slice by slice; whoever leaves a slice leaves the plan. A passage that cannot be worked, as one whose file
 * has gone, is told and costs no other.
 */
async function workToday(options: SessionOptions & WorkPorts): Promise<void> {
  const slices = await slicesFor({ ...options, minutes: options.minutes ?? MINUTES_TODAY });
  await printFolded(todayLines(slices));
  const leftOut = new Set<string>();
  let problem: ProblemError | undefined;
  let worked = 0;
  for (const [i, slice] of slices.entries()) {
    if (slice.kind === 'rest') {
      print(`Rest for ${slice.minutes} minutes, then fettle work again. Stop if it hurts.`);
      return;
    }
    try {
      const { plan, own } = await planSlice(slice, options);
      const words = sliceWords(slice, i + 1, slices.length);
      const isLast = i === slices.length - 1;
      const { session } = await runWork(withNotice(plan, words), { ...own, leavesAlone: !isLast });
      worked += 1;
      if (hasLeft(session)) return;
    } catch (error) {
      // What stops a session itself would stop the next one, too.
      if (!(error instanceof PlanProblem)) throw error;
      problem = error;
      if (!leftOut.has(error.message)) printTrouble(`fettle: left out: ${error.message}`);
      leftOut.add(error.message);
    }
  }
  if (worked === 0 && problem) throw problem;
}

/** Thrown where a slice cannot be planned. */
class PlanProblem extends ProblemError {}

async function planSlice(
  { work: { passage, selection }, task, minutes }: WorkSlice,
  { tempo: _, passes, ...options }: SessionOptions & WorkPorts,
): Promise<{ plan: SessionPlan; own: SessionOptions & WorkPorts }> {
  const own = {
    ...options,
    // A ladder has its own way of passing a step.
    ...(passes === undefined || task.ladder ? {} : { passes }),
    ...selection,
    ...taskOptions(task),
    minutes: String(minutes),
  };
  try {
    return { plan: planSession(await loadSpan(passage, own), own), own };
  } catch (error) {
    throw error instanceof ProblemError ? new PlanProblem(error.problem) : error;
  }
}
