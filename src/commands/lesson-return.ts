// `fettle lesson return`: one file for the teacher, from the pupil's practice record.

import { returnLines } from '../lesson/lesson-return.ts';
import { isOver, outcomeOf } from '../lesson/outcome.ts';
import { localDate } from '../local-date.ts';
import { EXIT, ProblemError } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import { counted } from '../wording/counted.ts';
import { readLessonFile } from './lesson-file.ts';
import { askedIn, lessonFilters } from './lesson-plan.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openReader, wholeEntries } from './record-reading.ts';
import { usage } from './usage-problem.ts';
import { fileStem, refuseOverwriting, writeWhole } from './written-file.ts';

export interface ReturnOptions extends RecordOptions {
  readonly name?: string;
  readonly out?: string;
  readonly force?: boolean;
}

const LONGEST_NAME = 60;

export async function returnLesson(path: string, options: ReturnOptions): Promise<void> {
  const lesson = readLessonFile(path);
  const name = pupilName(options);
  const out = options.out ?? `${fileStem(`${lesson.title} ${name}`)}.return`;
  refuseOverwriting(out, 'return', options.force);
  const asked = lesson.assignments.map((_, i) => askedIn({ path, lesson }, i));
  const takes: Entry[] = [];
  const reader = await openReader(options);
  try {
    for (const filter of lessonFilters(lesson, options.player))
      for await (const entry of wholeEntries(reader, filter)) takes.push(entry);
  } finally {
    await reader.close();
  }
  if (takes.length === 0) {
    throw new ProblemError({
      code: 'return.empty',
      message: `Cannot write what came of ${path}: nothing of it has been played yet`,
      hint: `fettle work ${path} begins; the same --player and --record are needed here.`,
      exitStatus: EXIT.record,
    });
  }
  takes.sort((a, b) => Date.parse(a.date) - Date.parse(b.date));
  const steps = asked.map((one) => one.steps);
  const lines = returnLines({ name, made: localDate(new Date()), lesson, asked: steps }, takes);
  writeWhole(out, `${lines.join('\n')}\n`);
  const over = asked.filter((one) => isOver(outcomeOf(one, takes))).length;
  print(
    `${counted(takes.length, 'take')} of ${lesson.title} in ${out}; ${over} of ${counted(asked.length, 'assignment')} over.`,
  );
  print(
    `Give this file to your teacher: your name (${name}), what you played of the lesson's music since ${lesson.made} and when. Nothing was sent anywhere.`,
  );
}

/** Throws a ProblemError. */
function pupilName({ name, player }: ReturnOptions): string {
  const given = (name ?? player)?.trim();
  if (given === undefined || given === '')
    throw usage(
      'return.name',
      'Cannot write the return: your teacher must know whose it is',
      'Add --name "Your Name".',
    );
  if ([...given].length <= LONGEST_NAME && !/[\x00-\x1f\x7f-\x9f]/.test(given)) return given;
  throw usage(
    'return.name',
    `Cannot use the name "${given}": up to ${LONGEST_NAME} characters of a line are needed`,
  );
}
