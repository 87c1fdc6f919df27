// Lessons in words: what is asked, what became of it, and what a class needs.

import type { CleanTempo } from '../coaching/clean-tempo.ts';
import type { IntervalProgress } from '../coaching/progress.ts';
import type { ClassPupil, ClassWork, SharedTrouble } from '../lesson/class-work.ts';
import { type JudgedAgain, judgedInAll } from '../lesson/judged-again.ts';
import { type Assignment, type Lesson, musicOf } from '../lesson/lesson.ts';
import type { Outcome } from '../lesson/outcome.ts';
import { counted } from './counted.ts';
import { lengthWords, percent } from './figures.ts';
import { intervalName } from './interval-name.ts';
import { padToWidth, textWidth } from './text-width.ts';

/** @example 'Autumn concert, from Oda Fenn, made on 2026-11-25: 3 assignments' */
export function lessonTitle({ title, teacher, made, assignments }: Lesson): string {
  return `${title}${teacher === undefined ? '' : `, from ${teacher}`}, made on ${made}: ${counted(assignments.length, 'assignment')}`;
}

/** @example 'bar 2' */
function placeWords({ bars, onsets, mark }: Assignment): string {
  if (bars !== undefined) return `${/^\d+$/.test(bars) ? 'bar' : 'bars'} ${bars}`;
  if (onsets !== undefined) return `onsets ${onsets}`;
  return mark === undefined ? 'all of it' : `from mark ${mark}`;
}

/** @example 'Slipway at First Light, bar 2: landings, widening, 56 to 84 a minute' */
export function assignmentWords(lesson: Lesson, assignment: Assignment): string {
  const { drill, tempo, goal } = assignment;
  const drills = drill.split(',').join(', ');
  const tempi = goal === undefined || goal === tempo ? `${tempo}` : `${tempo} to ${goal}`;
  return `${assignmentPlace(lesson, assignment)}: ${drills}, ${tempi} a minute`;
}

/** An assignment as a line of a list. */
function numbered(lesson: Lesson, index: number): string {
  return `${String(index + 1).padStart(2)}. ${assignmentWords(lesson, lesson.assignments[index]!)}`;
}

/** @example 'Slipway at First Light, bar 2' */
export function assignmentPlace(lesson: Lesson, assignment: Assignment): string {
  return `${musicOf(lesson, assignment).title}, ${placeWords(assignment)}`;
}

/** What else it says: the day, how strictly, the teacher's word. */
function assignmentDetails({ due, tolerance, touch, passes, word }: Assignment): string[] {
  return [
    `${tolerance}${touch === undefined ? '' : ', an even touch'}${passes === undefined ? '' : `, ${counted(passes, 'clean take')} in a row a step`}${due === undefined ? '' : `; by ${due}`}`,
    ...(word === undefined ? [] : [`"${word}"`]),
  ];
}

/** The lesson as a pupil reads it. `marks`: what stands after each assignment. */
export function lessonLines(lesson: Lesson, marks: readonly string[] = []): string[] {
  return [
    lessonTitle(lesson),
    ...lesson.assignments.flatMap((assignment, i) => [
      `${numbered(lesson, i)}${marks[i] ? `: ${marks[i]}` : ''}`,
      ...assignmentDetails(assignment).map((line) => `    ${line}`),
    ]),
  ];
}

/** Told at the beginning of an assignment. */
export function assignmentNotice({ assignments }: Lesson, index: number): string {
  const { due, word } = assignments[index]!;
  const by = due === undefined ? '' : `, by ${due}`;
  return `Assignment ${index + 1} of ${assignments.length}${by}.${word === undefined ? '' : ` "${word}"`}`;
}

/** @example 'done on 2026-12-01', '3 of 7 steps' */
export function stateWords(
  { state, steps, passed, skipped, doneDay }: Outcome,
  due: string | undefined,
): string {
  switch (state) {
    case 'not-begun':
      return 'not begun';
    case 'done':
      return `done on ${doneDay}${due !== undefined && doneDay! > due ? ' (late)' : ''}`;
    case 'skipped-some':
      return `${passed} of ${counted(steps, 'step')}, ${skipped.length} skipped`;
    case 'under-way':
      return `${passed} of ${counted(steps, 'step')}${skipped.length === 0 ? '' : `, ${skipped.length} skipped`}`;
  }
}

/** Undefined where it was never clean all through. @example 'at 84', 'in pieces at 70' */
function cleanClause({ inOneGoBpm, inPiecesBpm }: CleanTempo): string | undefined {
  if (inOneGoBpm !== undefined && inOneGoBpm >= (inPiecesBpm ?? 0)) return `at ${Math.round(inOneGoBpm)}`;
  return inPiecesBpm === undefined ? undefined : `in pieces at ${Math.round(inPiecesBpm)}`;
}

/** @example 'clean at 84', 'clean in pieces at 70' */
function cleanTempoWords(cleanTempo: CleanTempo): string {
  const clause = cleanClause(cleanTempo);
  return clause === undefined ? 'not clean all through' : `clean ${clause}`;
}

/** @example '78 % of 52 takes clean' */
function takesWords({ takes, cleanShare }: Outcome): string {
  if (takes === 0) return 'no take';
  return cleanShare === undefined
    ? `${counted(takes, 'take')}, none complete`
    : `${percent(cleanShare)} of ${counted(takes, 'take')} clean`;
}

/** @example 'A#4 to B4, onset 10: 40 % of 52 takes, 18 ms short' */
function troubleWords(
  lesson: Lesson,
  passage: string,
  { from, takes, troubledShare, meanMicros }: IntervalProgress,
): string {
  return `${intervalName(lesson.passages[passage]!, from)}, onset ${from}: ${percent(troubledShare)} of ${counted(takes, 'take')}${timingWords(meanMicros)}`;
}

/** @example 'A#4 to B4, onset 10 of Slipway at First Light: trips 2 of 3 in 38 % of their takes, 20 ms short' */
export function sharedWords(lesson: Lesson, shared: SharedTrouble): string {
  const { passage, from, pupils, of, troubledShare, meanMicros } = shared;
  const { title } = lesson.passages[passage]!;
  return `${intervalName(lesson.passages[passage]!, from)}, onset ${from} of ${title}: trips ${pupils} of ${of}, in ${percent(troubledShare)} of their takes${timingWords(meanMicros)}`;
}

/** What a teacher can do about it, in the words of a drill. */
export function sharedAdvice({ meanMicros = 0 }: SharedTrouble): string {
  if (meanMicros < -NOTICED_MICROS)
    return 'It comes too short: tenuto, lean on its first note, then widening.';
  if (meanMicros > NOTICED_MICROS) return 'It comes too long: rhythms, the short ones short, then widening.';
  return 'It is the notes rather than the time: widening, slowly, from these two outwards.';
}

/** A displaced note is just noticed at about so much (Friberg & Sundberg 1995). */
const NOTICED_MICROS = 6000;

function timingWords(meanMicros: number | undefined): string {
  const length = lengthWords(meanMicros);
  return length === undefined ? '' : `, ${length}`;
}

/**
 * @example 'All 87 takes were judged again here.'
 * @example '200 of 2000 takes were judged again here, 3 otherwise than they had been. Of the others 1500 were judged by an earlier Fettle: they stand as they came; --all judges every take.'
 */
export function judgedWords({ of, again, otherwise, earlier, newer }: JudgedAgain): string {
  const all = again === of;
  const who = all ? allOf(of) : `${again} of ${counted(of, 'take')} were`;
  const asTheyWere = all ? '' : ', all as they had been';
  const found = otherwise === 0 ? asTheyWere : `, ${otherwise} otherwise than they had been`;
  const done = `${who} judged again here${found}.`;
  if (all) return done;
  const strangers = [
    ...(earlier === 0 ? [] : [`${earlier} by an earlier Fettle`]),
    ...(newer === 0 ? [] : [`${newer} by a newer ${earlier === 0 ? 'Fettle' : 'one'}`]),
  ];
  const others =
    strangers.length === 0
      ? 'The others'
      : `Of the others ${strangers.join(', ').replace(' by', ' were judged by')}: they`;
  const many = otherwise > again * MANY ? ' So many came out otherwise that it is worth it.' : '';
  return `${done} ${others} stand as they came; --all judges every take.${many}`;
}

function allOf(takes: number): string {
  return takes === 1 ? 'The take was' : `All ${takes} takes were`;
}

/** From this share of those judged again on, what the others say is doubtful. */
const MANY = 0.1;

/** One pupil, assignment by assignment. */
export function pupilLines(pupil: ClassPupil, lesson: Lesson): string[] {
  return [
    `${pupil.name}, returned on ${pupil.made.slice(0, 10)}: ${counted(pupil.takes, 'take')} on ${counted(pupil.days, 'day')}. ${judgedWords(pupil.judged)}`,
    ...lesson.assignments.flatMap((assignment, i) => {
      const outcome = pupil.ofClass[i];
      const head = numbered(lesson, i);
      if (!outcome) return [head, '    not in this pupil\u2019s lesson'];
      return [head, ...outcomeLines(outcome, assignment, lesson).map((line) => `    ${line}`)];
    }),
  ];
}

const WORST_INTERVALS = 3;

function outcomeLines(outcome: Outcome, { due, passage }: Assignment, lesson: Lesson): string[] {
  if (outcome.state === 'not-begun') return ['not begun'];
  return [
    `${stateWords(outcome, due)}; ${cleanTempoWords(outcome.cleanTempo)}; ${takesWords(outcome)}`,
    ...outcome.intervals.slice(0, WORST_INTERVALS).map((one) => `  ${troubleWords(lesson, passage, one)}`),
    ...(outcome.skipped.length === 0
      ? []
      : [`  skipped: ${outcome.skipped.map(({ drill, name }) => `${drill} ${name}`).join('; ')}`]),
  ];
}

/** A class: assignment by assignment a line a pupil, then what to work on together. */
export function classLines({ lesson, pupils, shared }: ClassWork): string[] {
  return [
    `${lesson.title}: ${counted(pupils.length, 'pupil')}`,
    ...lesson.assignments.flatMap((assignment, i) => {
      const done = pupils.filter(({ ofClass }) => ofClass[i]?.state === 'done').length;
      const cells = pupils.map(({ name, ofClass }) => [name, ...classCells(lesson, assignment, ofClass[i])]);
      const rows = [['', ...CLASS_COLUMNS], ...cells];
      const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => textWidth(row[c] ?? ''))));
      return [
        '',
        `${numbered(lesson, i)}${assignment.due === undefined ? '' : `, by ${assignment.due}`}: done by ${done} of ${pupils.length}`,
        ...rows.map((row) =>
          `    ${row.map((cell, c) => padToWidth(cell, widths[c] ?? 0)).join('  ')}`.trimEnd(),
        ),
      ];
    }),
    '',
    ...sharedLines(lesson, shared),
    '',
    judgedWords(judgedInAll(pupils)),
  ];
}

/** The columns of a class's assignment, after the name. */
export const CLASS_COLUMNS = ['how far', 'clean at', 'clean takes', 'worst interval'] as const;

export function classCells(
  lesson: Lesson,
  { due, passage }: Assignment,
  outcome: Outcome | undefined,
): string[] {
  if (!outcome) return ['not in this lesson'];
  if (outcome.state === 'not-begun') return [stateWords(outcome, due)];
  const { cleanTempo, cleanShare, takes, intervals } = outcome;
  const [worst] = intervals;
  return [
    stateWords(outcome, due),
    cleanClause(cleanTempo)?.replace(/^at /, '') ?? '-',
    cleanShare === undefined ? counted(takes, 'take') : `${percent(cleanShare)} of ${takes}`,
    worst ? `${intervalName(lesson.passages[passage]!, worst.from)} ${percent(worst.troubledShare)}` : '',
  ];
}

export const NOTHING_SHARED = 'No interval trips several of them: each has their own.';

function sharedLines(lesson: Lesson, shared: readonly SharedTrouble[]): string[] {
  if (shared.length === 0) return [NOTHING_SHARED];
  return [
    'To work on together:',
    ...shared.flatMap((one) => [`  ${sharedWords(lesson, one)}`, `    ${sharedAdvice(one)}`]),
  ];
}
