// What comes back of a lesson: one file with the lesson, the steps as they were asked, and the pupil's takes with their
// raw events, in the lines of the record's exchange. The last line has a checksum over all lines before it: a check
// against accidents, and no proof, for whoever changes a line on purpose can work it out anew.

import { createHash } from 'node:crypto';
import * as v from 'valibot';
import { EXIT, fail, ok, type Problem, type Result } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import { ExchangeWriter } from '../record/exchange-writer.ts';
import type { StepName } from '../record/standing.ts';
import { kindWords, RETURN_KIND, readObject } from './file-kind.ts';
import type { ReturnedTake } from './judged-again.ts';
import type { Lesson } from './lesson.ts';
import { checkedSpan, checkLesson, lessonObject } from './lesson-text.ts';
import type { Asked } from './outcome.ts';
import { readTakes } from './returned-takes.ts';
import { TextLines } from './text-lines.ts';

const RETURN_FORMAT = 1;

export interface ReturnHead {
  /** Of the pupil, for the teacher. */
  readonly name: string;
  /** ISO 8601, local, with its offset. */
  readonly made: string;
  readonly lesson: Lesson;
  /** The steps of each assignment, as the pupil's Fettle made them. */
  readonly asked: readonly (readonly StepName[])[];
}

export interface LessonReturn extends ReturnHead {
  /** In order of playing, as they are judged here. */
  readonly takes: readonly ReturnedTake[];
}

const headSchema = v.looseObject({
  fettle: v.literal(RETURN_KIND),
  format: v.literal(RETURN_FORMAT),
  name: v.pipe(v.string(), v.minLength(1)),
  made: v.string(),
  lesson: v.looseObject({}),
  asked: v.array(v.array(v.strictObject({ drill: v.string(), name: v.string() }))),
});

/** The lines of the file, without ends of lines. */
export function returnLines({ name, made, lesson, asked }: ReturnHead, takes: readonly Entry[]): string[] {
  const writer = new ExchangeWriter();
  const lines = [
    JSON.stringify({
      fettle: RETURN_KIND,
      format: RETURN_FORMAT,
      name,
      made,
      lesson: lessonObject(lesson),
      asked,
    }),
    ...writer.passage(undefined),
    ...takes.flatMap((entry) => writer.take(entry)),
  ];
  return [...lines, JSON.stringify({ takes: takes.length, checksum: checksum(`${lines.join('\n')}\n`) })];
}

/**
 * `file`: for people. `most`: so many takes are judged again, and all of them where one turns out otherwise than this
 * judge is said to have judged it.
 * Problems: 'return.not-one', 'return.newer', 'return.damaged', 'return.changed', and those of its lesson.
 */
export function readReturn(
  content: Uint8Array,
  file: string,
  most = Number.POSITIVE_INFINITY,
): Result<LessonReturn> {
  const lines = new TextLines(content);
  const head = readHead(lines, file);
  if (!head.ok) return head;
  const seal = readObject(lines.at(lines.count - 1));
  if (typeof seal?.checksum !== 'string')
    return trouble('damaged', `Cannot read ${file}: its end is missing`, SEND_AGAIN);
  if (seal.checksum !== checksum(lines.before(lines.count - 1)))
    return trouble(
      'changed',
      `Cannot use ${file}: it is not as Fettle wrote it for ${head.value.name}: its checksum does not fit`,
      'It was changed or damaged on the way. Ask for it again: fettle lesson return writes it anew from the record.',
    );
  const read = readTakes(lines, askedInReturn(head.value), most);
  return read.ok ? ok({ ...head.value, takes: read.takes }) : fail(damaged(file, read.line, read.why));
}

/** What its first line says, the lesson checked. */
function readHead(lines: TextLines, file: string): Result<ReturnHead> {
  const first = readObject(lines.at(0));
  const found = first?.fettle === RETURN_KIND ? first : readObject(lines.text);
  if (!found && lines.at(0).startsWith(`{"fettle":"${RETURN_KIND}"`))
    return trouble('damaged', `Cannot read ${file}: it breaks off in its first line`, SEND_AGAIN);
  if (found?.fettle !== RETURN_KIND)
    return trouble(
      'not-one',
      `Cannot read ${file}: it is ${kindWords(found)}, not what came back of a lesson`,
    );
  const { format } = found;
  if (typeof format === 'number' && format > RETURN_FORMAT)
    return trouble(
      'newer',
      `Cannot read ${file}: a newer Fettle wrote it (format ${format}, known is ${RETURN_FORMAT})`,
      'Update Fettle.',
    );
  const checked = v.safeParse(headSchema, found, { abortEarly: true });
  if (!checked.success) {
    const [issue] = checked.issues;
    return trouble(
      'damaged',
      `Cannot read ${file}: its first line is damaged (${v.getDotPath(issue)}: ${issue.message})`,
      SEND_AGAIN,
    );
  }
  const lesson = checkLesson(checked.output.lesson, `the lesson in ${file}`);
  if (!lesson.ok) return lesson;
  const { name, made, asked } = checked.output;
  if (asked.length !== lesson.value.assignments.length)
    return trouble('damaged', `Cannot read ${file}: its steps do not fit its assignments`, SEND_AGAIN);
  return ok({ name, made, lesson: lesson.value, asked });
}

/** Returns of one pupil as one, never none: takes that are in several count once, as the latest return has them. */
export function together(returns: readonly LessonReturn[]): LessonReturn {
  if (returns.length === 1) return returns[0]!;
  const inOrder = returns.toSorted((a, b) => Date.parse(a.made) - Date.parse(b.made));
  const byTake = new Map<string, ReturnedTake>();
  for (const { takes } of inOrder)
    for (const take of takes) byTake.set(JSON.stringify([take.sitting, take.order, take.player]), take);
  return {
    ...inOrder.at(-1)!,
    takes: [...byTake.values()].sort((a, b) => Date.parse(a.date) - Date.parse(b.date)),
  };
}

/** The assignments with their steps, as they were put to the pupil. */
export function askedInReturn({ lesson, asked }: Pick<ReturnHead, 'lesson' | 'asked'>): Asked[] {
  return lesson.assignments.map((assignment, i) => ({
    assignment,
    span: checkedSpan(lesson, assignment),
    steps: asked[i]!,
  }));
}

function checksum(text: string | Uint8Array): string {
  return createHash('sha256').update(text).digest('hex');
}

const SEND_AGAIN = 'Ask for it again: fettle lesson return writes it anew from the record.';

/** `line`: its index from 0. */
function damaged(file: string, line: number, why: string): Problem {
  return {
    code: 'return.damaged',
    message: `Cannot read ${file}: line ${line + 1} is damaged (${why})`,
    hint: SEND_AGAIN,
    exitStatus: EXIT.unreadable,
  };
}

function trouble(code: string, message: string, hint?: string): Result<never> {
  return fail({
    code: `return.${code}`,
    message,
    exitStatus: EXIT.unreadable,
    ...(hint === undefined ? {} : { hint }),
  });
}
