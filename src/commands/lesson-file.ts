// Lessons on the command line: a lesson's file, and LESSON#2 for one of its assignments.

import { existsSync, statSync } from 'node:fs';
import { readFileBytes, whyNotOpened } from '../devices/file-bytes.ts';
import { kindOf } from '../lesson/file-kind.ts';
import { type Lesson, musicOf } from '../lesson/lesson.ts';
import { readLesson } from '../lesson/lesson-text.ts';
import type { Passage } from '../music/passage.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { bundledPath } from './bundled-passages.ts';
import { need } from './usage-problem.ts';

/** A larger file is no lesson: even one with the music of a whole concert stays below this. */
const LARGEST_LESSON_BYTES = 32 * 1024 * 1024;

/** Throws a ProblemError. */
export function readLessonFile(path: string): Lesson {
  return need(readLesson(new TextDecoder().decode(readBytes(path, LARGEST_LESSON_BYTES)), path));
}

/** Throws a ProblemError ('lesson.missing'). */
export function readBytes(...asked: Parameters<typeof readFileBytes>): Uint8Array {
  try {
    return readFileBytes(...asked);
  } catch (error) {
    throw new ProblemError({
      code: 'lesson.missing',
      message: `Cannot open "${asked[0]}": ${whyNotOpened(error)}`,
      exitStatus: EXIT.unreadable,
    });
  }
}

export interface LessonArgument {
  /** The file's name as it was typed. */
  readonly path: string;
  readonly lesson: Lesson;
  /** Index of the assignment that was named, from 0. */
  readonly only?: number;
}

/** LESSON, or LESSON#2; undefined where the argument names something else. Throws a ProblemError. */
export function lessonArgument(argument: string): LessonArgument | undefined {
  const [, path = argument, number] = existsSync(argument) ? [] : (/^(.*)#(\d+)$/.exec(argument) ?? []);
  if (!isLessonFile(path)) return undefined;
  const lesson = readLessonFile(path);
  if (number === undefined) return { path, lesson };
  return { path, lesson, only: assignmentIndex(lesson, number, path) };
}

/** The music of an assignment as a passage, called as it is asked for again. */
export function assignmentPassage(lesson: Lesson, index: number, path: string): Passage {
  return { ...musicOf(lesson, lesson.assignments[index]!), name: `${path}#${index + 1}` };
}

/** From its number as it was typed. Throws a ProblemError. */
export function assignmentIndex({ assignments }: Lesson, number: string, path: string): number {
  const index = Number(number) - 1;
  if (assignments[index]) return index;
  throw new ProblemError({
    code: 'lesson.assignment',
    message: `Cannot find assignment ${number} of ${path}: it has ${assignments.length}`,
    hint: `fettle lesson show ${path} lists them.`,
    exitStatus: EXIT.unreadable,
  });
}

function isLessonFile(path: string): boolean {
  if (bundledPath(path) !== undefined || !statSync(path, { throwIfNoEntry: false })?.isFile()) return false;
  try {
    return kindOf(new TextDecoder().decode(readFileBytes(path, LARGEST_LESSON_BYTES))) === 'lesson';
  } catch {
    return false;
  }
}
