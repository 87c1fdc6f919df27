// `fettle progress`: whether it gets better, of a passage or of all.

import { dayNumber } from '../coaching/due.ts';
import { localDay } from '../local-date.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { counted } from '../wording/counted.ts';
import { outlookSentences, progressLines, progressNames, shareWords } from '../wording/progress.ts';
import { type DuePassage, duePassages } from './due-passages.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { progressIn } from './passage-takes.ts';
import { print } from './print.ts';
import type { RecordOptions } from './record-place.ts';
import { openReaderOrNew, whose, whoseOwn } from './record-reading.ts';

export interface ProgressOptions extends PassageOptions, RecordOptions {
  readonly json?: boolean;
}

export async function progress(argument: string | undefined, options: ProgressOptions): Promise<void> {
  const reader = await openReaderOrNew(options);
  try {
    if (argument === undefined) await allPassages(reader, options);
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
    // Of several people each by themselves.
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
    print(`${name}: ${counted(takes, 'take')}, ${shareWords(cleanShare)}. ${due.join(' ')}`.trimEnd());
  }
}

async function onePassage(reader: PracticeReader, argument: string, options: ProgressOptions): Promise<void> {
  const span = await loadSpan(argument, options);
  const players = await whoseOwn(reader, options);
  const { progress: found, outlook } = await progressIn(reader, span, localDay(new Date()), { players });
  if (options.json) {
    print(JSON.stringify({ format: 1, passage: argument, ...found, outlook }, null, 2));
    return;
  }
  for (const line of progressLines(found, outlook, progressNames(span.passage))) print(line);
}
