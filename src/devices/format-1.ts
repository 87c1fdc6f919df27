// Takes of format 1 as entries of today. Format 1 kept neither the step nor the music, and its events were already
// shifted by octaves that it did not keep: such a take is kept with all that was known of it, and not judged again.

import type { PlayerEvent } from '../music/player-event.ts';
import { ENTRY_FORMAT, type Entry } from '../record/entry.ts';
import { columnBytes, type Database } from './database.ts';
import { insertTake } from './entry-rows.ts';
import { readEvents } from './event-bytes.ts';

const BATCH = 500;

/** Inside a transaction: every row of a table of format 1 into the table of today. */
export function takeOver(database: Database, table: string): void {
  for (let last = 0; ; ) {
    const rows = database.all(
      `SELECT id, entry, events FROM ${table} WHERE id > ? ORDER BY id LIMIT ${BATCH}`,
      [last],
    );
    for (const row of rows) {
      const events = columnBytes(row.events);
      if (typeof row.entry !== 'string' || !events) throw new Error('a row is not a take');
      insertTake(database, entryOfFormat1(JSON.parse(row.entry), readEvents(events)));
      last = Number(row.id);
    }
    if (rows.length < BATCH) return;
  }
}

/** Throws where a field is not what format 1 wrote. */
function entryOfFormat1(kept: Record<string, unknown>, events: readonly PlayerEvent[]): Entry {
  const text = (name: string) => field(kept, name, 'string');
  const number = (name: string) => field(kept, name, 'number');
  const clean = field(kept, 'clean', 'boolean');
  const end = text('end') as Entry['end'];
  return {
    format: ENTRY_FORMAT,
    sitting: text('sitting'),
    order: number('order'),
    date: text('date'),
    player: text('player'),
    source: text('source'),
    passage: text('passage'),
    selection: {},
    first: number('first'),
    last: number('last'),
    drill: text('drill'),
    step: number('step'),
    stepName: text('stepName'),
    tempoBpm: number('tempoBpm'),
    toleranceName: text('toleranceName') as Entry['toleranceName'],
    end,
    clean,
    counted: end === 'stopped' || end === 'slipped',
    // Format 1 did not say.
    onward: false,
    judge: 0,
    sentence: text('sentence'),
    format1: {
      zeroMicros: number('zeroMicros'),
      ...(typeof kept.lagMicros === 'number' ? { lagMicros: kept.lagMicros } : {}),
      events,
      ...(kept.verdict === undefined ? {} : { verdict: kept.verdict }),
    },
  };
}

interface Types {
  string: string;
  number: number;
  boolean: boolean;
}

function field<T extends keyof Types>(kept: Record<string, unknown>, name: string, type: T): Types[T] {
  const value = kept[name];
  if (typeof value !== type) throw new Error(`a row is not a take: its ${name} is no ${type}`);
  return value as Types[T];
}
