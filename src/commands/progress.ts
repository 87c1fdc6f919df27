// `fettle progress`: whether it gets better, of a passage or of all.

import { dayNumber } from '../coaching/due.ts';
import { INTERVAL_TAKES } from '../coaching/progress.ts';
import { localDay } from '../local-date.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { sectionProgress } from '../section/section-progress.ts';
import { counted } from '../wording/counted.ts';
import { outlookSentences, progressLines, progressNames, shareWords } from '../wording/progress.ts';
import { sectionPassageLine, sectionProgressLines } from '../wording/section-progress.ts';
import { sectionProgressJson } from '../wording/section-progress-json.ts';
import { type DuePassage, duePassages } from './due-passages.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { print } from './print.ts';
import { printFolded } from './print-folded.ts';
import type { RecordOptions } from './record-place.ts';
import { openReaderOrNew, whichSection, whose, whoseOwn } from './record-reading.ts';
import { sectionPassages, sectionTakesIn } from './section-takes.ts';

export interface ProgressOptions extends PassageOptions, RecordOptions {
  /** Of the section of this name; true: of the only one. */
  readonly section?: string | true;
  readonly json?: boolean;
}

export async function progress(argument: string | undefined, options: ProgressOptions): Promise<void> {
  const reader = await openReaderOrNew(options);
  try {
    if (options.section !== undefined) await ofSection(reader, argument, options, options.section);
    else if (argument === undefined) await allPassages(reader, options);
    else await onePassage(reader, argument, options);
  } finally {
    await reader.close();
  }
}

async function allPassages(reader: PracticeReader, options: ProgressOptions): Promise<void> {
  const players = await whose(reader, options);
  const rows: (DuePassage & { readonly player?: string })[] = [];
  if (players) rows.push(...(await duePassages(reader, { players })));
  else {
    // Where there are several people, each is told of separately.
    for (const player of await reader.players())
      for (const due of await duePassages(reader, { players: [player] })) rows.push({ ...due, player });
  }
  if (options.json) {
    const passages = rows.map(({ player, passage, takes, cleanShare, dueDay }) => ({
      player,
      passage,
      takes,
      cleanShare,
      dueDay,
    }));
    print(JSON.stringify({ format: 1, passages }, null, 2));
    return;
  }
  if (rows.length === 0) print('Nothing has been practised yet: fettle work PASSAGE begins.');
  const today = dayNumber(localDay(new Date()));
  for (const { player, passage, takes, cleanShare, dueDay } of rows) {
    const due = outlookSentences({ today, ...(dueDay === undefined ? {} : { dueDay }) });
    const name = player === undefined ? passage : `${player}, ${passage}`;
    await printFolded([
      `${name}: ${counted(takes, 'take')}, ${shareWords(cleanShare)}. ${due.join(' ')}`.trimEnd(),
    ]);
  }
}

async function onePassage(reader: PracticeReader, argument: string, options: ProgressOptions): Promise<void> {
  const span = await loadSpan(argument, options);
  const players = await whoseOwn(reader, options);
  // Only here: the forecast brings a library of statistics with it.
  const { progressIn } = await import('./passage-takes.ts');
  const { progress: found, outlook } = await progressIn(
    reader,
    span,
    localDay(new Date()),
    { players },
    INTERVAL_TAKES,
  );
  if (options.json) {
    print(JSON.stringify({ format: 1, passage: argument, ...found, outlook }, null, 2));
    return;
  }
  await printFolded(progressLines(found, outlook, progressNames(span.passage)));
}

async function ofSection(
  reader: PracticeReader,
  argument: string | undefined,
  options: ProgressOptions,
  named: string | true,
): Promise<void> {
  const section = await whichSection(reader, named);
  if (argument !== undefined) {
    const span = await loadSpan(argument, options);
    const takes = await sectionTakesIn(reader, section, span);
    const progress = sectionProgress(takes);
    if (options.json) print(JSON.stringify(sectionProgressJson(section, argument, takes, progress), null, 2));
    else await printFolded(sectionProgressLines(section, span.passage, progress));
    return;
  }
  const passages = await sectionPassages(reader, section);
  if (options.json)
    print(
      JSON.stringify(
        {
          format: 1,
          passages: passages.map(({ passage, takes, cleanTakes }) => ({
            section,
            passage,
            takes,
            cleanTakes,
          })),
        },
        null,
        2,
      ),
    );
  else await printFolded(passages.map((one) => `${section}, ${sectionPassageLine(one.passage, one)}`));
}
