// A studio's record: PostgreSQL with the tables of studio-tables.ts. The driver is an optional package and, like Kysely,
// loaded only when a studio is asked for.

import { CompiledQuery, Kysely, PostgresDialect, sql } from 'kysely';
import type pgModule from 'pg';
import type { PracticeReader } from '../ports/practice-reader.ts';
import { EXIT, fail, ok, type Problem, ProblemError, type Result } from '../problem.ts';
import type { Batch } from './outbox.ts';
import { QueriedRecord, type RecordTables } from './record-queries.ts';
import { withoutPassword } from './studio-address.ts';
import {
  JUDGED_COLUMNS,
  PREPARE_STUDIO,
  STATION_ROLE,
  STUDIO_FORMAT,
  STUDIO_SCHEMA,
} from './studio-tables.ts';
import { isDataFault, studioProblem } from './studio-trouble.ts';

/** How long an answer is waited for. */
const CONNECT_MS = 5_000;
const ANSWER_MS = 60_000;

/**
 * Reads what this login may read.
 * Problems: 'studio.address', 'studio.package', 'studio.unreachable', 'studio.password', 'studio.database',
 * 'studio.unprepared', 'studio.older', 'studio.newer', 'studio.forbidden', 'studio.trouble'.
 */
export async function openStudioReader(address: string): Promise<Result<PracticeReader>> {
  const opened = await openStudio(address);
  if (!opened.ok) return opened;
  const { place, tables } = opened.value;
  return ok(
    new QueriedRecord({
      place,
      tables,
      player: 'who',
      problemOf: (error) => studioProblem(place, error),
      close: () => tables.destroy(),
    }),
  );
}

/** Takes up copies, as a station. Problems: those of `openStudioReader`. */
export async function openStation(address: string): Promise<Result<Station>> {
  const opened = await openStudio(address);
  if (!opened.ok) return opened;
  const { place, tables } = opened.value;
  try {
    const may = await sql<{ may: boolean }>`SELECT has_table_privilege('take', 'INSERT') AS may`.execute(
      tables,
    );
    if (may.rows[0]?.may === true) return ok(new Station(tables, place));
    await tables.destroy();
    return fail({
      code: 'studio.forbidden',
      message: `Cannot send takes to ${place}: this login is no station there`,
      hint: `Whoever looks after the database grants it: GRANT ${STATION_ROLE} TO the login.`,
      exitStatus: EXIT.record,
    });
  } catch (error) {
    await tables.destroy();
    return fail(studioProblem(place, error));
  }
}

/** Makes the tables and roles, as whoever owns the database; what is there stays. */
export async function prepareStudio(address: string): Promise<Result<{ readonly place: string }>> {
  const connected = await connect(address);
  if (!connected.ok) return connected;
  const { place, tables } = connected.value;
  try {
    await tables.executeQuery(CompiledQuery.raw(PREPARE_STUDIO));
    return ok({ place });
  } catch (error) {
    return fail(studioProblem(place, error));
  } finally {
    await tables.destroy();
  }
}

/** Its methods throw a ProblemError. */
export class Station {
  readonly place: string;
  readonly #tables: Kysely<RecordTables>;

  constructor(tables: Kysely<RecordTables>, place: string) {
    this.#tables = tables;
    this.place = place;
  }

  /**
   * All of the batch or nothing of it. What is there already stays as it is, so a batch may be sent again; of a take that
   * was judged again the verdict is replaced.
   */
  async add(batch: Batch, player: string): Promise<void> {
    try {
      await this.#tables.transaction().execute(async (tables) => {
        if (batch.passages.length > 0)
          await tables
            .insertInto('passage')
            .values([...batch.passages])
            .onConflict((there) => there.doNothing())
            .execute();
        await addTakes(tables, batch);
        for (const { name, value } of batch.settings)
          await tables
            .insertInto('setting')
            .values({ player, name, value })
            .onConflict((there) => there.columns(['station', 'player', 'name']).doUpdateSet({ value }))
            .execute();
      });
    } catch (error) {
      throw new StationError(studioProblem(this.place, error), isDataFault(error));
    }
  }

  async close(): Promise<void> {
    await this.#tables.destroy();
  }
}

/** `ofData`: the studio will not take these very takes, whenever they come. */
export class StationError extends ProblemError {
  readonly ofData: boolean;

  constructor(problem: Problem, ofData: boolean) {
    super(problem);
    this.ofData = ofData;
  }
}

async function addTakes(tables: Kysely<RecordTables>, { takes }: Batch): Promise<void> {
  if (takes.length === 0) return;
  const steps = new Map(takes.flatMap(({ step }) => (step ? [[step.fingerprint, step]] : [])));
  const ids = new Map<string, number>();
  if (steps.size > 0) {
    await tables
      .insertInto('step')
      .values([...steps.values()])
      .onConflict((there) => there.doNothing())
      .execute();
    const known = await tables
      .selectFrom('step')
      .select(['id', 'fingerprint'])
      .where('fingerprint', 'in', [...steps.keys()])
      .where('station', '=', sql<string>`session_user`)
      .execute();
    for (const { id, fingerprint } of known) ids.set(fingerprint, id);
  }
  await tables
    .insertInto('take')
    .values(
      takes.map(({ columns, step }) => ({ ...columns, asked: step ? ids.get(step.fingerprint)! : null })),
    )
    .onConflict((there) => there.doNothing())
    .execute();
  for (const { columns, judged } of takes) {
    if (!judged) continue;
    await tables
      .updateTable('take')
      .set(Object.fromEntries(JUDGED_COLUMNS.map((name) => [name, columns[name]])))
      .where('fingerprint', '=', columns.fingerprint)
      .where('judge', '<>', columns.judge)
      .execute();
  }
}

interface Connected {
  readonly place: string;
  readonly tables: Kysely<RecordTables>;
}

/** Connects, and looks whether the tables are there and of the format that is known. */
async function openStudio(address: string): Promise<Result<Connected>> {
  const connected = await connect(address);
  if (!connected.ok) return connected;
  const { place, tables } = connected.value;
  try {
    const { rows } = await sql<{ version: number }>`SELECT version FROM format`.execute(tables);
    const version = rows[0]?.version;
    if (version === STUDIO_FORMAT) return connected;
    await tables.destroy();
    if (version !== undefined && version < STUDIO_FORMAT)
      return fail({
        code: 'studio.older',
        message: `Cannot use the studio's record ${place}: an older Fettle prepared it (format ${version}, needed is ${STUDIO_FORMAT})`,
        hint: 'Whoever owns the database says once: fettle record prepare postgres://OWNER@HOST/DATABASE. What is there stays.',
        exitStatus: EXIT.record,
      });
    return fail({
      code: 'studio.newer',
      message: `Cannot use the studio's record ${place}: it is of format ${version}, known is ${STUDIO_FORMAT}`,
      hint: 'Update Fettle.',
      exitStatus: EXIT.record,
    });
  } catch (error) {
    await tables.destroy();
    return fail(studioProblem(place, error));
  }
}

async function connect(address: string): Promise<Result<Connected>> {
  const place = withoutPassword(address);
  if (place === undefined) {
    return fail({
      code: 'studio.address',
      message: "Cannot understand the address of the studio's record",
      hint: 'Such as postgres://reed-room@harbour.example/practice',
      exitStatus: EXIT.usage,
    });
  }
  const driver = await loadDriver();
  if (!driver.ok) return driver;
  const pool = new driver.value.Pool({
    connectionString: address,
    max: 1,
    connectionTimeoutMillis: CONNECT_MS,
    query_timeout: ANSWER_MS,
    keepAlive: true,
    application_name: 'fettle',
    // In the pool, not in Kysely's onCreateConnection: that one never gives a connection back that is lost meanwhile, and
    // closing the pool would wait for it for ever.
    onConnect: async (client) => {
      await client.query(`SET search_path TO ${STUDIO_SCHEMA}`);
    },
  });
  // A connection that is lost while nothing is asked is told by the next question; without listeners it ends the process.
  pool.on('error', () => {});
  pool.on('connect', (client) => client.on('error', () => {}));
  const tables = new Kysely<RecordTables>({ dialect: new PostgresDialect({ pool }) });
  return ok({ place, tables });
}

async function loadDriver(): Promise<Result<typeof pgModule>> {
  try {
    return ok((await import('pg')).default);
  } catch {
    return fail({
      code: 'studio.package',
      message: "Cannot reach a studio's record: the optional package pg is not installed",
      hint: 'Bring it with npm install pg, in the folder where Fettle is.',
      exitStatus: EXIT.record,
    });
  }
}
