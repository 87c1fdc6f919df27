// The takes of a passage in the practice record, and what they show.

import { dayNumber } from '../coaching/due.ts';
import { type Outlook, outlookOf } from '../coaching/outlook.ts';
import {
  FOUND_FIELDS,
  type FoundTake,
  PROGRESS_FIELDS,
  type Progress,
  type ProgressTake,
  progressOf,
  returnDays,
} from '../coaching/progress.ts';
import type { OnsetRange } from '../drills/step-onset.ts';
import type { Span } from '../music/span.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import type { EntrySummary } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { goalsIn } from './kept-goals.ts';

/** Those of the same music, and those of format 1 under the same name, which do not say what music they are of. */
async function takesOf<F extends keyof EntrySummary>(
  reader: PracticeReader,
  { passage }: Span,
  filter: TakeFilter,
  fields: readonly F[],
): Promise<Pick<EntrySummary, F>[]> {
  const asked = (which: TakeFilter) => reader.summaries({ ...filter, ...which }, fields);
  const old = await asked({ passage: passage.name, fingerprint: null });
  const own = await asked({ fingerprint: passageFingerprint(passage) });
  return [...old, ...own];
}

export interface PassageProgress {
  /** The part of the passage that is told of. */
  readonly range: OnsetRange;
  /** With what went wrong in them, all that were asked for. */
  readonly judged: readonly FoundTake[];
  readonly progress: Progress;
  readonly outlook: Outlook;
}

/** `filter`: whose takes, and of which days; `judgedMost`: no more than the latest so many with what went wrong. */
export async function progressIn(
  reader: PracticeReader,
  span: Span,
  today: string,
  filter: TakeFilter,
  judgedMost?: number,
): Promise<PassageProgress> {
  const takes = await takesOf(reader, span, filter, PROGRESS_FIELDS);
  const latest = judgedMost === undefined ? filter : { ...filter, limit: judgedMost };
  const judged = await takesOf(reader, span, latest, FOUND_FIELDS);
  const goal = (await goalsIn(reader, filter.players))[passageFingerprint(span.passage)];
  const range = goal ?? workedIn(span, takes);
  const progress = progressOf(takes, judged, range);
  return {
    range,
    judged,
    progress,
    outlook: outlookOf(progress, returnDays(progress.days), goal, dayNumber(today)),
  };
}

/** The span that was chosen; where none was, the part of the passage that was worked. */
function workedIn(span: Span, takes: readonly ProgressTake[]): OnsetRange {
  const isWhole = span.first === 1 && span.last === span.passage.onsets.length;
  if (!isWhole || takes.length === 0) return span;
  return {
    first: Math.min(...takes.map(({ first }) => first)),
    last: Math.max(...takes.map(({ last }) => last)),
  };
}
