// A record of format 1, with its tables as its Fettle made them, is taken over whole, a copy of it beside it.

import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { type Database, openDatabase } from '../../src/devices/database.ts';
import { type DatabaseRecord, openDatabaseRecord } from '../../src/devices/database-record.ts';
import { writeEvents } from '../../src/devices/event-bytes.ts';
import type { PlayerEvent } from '../../src/music/player-event.ts';
import { ownFolder } from '../own-folder.ts';
import { allEntries } from '../record/kept-takes.ts';
import { FORMAT_1_TABLES } from './format-1-tables.ts';

const folder = ownFolder();

const EVENTS: PlayerEvent[] = [
  { type: 'note-on', at: 8_001_000, pitch: 60, velocity: 70, channel: 1 },
  { type: 'note-off', at: 8_400_000, pitch: 60, channel: 1 },
];
const TAKES = 1203;

const kept = (order: number) => ({
  format: 1,
  sitting: '2026-09-01T17:00:00.000Z',
  order,
  date: '2026-09-01T17:02:03.000Z',
  passage: 'harbour-reel',
  first: 1,
  last: 8,
  drill: 'landings',
  step: 0,
  stepName: 'beats 1 to 2',
  tempoBpm: 72,
  toleranceName: 'steady',
  player: 'player',
  source: 'Tidewrack keys',
  end: order % 2 === 0 ? 'stopped' : 'skipped',
  clean: order % 2 === 0,
  sentence: 'Clean.',
  zeroMicros: 8_000_000,
  ...(order === 2 ? { verdict: { clean: true, troubles: [] } } : {}),
});

function makeFormat1(database: Database): void {
  database.execute(FORMAT_1_TABLES);
  database.transact(() => {
    for (let order = 1; order <= TAKES; order += 1) {
      const entry = kept(order);
      database.run('INSERT INTO take (sitting, passage, date, entry, events) VALUES (?, ?, ?, ?, ?)', [
        entry.sitting,
        entry.passage,
        entry.date,
        JSON.stringify(entry),
        Buffer.from(writeEvents(EVENTS)),
      ]);
    }
    database.run('INSERT INTO setting VALUES (?, ?)', ['input', '"Tidewrack keys"']);
  });
}

const file = join(folder, 'practice.db');
beforeAll(async () => {
  const database = await openDatabase(file);
  makeFormat1(database);
  database.close();
});

async function open(place: string): Promise<DatabaseRecord> {
  return need(await openDatabaseRecord(place));
}

describe('a record of format 1', () => {
  it('is taken over whole, its takes marked as not to be judged again, a copy of it beside it', async () => {
    const place = join(folder, 'taken-over.db');
    copyFileSync(file, place);
    const record = await open(place);
    const entries = await allEntries(record);
    expect(record.recall('input')).toBe('Tidewrack keys');
    record.close();
    expect(entries.map(({ order }) => order)).toEqual(Array.from({ length: TAKES }, (_, i) => i + 1));
    const { format: _, verdict, zeroMicros, ...asItWas } = kept(2);
    expect(entries[1]).toEqual({
      ...asItWas,
      format: 2,
      selection: {},
      counted: true,
      onward: false,
      judge: 0,
      format1: { zeroMicros, events: EVENTS, verdict },
    });
    expect(entries[0]).toMatchObject({ end: 'skipped', counted: false });
    expect(entries.some(({ playing }) => playing !== undefined)).toBe(false);

    const copy = await openDatabase(join(folder, 'taken-over.format-1.db'));
    expect(copy.all('SELECT count(*) AS takes FROM take', [])[0]).toMatchObject({ takes: TAKES });
    expect(copy.all('PRAGMA user_version', [])[0]).toMatchObject({ user_version: 1 });
    copy.close();
  });

  it('is taken over once, and a copy is never written over', async () => {
    const place = join(folder, 'twice.db');
    copyFileSync(file, place);
    writeFileSync(join(folder, 'twice.format-1.db'), 'something else');
    (await open(place)).close();
    (await open(place)).close();
    const copies = readdirSync(folder).filter((name) => name.startsWith('twice.format-1'));
    expect(copies.sort()).toEqual(['twice.format-1-2.db', 'twice.format-1.db']);
    expect(readFileSync(join(folder, 'twice.format-1.db'), 'utf8')).toBe('something else');
  });

  it('stays as it is where a row of it cannot be read', async () => {
    const place = join(folder, 'torn.db');
    copyFileSync(file, place);
    const torn = await openDatabase(place);
    torn.run('UPDATE take SET entry = ? WHERE id = ?', ['{"sitting":', 600]);
    torn.close();
    expect(await openDatabaseRecord(place)).toMatchObject({ ok: false, problem: { code: 'record.corrupt' } });
    const again = await openDatabase(place);
    expect(again.all('SELECT count(*) AS takes FROM take', [])[0]).toMatchObject({ takes: TAKES });
    expect(again.all('PRAGMA user_version', [])[0]).toMatchObject({ user_version: 1 });
    again.close();
  });
});
