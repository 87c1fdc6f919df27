// `fettle lesson read`: what came back, one pupil or a class; in lines, as JSON or as a page.

import { statSync } from 'node:fs';
import { type ClassWork, classWork } from '../lesson/class-work.ts';
import type { PupilWork } from '../lesson/pupil-work.ts';
import { EXIT, type Problem, ProblemError } from '../problem.ts';
import { classPage } from '../report/class-page.ts';
import { classJson } from '../wording/class-json.ts';
import { classLines, lessonTitle, pupilLines } from '../wording/lesson.ts';
import { refuseOverwriting, writeWhole } from './convert.ts';
import { type PupilRead, readOnThreads, readPupil } from './lesson-pupil.ts';
import { print, printTrouble } from './print.ts';

export interface ClassOptions {
  readonly out?: string;
  readonly json?: boolean;
  readonly all?: boolean;
  readonly force?: boolean;
}

/** So little is read in less time than a thread takes to start. */
const WORTH_THREADS_BYTES = 4_000_000;

export async function readReturns(files: readonly string[], options: ClassOptions): Promise<void> {
  if (options.out !== undefined) refuseOverwriting(options.out, 'lesson', options.force);
  const problems: Problem[] = [];
  const pupils: PupilWork[] = [];
  for (const { pupil, problems: own } of await readPupils([...new Set(files)], options.all ?? false)) {
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
  if (common) tell(classWork(pupils.filter(({ lesson }) => lesson.id === common.id)), options);
  for (const { message, hint } of problems.slice(0, common ? undefined : -1)) {
    printTrouble(`fettle: ${message}`);
    if (hint) printTrouble(`  ${hint}`);
  }
  const last = problems.at(-1);
  if (!last) return;
  if (!common) throw new ProblemError(last);
  process.exitCode = EXIT.unreadable;
}

function tell(work: ClassWork, options: ClassOptions): void {
  if (options.json) print(JSON.stringify(classJson(work), null, 2));
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
  writeWhole(options.out, classPage(work));
  if (!options.json) print(`Wrote ${options.out}`);
}

/** One for each pupil of each lesson: returns of the same name are one pupil's. */
async function readPupils(files: readonly string[], all: boolean): Promise<PupilRead[]> {
  const each = await readGroups(
    files.map((file) => [file]),
    all,
  );
  const byPupil = new Map<string, PupilRead[]>();
  for (const [i, read] of each.entries()) {
    const { pupil } = read;
    const key = JSON.stringify(pupil ? [pupil.lesson.id, pupil.name.normalize()] : i);
    byPupil.set(key, [...(byPupil.get(key) ?? []), read]);
  }
  const several = [...byPupil.values()].filter(({ length }) => length > 1);
  const merged = await readGroups(
    several.map((reads) => reads.flatMap(({ pupil }) => pupil?.files ?? [])),
    all,
  );
  return [...[...byPupil.values()].filter(({ length }) => length === 1).flat(), ...merged];
}

async function readGroups(groups: readonly (readonly string[])[], all: boolean): Promise<PupilRead[]> {
  const bytes = groups
    .flat()
    .reduce((sum, file) => sum + (statSync(file, { throwIfNoEntry: false })?.size ?? 0), 0);
  const isMuch = bytes > WORTH_THREADS_BYTES && groups.length > 1;
  return isMuch ? readOnThreads(groups, all) : groups.map((group) => readPupil(group, all));
}
