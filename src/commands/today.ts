// `fettle today`: what to do in the minutes that there are.

import { dayNumber } from '../coaching/due.ts';
import { planToday, type Slice } from '../coaching/today.ts';
import { worksOf } from '../coaching/works.ts';
import { localDay } from '../local-date.ts';
import { todayLines } from '../wording/today.ts';
import { wholeNumber } from './number-argument.ts';
import { goalsIn } from './passage-takes.ts';
import { print } from './print.ts';
import { openRecord, type RecordOptions } from './record-argument.ts';

export interface TodayOptions extends RecordOptions {
  readonly minutes: string;
  readonly json?: boolean;
}

export async function today(options: TodayOptions): Promise<void> {
  const slices = await slicesFor(options);
  if (options.json) print(JSON.stringify({ format: 1, slices }, null, 2));
  else for (const line of todayLines(slices)) print(line);
}

/** The plan for now, from the record. */
export async function slicesFor(options: RecordOptions & { readonly minutes: string }): Promise<Slice[]> {
  const minutes = wholeNumber(options.minutes, 'the minutes', { least: 3, most: 240 });
  const record = await openRecord(options, false);
  try {
    const works = worksOf(record.summaries(), goalsIn(record));
    return planToday(works, dayNumber(localDay(new Date())), minutes);
  } finally {
    record.close();
  }
}
