// The practice record in an embedded database. Write-ahead log with full synchronisation: when append returns, the take
// is on the disk, and a killed process loses nothing that was acknowledged. Several Fettles may write to one record;
// each waits for the other for a moment. The schema is versioned in the file (user_version); a record of an older
// format is brought to today's, after a copy of it was put beside it.

import { existsSync, mkdirSync } from 'node:fs';
import { dirname, join, parse, resolve } from 'node:path';
import type { Passage } from '../music/passage.ts';
import type { PracticeRecord } from '../ports/practice-record.ts';
import { EXIT, fail, ok, type Problem, ProblemError, type Result } from '../problem.ts';
import type { Entry, EntryHeading, EntrySummary } from '../record/entry.ts';
import { passageFingerprint } from '../record/fingerprint.ts';
import type { Checked } from '../record/schema.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import { type Database, openDatabase, type SqlRow, type SqlValue } from './database.ts';
import {
  ENTRY_COLUMNS,
  entryOf,
  HEADING_COLUMNS,
  headingOf,
  insertTake,
  replaceJudgement,
  verdictOf,
} from './entry-rows.ts';
import { recordPlace } from './home.ts';
import { lookAtPlace } from './record-file.ts';
import { makeTables, migrate, SCHEMA_VERSION } from './record-tables.ts';

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
    const version = prepare(database, file);
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

/** Makes a new record, or brings an older one to today's format; returns the version found. */
function prepare(database: Database, file: string): number {
  database.execute('PRAGMA synchronous = FULL');
  const found = versionOf(database);
  if (found > SCHEMA_VERSION) return found;
  if (found !== SCHEMA_VERSION) {
    if (found > 0) copyBeside(database, file, found);
    // Of two Fettles that start together one does it. Before the write-ahead log is set on a new file: so its own
    // header tells from the first whose it is.
    database.transact(() => {
      const version = versionOf(database);
      if (version === 0) makeTables(database);
      else migrate(database, version);
    });
  }
  database.execute('PRAGMA journal_mode = WAL');
  // Whether it can be written to now is told now, not after the first take.
  database.transact(() => {});
  return found;
}

function versionOf(database: Database): number {
  return Number(database.all('PRAGMA user_version', [])[0]?.user_version ?? 0);
}

/** A whole copy, named for its format, never written over. */
function copyBeside(database: Database, file: string, version: number): void {
  const { dir, name, ext } = parse(file);
  const copy = (alike: number) =>
    join(dir, `${name}.format-${version}${alike === 1 ? '' : `-${alike}`}${ext}`);
  let alike = 1;
  while (existsSync(copy(alike))) alike += 1;
  database.run('VACUUM INTO ?', [copy(alike)]);
}

function newerProblem(file: string, version: number): Problem {
  return {
    code: 'record.newer',
    message: `Cannot open the practice record ${file}: a newer Fettle wrote it (format ${version}, known is ${SCHEMA_VERSION})`,
    hint: 'Update Fettle, or give another file for the record.',
    exitStatus: EXIT.record,
  };
}

/** Rows read at once: what an export holds in memory. */
const PAGE_ROWS = 200;

/** Its methods throw a ProblemError (exit status EXIT.record) when the file cannot be read or written any more. */
export class DatabaseRecord implements PracticeRecord {
  readonly place: string;
  readonly #database: Database;

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

  headings(filter: TakeFilter = {}): readonly EntryHeading[] {
    return this.#rows(filter, HEADING_COLUMNS).map(headingOf);
  }

  summaries(filter: TakeFilter = {}): readonly EntrySummary[] {
    return this.#rows(filter, [...HEADING_COLUMNS, 'verdict']).map((row) => {
      const verdict = verdictOf(row);
      return { ...headingOf(row), ...(verdict ? { verdict } : {}) };
    });
  }

  /**
   * Whole entries in order of writing, checked, a few in memory at a time. Ends with a ProblemError 'record.corrupt'
   * that names the first entry that is not what it should be.
   */
  async *entries(filter: TakeFilter = {}): AsyncGenerator<Entry> {
    for await (const { number, read } of this.readAll(filter)) {
      if (!read.ok) throw new ProblemError(damagedTake(this.place, number, read.why));
      yield read.value;
    }
  }

  /** The same with their numbers; what is damaged is told in its place, and the rest goes on. */
  async *readAll(filter: TakeFilter = {}): AsyncGenerator<NumberedTake> {
    const { checkEntry } = await import('../record/schema.ts');
    for (const row of this.#pages(filter)) yield { number: Number(row.id), read: readRow(row, checkEntry) };
  }

  /** One take by its number; the last without one. Undefined where there is none. */
  async take(number?: number): Promise<{ readonly number: number; readonly entry: Entry } | undefined> {
    const { checkEntry } = await import('../record/schema.ts');
    const which = number === undefined ? '(SELECT max(id) FROM take)' : '?';
    const [row] = this.#guard('read', () =>
      this.#database.all(`${SELECT_ENTRY} WHERE take.id = ${which}`, number === undefined ? [] : [number]),
    );
    if (!row) return undefined;
    const read = readRow(row, checkEntry);
    if (!read.ok) throw new ProblemError(damagedTake(this.place, Number(row.id), read.why));
    return { number: Number(row.id), entry: read.value };
  }

  /** Puts what a later judge says in the place of what an earlier one had said. */
  replaceJudgements(takes: readonly { readonly number: number; readonly entry: Entry }[]): void {
    this.#guard('write', () =>
      this.#database.transact(() => {
        for (const { number, entry } of takes) replaceJudgement(this.#database, number, entry);
      }),
    );
  }

  counts(): RecordCounts {
    const [row] = this.#guard('read', () =>
      this.#database.all(
        `SELECT count(*) AS takes, sum(clean) AS clean, sum(ended = 'skipped') AS skipped,
           count(DISTINCT sitting) AS sittings, count(DISTINCT day) AS days,
           count(DISTINCT passage) AS passages, min(day) AS first, max(day) AS last FROM take`,
        [],
      ),
    );
    const number = (name: string) => Number(row?.[name] ?? 0);
    return {
      takes: number('takes'),
      clean: number('clean'),
      skipped: number('skipped'),
      sittings: number('sittings'),
      days: number('days'),
      passages: number('passages'),
      first: String(row?.first ?? ''),
      last: String(row?.last ?? ''),
    };
  }

  /** What is wrong with the file itself; nothing where it is whole. */
  damage(how: 'quick_check' | 'integrity_check'): string[] {
    const found = this.#guard('read', () => this.#database.all(`PRAGMA ${how}`, []));
    const said = found.map((row) => String(row[how]));
    return said.length === 1 && said[0] === 'ok' ? [] : said;
  }

  /** The music of takes, as it was worked; undefined where it was not kept. */
  async passage(fingerprint: string): Promise<Passage | undefined> {
    const { checkPassage } = await import('../record/schema.ts');
    const rows = this.#guard('read', () =>
      this.#database.all('SELECT body FROM passage WHERE fingerprint = ?', [fingerprint]),
    );
    const [row] = rows;
    if (!row) return undefined;
    const checked = this.#guard('read', () => checkPassage(JSON.parse(String(row.body))));
    if (!checked.ok) throw new ProblemError(damagedTake(this.place, undefined, checked.why));
    return checked.value;
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

  close(): void {
    this.#database.close();
  }

  #rows(filter: TakeFilter, columns: readonly string[]): SqlRow[] {
    const { where, values } = conditions(filter);
    const { limit } = filter;
    // A limit keeps the latest, still in order of writing.
    const sql = `SELECT ${columns.join(', ')} FROM take ${where} ORDER BY id`;
    return this.#guard('read', () =>
      limit === undefined
        ? this.#database.all(sql, values)
        : this.#database.all(`${sql} DESC LIMIT ?`, [...values, limit]).reverse(),
    );
  }

  *#pages(filter: TakeFilter): Generator<SqlRow> {
    const { where, values } = conditions(filter);
    const sql = `${SELECT_ENTRY}
      ${where === '' ? 'WHERE' : `${where} AND`} take.id > ? ORDER BY take.id LIMIT ${PAGE_ROWS}`;
    for (let last = 0; ; ) {
      const rows = this.#guard('read', () => this.#database.all(sql, [...values, last]));
      yield* rows;
      if (rows.length < PAGE_ROWS) return;
      last = Number(rows.at(-1)!.id);
    }
  }

  #guard<T>(action: 'read' | 'write', work: () => T): T {
    try {
      return work();
    } catch (error) {
      throw new ProblemError(recordProblem(action, this.place, error));
    }
  }
}

function conditions({ passage, fingerprint, player, sitting, drill, from, to }: TakeFilter): {
  where: string;
  values: SqlValue[];
} {
  const asked: [string, SqlValue | undefined][] = [
    ['take.passage = ?', passage],
    ['take.music = ?', fingerprint],
    ['take.player = ?', player],
    ['take.sitting = ?', sitting],
    ['take.drill = ?', drill],
    ['take.day >= ?', from],
    ['take.day <= ?', to],
  ];
  const given = asked.filter((one): one is [string, SqlValue] => one[1] !== undefined);
  return {
    where: given.length === 0 ? '' : `WHERE ${given.map(([sql]) => sql).join(' AND ')}`,
    values: given.map(([, value]) => value),
  };
}

const SELECT_ENTRY = `SELECT take.id, ${ENTRY_COLUMNS.map((name) => `take.${name}`).join(', ')},
  step.body AS step_body FROM take LEFT JOIN step ON step.id = take.asked`;

/** A take, or why it cannot be had. */
export interface NumberedTake {
  readonly number: number;
  readonly read: Checked<Entry>;
}

export interface RecordCounts {
  readonly takes: number;
  readonly clean: number;
  readonly skipped: number;
  readonly sittings: number;
  readonly days: number;
  readonly passages: number;
  /** Local days; '' where there is no take. */
  readonly first: string;
  readonly last: string;
}

function readRow(row: SqlRow, check: (value: unknown) => Checked<Entry>): Checked<Entry> {
  try {
    return check(entryOf(row));
  } catch (error) {
    return { ok: false, why: error instanceof Error ? error.message : String(error) };
  }
}

function damagedTake(file: string, number: number | undefined, why: string): Problem {
  const which = number === undefined ? 'a passage' : `take ${number}`;
  return {
    code: 'record.corrupt',
    message: `Cannot read the practice record ${file}: ${which} is damaged (${why})`,
    hint: 'fettle record verify lists what is damaged; everything else can be exported.',
    exitStatus: EXIT.record,
  };
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
