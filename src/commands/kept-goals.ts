// The goals in a practice record.

import { type Goal, type Goals, readGoals } from '../coaching/goal.ts';
import type { Span } from '../music/span.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { passageFingerprint } from '../record/fingerprint.ts';

const GOALS = 'goals';

/** `players`: whose, where a record has several. */
export async function goalsIn(reader: PracticeReader, players?: readonly string[]): Promise<Goals> {
  const kept = await reader.recalled(GOALS, players);
  return Object.assign({}, ...kept.map(readGoals));
}

/** Undefined: there is no goal any more. */
export function keepGoal(record: PracticeRecord, { passage }: Span, goal: Goal | undefined): void {
  const { [passageFingerprint(passage)]: _, ...others } = readGoals(record.recall(GOALS));
  record.remember(GOALS, goal === undefined ? others : { ...others, [passageFingerprint(passage)]: goal });
}
