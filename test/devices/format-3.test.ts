// A record of format 3, with its tables as its Fettle made them, becomes one of today's: a copy of it beside it, its takes
// as they were, and takes that several played as a section can be kept in it and asked for.

import { join } from 'node:path';
import { expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabase } from '../../src/devices/database.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import type { PlayedTogether } from '../../src/record/played-together.ts';
import { ownFolder } from '../own-folder.ts';
import { allEntries } from '../record/kept-takes.ts';
import { madeEntry } from '../record/made-entry.ts';

const folder = ownFolder();

const FORMAT_3 = `
  CREATE TABLE passage (fingerprint TEXT PRIMARY KEY, name TEXT NOT NULL, body TEXT NOT NULL) WITHOUT ROWID;
  CREATE TABLE step (id INTEGER PRIMARY KEY, fingerprint TEXT NOT NULL UNIQUE, body TEXT NOT NULL);
  CREATE TABLE take (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    fingerprint TEXT NOT NULL UNIQUE,
    sitting TEXT NOT NULL,
    place INTEGER NOT NULL,
    date TEXT NOT NULL,
    day TEXT NOT NULL,
    player TEXT NOT NULL,
    source TEXT NOT NULL,
    passage TEXT NOT NULL,
    music TEXT,
    part TEXT,
    hand TEXT,
    selection TEXT NOT NULL,
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    drill TEXT NOT NULL,
    step INTEGER NOT NULL,
    step_name TEXT NOT NULL,
    step_first INTEGER,
    step_last INTEGER,
    tempo_bpm REAL NOT NULL,
    tolerance TEXT NOT NULL,
    ended TEXT NOT NULL,
    clean INTEGER NOT NULL,
    counted INTEGER NOT NULL,
    onward INTEGER NOT NULL,
    ladder TEXT,
    judge INTEGER NOT NULL,
    asked INTEGER REFERENCES step (id),
    verdict TEXT,
    rest TEXT NOT NULL,
    events BLOB NOT NULL
  );
  CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL);
  CREATE INDEX take_of_player ON take (player, music, date, passage, ended, clean);
  CREATE INDEX take_named ON take (passage);
  CREATE INDEX take_of_sitting ON take (sitting);
  CREATE TABLE share (
    one INTEGER PRIMARY KEY CHECK (one = 1), address TEXT NOT NULL, player TEXT NOT NULL,
    since TEXT NOT NULL, sent TEXT, trouble TEXT, troubled TEXT
  );
  CREATE TABLE outbox (
    number INTEGER PRIMARY KEY AUTOINCREMENT, take INTEGER REFERENCES take (id), setting TEXT,
    judged INTEGER NOT NULL DEFAULT 0, refused TEXT
  );
  INSERT INTO take VALUES (7, 'f00d', 'monday', 1, '2026-11-23T19:00:00.000+01:00', '2026-11-23', 'Ilse',
    'Tidewrack keys', 'harbour-reel', NULL, NULL, NULL, '{}', 1, 8, 'landings', 0, 'beats 1 to 2', 1, 2, 72.0,
    'steady', 'skipped', 0, 0, 0, NULL, 2, NULL, NULL, '{"sentence":"Skipped."}', x'01');
  PRAGMA application_id = 0x46657474;
  PRAGMA user_version = 3;`;

const TOGETHER: PlayedTogether = {
  section: 'Tidewrack reeds',
  take: 4,
  attendance: 'counted',
  needed: 2,
  calibrated: true,
};

it('a record of format 3 takes up takes of a section, a copy of it beside it', async () => {
  const place = join(folder, 'practice.db');
  const before = await openDatabase(place);
  before.execute(FORMAT_3);
  before.close();

  const record = need(await openDatabaseRecord(place));
  const old = await allEntries(record);
  expect(old).toMatchObject([{ player: 'Ilse', end: 'skipped', sentence: 'Skipped.' }]);
  expect(old[0]).not.toHaveProperty('together');

  const [played, alone] = [madeEntry(2, { together: TOGETHER }), madeEntry(3)];
  record.add([played, alone]);
  const reader = await record.reader();
  expect(await allEntries(reader)).toStrictEqual([old[0], played, alone]);
  const asked = await reader.summaries({ section: TOGETHER.section });
  expect(asked.map(({ order, together }) => [order, together])).toStrictEqual([[2, TOGETHER]]);
  expect(await reader.headings({ section: 'another' })).toEqual([]);
  record.close();

  const copy = await openDatabase(join(folder, 'practice.format-3.db'));
  expect(copy.all('SELECT id, player FROM take', [])).toMatchObject([{ id: 7, player: 'Ilse' }]);
  expect(copy.all('PRAGMA user_version', [])[0]).toMatchObject({ user_version: 3 });
  copy.close();
  const again = need(await openDatabaseRecord(place));
  expect(await allEntries(again)).toHaveLength(3);
  again.close();
});
