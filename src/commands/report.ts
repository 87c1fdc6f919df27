// `fettle report`: progress as one page that stands alone, to read and to print.

import { basename, extname } from 'node:path';
import { localDay } from '../local-date.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { overviewPage, passagePage } from '../report/progress-page.ts';
import { progressNames } from '../wording/progress.ts';
import { refuseOverwriting, writeWhole } from './convert.ts';
import { duePassages } from './due-passages.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { progressIn } from './passage-takes.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openReaderOrNew, takeFilter, whoseOwn } from './record-reading.ts';

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
  const filter = takeFilter(options);
  const reader = await openReaderOrNew(options);
  try {
    const own = { ...filter, players: await whoseOwn(reader, options) };
    const page =
      argument === undefined ? await allPage(reader, own) : await onePage(reader, argument, options, own);
    writeWhole(path, page);
  } finally {
    await reader.close();
  }
  print(`Wrote ${path}`);
}

async function onePage(
  reader: PracticeReader,
  argument: string,
  options: ReportOptions,
  filter: TakeFilter,
): Promise<string> {
  const span = await loadSpan(argument, options);
  const found = await progressIn(reader, span, options.to ?? localDay(new Date()), filter);
  return passagePage({ span, ...found, names: progressNames(span.passage) });
}

async function allPage(reader: PracticeReader, filter: TakeFilter): Promise<string> {
  return overviewPage(await duePassages(reader, filter), 'Practice');
}
