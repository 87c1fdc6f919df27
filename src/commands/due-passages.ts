// Every passage that was worked, with the day on which it is due again.

import { dueAgain, type WorkedPassage, workedPassages } from '../coaching/works.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { goalsIn } from './kept-goals.ts';

export interface DuePassage extends WorkedPassage {
  /** Whole day, as `dayNumber` counts them. */
  readonly dueDay?: number;
}

/** `filter`: whose takes, and of which days. */
export async function duePassages(reader: PracticeReader, filter: TakeFilter): Promise<DuePassage[]> {
  const goals = await goalsIn(reader, filter.players);
  return workedPassages(await reader.days(filter)).map((worked) => {
    const dueDay = dueAgain(worked, goals[worked.id]?.by);
    return { ...worked, ...(dueDay === undefined ? {} : { dueDay }) };
  });
}
