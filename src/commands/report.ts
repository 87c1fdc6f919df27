// `fettle report`: progress as one page that stands alone, to read and to print.

import { basename, extname } from 'node:path';
import { dayNumber } from '../coaching/due.ts';
import { localDay } from '../local-date.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { overviewPage, type PassageRow, passagePage } from '../report/progress-page.ts';
import { sectionPage } from '../report/section-page.ts';
import { progressNames } from '../wording/progress.ts';
import { keptTakeSentence } from '../wording/section-progress.ts';
import { duePassages } from './due-passages.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { progressIn } from './passage-takes.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openReaderOrNew, takeFilter, whichSection, whoseOwn } from './record-reading.ts';
import { type SectionPassage, sectionPassages, sectionTakesIn } from './section-takes.ts';
import { refuseOverwriting, writeWhole } from './written-file.ts';

export interface ReportOptions extends PassageOptions, RecordOptions {
  /** Of the section of this name; true: of the only one. */
  readonly section?: string | true;
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
    writeWhole(path, await pageOf(reader, argument, options, filter));
  } finally {
    await reader.close();
  }
  print(`Wrote ${path}`);
}

async function pageOf(
  reader: PracticeReader,
  argument: string | undefined,
  options: ReportOptions,
  filter: TakeFilter,
): Promise<string> {
  if (options.section !== undefined) {
    const section = await whichSection(reader, options.section);
    return ofSection(reader, argument, options, section, filter);
  }
  const own = { ...filter, players: await whoseOwn(reader, options) };
  return argument === undefined ? allPage(reader, own) : onePage(reader, argument, options, own);
}

async function ofSection(
  reader: PracticeReader,
  argument: string | undefined,
  options: ReportOptions,
  section: string,
  filter: TakeFilter,
): Promise<string> {
  if (argument === undefined) {
    const passages = await sectionPassages(reader, section, filter);
    return overviewPage(passages.map(passageRow), section);
  }
  const span = await loadSpan(argument, options);
  const takes = await sectionTakesIn(reader, section, span, filter);
  return sectionPage({
    section,
    passage: span.passage,
    takes: takes.map((take) => ({ ...take, sentence: keptTakeSentence(take) })),
  });
}

function passageRow({ passage, takes, cleanTakes, days }: SectionPassage): PassageRow {
  return {
    passage,
    takes,
    cleanShare: cleanTakes / takes,
    days: days.map((day) => ({
      day: dayNumber(day.day),
      takes: day.takes,
      cleanShare: day.cleanTakes / day.takes,
    })),
  };
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
