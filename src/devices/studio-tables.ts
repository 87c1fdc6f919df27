// The tables of a studio's record in PostgreSQL, and who may do what: a station adds and reads its own takes, a teacher
// reads all. Row level security holds that in the server itself, whatever a client asks
// (https://www.postgresql.org/docs/15/ddl-rowsecurity.html). A station is whoever logged in (session_user).

import { UNNAMED_PLAYER } from '../record/entry.ts';
import { TAKE_COLUMNS, type TakeColumns } from './entry-rows.ts';

/** Format of these tables; prepared anew by a later Fettle that knows a later one. */
export const STUDIO_FORMAT = 2;
export const STUDIO_SCHEMA = 'fettle';
export const STATION_ROLE = 'fettle_station';
export const TEACHER_ROLE = 'fettle_teacher';

/** What a station may replace in its own takes: what a later judge says of them. */
export const JUDGED_COLUMNS = ['clean', 'judge', 'verdict', 'rest'] as const;

const NUMBERS: readonly (keyof TakeColumns)[] = [
  'place',
  'first',
  'last',
  'step',
  'step_first',
  'step_last',
  'clean',
  'counted',
  'onward',
  'judge',
];
const OPTIONAL: readonly (keyof TakeColumns)[] = [
  'part',
  'hand',
  'music',
  'step_first',
  'step_last',
  'ladder',
  'section',
  'together',
  'verdict',
];

/** By its bytes, as in the stations' records: a date comes before a later one in every language. */
const TEXT = 'text COLLATE "C"';

function takeColumn(name: keyof TakeColumns): string {
  const type = NUMBERS.includes(name)
    ? 'integer'
    : name === 'tempo_bpm'
      ? 'double precision'
      : name === 'events'
        ? 'bytea'
        : TEXT;
  return `${name} ${type}${OPTIONAL.includes(name) ? '' : ' NOT NULL'}`;
}

const STATION = `station ${TEXT} NOT NULL DEFAULT session_user`;
/** Whoever has given no name goes by the station. */
const WHO = `who ${TEXT} NOT NULL GENERATED ALWAYS AS (CASE WHEN player = '${UNNAMED_PLAYER}' THEN station ELSE player END) STORED`;

function openTo(table: string): string {
  return `ALTER TABLE ${table} ENABLE ROW LEVEL SECURITY;
DROP POLICY IF EXISTS own ON ${table};
CREATE POLICY own ON ${table} TO ${STATION_ROLE}
  USING (station = session_user) WITH CHECK (station = session_user);
DROP POLICY IF EXISTS everything ON ${table};
CREATE POLICY everything ON ${table} FOR SELECT TO ${TEACHER_ROLE} USING (true);
GRANT SELECT ON ${table} TO ${STATION_ROLE}, ${TEACHER_ROLE};
GRANT INSERT ON ${table} TO ${STATION_ROLE};`;
}

function role(name: string): string {
  return `DO $$ BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '${name}') THEN CREATE ROLE ${name} NOLOGIN; END IF;
END $$;`;
}

/** For whoever owns the database; run again it changes nothing. */
export const PREPARE_STUDIO = `BEGIN;
${role(STATION_ROLE)}
${role(TEACHER_ROLE)}
CREATE SCHEMA IF NOT EXISTS ${STUDIO_SCHEMA};
SET LOCAL search_path TO ${STUDIO_SCHEMA};
CREATE TABLE IF NOT EXISTS format (
  one integer PRIMARY KEY DEFAULT 1 CHECK (one = 1),
  version integer NOT NULL
);
INSERT INTO format (version) VALUES (${STUDIO_FORMAT}) ON CONFLICT DO NOTHING;
CREATE TABLE IF NOT EXISTS passage (
  ${STATION},
  fingerprint ${TEXT} NOT NULL,
  name text NOT NULL,
  body text NOT NULL,
  PRIMARY KEY (station, fingerprint)
);
CREATE TABLE IF NOT EXISTS step (
  id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  ${STATION},
  fingerprint ${TEXT} NOT NULL,
  body text NOT NULL,
  UNIQUE (station, fingerprint)
);
CREATE TABLE IF NOT EXISTS take (
  id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  ${STATION},
  ${TAKE_COLUMNS.map(takeColumn).join(',\n  ')},
  asked bigint REFERENCES step (id),
  ${WHO},
  UNIQUE (fingerprint)
);
ALTER TABLE take ADD COLUMN IF NOT EXISTS section ${TEXT}, ADD COLUMN IF NOT EXISTS together ${TEXT};
UPDATE format SET version = ${STUDIO_FORMAT} WHERE version < ${STUDIO_FORMAT};
CREATE INDEX IF NOT EXISTS take_of_section ON take (section, music) WHERE section IS NOT NULL;
DROP INDEX IF EXISTS take_of_player;
CREATE INDEX IF NOT EXISTS take_by_day ON take (who, music, day, passage, ended, clean);
CREATE INDEX IF NOT EXISTS take_of_station ON take (station);
CREATE TABLE IF NOT EXISTS setting (
  ${STATION},
  player ${TEXT} NOT NULL,
  name text NOT NULL,
  value text NOT NULL,
  ${WHO},
  PRIMARY KEY (station, player, name)
);
GRANT USAGE ON SCHEMA ${STUDIO_SCHEMA} TO ${STATION_ROLE}, ${TEACHER_ROLE};
GRANT SELECT ON format TO ${STATION_ROLE}, ${TEACHER_ROLE};
${['passage', 'step', 'take', 'setting'].map(openTo).join('\n')}
GRANT UPDATE (${JUDGED_COLUMNS.join(', ')}) ON take TO ${STATION_ROLE};
GRANT UPDATE (value) ON setting TO ${STATION_ROLE};
COMMIT;`;
