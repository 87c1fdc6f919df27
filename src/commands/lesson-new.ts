// `fettle lesson new` and `fettle lesson add`: a lesson from passages and the options of `fettle work`; every assignment is
// planned once before it is written, so that what is handed out runs.

import { randomUUID } from 'node:crypto';
import { existsSync, realpathSync } from 'node:fs';
import { basename, extname } from 'node:path';
import type { Assignment, Lesson } from '../lesson/lesson.ts';
import { lessonText } from '../lesson/lesson-text.ts';
import { localDay } from '../local-date.ts';
import type { Passage } from '../music/passage.ts';
import { onsetNumbered } from '../music/span.ts';
import { tempoAt } from '../music/timing.ts';
import { ProblemError } from '../problem.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import { lessonLines } from '../wording/lesson.ts';
import { typedWord } from '../wording/typed-word.ts';
import { readDay } from './day-argument.ts';
import { readLessonFile } from './lesson-file.ts';
import { planAssignment } from './lesson-plan.ts';
import { tempoBpm, wholeNumber } from './number-argument.ts';
import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import type { DrillOptions } from './session-options.ts';
import { planSteps, readTolerance, SLOW } from './session-setup.ts';
import { usage } from './usage-problem.ts';
import { refuseOverwriting, writeWhole } from './written-file.ts';

export interface AssignmentOptions extends DrillOptions {
  readonly goal?: string;
  readonly tolerance?: string;
  readonly touch?: 'even';
  readonly passes?: string;
  readonly due?: string;
  readonly word?: string;
}

export interface NewLessonOptions extends AssignmentOptions {
  readonly title?: string;
  readonly teacher?: string;
  readonly force?: boolean;
}

export async function newLesson(
  file: string,
  passages: readonly string[],
  options: NewLessonOptions,
): Promise<void> {
  refuseOverwriting(file, 'lesson', options.force);
  const { title, teacher } = options;
  const made = await assignmentsFor(passages, options);
  writeLesson(file, {
    id: randomUUID().slice(0, 8),
    title: title ?? basename(file, extname(file)),
    ...(teacher === undefined ? {} : { teacher }),
    made: localDay(new Date()),
    ...made,
  });
}

export async function addToLesson(
  file: string,
  passages: readonly string[],
  options: AssignmentOptions,
): Promise<void> {
  const lesson = readLessonFile(file);
  const added = await assignmentsFor(passages, options);
  writeLesson(file, {
    ...lesson,
    assignments: [...lesson.assignments, ...added.assignments],
    passages: { ...lesson.passages, ...added.passages },
  });
}

function writeLesson(file: string, lesson: Lesson): void {
  // What cannot be worked is not handed out.
  for (const index of lesson.assignments.keys()) planAssignment({ path: file, lesson }, index, {});
  // Where the name is a link, what it leads to is written.
  writeWhole(existsSync(file) ? realpathSync(file) : file, lessonText(lesson));
  for (const line of lessonLines(lesson)) print(line);
  print(`Written to ${file}. The pupil works it with: fettle work ${typedWord(file)}`);
}

async function assignmentsFor(
  passages: readonly string[],
  options: AssignmentOptions,
): Promise<Pick<Lesson, 'assignments' | 'passages'>> {
  const music: Record<string, Passage> = {};
  const assignments: Assignment[] = [];
  for (const argument of passages) {
    const { passage, assignment } = await assignmentFor(argument, options).catch((error: unknown) => {
      throw passages.length > 1 && error instanceof ProblemError ? ofPassage(argument, error) : error;
    });
    music[assignment.passage] = passage;
    assignments.push(assignment);
  }
  return { assignments, passages: music };
}

/** Of several passages it is told which one is meant, for the options are those of all. */
function ofPassage(argument: string, { problem }: ProblemError): ProblemError {
  if (problem.message.includes(argument)) return new ProblemError(problem);
  const alone = `The options count for every passage named: fettle lesson add takes ${argument} by itself.`;
  return new ProblemError({
    ...problem,
    message: `${problem.message}, in ${argument}`,
    hint: problem.hint === undefined ? alone : `${problem.hint} ${alone}`,
  });
}

async function assignmentFor(
  argument: string,
  options: AssignmentOptions,
): Promise<{ passage: Passage; assignment: Assignment }> {
  const span = await loadSpan(argument, options);
  const { passage } = span;
  const goal = options.goal === undefined ? undefined : tempoBpm(options.goal);
  const tempo = startTempo(
    tempoAt(passage, onsetNumbered(passage, span.first).tick).bpm,
    goal,
    options.tempo,
  );
  // The snag as it is foreseen here: the pupil's Fettle shall not choose another.
  const [first] = planSteps(span, options);
  const { snags } = first!.settings;
  const passes =
    options.passes === undefined
      ? undefined
      : wholeNumber(options.passes, 'the number of clean takes', { least: 1, most: 20 });
  const climbs = goal !== undefined && goal > tempo;
  if (climbs && passes !== undefined) {
    throw usage(
      'lesson.passes',
      'Cannot use --passes where a ladder is climbed: a step is done when its top rung is held',
      'Leave out --passes, or --goal.',
    );
  }
  const { bars, onsets, mark, every, hold, note, variant, pulse, touch, word } = options;
  return {
    passage,
    assignment: {
      passage: passageFingerprint(passage),
      ...given({ bars, onsets, mark }),
      drill: options.drill ?? 'landings',
      tempo,
      ...given({ goal }),
      tolerance: readTolerance(options.tolerance).name,
      ...(climbs ? {} : { passes: passes ?? 3 }),
      ...given({ snag: options.snag ?? snags?.join() }),
      ...given({ every, hold, note, variant, pulse, touch }),
      ...given({ due: options.due === undefined ? undefined : dueDay(options.due) }),
      ...given({ word }),
    },
  };
}

/** Where it begins: as told, or slowly, at two thirds of where it is to get to. */
function startTempo(writtenBpm: number, goal: number | undefined, asked: string | undefined): number {
  const tempo = asked === undefined ? Math.max(10, Math.round((goal ?? writtenBpm) * SLOW)) : tempoBpm(asked);
  if (goal === undefined || goal >= tempo) return tempo;
  throw usage('lesson.goal', `Cannot ask for a goal of ${goal}: it is slower than the beginning, ${tempo}`);
}

function dueDay(text: string): string {
  const day = readDay(text);
  if (day >= localDay(new Date())) return day;
  throw usage('lesson.due', `Cannot ask for it by ${day}: that day is over`);
}

/** Without the fields that were not given. */
function given<T extends object>(options: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(options).filter(([, value]) => value !== undefined)) as never;
}
