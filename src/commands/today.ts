// `fettle today`: what to do in the minutes that there are.

import { dateOf, dayNumber } from '../coaching/due.ts';
import { chosenForToday, planToday, type Slice, type Work } from '../coaching/today.ts';
import { candidateOf, latelyFrom, leftAt, workedPassages, workOf } from '../coaching/works.ts';
import { localDay } from '../local-date.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { todayLines } from '../wording/today.ts';
import { goalsIn } from './kept-goals.ts';
import { wholeNumber } from './number-argument.ts';
import { print } from './print.ts';
import { printFolded } from './print-folded.ts';
import type { RecordOptions } from './record-place.ts';
import { openReaderOrNew, whoseOwn } from './record-reading.ts';

export interface TodayOptions extends RecordOptions {
  readonly minutes: string;
  readonly json?: boolean;
}

export async function today(options: TodayOptions): Promise<void> {
  const slices = await slicesFor(options);
  if (options.json) print(JSON.stringify({ format: 1, slices }, null, 2));
  else await printFolded(todayLines(slices));
}

/** The plan for now, from the record. */
export async function slicesFor(options: RecordOptions & { readonly minutes: string }): Promise<Slice[]> {
  const minutes = wholeNumber(options.minutes, 'the minutes', { least: 3, most: 240 });
  const [slices] = await slicesForEach(options, [minutes]);
  return slices!;
}

/** A plan for each of several lengths. */
export async function slicesForEach(options: RecordOptions, minutes: readonly number[]): Promise<Slice[][]> {
  const reader = await openReaderOrNew(options);
  try {
    const day = dayNumber(localDay(new Date()));
    const works = await worksIn(reader, await whoseOwn(reader, options), day, Math.max(...minutes));
    return minutes.map((one) => planToday(works, day, one));
  } finally {
    await reader.close();
  }
}

/** Those that a plan of so many minutes, or of fewer, has a place for: only their takes are read. */
async function worksIn(
  reader: PracticeReader,
  players: readonly string[],
  today: number,
  minutes: number,
): Promise<Work[]> {
  const goals = await goalsIn(reader, players);
  const all = workedPassages(await reader.days({ players }));
  const known = all.map((worked) => ({ worked, ...candidateOf(worked, goals[worked.id]?.by) }));
  const works: Work[] = [];
  for (const { worked } of chosenForToday(known, today, minutes)) {
    const { id, passage, fingerprint } = worked;
    const filter = {
      players,
      ...(fingerprint === undefined ? { passage, fingerprint: null } : { fingerprint }),
      from: dateOf(latelyFrom(worked)),
    };
    const lately = await reader.summaries(filter);
    const left = leftAt(lately);
    const settings =
      left && (await reader.settings({ ...filter, drill: left.drill, first: left.first, last: left.last }));
    const goal = goals[id];
    const goalBpm = goal?.tempoBpm ?? (fingerprint && (await reader.passage(fingerprint))?.tempo.bpm);
    const work = workOf(worked, lately, {
      ...(goal ? { by: goal.by } : {}),
      ...(goalBpm ? { goalBpm } : {}),
      ...(settings ? { settings } : {}),
    });
    if (work) works.push(work);
  }
  return works;
}
