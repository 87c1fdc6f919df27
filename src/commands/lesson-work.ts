// `fettle work LESSON`: its assignments in order, each taken up where it stopped; what is over is passed by.

import type { Lesson } from '../lesson/lesson.ts';
import { type Asked, isOver, outcomeOf } from '../lesson/outcome.ts';
import type { EntrySummary } from '../record/entry.ts';
import { withNotice } from '../session/plan.ts';
import { hasLeft, isTimeUp } from '../session/session.ts';
import { assignmentNotice, lessonLines, stateWords } from '../wording/lesson.ts';
import type { LessonArgument } from './lesson-file.ts';
import { askedIn, lessonFilters, planAssignment } from './lesson-plan.ts';
import { wholeNumber } from './number-argument.ts';
import { print } from './print.ts';
import { openReaderOrNew } from './record-reading.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import type { SessionOptions } from './session-options.ts';
import { isSimulated } from './source-argument.ts';
import { usage } from './usage-problem.ts';

/** The options that the lesson alone decides. */
const ASKED = [
  'bars',
  'onsets',
  'mark',
  'part',
  'voice',
  'hand',
  'melody',
  'instrument',
  'tempo',
  'drill',
  'snag',
  'every',
  'hold',
  'groups',
  'note',
  'variant',
  'pulse',
  'tolerance',
  'passes',
  'ladder',
  'stepByStep',
  'up',
  'jump',
  'alternate',
] as const;

/** `typed`: the options that were typed, as commander names them. */
export async function workLesson(
  argument: LessonArgument,
  options: SessionOptions & WorkPorts,
  typed: readonly string[],
): Promise<void> {
  const said = ASKED.find((name) => typed.includes(name));
  if (said !== undefined) {
    const option = said === 'stepByStep' ? 'step-by-step' : said;
    throw usage(
      'lesson.option',
      `Cannot use --${option} with a lesson: the lesson says what is worked and how`,
      `To work its music in your own way: fettle work PASSAGE, as fettle show ${argument.path}#1 shows it.`,
    );
  }
  const own = Object.fromEntries(
    Object.entries(options).filter(([name]) => !ASKED.some((asked) => asked === name)),
  ) as SessionOptions & WorkPorts;
  const { lesson, only } = argument;
  const indexes = only === undefined ? [...lesson.assignments.keys()] : [only];
  const asked = lesson.assignments.map((_, i) => askedIn(argument, i, own));
  const outcomes = await outcomesIn(lesson, asked, own);
  const marks = outcomes.map((outcome, i) => stateWords(outcome, lesson.assignments[i]!.due));
  for (const line of lessonLines(lesson, marks)) print(line);
  const open = indexes.filter((i) => own.afresh || only !== undefined || !isOver(outcomes[i]!));
  if (open.length === 0) {
    print(
      `Nothing of it is left to be worked. fettle lesson return ${argument.path} writes what your teacher reads.`,
    );
    return;
  }
  const minutes =
    own.minutes === undefined ? undefined : wholeNumber(own.minutes, 'the minutes', { least: 1, most: 240 });
  let workedMicros = 0;
  for (const [i, index] of open.entries()) {
    const left = minutes === undefined ? undefined : minutes - Math.floor(workedMicros / 60_000_000);
    const plan = planAssignment(argument, index, {
      ...own,
      ...(left === undefined ? {} : { minutes: String(left) }),
    });
    const { session } = await runWork(
      withNotice({ ...plan, notice: assignmentNotice(lesson, index) }, plan.notice),
      { ...own, leavesAlone: own.leavesAlone === true || i < open.length - 1, startsNow: true },
    );
    workedMicros += session.workedMicros;
    // Whoever leaves an assignment leaves the lesson.
    if (isTimeUp(session) || hasLeft(session)) return;
  }
}

/** How it stands with each assignment, from the record. */
async function outcomesIn(lesson: Lesson, asked: readonly Asked[], own: SessionOptions & WorkPorts) {
  // A simulated player has no record but one that is named.
  if (own.record === undefined && isSimulated(own.from)) return asked.map((one) => outcomeOf(one, []));
  const reader = await openReaderOrNew(own);
  try {
    const takes: EntrySummary[] = [];
    for (const filter of lessonFilters(lesson, own.player)) takes.push(...(await reader.summaries(filter)));
    return asked.map((one) => outcomeOf(one, takes));
  } finally {
    await reader.close();
  }
}
