// --record: where the practice record is kept. A simulated player's takes go there only when it is asked for.

import { writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { ProblemError } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import { MemoryRecord } from '../simulation/memory-record.ts';
import { need } from './usage-problem.ts';

export async function openRecord(path: string | undefined, simulated: boolean): Promise<PracticeRecord> {
  if (path === undefined && simulated) return new MemoryRecord();
  const { openDatabaseRecord } = await import('../devices/database-record.ts');
  return savingElsewhere(need(await openDatabaseRecord(path)), tmpdir());
}

/** A take that the record cannot take up is written as a file of its own before the trouble is told: nothing is lost. */
export function savingElsewhere(record: PracticeRecord, folder: string): PracticeRecord {
  return {
    place: record.place,
    append(entry) {
      try {
        record.append(entry);
      } catch (error) {
        if (!(error instanceof ProblemError)) throw error;
        const { problem } = error;
        throw new ProblemError({
          ...problem,
          hint: [saved(entry, folder), problem.hint].filter(Boolean).join(' '),
        });
      }
    },
    entries: (filter) => record.entries(filter),
    recall: (name) => record.recall(name),
    remember: (name, value) => record.remember(name, value),
    close: () => record.close(),
  };
}

function saved(entry: Entry, folder: string): string {
  const path = join(folder, `fettle-take-${entry.date.replace(/[^0-9]/g, '')}-${entry.order}.json`);
  try {
    writeFileSync(path, JSON.stringify(entry));
    return `The take is in ${path}.`;
  } catch {
    return 'The last take could not be saved elsewhere either.';
  }
}
