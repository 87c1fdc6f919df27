// Every question that is asked of takes, once for both kinds of database: a record on this computer (SQLite) and a
// studio's (PostgreSQL). Loads Kysely, so it is loaded itself only when something is read. PostgreSQL answers counts and
// large numbers as text: they are made numbers here and in entry-rows.ts.

import { type Generated, type Kysely, type SelectQueryBuilder, sql } from 'kysely';
import type { DrillSettings } from '../drills/drill.ts';
import type { Passage } from '../music/passage.ts';
import type { NumberedTake, PracticeReader, RecordCounts } from '../ports/practice-reader.ts';
import { type Problem, ProblemError } from '../problem.ts';
import type { DayOfPassage } from '../record/day-of-passage.ts';
import type { Entry, EntryHeading, EntrySummary } from '../record/entry.ts';
import { type Checked, checkEntry, checkPassage } from '../record/schema.ts';
import type { TakeFilter } from '../record/take-filter.ts';
import type { SqlRow } from './database.ts';
import {
  columnsOf,
  ENTRY_COLUMNS,
  entryOf,
  HEADING_FIELDS,
  SUMMARY_FIELDS,
  type SummaryField,
  settingsIn,
  summaryOf,
  type TakeColumns,
} from './entry-rows.ts';
import { damagedTake } from './record-trouble.ts';

/** Rows read at once: what an export holds in memory. */
const PAGE_ROWS = 50;

/** The tables as both databases have them; a studio's have a station besides. */
export interface RecordTables {
  take: { [C in keyof TakeColumns]: TakeColumns[C] } & {
    id: Generated<number>;
    asked: number | null;
    /** A studio's: the player, or the station where the player has no name. */
    who: Generated<string>;
    station: Generated<string>;
  };
  step: { id: Generated<number>; station: Generated<string>; fingerprint: string; body: string };
  passage: { station: Generated<string>; fingerprint: string; name: string; body: string };
  setting: {
    station: Generated<string>;
    player: string;
    who: Generated<string>;
    name: string;
    value: string;
  };
}

/** Where the questions go, and what the two kinds do not have in common. */
export interface Questioned {
  readonly place: string;
  readonly tables: Kysely<RecordTables>;
  /** The column by which players are told apart. */
  readonly player: 'player' | 'who';
  readonly problemOf: (error: unknown) => Problem;
  readonly close: () => void | Promise<void>;
}

export class QueriedRecord implements PracticeReader {
  readonly place: string;
  readonly #asked: Questioned;

  constructor(asked: Questioned) {
    this.place = asked.place;
    this.#asked = asked;
  }

  async headings(filter: TakeFilter = {}): Promise<readonly EntryHeading[]> {
    return this.summaries(filter, HEADING_FIELDS);
  }

  async summaries<F extends SummaryField = SummaryField>(
    filter: TakeFilter = {},
    fields: readonly F[] = SUMMARY_FIELDS as readonly F[],
  ): Promise<readonly Pick<EntrySummary, F>[]> {
    return (await this.#inOrder(filter, columnsOf(fields))).map((row) => summaryOf(row, fields));
  }

  async days(filter: TakeFilter = {}): Promise<readonly DayOfPassage[]> {
    const { player } = this.#asked;
    const rows = await this.#ask((tables) =>
      this.#filtered(tables.selectFrom('take'), filter)
        .select(({ fn }) => [
          `take.${player} as player` as const,
          'music',
          'day',
          'passage',
          fn.countAll().filterWhere('ended', '<>', 'skipped').as('takes'),
          fn.countAll().filterWhere('ended', '=', 'stopped').as('complete'),
          fn.countAll().filterWhere('ended', '=', 'stopped').filterWhere('clean', '=', 1).as('clean'),
        ])
        // In the order of the index: nothing has to be sorted first.
        .groupBy([`take.${player}`, 'music', 'day', 'passage'])
        .orderBy('day')
        .execute(),
    );
    return rows.map(({ music, takes, complete, clean, ...row }) => ({
      ...row,
      ...(music === null ? {} : { fingerprint: music }),
      takes: Number(takes),
      complete: Number(complete),
      clean: Number(clean),
    }));
  }

  async players(): Promise<readonly string[]> {
    const column = sql.ref(this.#asked.player);
    // From one name to the next by the index: a million takes of forty players are forty-one looks.
    const names = sql<{ name: string }>`WITH RECURSIVE seen AS (
      SELECT min(${column}) AS name FROM take
      UNION ALL
      SELECT (SELECT min(${column}) FROM take WHERE ${column} > seen.name) FROM seen WHERE seen.name IS NOT NULL
    ) SELECT name FROM seen WHERE name IS NOT NULL`;
    const { rows } = await this.#ask((tables) => names.execute(tables));
    return rows.map(({ name }) => name);
  }

  async soloists(): Promise<readonly string[]> {
    const column = sql.ref(this.#asked.player);
    const solo = async (name: string) => {
      const found = await this.#ask((tables) =>
        tables
          .selectFrom('take')
          .select('id')
          .where(column, '=', name)
          .where('section', 'is', null)
          .limit(1)
          .executeTakeFirst(),
      );
      return found !== undefined;
    };
    const names: string[] = [];
    for (const name of await this.players()) if (await solo(name)) names.push(name);
    return names;
  }

  async sections(): Promise<readonly string[]> {
    const rows = await this.#ask((tables) =>
      tables
        .selectFrom('take')
        .select('section')
        .where('section', 'is not', null)
        .groupBy('section')
        .orderBy('section')
        .execute(),
    );
    return rows.flatMap(({ section }) => section ?? []);
  }

  async *readAll(filter: TakeFilter = {}): AsyncGenerator<NumberedTake> {
    for (let last = 0; ; ) {
      const rows = await this.#ask((tables) =>
        this.#filtered(entries(tables), filter)
          .where('take.id', '>', last)
          .orderBy('take.id')
          .limit(PAGE_ROWS)
          .execute(),
      );
      for (const row of rows) yield { number: Number(row.id), read: readRow(row) };
      if (rows.length < PAGE_ROWS) return;
      last = Number(rows.at(-1)!.id);
    }
  }

  async take(number?: number): Promise<{ readonly number: number; readonly entry: Entry } | undefined> {
    const row = await this.#ask((tables) => {
      const asked = entries(tables);
      return (
        number === undefined ? asked.orderBy('take.id', 'desc').limit(1) : asked.where('take.id', '=', number)
      ).executeTakeFirst();
    });
    if (!row) return undefined;
    const read = readRow(row);
    if (!read.ok) throw new ProblemError(damagedTake(this.place, `take ${row.id}`, read.why));
    return { number: Number(row.id), entry: read.value };
  }

  async settings(filter: TakeFilter = {}): Promise<DrillSettings | undefined> {
    const row = await this.#ask((tables) =>
      this.#filtered(tables.selectFrom('take').select('rest'), filter)
        .where('ended', '<>', 'skipped')
        .orderBy('date', 'desc')
        .orderBy('id', 'desc')
        .limit(1)
        .executeTakeFirst(),
    );
    return row === undefined ? undefined : settingsIn(row.rest);
  }

  async passage(fingerprint: string): Promise<Passage | undefined> {
    const row = await this.#ask((tables) =>
      tables.selectFrom('passage').select('body').where('fingerprint', '=', fingerprint).executeTakeFirst(),
    );
    if (!row) return undefined;
    const checked = await this.#ask(async () => checkPassage(JSON.parse(row.body)));
    if (!checked.ok) throw new ProblemError(damagedTake(this.place, 'a passage', checked.why));
    return checked.value;
  }

  async counts(): Promise<RecordCounts> {
    // Two questions, each answered from an index alone.
    const takes = await this.#ask((tables) =>
      tables
        .selectFrom('take')
        .select(({ fn }) => [
          fn.countAll().as('takes'),
          fn.countAll().filterWhere('clean', '=', 1).as('clean'),
          fn.countAll().filterWhere('ended', '=', 'skipped').as('skipped'),
          fn.count('day').distinct().as('days'),
          fn.count('passage').distinct().as('passages'),
          fn.min('day').as('first'),
          fn.max('day').as('last'),
        ])
        .executeTakeFirstOrThrow(),
    );
    const { sittings } = await this.#ask((tables) =>
      tables
        .selectFrom('take')
        .select(({ fn }) => fn.count('sitting').distinct().as('sittings'))
        .executeTakeFirstOrThrow(),
    );
    return {
      takes: Number(takes.takes),
      clean: Number(takes.clean),
      skipped: Number(takes.skipped),
      sittings: Number(sittings),
      days: Number(takes.days),
      passages: Number(takes.passages),
      first: takes.first ?? '',
      last: takes.last ?? '',
    };
  }

  async recalled(name: string, players?: readonly string[]): Promise<readonly unknown[]> {
    const rows = await this.#ask((tables) => {
      const asked = tables.selectFrom('setting').select('value').where('name', '=', name);
      // A record is one player's own; a studio has a setting for each.
      const isStudio = this.#asked.player === 'who';
      return (isStudio && players ? asked.where('who', 'in', players) : asked).execute();
    });
    return rows.flatMap(({ value }) => {
      try {
        return [JSON.parse(value) as unknown];
      } catch {
        return [];
      }
    });
  }

  async close(): Promise<void> {
    await this.#asked.close();
  }

  /** A limit keeps the latest, still in order. */
  async #inOrder(filter: TakeFilter, columns: readonly (keyof TakeColumns)[]): Promise<SqlRow[]> {
    const { limit } = filter;
    const rows = await this.#ask((tables) => {
      const asked = this.#filtered(tables.selectFrom('take').select([...columns]), filter);
      return limit === undefined
        ? asked.orderBy('day').orderBy('date').orderBy('id').execute()
        : asked.orderBy('day', 'desc').orderBy('date', 'desc').orderBy('id', 'desc').limit(limit).execute();
    });
    return limit === undefined ? rows : rows.reverse();
  }

  #filtered<T extends keyof RecordTables, O>(
    query: SelectQueryBuilder<RecordTables, T | 'take', O>,
    filter: TakeFilter,
  ): SelectQueryBuilder<RecordTables, T | 'take', O> {
    const { passage, fingerprint, players, drill, section, first, last, from, to } = filter;
    // A builder of the takes' columns only: what else is joined makes no difference to it.
    let asked = query as unknown as SelectQueryBuilder<RecordTables, 'take', O>;
    if (players?.length === 0) asked = asked.where(sql<boolean>`1 = 0`);
    else if (players !== undefined) asked = asked.where(`take.${this.#asked.player}`, 'in', players);
    if (fingerprint === null) asked = asked.where('take.music', 'is', null);
    else if (fingerprint !== undefined) asked = asked.where('take.music', '=', fingerprint);
    if (passage !== undefined) asked = asked.where('take.passage', '=', passage);
    if (section !== undefined) asked = asked.where('take.section', '=', section);
    if (drill !== undefined) asked = asked.where('take.drill', '=', drill);
    if (first !== undefined) asked = asked.where('take.first', '=', first);
    if (last !== undefined) asked = asked.where('take.last', '=', last);
    if (from !== undefined) asked = asked.where('take.day', '>=', from);
    if (to !== undefined) asked = asked.where('take.day', '<=', to);
    return asked as unknown as SelectQueryBuilder<RecordTables, T | 'take', O>;
  }

  async #ask<T>(question: (tables: Kysely<RecordTables>) => Promise<T>): Promise<T> {
    try {
      return await question(this.#asked.tables);
    } catch (error) {
      throw new ProblemError(this.#asked.problemOf(error));
    }
  }
}

function entries(tables: Kysely<RecordTables>) {
  return tables
    .selectFrom('take')
    .leftJoin('step', 'step.id', 'take.asked')
    .select(['take.id', ...ENTRY_COLUMNS.map((name) => `take.${name}` as const), 'step.body as step_body']);
}

function readRow(row: SqlRow): Checked<Entry> {
  try {
    return checkEntry(entryOf(row));
  } catch (error) {
    return { ok: false, why: error instanceof Error ? error.message : String(error) };
  }
}
