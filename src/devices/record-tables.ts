// The tables of the practice record, and how those of an older format become them. Music and steps stand once; what is
// asked for has a column of its own type; what is only read to judge again is JSON or bytes.

import type { Database } from './database.ts';
import { takeOver } from './format-1.ts';

/** "Fett" in ASCII, in the header of every record. */
export const APPLICATION_ID = 0x46657474;

const TABLES = `
  CREATE TABLE passage (
    fingerprint TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    body TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE step (
    id INTEGER PRIMARY KEY,
    fingerprint TEXT NOT NULL UNIQUE,
    body TEXT NOT NULL
  );
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
    section TEXT,
    together TEXT,
    judge INTEGER NOT NULL,
    asked INTEGER REFERENCES step (id),
    verdict TEXT,
    rest TEXT NOT NULL,
    events BLOB NOT NULL
  );
`;

/** What the questions of record-queries.ts need, each answered from one of them. */
const INDEXES_3 = `
  CREATE INDEX take_named ON take (passage);
  CREATE INDEX take_of_sitting ON take (sitting);
`;

/** Days are counted from it alone, in its order. */
const INDEX_5 = `
  DROP INDEX IF EXISTS take_of_player;
  CREATE INDEX take_of_player ON take (player, music, day, passage, ended, clean);
`;

/** Takes that several played as a section: few among many. */
const INDEX_4 = 'CREATE INDEX take_of_section ON take (section, music) WHERE section IS NOT NULL;';

/**
 * Where copies of takes go, and which wait to be sent there. The triggers are part of whatever transaction keeps or
 * judges a take: what is kept is in the outbox, whoever wrote it and whenever the process is killed.
 */
const SHARE_3 = `
  CREATE TABLE share (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    address TEXT NOT NULL,
    player TEXT NOT NULL,
    since TEXT NOT NULL,
    sent TEXT,
    trouble TEXT,
    troubled TEXT
  );
  CREATE TABLE outbox (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    take INTEGER REFERENCES take (id),
    setting TEXT,
    judged INTEGER NOT NULL DEFAULT 0,
    refused TEXT
  );
  CREATE TRIGGER take_kept AFTER INSERT ON take WHEN EXISTS (SELECT 1 FROM share)
    BEGIN INSERT INTO outbox (take) VALUES (new.id); END;
  CREATE TRIGGER take_judged AFTER UPDATE OF judge, clean, verdict, rest ON take WHEN EXISTS (SELECT 1 FROM share)
    BEGIN INSERT INTO outbox (take, judged) VALUES (new.id, 1); END;
  CREATE TRIGGER goals_set AFTER INSERT ON setting WHEN new.name = 'goals' AND EXISTS (SELECT 1 FROM share)
    BEGIN INSERT INTO outbox (setting) VALUES (new.name); END;
  CREATE TRIGGER goals_changed AFTER UPDATE ON setting WHEN new.name = 'goals' AND EXISTS (SELECT 1 FROM share)
    BEGIN INSERT INTO outbox (setting) VALUES (new.name); END;
`;

const FORMER_INDEXES = [
  'take_of_passage',
  'take_of_music',
  'take_of_player',
  'take_on_day',
  'take_of_sitting',
];

const SETTINGS = 'CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL);';

interface Migration {
  readonly to: number;
  /** What is done, for people. */
  readonly what: string;
  migrate(database: Database): void;
}

/** Each brings a record of the format before it, in one transaction, to its own. */
const MIGRATIONS: readonly Migration[] = [
  {
    to: 2,
    what: 'its takes are written anew',
    migrate(database) {
      database.execute(
        'ALTER TABLE take RENAME TO take_1; DROP INDEX take_passage; DROP INDEX take_sitting;',
      );
      // Those of today, with all that came later: a take is written in one way.
      database.execute(TABLES);
      takeOver(database, 'take_1');
      database.execute('DROP TABLE take_1;');
    },
  },
  {
    to: 3,
    what: 'indexes are made anew',
    migrate(database) {
      for (const name of FORMER_INDEXES) database.execute(`DROP INDEX IF EXISTS ${name};`);
      database.execute(INDEXES_3 + SHARE_3);
    },
  },
  {
    to: 4,
    what: 'room for sections',
    migrate(database) {
      const known = database.all("SELECT name FROM pragma_table_info('take')", []).map(({ name }) => name);
      for (const name of ['section', 'together'])
        if (!known.includes(name)) database.execute(`ALTER TABLE take ADD COLUMN ${name} TEXT;`);
      database.execute(INDEX_4);
    },
  },
  {
    to: 5,
    what: 'the index of days',
    migrate(database) {
      database.execute(INDEX_5);
    },
  },
];

export const SCHEMA_VERSION = MIGRATIONS.at(-1)!.to;

/** Inside a transaction: the tables of a new record. */
export function makeTables(database: Database): void {
  database.execute(TABLES + SETTINGS + INDEXES_3 + SHARE_3 + INDEX_4 + INDEX_5);
  sign(database);
}

export function migrationsFrom(format: number): readonly Migration[] {
  return MIGRATIONS.filter(({ to }) => to > format);
}

/** Inside a transaction: a record of an older format becomes one of today's. `tell` hears what comes before it is done. */
export function migrate(database: Database, from: number, tell: (what: string, index: number) => void): void {
  for (const [i, { what, migrate: bring }] of migrationsFrom(from).entries()) {
    tell(what, i);
    bring(database);
  }
  sign(database);
}

function sign(database: Database): void {
  database.execute(`PRAGMA application_id = ${APPLICATION_ID}; PRAGMA user_version = ${SCHEMA_VERSION};`);
}
