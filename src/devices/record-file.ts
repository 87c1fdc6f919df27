// What lies where a practice record is to be kept, looked at without changing a byte: nothing but our own record is
// ever written to. Our records carry an application id in SQLite's header (https://www.sqlite.org/fileformat2.html,
// section 1.3: user version at byte 60, application id at byte 68, big-endian); those of format 1 were made before
// there was one and are known by their tables.

import {
  accessSync,
  closeSync,
  constants,
  copyFileSync,
  mkdtempSync,
  openSync,
  readSync,
  rmSync,
  type Stats,
  statSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { EXIT, fail, ok, type Problem, type Result } from '../problem.ts';
import { openDatabase } from './database.ts';
import { APPLICATION_ID, SCHEMA_VERSION } from './record-tables.ts';

/** `new`: there is nothing yet, or a file of no bytes. Else the format that the file itself tells. */
export type RecordPlace = { readonly kind: 'new' } | { readonly kind: 'record'; readonly format: number };

/**
 * The records that this thread has opened. POSIX drops all locks of a process on a file when any of its descriptors is
 * closed (https://www.sqlite.org/howtocorrupt.html, section 2.2): another program would take itself for the last one and
 * put the log away under those that still write to it. And a connection that was closed lives on until its statements
 * are collected. So what was open once is not looked into again.
 */
const OPENED = new Set<string>();

/** The file, which is there, has been opened as a record of today's format. */
export function noteOpened(file: string): void {
  OPENED.add(idOf(statSync(file)));
}

/** With its birth: the number of a file that is gone is given to another one. */
function idOf({ dev, ino, birthtimeMs }: Stats): string {
  return `${dev}:${ino}:${birthtimeMs}`;
}

const HEADER_BYTES = 100;
const MAGIC = 'SQLite format 3\0';

/**
 * Problems: 'record.folder', 'record.directory', 'record.no-file', 'record.unreadable', 'record.read-only',
 * 'record.foreign'.
 */
export async function lookAtPlace(file: string): Promise<Result<RecordPlace>> {
  const stat = statOf(file);
  const folder = folderProblem(file, stat !== undefined);
  if (folder) return fail(folder);
  if (!stat) return ok({ kind: 'new' });
  if (stat.isDirectory()) return refuse(file, 'directory', 'it is a folder', 'Give a file in it instead.');
  if (!stat.isFile()) return refuse(file, 'no-file', 'it is no ordinary file', OTHER_FILE);
  if (!may(file, constants.R_OK))
    return refuse(file, 'unreadable', 'it may not be read', 'Ask for the right to read it, or give another.');
  if (!may(file, constants.W_OK))
    return refuse(file, 'read-only', 'it may not be written to', 'Allow writing to it, or give another.');
  if (OPENED.has(idOf(stat))) return ok({ kind: 'record', format: SCHEMA_VERSION });
  if (stat.size === 0) return ok({ kind: 'new' });
  return lookInside(file);
}

async function lookInside(file: string): Promise<Result<RecordPlace>> {
  const header = readHeader(file);
  if (header.toString('latin1', 0, MAGIC.length) !== MAGIC || header.length < HEADER_BYTES)
    return foreign(file, 'it is another kind of file');
  const id = header.readUInt32BE(68);
  if (id === APPLICATION_ID) return ok({ kind: 'record', format: header.readUInt32BE(60) });
  if (id !== 0) return foreign(file, "it is another program's database");
  const tables = await tablesOf(file);
  if (tables === undefined) return foreign(file, 'it cannot be read as a database');
  if (isFormat1(tables)) return ok({ kind: 'record', format: 1 });
  return foreign(file, "it is another program's database");
}

/** The tables of a database, by name, read without a trace; undefined where it cannot be read. */
async function tablesOf(file: string): Promise<Map<string, string> | undefined> {
  try {
    const kept = await schemaOf(file);
    // A process killed while it made the record has left everything in the write-ahead log.
    return kept.size === 0 && statOf(`${file}-wal`) ? await schemaOfCopy(file) : kept;
  } catch {
    return undefined;
  }
}

async function schemaOf(file: string): Promise<Map<string, string>> {
  // Immutable: no lock is taken, no log is replayed, no file is made beside it.
  const database = await openDatabase(`${pathToFileURL(file).href}?immutable=1`);
  try {
    const rows = database.all("SELECT name, sql FROM sqlite_schema WHERE type = 'table'", []);
    return new Map(rows.map((row) => [String(row.name), String(row.sql)]));
  } finally {
    database.close();
  }
}

/** Of a database without tables of its own yet, and so a small one. */
async function schemaOfCopy(file: string): Promise<Map<string, string>> {
  const folder = mkdtempSync(join(tmpdir(), 'fettle-look-'));
  try {
    const copy = join(folder, basename(file));
    copyFileSync(file, copy);
    copyFileSync(`${file}-wal`, `${copy}-wal`);
    const database = await openDatabase(copy);
    const rows = database.all("SELECT name, sql FROM sqlite_schema WHERE type = 'table'", []);
    database.close();
    return new Map(rows.map((row) => [String(row.name), String(row.sql)]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const FORMAT_1_COLUMNS: Record<string, readonly string[]> = {
  take: ['id', 'sitting', 'passage', 'date', 'entry', 'events'],
  setting: ['name', 'value'],
};

function isFormat1(tables: Map<string, string>): boolean {
  const own = [...tables.keys()].filter((name) => !name.startsWith('sqlite_'));
  return (
    own.length === 2 &&
    Object.entries(FORMAT_1_COLUMNS).every(
      ([name, columns]) => JSON.stringify(columnsOf(tables.get(name) ?? '')) === JSON.stringify(columns),
    )
  );
}

/** The names of the columns in a CREATE TABLE of plain columns. */
function columnsOf(sql: string): string[] {
  const inside = sql.slice(sql.indexOf('(') + 1, sql.lastIndexOf(')'));
  return inside.split(',').map((column) => column.trim().split(/\s/, 1)[0]!);
}

function readHeader(file: string): Buffer {
  const header = Buffer.alloc(HEADER_BYTES);
  const handle = openSync(file, 'r');
  try {
    return header.subarray(0, readSync(handle, header, 0, HEADER_BYTES, 0));
  } finally {
    closeSync(handle);
  }
}

/** The folder, or the nearest one above it that is there: files are made in it beside the record. */
function folderProblem(file: string, there: boolean): Problem | undefined {
  let folder = dirname(file);
  while (!statOf(folder) && dirname(folder) !== folder) folder = dirname(folder);
  if (!statOf(folder)?.isDirectory())
    return problem(file, 'folder', `${folder} is a file, not a folder`, 'Give another place for the record.');
  if (may(folder, constants.W_OK | constants.X_OK)) return undefined;
  const why = `the folder ${folder} may not be written to`;
  return there
    ? problem(file, 'read-only', why, 'Allow writing to the folder, or give another place for the record.')
    : problem(file, 'folder', why, 'Give another place for the record.');
}

function statOf(path: string) {
  try {
    return statSync(path);
  } catch {
    return undefined;
  }
}

function may(path: string, mode: number): boolean {
  try {
    accessSync(path, mode);
    return true;
  } catch {
    return false;
  }
}

const OTHER_FILE = 'Give another file for the record.';

function foreign(file: string, why: string): Result<never> {
  return refuse(file, 'foreign', `${why}, not a practice record`, `It was left as it is. ${OTHER_FILE}`);
}

function refuse(file: string, code: string, why: string, hint: string): Result<never> {
  return fail(problem(file, code, why, hint));
}

function problem(file: string, code: string, why: string, hint: string): Problem {
  return {
    code: `record.${code}`,
    message: `Cannot keep the practice record in ${file}: ${why}`,
    hint,
    exitStatus: EXIT.record,
  };
}
