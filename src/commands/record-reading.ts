// A practice record that is only read: none is made where there is none.

import { resolve } from 'node:path';
import { type DatabaseRecord, openDatabaseRecord } from '../devices/database-record.ts';
import { recordPlace } from '../devices/home.ts';
import { lookAtPlace } from '../devices/record-file.ts';
import { EXIT, ProblemError } from '../problem.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import type { RecordOptions } from './record-argument.ts';
import { need, usage } from './usage-problem.ts';

export interface TakesOptions extends RecordOptions {
  readonly passage?: string;
  readonly from?: string;
  readonly to?: string;
}

export async function placeOf({ record, player }: RecordOptions): Promise<string> {
  if (record === '') throw usage('option.record', 'Cannot find the practice record: --record needs a file');
  return resolve(record ?? (await recordPlace(player)));
}

/** Throws a ProblemError ('record.none') where there is none yet. */
export async function openExisting(options: RecordOptions): Promise<DatabaseRecord> {
  const place = await placeOf(options);
  const found = need(await lookAtPlace(place));
  if (found.kind === 'new') {
    throw new ProblemError({
      code: 'record.none',
      message: `There is no practice record yet: it will be ${place}`,
      hint: 'Work on something first: fettle work slipway.',
      exitStatus: EXIT.record,
    });
  }
  return need(await openDatabaseRecord(place));
}

export function takeFilter({ passage, from, to }: TakesOptions): TakeFilter {
  return {
    ...(passage === undefined ? {} : { passage }),
    ...(from === undefined ? {} : { from: day(from, '--from') }),
    ...(to === undefined ? {} : { to: day(to, '--to') }),
  };
}

function day(text: string, option: string): string {
  const [year, month, date] = text.split('-').map(Number);
  const there = new Date(Date.UTC(year ?? 0, (month ?? 0) - 1, date ?? 0));
  if (/^\d{4}-\d\d-\d\d$/.test(text) && there.toISOString().startsWith(text)) return text;
  throw usage('option.day', `Cannot use the day "${text}" for ${option}: a day such as 2026-11-25 is needed`);
}
