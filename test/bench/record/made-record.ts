// A record as it is after years: takes of real sessions of simulated players, spread over days, players and passages.
// Written row by row past the program's own way, which would take an hour for a million.

import { dateOf } from '../../../src/coaching/due.ts';
import { need } from '../../../src/commands/usage-problem.ts';
import { type Database, openDatabase, type SqlValue } from '../../../src/devices/database.ts';
import { openDatabaseRecord } from '../../../src/devices/database-record.ts';
import { TAKE_COLUMNS } from '../../../src/devices/entry-rows.ts';
import { Random } from '../../../src/simulation/random.ts';
import { planFor, simulate } from '../../session/simulate.ts';

const PLAYERS = 40;
const YEARS = 5;
const DAYS_A_YEAR = 250;
/** Passages that somebody has worked, and the share of the one that is asked for. */
const PASSAGES = 24;
const ASKED_SHARE = 1 / 6;
const TAKES_A_SLICE = 10;
const ROWS_AT_ONCE = 20_000;

/** Whole entries to copy from: short steps and long ones, clean and not. */
export async function madeTakes() {
  const plans = [
    ['slipway', { bars: '1-2', drill: 'landings,switchback,chain' }, 'model:pupil,seed=3'],
    ['slipway', { drill: 'through' }, 'model:nervous,seed=2'],
    ['slipway', { bars: '2', drill: 'widening', snag: '10' }, 'model:beginner,seed=5'],
  ] as const;
  const all = [];
  for (const [passage, options, model] of plans) {
    const plan = await planFor(passage, options);
    const { record } = await simulate(plan, [model], 10);
    all.push(...record.entries());
  }
  return { entries: all, passage: (await planFor('slipway', {})).span.passage };
}

/** `lastDay`: a day number; the takes end there. */
export async function makeRecord(file: string, takes: number, lastDay: number): Promise<void> {
  const { entries, passage } = await madeTakes();
  const record = need(await openDatabaseRecord(file));
  record.keepPassage(passage);
  record.add(entries);
  record.close();
  const database = await openDatabase(file);
  database.execute('PRAGMA synchronous = OFF; PRAGMA cache_size = -600000;');
  const rows = database.all(`SELECT asked, ${TAKE_COLUMNS.join(', ')} FROM take`, []);
  database.execute('DELETE FROM take;');
  const models = rows.map((row) => ({ ...row, events: Buffer.from(row.events as ArrayBuffer) }));
  const insert = `INSERT INTO take (asked, ${TAKE_COLUMNS.join(', ')}) VALUES (?${', ?'.repeat(TAKE_COLUMNS.length)})`;
  const random = new Random(1);
  let made = 0;
  database.execute('BEGIN');
  const days = YEARS * DAYS_A_YEAR;
  const each = takes / PLAYERS / days;
  for (let day = 0; day < days && made < takes; day++) {
    const date = dateOf(lastDay - Math.round(((days - 1 - day) * 365) / DAYS_A_YEAR));
    for (let player = 1; player <= PLAYERS && made < takes; player++) {
      // Rounded so that the sum is right, however few there are a day.
      const today = Math.floor((day + 1) * each) - Math.floor(day * each);
      let slice: Record<string, SqlValue> = {};
      for (let k = 0; k < today && made < takes; k++) {
        if (k % TAKES_A_SLICE === 0) slice = passageOf(random);
        insertCopy(database, insert, models[Math.floor(random.unit() * models.length)]!, {
          fingerprint:
            made.toString(16).padStart(8, '0') +
            Math.floor(random.unit() * 2 ** 48)
              .toString(16)
              .padStart(24, '0'),
          sitting: `${date} ${player}`,
          place: k + 1,
          date: `${date}T18:${String(Math.floor(k / 60) % 60).padStart(2, '0')}:${String(k % 60).padStart(2, '0')}.000+01:00`,
          day: date,
          player: `Player ${player}`,
          ...slice,
        });
        made += 1;
        if (made % ROWS_AT_ONCE === 0) database.execute('COMMIT; BEGIN');
      }
    }
  }
  database.execute('COMMIT; PRAGMA wal_checkpoint(TRUNCATE);');
  database.close();
}

function passageOf(random: Random): Record<string, SqlValue> {
  if (random.chance(ASKED_SHARE)) return {};
  const number = 2 + Math.floor(random.unit() * (PASSAGES - 1));
  return { passage: `passage-${number}`, music: number.toString(16).padStart(32, '0') };
}

function insertCopy(
  database: Database,
  insert: string,
  model: Readonly<Record<string, unknown>>,
  own: Readonly<Record<string, SqlValue>>,
): void {
  const row = { ...model, ...own } as Record<string, SqlValue>;
  database.run(insert, [row.asked!, ...TAKE_COLUMNS.map((name) => row[name]!)]);
}
