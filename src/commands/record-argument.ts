// --record: where the practice record is kept. A simulated player's takes go there only when it is asked for.

import { writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TakeEntry } from '../log/take-entry.ts';
import { ProblemError } from '../music/problem.ts';
import type { Store } from '../ports/store.ts';
import { MemoryStore } from '../simulation/memory-store.ts';
import { need } from './passage-argument.ts';

export async function openRecord(path: string | undefined, simulated: boolean): Promise<Store> {
  if (path === undefined && simulated) return new MemoryStore();
  const { openStore } = await import('../devices/database-store.ts');
  return savingElsewhere(need(await openStore(path)), tmpdir());
}

/** A take that the record cannot take up is written as a file of its own before the trouble is told: nothing is lost. */
export function savingElsewhere(store: Store, folder: string): Store {
  return {
    place: store.place,
    append(entry) {
      try {
        store.append(entry);
      } catch (error) {
        if (!(error instanceof ProblemError)) throw error;
        const { problem } = error;
        throw new ProblemError({
          ...problem,
          hint: [saved(entry, folder), problem.hint].filter(Boolean).join(' '),
        });
      }
    },
    takes: (filter) => store.takes(filter),
    recall: (name) => store.recall(name),
    remember: (name, value) => store.remember(name, value),
    close: () => store.close(),
  };
}

function saved(entry: TakeEntry, folder: string): string {
  const path = join(folder, `fettle-take-${entry.date.replace(/[^0-9]/g, '')}-${entry.order}.json`);
  try {
    writeFileSync(path, JSON.stringify(entry));
    return `The take is in ${path}.`;
  } catch {
    return 'The last take could not be saved elsewhere either.';
  }
}
