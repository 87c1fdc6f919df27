// `fettle work`: the main job.

import { hasLeft } from '../session/session.ts';
import { todayLines } from '../wording/today.ts';
import { refuseIdleClockOptions } from './idle-options.ts';
import { workToRemember } from './last-work.ts';
import { lessonArgument } from './lesson-file.ts';
import { workLesson } from './lesson-work.ts';
import { loadOwnSpan, loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession } from './session-setup.ts';
import { slicesFor } from './today.ts';
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
  await runWork(planSession(span, options), { ...options, remembered: workToRemember(argument, options) });
}

/** Nothing says what to do in the minutes: neither a drill nor anything that only one of them has a use for. */
function isUndecided(options: SessionOptions): boolean {
  return (['drill', 'ladder', 'snag', 'every', 'hold', 'note', 'variant', 'pulse'] as const).every(
    (name) => options[name] === undefined,
  );
}

const MINUTES_TODAY = '20';

/** Today's plan, slice by slice; whoever leaves a slice leaves the plan. */
async function workToday(options: SessionOptions & WorkPorts): Promise<void> {
  const slices = await slicesFor({ ...options, minutes: options.minutes ?? MINUTES_TODAY });
  for (const line of todayLines(slices)) print(line);
  for (const [i, slice] of slices.entries()) {
    if (slice.kind === 'rest') {
      print(`Rest for ${slice.minutes} minutes, then fettle work again. Stop if it hurts.`);
      return;
    }
    const { passage } = slice.work;
    const { drill, first, last, tempoBpm, snag } = slice.task;
    const own = {
      ...options,
      ...slice.work.selection,
      onsets: `${first}-${last}`,
      drill,
      tempo: String(tempoBpm),
      minutes: String(slice.minutes),
      ...(snag === undefined ? {} : { snag: String(snag) }),
    };
    const span = await loadSpan(passage, own);
    const isLast = i === slices.length - 1;
    const { session } = await runWork(planSession(span, own), { ...own, leavesAlone: !isLast });
    if (hasLeft(session)) return;
  }
}
