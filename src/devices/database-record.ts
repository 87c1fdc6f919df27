// The practice record in an embedded database. Write-ahead log with full synchronisation: when append returns, the take
// is on the disk, and a killed process loses nothing that was acknowledged. Several Fettles may write to one record;
// each waits for the other for a moment. The schema is versioned in the file (user_version); a record of an older
// format is brought to today's, after a copy of it was put beside it.

import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join, parse, resolve } from 'node:path';
import type { Passage } from '../music/passage.ts';
import type { PracticeReader } from '../ports/practice-reader.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT, fail, ok, type Problem, ProblemError, type Result } from '../problem.ts';
import type { Entry, EntryHeading } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { type Database, openDatabase } from './database.ts';
import { insertTake, replaceJudgement } from './entry-rows.ts';
import { recordPlace } from './home.ts';
import { Outbox } from './outbox.ts';
import { lookAtPlace, noteOpened } from './record-file.ts';
import { makeTables, migrate, migrationsFrom, SCHEMA_VERSION } from './record-tables.ts';
import { recordProblem } from './record-trouble.ts';

/** How long one Fettle waits for another that is just writing. */
const BUSY_MS = 2000;

/** A smaller record is brought to today's format before anybody has read that it is. */
const TOLD_FROM_BYTES = 20_000_000;

/** Hears, part by part, of what takes a while; undefined when it is over, however it ended. */
export type TellUpkeep = (sentence: string | undefined) => void;

/** Pages of the log that are taken into the file at once: so rarely that few takes wait for it. */
const CHECKPOINT_PAGES = 8000;

/** A place that keeps nothing. */
const NOWHERE = ':memory:';

/**
 * Opens the record, or makes a new one with its folder; `place` ':memory:' keeps nothing. A file that is not a practice
 * record is left as it is. `tell` hears of it where a large record of an older format is brought to today's: that takes
 * minutes. `busyMs`: how long another program that holds the record is waited for.
 * Problems: those of `lookAtPlace`; 'record.locked', 'record.full', 'record.unwritable', 'record.corrupt',
 * 'record.newer'.
 */
export async function openDatabaseRecord(
  place?: string,
  tell: TellUpkeep = () => {},
  busyMs = BUSY_MS,
): Promise<Result<DatabaseRecord>> {
  if (place === NOWHERE) return openAt(NOWHERE, tell, busyMs);
  // As a whole path: a library takes "file:" and "http:" for something else.
  const file = resolve(place ?? (await recordPlace()));
  const found = await lookAtPlace(file);
  if (!found.ok) return found;
  if (found.value.kind === 'record' && found.value.format > SCHEMA_VERSION)
    return fail(newerProblem(file, found.value.format));
  return openAt(file, tell, busyMs);
}

/**
 * For a thread whose main thread has the record open, and has looked at it: to look at it once more would let go of the
 * locks of both. Problems: those of `openDatabaseRecord` but for those of `lookAtPlace`.
 */
export async function openRecordBeside(file: string): Promise<Result<DatabaseRecord>> {
  return openAt(file, () => {}, BUSY_MS);
}

async function openAt(file: string, tell: TellUpkeep, busyMs: number): Promise<Result<DatabaseRecord>> {
  let database: Database | undefined;
  try {
    if (file !== NOWHERE) mkdirSync(dirname(file), { recursive: true });
    database = await openDatabase(file);
    database.execute(`PRAGMA busy_timeout = ${busyMs}`);
    const version = prepare(database, file, tell);
    if (version > SCHEMA_VERSION) {
      database.close();
      return fail(newerProblem(file, version));
    }
    if (file !== NOWHERE) noteOpened(file);
    return ok(new DatabaseRecord(database, file));
  } catch (error) {
    database?.close();
    return fail(recordProblem('open', file, error));
  }
}

/** Makes a new record, or brings an older one to today's format; returns the version found. */
function prepare(database: Database, file: string, tell: TellUpkeep): number {
  database.execute('PRAGMA synchronous = FULL');
  const found = versionOf(database);
  if (found > SCHEMA_VERSION) return found;
  if (found !== SCHEMA_VERSION) {
    if (found > 0) bringToToday(database, file, found, tell);
    // Of two Fettles that start together one does it. Before the write-ahead log is set on a new file: so its own
    // header tells from the first whose it is.
    else
      database.transact(() => {
        if (versionOf(database) === 0) makeTables(database);
      });
  }
  database.execute('PRAGMA journal_mode = WAL');
  database.execute(`PRAGMA wal_autocheckpoint = ${CHECKPOINT_PAGES}`);
  // Whether it can be written to now is told now, not after the first take.
  database.transact(() => {});
  return found;
}

function versionOf(database: Database): number {
  return Number(database.all('PRAGMA user_version', [])[0]?.user_version ?? 0);
}

/** After a copy of it was put beside it. A process killed at any moment leaves the record as it was or as it is to be. */
function bringToToday(database: Database, file: string, found: number, tell: TellUpkeep): void {
  const { size } = statSync(file);
  const parts = 1 + migrationsFrom(found).length;
  const told = (what: string, index: number) => {
    if (size < TOLD_FROM_BYTES) return;
    const how = `${Math.round(size / 1e6)} MB, ${index + 1} of ${parts}`;
    tell(`The practice record is brought up to date (${how}): ${what} ...`);
  };
  try {
    told('a copy beside it', 0);
    copyBeside(database, file, found);
    // Of two Fettles that start together one does it.
    database.transact(() => migrate(database, versionOf(database), (what, index) => told(what, 1 + index)));
  } finally {
    tell(undefined);
  }
}

/** A whole copy, named for its format, never written over; it has its name when it is whole. */
function copyBeside(database: Database, file: string, version: number): void {
  const { dir, name, ext } = parse(file);
  const copy = (alike: number) =>
    join(dir, `${name}.format-${version}${alike === 1 ? '' : `-${alike}`}${ext}`);
  let alike = 1;
  while (existsSync(copy(alike))) alike += 1;
  const part = `${copy(alike)}.part`;
  for (const left of [part, `${part}-journal`]) rmSync(left, { force: true });
  database.run('VACUUM INTO ?', [part]);
  const written = openSync(part, 'r+');
  fsyncSync(written);
  closeSync(written);
  renameSync(part, copy(alike));
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
  #reader: PracticeReader | undefined;

  constructor(database: Database, place: string) {
    this.#database = database;
    this.place = place;
  }

  keepPassage(passage: Passage): string {
    const fingerprint = passageFingerprint(passage);
    this.#guard('write', () => {
      if (this.#database.all('SELECT 1 FROM passage WHERE fingerprint = ?', [fingerprint]).length > 0) return;
      this.#database.run('INSERT OR IGNORE INTO passage (fingerprint, name, body) VALUES (?, ?, ?)', [
        fingerprint,
        passage.name,
        JSON.stringify(passage),
      ]);
    });
    return fingerprint;
  }

  append(entry: Entry): void {
    this.add([entry]);
  }

  /** All of them or none; those that are there already stay as they are. Returns how many are new. */
  add(entries: readonly Entry[]): number {
    return this.#guard('write', () =>
      this.#database.transact(() => entries.filter((entry) => insertTake(this.#database, entry)).length),
    );
  }

  async headings(filter?: TakeFilter): Promise<readonly EntryHeading[]> {
    return (await this.reader()).headings(filter);
  }

  /** Reads what is in it; closing that closes the record. */
  async reader(): Promise<PracticeReader> {
    if (this.#reader) return this.#reader;
    const [{ QueriedRecord }, { embeddedTables }] = await Promise.all([
      import('./record-queries.ts'),
      import('./embedded-tables.ts'),
    ]);
    this.#reader ??= new QueriedRecord({
      place: this.place,
      tables: embeddedTables(this.#database),
      player: 'player',
      problemOf: (error) => recordProblem('read', this.place, error),
      close: () => this.close(),
    });
    return this.#reader;
  }

  /** Puts what a later judge says in the place of what an earlier one had said. */
  replaceJudgements(takes: readonly { readonly number: number; readonly entry: Entry }[]): void {
    this.#guard('write', () =>
      this.#database.transact(() => {
        for (const { number, entry } of takes) replaceJudgement(this.#database, number, entry);
      }),
    );
  }

  /** What is wrong with the file itself; nothing where it is whole. */
  damage(how: 'quick_check' | 'integrity_check'): string[] {
    const found = this.#guard('read', () => this.#database.all(`PRAGMA ${how}`, []));
    const said = found.map((row) => String(row[how]));
    return said.length === 1 && said[0] === 'ok' ? [] : said;
  }

  recall(name: string): unknown {
    const rows = this.#guard('read', () =>
      this.#database.all('SELECT value FROM setting WHERE name = ?', [name]),
    );
    const value = rows[0]?.value;
    return typeof value === 'string' ? this.#guard('read', () => JSON.parse(value) as unknown) : undefined;
  }

  remember(name: string, value: unknown): void {
    this.#guard('write', () =>
      this.#database.run(
        'INSERT INTO setting (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
        [name, JSON.stringify(value ?? null)],
      ),
    );
  }

  /** Which takes wait to be sent to a studio. */
  get outbox(): Outbox {
    return new Outbox((action, work) => this.#guard(action, () => work(this.#database)));
  }

  close(): void {
    this.#database.close();
  }

  #guard<T>(action: 'read' | 'write', work: () => T): T {
    try {
      return work();
    } catch (error) {
      throw new ProblemError(recordProblem(action, this.place, error));
    }
  }
}
