// An assignment as a session, in the words of the options of `fettle work`.

import type { Assignment, Lesson } from '../lesson/lesson.ts';
import { assignmentSpan, inAssignment } from '../lesson/lesson-text.ts';
import type { Asked } from '../lesson/outcome.ts';
import { ProblemError } from '../problem.ts';
import { UNNAMED_PLAYER } from '../record/entry.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { type SessionPlan, stepNames } from '../session/plan.ts';
import { assignmentPassage, type LessonArgument } from './lesson-file.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession } from './session-setup.ts';
import { need } from './usage-problem.ts';

/** What a pupil adds to an assignment: how they listen, and whose takes these are. */
export type OwnOptions = Omit<SessionOptions, keyof ReturnType<typeof askedOptions>>;

/**
 * The session that an assignment asks for. Throws a ProblemError that names the assignment, where this Fettle cannot make
 * its steps.
 */
export function planAssignment(
  { path, lesson }: LessonArgument,
  index: number,
  own: OwnOptions,
): SessionPlan {
  const assignment = lesson.assignments[index]!;
  try {
    const span = need(assignmentSpan(lesson, assignment));
    const named = { ...span, passage: assignmentPassage(lesson, index, path) };
    return planSession(named, { ...own, ...askedOptions(assignment) });
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    throw new ProblemError(inAssignment(error.problem, index, path));
  }
}

/** The assignment with its steps, as they are made here. */
export function askedIn(argument: LessonArgument, index: number, own: OwnOptions = {}): Asked {
  const plan = planAssignment(argument, index, own);
  return {
    assignment: argument.lesson.assignments[index]!,
    span: plan.span,
    steps: stepNames(plan),
  };
}

/** A player's takes of a lesson's music since it was made: a filter for each passage. */
export function lessonFilters({ passages, made }: Lesson, player = UNNAMED_PLAYER): TakeFilter[] {
  return Object.keys(passages).map((fingerprint) => ({ fingerprint, from: made, players: [player] }));
}

/** An assignment in the words of the command line. */
function askedOptions(assignment: Assignment) {
  const { passage: _, due: __, word: ___, tempo, goal, passes, ...words } = assignment;
  return {
    ...words,
    ...(goal === undefined || goal <= tempo
      ? { tempo: String(tempo), ...(passes === undefined ? {} : { passes: String(passes) }) }
      : { ladder: `${tempo}-${goal}` }),
  };
}
