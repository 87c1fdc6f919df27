// What lies at --record is looked at before it is touched. The foreign databases here are made with Python's sqlite3
// module where it is there (a program that is not ours), else with the library alone.

import { execFileSync, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  chownSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  writeFileSync,
} from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openDatabase } from '../../src/devices/database.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { built } from '../built.ts';
import { ownFolder } from '../own-folder.ts';
import { FORMAT_1_TABLES } from './format-1-tables.ts';

const folder = ownFolder();
chmodSync(folder, 0o755);

/** A folder of its own for a file, so that what appears beside it is seen. */
function place(name: string): string {
  const own = join(folder, name);
  mkdirSync(own);
  return join(own, 'some.db');
}

/** Every file beside it, with its bytes. */
function traces(file: string): string {
  const own = resolve(file, '..');
  return readdirSync(own)
    .sort()
    .map(
      (name) =>
        `${name} ${createHash('sha256')
          .update(readFileSync(join(own, name)))
          .digest('hex')}`,
    )
    .join('\n');
}

async function database(file: string, sql: string): Promise<void> {
  const made = await openDatabase(file);
  made.execute(sql);
  made.close();
}

async function codeOf(file: string): Promise<string> {
  const opened = await openDatabaseRecord(file);
  if (opened.ok) opened.value.close();
  return opened.ok ? 'opened' : opened.problem.code;
}

describe('a file that is no practice record', () => {
  const foreign: Record<string, string> = {
    "another program's database": 'CREATE TABLE pupil (name TEXT); INSERT INTO pupil VALUES (1)',
    'one that says version 1': 'CREATE TABLE pupil (name TEXT); PRAGMA user_version = 1',
    'one with a table of the same name':
      'CREATE TABLE take (id INTEGER); CREATE TABLE setting (name TEXT); PRAGMA user_version = 1',
    'one with our tables and others': `${FORMAT_1_TABLES} CREATE TABLE pupil (name TEXT)`,
    'one with a write-ahead log': 'PRAGMA journal_mode = WAL; CREATE TABLE pupil (name TEXT)',
    'one with an application id': 'PRAGMA application_id = 77; PRAGMA user_version = 1',
    'one without tables': 'PRAGMA user_version = 3',
  };
  it.each(Object.keys(foreign))('%s is left byte for byte', async (name) => {
    const file = place(name);
    await database(file, foreign[name]!);
    const before = traces(file);
    expect(await codeOf(file)).toBe('record.foreign');
    expect(traces(file)).toBe(before);
  });

  it('one whose tables are all in a log that a killed process left is left byte for byte', async () => {
    const file = place('killed');
    const source = place('killed from');
    const open = await openDatabase(source);
    open.execute('PRAGMA journal_mode = WAL; CREATE TABLE pupil (name TEXT)');
    for (const end of ['', '-wal']) copyFileSync(`${source}${end}`, `${file}${end}`);
    open.close();
    const before = traces(file);
    expect(await codeOf(file)).toBe('record.foreign');
    expect(traces(file)).toBe(before);
  });

  it.each([
    ['one byte', 'x'],
    ['a text', 'this is a shopping list, not a database\n'.repeat(100)],
    ['only the first bytes of a database', 'SQLite format 3\0'],
  ])('%s is left byte for byte', async (name, text) => {
    const file = place(name);
    writeFileSync(file, text);
    const before = traces(file);
    expect(await codeOf(file)).toBe('record.foreign');
    expect(traces(file)).toBe(before);
  });

  it.skipIf(spawnSync('python3', ['-c', 'import sqlite3']).status !== 0)(
    'a database that another library made is left byte for byte',
    async () => {
      const file = place('python');
      execFileSync('python3', [
        '-c',
        'import sqlite3,sys; d=sqlite3.connect(sys.argv[1]); d.execute("create table pupil(a)"); d.commit()',
        file,
      ]);
      const before = traces(file);
      expect(await codeOf(file)).toBe('record.foreign');
      expect(traces(file)).toBe(before);
    },
  );

  it('is a newer record: left byte for byte', async () => {
    const file = place('newer');
    expect(await codeOf(file)).toBe('opened');
    await database(file, 'PRAGMA user_version = 99; PRAGMA wal_checkpoint (TRUNCATE)');
    const before = traces(file);
    expect(await codeOf(file)).toBe('record.newer');
    expect(traces(file)).toBe(before);
  });

  it('is a folder, a device, or lies below a file', async () => {
    expect(await codeOf(folder)).toBe('record.directory');
    expect(await codeOf('/dev/null')).toBe('record.no-file');
    writeFileSync(join(folder, 'file'), 'a file');
    expect(await codeOf(join(folder, 'file', 'practice.db'))).toBe('record.folder');
    expect(readFileSync(join(folder, 'file'), 'utf8')).toBe('a file');
  });
});

describe('a file that may become a record', () => {
  it('is one that is not there, or has no bytes', async () => {
    const file = place('empty');
    writeFileSync(file, '');
    expect(await codeOf(file)).toBe('opened');
    expect(await codeOf(join(folder, 'not', 'there', 'yet.db'))).toBe('opened');
  });

  it('is known by its header, also when it was killed right after it was made', async () => {
    const file = place('header');
    const opened = await openDatabaseRecord(file);
    // Still open: whatever is only in the log is not in the file.
    const header = readFileSync(file).subarray(0, 100);
    expect(header.toString('latin1', 68, 72)).toBe('Fett');
    expect(header.readUInt32BE(60)).toBeGreaterThan(0);
    if (opened.ok) opened.value.close();
  });

  it('is one of format 1, known by its tables, also where they are all in a log', async () => {
    const file = place('format 1');
    await database(file, FORMAT_1_TABLES);
    expect(await codeOf(file)).toBe('opened');
    const source = place('format 1 from');
    const open = await openDatabase(source);
    open.execute(`PRAGMA journal_mode = WAL; ${FORMAT_1_TABLES}`);
    const killed = place('format 1 killed');
    for (const end of ['', '-wal']) copyFileSync(`${source}${end}`, `${killed}${end}`);
    open.close();
    expect(await codeOf(killed)).toBe('opened');
  });

  it('is a plain file, whatever its name looks like', async () => {
    const own = join(folder, 'names');
    mkdirSync(own);
    for (const name of ['a#2 100%?mode=ro.db', 'file:practice.db']) {
      const file = join(own, name);
      expect(await codeOf(file)).toBe('opened');
      expect(existsSync(file)).toBe(true);
      expect(await codeOf(file)).toBe('opened');
    }
  });
});

describe.skipIf(process.platform === 'win32')('a record without the right to it', () => {
  it('is told before anything is opened', () => {
    // In a process of an ordinary user: rights are nothing to the superuser.
    const own = join(folder, 'rights');
    mkdirSync(own);
    const superuser = process.getuid?.() === 0;
    if (superuser) chownSync(own, 65534, 65534);
    const ran = spawnSync(process.execPath, [built('test/devices/take-away-rights.ts'), own], {
      encoding: 'utf8',
      ...(superuser ? { uid: 65534, gid: 65534 } : {}),
    });
    expect(ran.stderr).toBe('');
    expect(JSON.parse(ran.stdout)).toEqual({
      'all rights': 'opened',
      'a file that may not be written': 'record.read-only',
      'a file that may not be read': 'record.unreadable',
      'a folder that may not be written': 'record.read-only',
      'a new file in it': 'record.folder',
      'all rights again': 'opened',
    });
  });
});
