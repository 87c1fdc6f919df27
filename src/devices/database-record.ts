// The practice record in an embedded database, one row a take. Write-ahead log with full synchronisation: when append
// returns, the take is on the disk, and a killed process loses nothing that was acknowledged. Several Fettles may write
// to one record; each waits for the other for a moment. The schema is versioned in the file (user_version).

import { mkdirSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT, fail, ok, type Problem, ProblemError, type Result } from '../problem.ts';
import type { Entry } from '../record/entry.ts';
import { columnBytes, type Database, openDatabase, type SqlRow } from './database.ts';
import { readEvents, writeEvents } from './event-bytes.ts';
import { recordPlace } from './home.ts';
import { APPLICATION_ID, lookAtPlace } from './record-file.ts';

const SCHEMA_VERSION = 1;
const SCHEMA = `
  CREATE TABLE take (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    sitting TEXT NOT NULL,
    passage TEXT NOT NULL,
    date TEXT NOT NULL,
    entry TEXT NOT NULL,
    events BLOB NOT NULL
  );
  CREATE INDEX take_passage ON take (passage, id);
  CREATE INDEX take_sitting ON take (sitting, id);
  CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL);
  PRAGMA user_version = ${SCHEMA_VERSION};
`;

/** How long one Fettle waits for another that is just writing. */
const BUSY_MS = 2000;

/** A place that keeps nothing. */
const NOWHERE = ':memory:';

/**
 * Opens the record, or makes a new one with its folder; `place` ':memory:' keeps nothing. A file that is not a practice
 * record is left as it is.
 * Problems: those of `lookAtPlace`; 'record.locked', 'record.full', 'record.unwritable', 'record.corrupt',
 * 'record.newer'.
 */
export async function openDatabaseRecord(place?: string): Promise<Result<DatabaseRecord>> {
  if (place === NOWHERE) return openAt(NOWHERE);
  // As a whole path: a library takes "file:" and "http:" for something else.
  const file = resolve(place ?? (await recordPlace()));
  const found = await lookAtPlace(file);
  if (!found.ok) return found;
  if (found.value.kind === 'record' && found.value.format > SCHEMA_VERSION)
    return fail(newerProblem(file, found.value.format));
  return openAt(file);
}

async function openAt(file: string): Promise<Result<DatabaseRecord>> {
  let database: Database | undefined;
  try {
    if (file !== NOWHERE) mkdirSync(dirname(file), { recursive: true });
    database = await openDatabase(file);
    database.execute(`PRAGMA busy_timeout = ${BUSY_MS}`);
    const version = prepare(database);
    if (version > SCHEMA_VERSION) {
      database.close();
      return fail(newerProblem(file, version));
    }
    return ok(new DatabaseRecord(database, file));
  } catch (error) {
    database?.close();
    return fail(recordProblem('open', file, error));
  }
}

/** Makes a new record; returns the version found. */
function prepare(database: Database): number {
  database.execute('PRAGMA synchronous = FULL');
  // Inside one immediate transaction: of two Fettles that start together on a new record, one makes it. Before the
  // write-ahead log is set: so the file's own header tells from the first whose it is.
  database.execute('BEGIN IMMEDIATE');
  const version = Number(database.all('PRAGMA user_version', [])[0]?.user_version ?? 0);
  if (version === 0) database.execute(SCHEMA);
  if (version <= SCHEMA_VERSION) database.execute(`PRAGMA application_id = ${APPLICATION_ID}`);
  database.execute('COMMIT');
  database.execute('PRAGMA journal_mode = WAL');
  return version;
}

function newerProblem(file: string, version: number): Problem {
  return {
    code: 'record.newer',
    message: `Cannot open the practice record ${file}: a newer Fettle wrote it (format ${version}, known is ${SCHEMA_VERSION})`,
    hint: 'Update Fettle, or give another file for the record.',
    exitStatus: EXIT.record,
  };
}

/** Its methods throw a ProblemError (exit status EXIT.record) when the file cannot be read or written any more. */
export class DatabaseRecord implements PracticeRecord {
  readonly place: string;
  readonly #database: Database;

  constructor(database: Database, place: string) {
    this.#database = database;
    this.place = place;
  }

  append(entry: Entry): void {
    const { events, ...rest } = entry;
    this.#write('INSERT INTO take (sitting, passage, date, entry, events) VALUES (?, ?, ?, ?, ?)', [
      entry.sitting,
      entry.passage,
      entry.date,
      JSON.stringify(rest),
      // A Buffer: the one form of bytes that both libraries bind.
      Buffer.from(writeEvents(events)),
    ]);
  }

  entries(filter: { passage?: string; sitting?: string; limit?: number } = {}): readonly Entry[] {
    const { passage, sitting, limit } = filter;
    const where = [
      ...(passage === undefined ? [] : ['passage = ?']),
      ...(sitting === undefined ? [] : ['sitting = ?']),
    ];
    const values = [passage, sitting].filter((value) => value !== undefined);
    // A limit keeps the latest, still in order of writing.
    const rows = this.#guard('read', () =>
      this.#database.all(
        `SELECT entry, events FROM take ${where.length > 0 ? `WHERE ${where.join(' AND ')}` : ''}
         ORDER BY id DESC ${limit === undefined ? '' : 'LIMIT ?'}`,
        limit === undefined ? values : [...values, limit],
      ),
    );
    return this.#guard('read', () => rows.reverse().map(entryOf));
  }

  recall(name: string): unknown {
    const rows = this.#guard('read', () =>
      this.#database.all('SELECT value FROM setting WHERE name = ?', [name]),
    );
    const value = rows[0]?.value;
    return typeof value === 'string' ? this.#guard('read', () => JSON.parse(value) as unknown) : undefined;
  }

  remember(name: string, value: unknown): void {
    this.#write(
      'INSERT INTO setting (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
      [name, JSON.stringify(value ?? null)],
    );
  }

  close(): void {
    this.#database.close();
  }

  #write(sql: string, values: (string | Uint8Array)[]): void {
    this.#guard('write', () => this.#database.run(sql, values));
  }

  #guard<T>(action: 'read' | 'write', work: () => T): T {
    try {
      return work();
    } catch (error) {
      throw new ProblemError(recordProblem(action, this.place, error));
    }
  }
}

function entryOf(row: SqlRow): Entry {
  const { entry } = row;
  const events = columnBytes(row.events);
  if (typeof entry !== 'string' || !events) throw new Error('a row is not a take');
  return { ...(withoutNulls(JSON.parse(entry)) as Omit<Entry, 'events'>), events: readEvents(events) };
}

/** JSON has no undefined and writes it as null in lists, where an entry never has null. */
function withoutNulls(value: unknown): unknown {
  if (value === null) return undefined;
  if (Array.isArray(value)) return value.map(withoutNulls);
  if (typeof value !== 'object') return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, withoutNulls(inner)]));
}

function recordProblem(action: 'open' | 'read' | 'write', file: string, error: unknown): Problem {
  const why = error instanceof Error ? error.message : String(error);
  const kind = TROUBLES.find(({ said }) => said.test(why)) ?? OTHER_TROUBLE;
  return {
    code: `record.${kind.code}`,
    message: `Cannot ${action} the practice record ${file}: ${kind.why ?? why}`,
    hint: kind.hint,
    exitStatus: EXIT.record,
  };
}

/** What the libraries say (SQLite's own messages), and what it is in our words. */
const TROUBLES = [
  {
    code: 'locked',
    said: /locked|busy/i,
    why: 'another program holds it',
    hint: 'Close the other program and try again.',
  },
  {
    code: 'full',
    said: /is full|no space/i,
    why: 'the disk is full',
    hint: 'Make room on it, or give another file for the record.',
  },
  {
    code: 'read-only',
    said: /readonly|read-only/i,
    why: 'it may not be written to',
    hint: 'Allow writing to the file and its folder, or give another file.',
  },
  {
    code: 'corrupt',
    said: /not a database|malformed|corrupt|unknown kind|event bytes|a row is not|JSON/i,
    why: 'the file is damaged',
    hint: 'Move the file away to start a new record; keep it, what is whole in it can be saved.',
  },
];

const OTHER_TROUBLE = {
  code: 'unwritable',
  why: undefined,
  hint: 'Look at the folder: is it writable, is the disk full?',
};
