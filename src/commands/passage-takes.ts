// The takes of a passage in the practice record, and its goal.

import { dayNumber } from '../coaching/due.ts';
import { type Goal, type Goals, readGoals } from '../coaching/goal.ts';
import { type Outlook, outlookOf } from '../coaching/outlook.ts';
import { type Progress, progressOf, returnDays } from '../coaching/progress.ts';
import type { OnsetRange } from '../drills/step-onset.ts';
import type { Span } from '../music/span.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { EntrySummary } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { usage } from './usage-problem.ts';

const GOALS = 'goals';

export function goalsIn(record: PracticeRecord): Goals {
  return readGoals(record.recall(GOALS));
}

export function keepGoal(record: PracticeRecord, { passage }: Span, goal: Goal | undefined): void {
  const { [passageFingerprint(passage)]: _, ...others } = goalsIn(record);
  record.remember(GOALS, goal === undefined ? others : { ...others, [passageFingerprint(passage)]: goal });
}

/** Those of the same music, and those of format 1 under the same name, which do not say what music they are of. */
function takesOf(record: PracticeRecord, span: Span, filter: TakeFilter = {}): EntrySummary[] {
  const fingerprint = passageFingerprint(span.passage);
  const own = record.summaries({ ...filter, fingerprint });
  const old = record
    .summaries({ ...filter, passage: span.passage.name })
    .filter((take) => take.fingerprint === undefined);
  return [...old, ...own];
}

export interface PassageProgress {
  /** What it is told of. */
  readonly range: OnsetRange;
  readonly takes: readonly EntrySummary[];
  readonly progress: Progress;
  readonly outlook: Outlook;
}

export function progressIn(
  record: PracticeRecord,
  span: Span,
  today: string,
  filter: TakeFilter = {},
): PassageProgress {
  const takes = takesOf(record, span, filter);
  const goal = goalsIn(record)[passageFingerprint(span.passage)];
  const range = goal ?? workedIn(span, takes);
  const progress = progressOf(takes, range);
  return {
    range,
    takes,
    progress,
    outlook: outlookOf(progress, returnDays(takes), goal, dayNumber(today)),
  };
}

/** A span that was chosen; of a whole passage what was worked of it. */
function workedIn(span: Span, takes: readonly EntrySummary[]): OnsetRange {
  const isWhole = span.first === 1 && span.last === span.passage.onsets.length;
  if (!isWhole || takes.length === 0) return span;
  return {
    first: Math.min(...takes.map(({ first }) => first)),
    last: Math.max(...takes.map(({ last }) => last)),
  };
}

/** A day from text: 2027-03-14, one that there is. */
export function readDay(text: string): string {
  const isDay =
    /^\d{4}-\d\d-\d\d$/.test(text) && new Date(`${text}T00:00:00Z`).toISOString().startsWith(text);
  if (isDay) return text;
  throw usage(
    'option.day',
    `Cannot use the day "${text}": year, month and day are needed`,
    'Such as 2027-03-14.',
  );
}
