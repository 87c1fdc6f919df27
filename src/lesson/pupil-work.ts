// What one pupil made of a lesson: small enough to be handed on from the thread that read the return.

import { type IntervalProgress, intervalsOf } from '../coaching/progress.ts';
import { type TroubleCounts, troubleCounts } from '../coaching/trouble-counts.ts';
import { dayOf } from '../record/entry.ts';
import { type JudgedAgain, judgedAgain } from './judged-again.ts';
import type { Lesson } from './lesson.ts';
import { askedInReturn, type LessonReturn } from './lesson-return.ts';
import { type Outcome, outcomeOf } from './outcome.ts';

export interface PupilWork {
  readonly name: string;
  /** Of the latest return. */
  readonly made: string;
  readonly lesson: Lesson;
  /** One for each assignment of the lesson. */
  readonly outcomes: readonly Outcome[];
  /** Of all takes of a passage, whatever was asked, by the passage's fingerprint. */
  readonly byPassage: Readonly<Record<string, PassageWork>>;
  readonly takes: number;
  readonly days: number;
  readonly judged: JudgedAgain;
  /** Files that it was read from. */
  readonly files: readonly string[];
}

interface PassageWork {
  readonly intervals: readonly IntervalProgress[];
  readonly troubles: TroubleCounts;
}

/** `files`: where the return was read from, for people. */
export function pupilWork(returned: LessonReturn, files: readonly string[]): PupilWork {
  const { name, made, lesson, takes } = returned;
  const played = takes.filter(({ end }) => end !== 'skipped');
  const outcomes = askedInReturn(returned).map((asked) => outcomeOf(asked, takes));
  const byPassage = Object.keys(lesson.passages).map((fingerprint) => {
    const own = played.filter((take) => take.fingerprint === fingerprint);
    return [fingerprint, { intervals: intervalsOf(own), troubles: troubleCounts(own) }] as const;
  });
  return {
    name,
    made,
    lesson,
    outcomes,
    byPassage: Object.fromEntries(byPassage),
    takes: played.length,
    days: new Set(played.map(dayOf)).size,
    judged: judgedAgain(takes),
    files,
  };
}
