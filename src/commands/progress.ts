// `fettle progress`: whether it gets better, of a passage or of all.

import { cleanShare } from '../coaching/clean-tempo.ts';
import { dayNumber } from '../coaching/due.ts';
import { practisedTake } from '../coaching/progress.ts';
import { worksOf } from '../coaching/works.ts';
import { localDay } from '../local-date.ts';
import { counted } from '../wording/counted.ts';
import { intervalName } from '../wording/interval-name.ts';
import { outlookSentences, progressLines, shareWords } from '../wording/progress.ts';
import { loadSpan, type PassageOptions } from './passage-argument.ts';
import { goalsIn, progressIn } from './passage-takes.ts';
import { print } from './print.ts';
import { openRecord, type RecordOptions } from './record-argument.ts';

export interface ProgressOptions extends PassageOptions, RecordOptions {
  readonly json?: boolean;
}

export async function progress(argument: string | undefined, options: ProgressOptions): Promise<void> {
  const record = await openRecord(options, false);
  const today = localDay(new Date());
  try {
    if (argument === undefined) {
      const takes = record.summaries();
      const works = worksOf(takes, goalsIn(record));
      const rows = works.map((work) => {
        const own = takes.filter((take) => (take.fingerprint ?? take.passage) === work.id);
        const share = cleanShare(own.map(practisedTake));
        return { passage: work.passage, takes: own.length, cleanShare: share, dueDay: work.dueDay };
      });
      if (options.json) {
        print(JSON.stringify({ format: 1, passages: rows }, null, 2));
        return;
      }
      if (rows.length === 0) print('Nothing has been practised yet: fettle work PASSAGE begins.');
      for (const { passage, takes: count, cleanShare: share, dueDay } of rows) {
        const due = outlookSentences({
          today: dayNumber(today),
          ...(dueDay === undefined ? {} : { dueDay }),
        });
        print(`${passage}: ${counted(count, 'take')}, ${shareWords(share)}. ${due.join(' ')}`.trimEnd());
      }
      return;
    }
    const span = await loadSpan(argument, options);
    const { progress: found, outlook } = progressIn(record, span, today);
    if (options.json) {
      print(JSON.stringify({ format: 1, passage: argument, ...found, outlook }, null, 2));
      return;
    }
    const names = { title: span.passage.title, interval: (from: number) => intervalName(span.passage, from) };
    for (const line of progressLines(found, outlook, names)) print(line);
  } finally {
    record.close();
  }
}
