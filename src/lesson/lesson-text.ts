// A lesson as the text of its file, and back. Nothing that was read is believed before it was checked here, the music
// and its fingerprint included.

import * as v from 'valibot';
import { isInstrumentName } from '../music/instrument.ts';
import { requiredNotes } from '../music/onset.ts';
import type { Passage } from '../music/passage.ts';
import type { Span } from '../music/span.ts';
import { LEAST_BPM, MOST_BPM } from '../music/tempo.ts';
import { chooseSpan } from '../notation/choice/span.ts';
import { EXIT, fail, ok, type Problem, type Result } from '../problem.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import { checkPassage } from '../record/schema.ts';
import { kindWords, LESSON_KIND, readObject } from './file-kind.ts';
import { type Assignment, LESSON_FORMAT, type Lesson, musicOf } from './lesson.ts';

const text = v.pipe(v.string(), v.minLength(1));
const bpm = v.pipe(v.number(), v.minValue(LEAST_BPM), v.maxValue(MOST_BPM));
const day = v.pipe(v.string(), v.regex(/^\d{4}-\d\d-\d\d$/));

const assignment = v.strictObject({
  passage: text,
  bars: v.exactOptional(text),
  onsets: v.exactOptional(text),
  mark: v.exactOptional(text),
  drill: text,
  tempo: bpm,
  goal: v.exactOptional(bpm),
  tolerance: v.picklist(['rough', 'steady', 'concert']),
  passes: v.exactOptional(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(20))),
  snag: v.exactOptional(text),
  every: v.exactOptional(text),
  hold: v.exactOptional(text),
  note: v.exactOptional(text),
  variant: v.exactOptional(text),
  pulse: v.exactOptional(text),
  touch: v.exactOptional(v.literal('even')),
  due: v.exactOptional(day),
  word: v.exactOptional(v.string()),
});

const schema = v.strictObject({
  fettle: v.literal(LESSON_KIND),
  format: v.literal(LESSON_FORMAT),
  id: text,
  title: v.string(),
  teacher: v.exactOptional(v.string()),
  made: day,
  assignments: v.pipe(v.array(assignment), v.minLength(1)),
  passages: v.record(v.string(), v.unknown()),
});

/** What its file holds. */
export function lessonObject(lesson: Lesson): object {
  return { fettle: LESSON_KIND, format: LESSON_FORMAT, ...lesson };
}

/** What people may want to read or mend stands first, a line each; the music is a line a passage. */
export function lessonText({ passages, ...head }: Lesson): string {
  const written = JSON.stringify(
    { ...lessonObject({ ...head, passages: {} }), passages: undefined },
    null,
    2,
  );
  const music = Object.entries(passages).map(
    ([fingerprint, passage]) => `    ${JSON.stringify(fingerprint)}: ${JSON.stringify(passage)}`,
  );
  return `${written.slice(0, -2)},\n  "passages": {\n${music.join(',\n')}\n  }\n}\n`;
}

/**
 * `name`: of the file, for people.
 * Problems: 'lesson.not-one', 'lesson.newer', 'lesson.damaged', 'lesson.passage'.
 */
export function readLesson(content: string, name: string): Result<Lesson> {
  const found = readObject(content);
  if (found?.fettle !== LESSON_KIND)
    return fail(problem('not-one', `Cannot read ${name}: it is ${kindWords(found)}, no lesson`));
  return checkLesson(found, name);
}

/** The same of what was read already. */
export function checkLesson(found: object, name: string): Result<Lesson> {
  const { format } = found as { format?: unknown };
  if (typeof format === 'number' && format > LESSON_FORMAT) {
    return fail(
      problem(
        'newer',
        `Cannot read ${name}: a newer Fettle made this lesson (format ${format}, known is ${LESSON_FORMAT})`,
        'Update Fettle.',
      ),
    );
  }
  const checked = v.safeParse(schema, found, { abortEarly: true });
  if (!checked.success) {
    const [issue] = checked.issues;
    const where = v.getDotPath(issue) ?? 'the whole';
    return fail(
      problem(
        'damaged',
        `Cannot read ${name}: the lesson is damaged (${where}: ${issueWords(issue)})`,
        ASK_AGAIN,
      ),
    );
  }
  const { fettle: _, format: __, passages, ...head } = checked.output;
  const music: Record<string, Passage> = {};
  for (const [fingerprint, one] of Object.entries(passages)) {
    const passage = checkMusic(fingerprint, one);
    if (!passage.ok) return fail(problem('passage', `Cannot read ${name}: ${passage.why}`, ASK_AGAIN));
    music[fingerprint] = passage.value;
  }
  const lesson: Lesson = { ...head, passages: music };
  const missing = head.assignments.findIndex((one) => !music[one.passage]);
  if (missing >= 0)
    return fail(
      problem(
        'damaged',
        `Cannot read ${name}: the music of assignment ${missing + 1} is not in it`,
        ASK_AGAIN,
      ),
    );
  for (const [i, one] of head.assignments.entries()) {
    const span = assignmentSpan(lesson, one);
    if (!span.ok) return fail(inAssignment(span.problem, i, name));
  }
  return ok(lesson);
}

/** What is wrong with a field; of fields that are too many or missing in plain words. */
function issueWords({ expected, received, message }: v.BaseIssue<unknown>): string {
  if (expected === 'never') return 'there is no such field';
  return received === 'undefined' ? 'it is missing' : message;
}

export function assignmentSpan(lesson: Lesson, assignment: Assignment): Result<Span> {
  return chooseSpan(musicOf(lesson, assignment), assignment);
}

/** The same of a lesson that was checked: one whose spans cannot be found was refused. */
export function checkedSpan(lesson: Lesson, assignment: Assignment): Span {
  const span = assignmentSpan(lesson, assignment);
  if (!span.ok) throw new Error(span.problem.message);
  return span.value;
}

/** A problem of what an assignment asks for, with where it stands. */
export function inAssignment({ message, hint, code }: Problem, index: number, name: string): Problem {
  return {
    code,
    message: `Cannot use assignment ${index + 1} of ${name}: ${message.charAt(0).toLowerCase()}${message.slice(1)}`,
    exitStatus: EXIT.unreadable,
    ...(hint === undefined ? {} : { hint }),
  };
}

const ASK_AGAIN = 'Ask your teacher for it again, or make it again: fettle lesson new.';

function problem(code: string, message: string, hint?: string): Problem {
  return {
    code: `lesson.${code}`,
    message,
    exitStatus: EXIT.unreadable,
    ...(hint === undefined ? {} : { hint }),
  };
}

type Music = { readonly ok: true; readonly value: Passage } | { readonly ok: false; readonly why: string };

function checkMusic(fingerprint: string, value: unknown): Music {
  const { title } = (value ?? {}) as { title?: unknown };
  const called =
    typeof title === 'string' && title !== '' ? `the passage "${title}" in it` : 'a passage in it';
  const checked = checkPassage(value);
  if (!checked.ok) return { ok: false, why: `${called} is damaged (${checked.why})` };
  const why = whyNoMusic(checked.value);
  if (why !== undefined) return { ok: false, why: `${called} is damaged (${why})` };
  if (passageFingerprint(checked.value) !== fingerprint)
    return { ok: false, why: `${called} is not as it was when the lesson was made` };
  return { ok: true, value: checked.value };
}

/** What a schema does not see: whether the parts of a passage fit together. */
function whyNoMusic({ onsets, bars, parts, keys, endTick }: Passage): string | undefined {
  if (parts.length === 0 || bars.length === 0 || onsets.length === 0 || keys[0]?.tick !== 0)
    return 'it has no notes, no bars or no key';
  const stranger = parts.find(({ instrument }) => !isInstrumentName(instrument));
  if (stranger) return `the instrument ${stranger.instrument} is not known`;
  if (bars.some((bar, i) => bar.startTick !== (i === 0 ? 0 : endOf(bars[i - 1]!))))
    return 'its bars do not follow one another';
  if (onsets.some(({ tick }, i) => tick >= endTick || tick < 0 || tick <= (onsets[i - 1]?.tick ?? -1)))
    return 'its onsets do not follow one another';
  if (
    onsets.some((onset) => requiredNotes(onset).length === 0 || onset.notes.some(({ part }) => !parts[part]))
  )
    return 'an onset has no note to be played, or one of no part';
  return undefined;
}

function endOf({ startTick, durationTicks }: Passage['bars'][number]): number {
  return startTick + durationTicks;
}
