import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabase } from '../../src/devices/database.ts';
import {
  type DatabaseRecord,
  openDatabaseRecord,
  openRecordBeside,
} from '../../src/devices/database-record.ts';
import { ProblemError } from '../../src/problem.ts';
import type { TakeFilter } from '../../src/record/take-filter.ts';
import { built } from '../built.ts';
import { ownFolder } from '../own-folder.ts';
import { allEntries } from '../record/kept-takes.ts';
import { madeEntry } from '../record/made-entry.ts';
import { sample } from '../sample.ts';
import { killAgainAndAgain } from '../studio/kills.ts';

const folder = ownFolder();

async function open(place: string): Promise<DatabaseRecord> {
  return need(await openDatabaseRecord(place));
}

describe('the practice record', () => {
  it('gives takes back as they were, in order of writing', async () => {
    const record = await open(':memory:');
    const entries = [madeEntry(1), madeEntry(2, { clean: false, end: 'slipped', tempoBpm: 80 })];
    for (const entry of entries) record.append(entry);
    expect(await allEntries(record)).toStrictEqual(entries);
    expect((await (await record.reader()).summaries())[1]).toMatchObject({
      end: 'slipped',
      tempoBpm: 80,
      verdict: { pace: 1 },
    });
    // What is no take's own is not there twice.
    record.append(madeEntry(2, { clean: false, end: 'slipped', tempoBpm: 80 }));
    expect(await record.headings()).toHaveLength(2);
    record.close();
  });

  it('is asked by passage, by player, by days, by span and for the latest', async () => {
    const record = await open(':memory:');
    record.append(madeEntry(1));
    record.append(madeEntry(2, { passage: 'ebb' }));
    record.append(madeEntry(1, { sitting: 'tuesday' }));
    record.append(madeEntry(2, { sitting: 'tuesday', player: 'Bo', last: 9 }));
    // What is taken up later and was played earlier.
    record.append(madeEntry(7, { date: '2026-11-20T23:59:59.999+01:00', sitting: 'before' }));
    const orders = async (filter: TakeFilter) =>
      (await record.headings(filter)).map((entry) => `${entry.sitting} ${entry.order}`);
    expect(await orders({ passage: 'ebb' })).toEqual(['monday 2']);
    expect(await orders({ players: ['Bo', 'nobody'] })).toEqual(['tuesday 2']);
    expect(await orders({ players: [] })).toEqual([]);
    expect(await orders({ to: '2026-11-20' })).toEqual(['before 7']);
    expect(await orders({ from: '2026-11-21', to: '2026-11-23', limit: 1 })).toEqual(['tuesday 2']);
    expect(await orders({ from: '2026-11-24' })).toEqual([]);
    expect(await orders({ first: 1, last: 9 })).toEqual(['tuesday 2']);
    expect(await orders({ fingerprint: null })).toEqual([]);
    expect(await orders({ passage: 'harbour-reel', limit: 2 })).toEqual(['tuesday 1', 'tuesday 2']);
    expect((await orders({}))[0]).toBe('before 7');
    expect(await orders({ passage: "'; DROP TABLE take; --" })).toEqual([]);
    expect(await (await record.reader()).players()).toEqual(['Bo', 'Ilse']);
    record.close();
  });

  it('remembers settings by name, across openings', async () => {
    const file = join(folder, 'new', 'folders', 'practice.db');
    const first = await open(file);
    expect(first.recall('input')).toBeUndefined();
    first.remember('input', { name: 'Tidewrack keys' });
    first.remember('input', { name: 'Harbour reed', channel: 2 });
    first.append(madeEntry(1));
    first.close();
    const second = await open(file);
    expect(second.recall('input')).toEqual({ name: 'Harbour reed', channel: 2 });
    expect(await allEntries(second)).toEqual([madeEntry(1)]);
    second.close();
  });

  it('is written through to the disk at every append: write-ahead log, full synchronisation', async () => {
    const file = join(folder, 'sync.db');
    const record = need(await openDatabaseRecord(file, undefined, 100));
    const other = await openDatabase(file);
    expect(other.all('PRAGMA journal_mode', [])[0]).toMatchObject({ journal_mode: 'wal' });
    record.append(madeEntry(1));
    expect(other.all('SELECT count(*) AS takes FROM take', [])[0]).toMatchObject({ takes: 1 });
    other.close();
    record.close();
  });

  it('loses nothing that was acknowledged when processes are killed at random moments, the outbox included', async () => {
    const file = join(folder, 'killed.db');
    const record = await open(file);
    // A studio that never answers: everything has to wait.
    record.outbox.begin({
      address: 'postgres://nobody@127.0.0.1:1/none',
      player: 'Ilse',
      since: '2026-11-23',
    });
    record.close();
    const { acknowledged, kept, lost, waiting, damage } = await killAgainAndAgain(file, sample(100, 4), 7, [
      'one',
      'another',
    ]);
    expect(acknowledged).toBeGreaterThan(0);
    expect(lost).toEqual([]);
    // At most the one being written is there besides, for each that was killed.
    expect(kept - acknowledged).toBeLessThanOrEqual(sample(100, 4));
    expect(waiting).toBe(kept);
    expect(damage).toEqual([]);
  });

  it('keeps its locks when it is opened again, so that no other program puts its log away', async () => {
    const file = join(folder, 'locked.db');
    const first = await open(file);
    first.append(madeEntry(1));
    first.close();
    // What was closed lives on in the library, and so do its locks.
    const record = await open(file);
    (await open(file)).close();
    need(await openRecordBeside(file)).close();
    const others = () => {
      const told = spawnSync(process.execPath, [built('src/main.ts'), 'record', '--record', file]);
      return told.stdout.toString();
    };
    expect(others()).toContain('1 take ');
    // What is kept now is lost when the other one took itself for the last and unlinked the log.
    record.append(madeEntry(2));
    expect(others()).toContain('2 takes ');
    record.close();
    expect(others()).toContain('2 takes ');
  });

  it('is two Fettles’ record at once', async () => {
    const file = join(folder, 'shared.db');
    const [a, b] = await Promise.all([open(file), open(file)]);
    a.append(madeEntry(1));
    b.append(madeEntry(2));
    a.append(madeEntry(3));
    expect((await b.headings()).map((entry) => entry.order)).toEqual([1, 2, 3]);
    a.close();
    b.close();
  });
});

describe('a record that cannot be had', () => {
  it('is told as locked', async () => {
    const file = join(folder, 'locked.db');
    const record = need(await openDatabaseRecord(file, undefined, 100));
    const other = await openDatabase(file);
    other.execute('BEGIN EXCLUSIVE');
    expect(await openDatabaseRecord(file, undefined, 100)).toMatchObject({
      ok: false,
      problem: { code: 'record.locked', exitStatus: 5 },
    });
    expect(() => record.append(madeEntry(1))).toThrow(ProblemError);
    other.execute('ROLLBACK');
    other.close();
    record.append(madeEntry(1));
    record.close();
  });

  it('is told as damaged', async () => {
    const file = join(folder, 'corrupt.db');
    (await open(file)).close();
    const bytes = readFileSync(file);
    writeFileSync(file, bytes.fill(0x55, 100));
    const opened = await openDatabaseRecord(file);
    expect(opened).toMatchObject({ ok: false, problem: { code: 'record.corrupt', exitStatus: 5 } });
    expect(!opened.ok && opened.problem.message).toContain(file);
  });

  it('is told as a newer Fettle’s', async () => {
    const file = join(folder, 'newer.db');
    (await open(file)).close();
    const database = await openDatabase(file);
    database.execute('PRAGMA user_version = 99');
    database.close();
    expect(await openDatabaseRecord(file)).toMatchObject({ ok: false, problem: { code: 'record.newer' } });
  });
});
