// `fettle report`: progress as one page that stands alone, to read and to print.

import { basename, extname } from 'node:path';
import { progressOf } from '../coaching/progress.ts';
import { worksOf } from '../coaching/works.ts';
import { localDay } from '../local-date.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { overviewPage, passagePage } from '../report/progress-page.ts';
import { intervalName } from '../wording/interval-name.ts';
import { refuseOverwriting, writeWhole } from './convert.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { goalsIn, progressIn, readDay } from './passage-takes.ts';
import { print } from './print.ts';
import { openRecord, type RecordOptions } from './record-argument.ts';

export interface ReportOptions extends PassageOptions, RecordOptions {
  readonly from?: string;
  readonly to?: string;
  readonly out?: string;
  readonly force?: boolean;
}

export async function report(argument: string | undefined, options: ReportOptions): Promise<void> {
  const name = argument === undefined ? 'practice' : basename(argument, extname(argument));
  const path = options.out ?? `${name}.html`;
  refuseOverwriting(path, 'report', options.force);
  const filter: TakeFilter = {
    ...(options.from === undefined ? {} : { from: readDay(options.from) }),
    ...(options.to === undefined ? {} : { to: readDay(options.to) }),
  };
  const record = await openRecord(options, false);
  try {
    writeWhole(
      path,
      argument === undefined ? allPage(record, filter) : await onePage(record, argument, options, filter),
    );
  } finally {
    record.close();
  }
  print(`Wrote ${path}`);
}

async function onePage(
  record: PracticeRecord,
  argument: string,
  options: ReportOptions,
  filter: TakeFilter,
): Promise<string> {
  const span = await loadSpan(argument, options);
  const found = progressIn(record, span, options.to ?? localDay(new Date()), filter);
  const names = { title: span.passage.title, interval: (from: number) => intervalName(span.passage, from) };
  return passagePage({ span, ...found, names });
}

function allPage(record: PracticeRecord, filter: TakeFilter): string {
  const takes = record.summaries(filter);
  const rows = worksOf(takes, goalsIn(record)).map(({ id, passage, dueDay }) => {
    const own = takes.filter((take) => (take.fingerprint ?? take.passage) === id);
    const last = Math.max(...own.map((take) => take.last));
    const progress = progressOf(own, { first: Math.min(...own.map((take) => take.first)), last });
    return { passage, progress, ...(dueDay === undefined ? {} : { dueDay }) };
  });
  return overviewPage(rows, 'Practice');
}
