// `fettle lesson read`: what came back, one pupil or a class; in lines, as JSON or as a page.

import { statSync } from 'node:fs';
import { firstLine } from '../devices/file-bytes.ts';
import { type ClassWork, classWork } from '../lesson/class-work.ts';
import { readObject } from '../lesson/file-kind.ts';
import type { PupilWork } from '../lesson/pupil-work.ts';
import { grouped } from '../music/grouped.ts';
import { EXIT, type Problem, ProblemError } from '../problem.ts';
import { classLines, lessonTitle, pupilLines } from '../wording/lesson.ts';
import { type PupilRead, readOnThreads, readPupil } from './lesson-pupil.ts';
import { print, printTrouble } from './print.ts';
import { refuseOverwriting, writeWhole } from './written-file.ts';

export interface ClassOptions {
  readonly out?: string;
  readonly json?: boolean;
  readonly all?: boolean;
  readonly force?: boolean;
}

/** Judging every take of returns as large as this takes several seconds. */
const WORTH_SAYING_BYTES = 10_000_000;

/** Less than this is read sooner than a thread can be started. */
const WORTH_THREADS_BYTES = 4_000_000;

export async function readReturns(files: readonly string[], options: ClassOptions): Promise<void> {
  if (options.out !== undefined) refuseOverwriting(options.out, 'lesson', options.force);
  const problems: Problem[] = [];
  const pupils: PupilWork[] = [];
  const different = [...new Set(files)];
  const most = options.all ? Number.POSITIVE_INFINITY : judgedOfEach(different.length);
  for (const { pupil, problems: own } of await readPupils(different, most)) {
    problems.push(...own);
    if (pupil) pupils.push(pupil);
  }
  const lessons = new Map(pupils.map(({ lesson }) => [lesson.id, lesson]));
  const [common, ...others] = [...lessons.values()].toSorted((a, b) => pupilsOf(b.id) - pupilsOf(a.id));
  function pupilsOf(id: string): number {
    return pupils.filter(({ lesson }) => lesson.id === id).length;
  }
  for (const other of others) {
    for (const pupil of pupils.filter(({ lesson }) => lesson.id === other.id))
      problems.push({
        code: 'return.other',
        message: `Left out ${pupil.files.join(', ')}: it is of another lesson, ${lessonTitle(other)}`,
        exitStatus: EXIT.unreadable,
      });
  }
  if (common) await tell(classWork(pupils.filter(({ lesson }) => lesson.id === common.id)), options);
  for (const { message, hint } of problems.slice(0, common ? undefined : -1)) {
    printTrouble(`fettle: ${message}`);
    if (hint) printTrouble(`  ${hint}`);
  }
  const last = problems.at(-1);
  if (!last) return;
  if (!common) throw new ProblemError(last);
  process.exitCode = EXIT.unreadable;
}

async function tell(work: ClassWork, options: ClassOptions): Promise<void> {
  if (options.json)
    print(JSON.stringify((await import('../wording/class-json.ts')).classJson(work), null, 2));
  else {
    for (const { name, files } of work.pupils)
      if (files.length > 1)
        print(`${files.length} returns of ${name} are taken together: ${files.join(', ')}`);
    const [only, ...others] = work.pupils;
    const lines =
      others.length === 0 ? [lessonTitle(work.lesson), ...pupilLines(only!, work.lesson)] : classLines(work);
    for (const line of lines) print(line);
  }
  if (options.out === undefined) return;
  writeWhole(options.out, (await import('../report/class-page.ts')).classPage(work));
  if (!options.json) print(`Wrote ${options.out}`);
}

/** So many takes of all returns together can be judged again in a quarter of a second; of each return a few always are. */
const JUDGED_AGAIN = 200;
const LEAST_OF_EACH = 4;

/** How many takes of each return are judged again. */
function judgedOfEach(returns: number): number {
  return Math.max(LEAST_OF_EACH, Math.floor(JUDGED_AGAIN / returns));
}

/** One for each pupil of each lesson: returns of the same name are one pupil's. */
async function readPupils(files: readonly string[], most: number): Promise<PupilRead[]> {
  const groups = [...grouped(files, (file) => whoseReturn(file) ?? file).values()];
  const bytes = files.reduce((sum, file) => sum + (statSync(file, { throwIfNoEntry: false })?.size ?? 0), 0);
  if (most === Number.POSITIVE_INFINITY && bytes > WORTH_SAYING_BYTES)
    printTrouble('Judging every take again; 500 of them take about a second.');
  const isMuch = bytes > WORTH_THREADS_BYTES && groups.length > 1;
  return isMuch ? readOnThreads(groups, most) : groups.map((group) => readPupil(group, most));
}

/** Tells pupils and lessons apart; undefined where the file does not begin as a return does. */
function whoseReturn(file: string): string | undefined {
  const head = readObject(firstLine(file, LONGEST_HEAD_BYTES) ?? '');
  const { name, lesson } = (head ?? {}) as { name?: unknown; lesson?: { id?: unknown } | null };
  return typeof name === 'string' ? JSON.stringify([lesson?.id, name.normalize()]) : undefined;
}

/** A return begins with its lesson, and even one with the music of a whole concert stays below this. */
const LONGEST_HEAD_BYTES = 32 * 1024 * 1024;
