// `fettle record rejudge`: today's judge over the takes that are kept. What changes is told; it is kept only when asked.

import { blipFingers } from '../coaching/blip-fingers.ts';
import type { DatabaseRecord } from '../devices/database-record.ts';
import type { Passage } from '../music/passage.ts';
import { wholeSpan } from '../music/span.ts';
import { rejudged } from '../record/rejudge.ts';
import { type TakeReport, takeReport } from '../session/take-report.ts';
import type { TakeResult } from '../take/result.ts';
import type { TakeTerms } from '../take/terms.ts';
import { takeSentence } from '../wording/sentence.ts';
import { print } from './print.ts';
import { openExisting, openReader, type TakesOptions, takesAskedFor } from './record-reading.ts';

export interface RejudgeOptions extends TakesOptions {
  readonly write?: boolean;
}

const MOST_TOLD = 20;
const BATCH = 100;

export async function rejudgeRecord(options: RejudgeOptions): Promise<void> {
  // New verdicts are written to the record on this computer alone: a studio has copies.
  const record = options.write ? await openExisting(options) : undefined;
  const reader = record ? await record.reader() : await openReader(options);
  try {
    const counts = { judged: 0, former: 0, changed: 0, cleanNow: 0, cleanNoMore: 0 };
    const musics = new Map<string, Passage | undefined>();
    let waiting: Parameters<DatabaseRecord['replaceJudgements']>[0] = [];
    for await (const { number, read } of reader.readAll(await takesAskedFor(reader, options))) {
      if (!read.ok) continue;
      const entry = read.value;
      const { fingerprint, playing, verdict } = entry;
      if (!playing) counts.former += 1;
      if (!playing || !verdict) continue;
      counts.judged += 1;
      if (fingerprint !== undefined && !musics.has(fingerprint))
        musics.set(fingerprint, await reader.passage(fingerprint));
      const passage = musics.get(fingerprint ?? '');
      const now = rejudged(entry, playing, (result) =>
        passage ? takeSentence(reportOn(result, passage, playing.terms), passage) : entry.sentence,
      );
      if (!now) continue;
      counts.changed += 1;
      if (now.clean && !entry.clean) counts.cleanNow += 1;
      if (!now.clean && entry.clean) counts.cleanNoMore += 1;
      if (counts.changed <= MOST_TOLD) {
        print(`take ${number}, ${entry.date.slice(0, 16)}, ${entry.passage}, ${entry.stepName}:`);
        print(`  then ${entry.clean ? 'clean' : 'not clean'}: ${entry.sentence}`);
        print(`  now  ${now.clean ? 'clean' : 'not clean'}: ${now.sentence}`);
      }
      if (record) waiting = [...waiting, { number, entry: now }];
      if (waiting.length >= BATCH) {
        record?.replaceJudgements(waiting);
        waiting = [];
      }
    }
    record?.replaceJudgements(waiting);
    if (counts.changed > MOST_TOLD) print(`and ${counts.changed - MOST_TOLD} more`);
    print(
      `${counts.changed} of ${counts.judged} judged takes get another verdict: ${counts.cleanNow} clean now, ${counts.cleanNoMore} no longer.`,
    );
    if (counts.former > 0) print(`${counts.former} takes of format 1 cannot be judged again.`);
    if (counts.changed > 0)
      print(
        options.write
          ? 'The new verdicts are kept, the old ones beside them.'
          : 'Nothing was changed: --write keeps it.',
      );
  } finally {
    await reader.close();
  }
}

/** The record does not say what keywork the instrument has: fingers are those of the usual one. */
function reportOn(result: TakeResult, passage: Passage, { line, run }: TakeTerms): TakeReport {
  const [worst] = result.verdict.troubles;
  return takeReport(result, line, blipFingers(worst, { span: wholeSpan(passage) }, line, run.tempo));
}
