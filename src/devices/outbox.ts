// What of a record waits to be sent to a studio, and whether that is asked for. The tables' own triggers fill it, in the
// transaction that keeps or judges a take (record-tables.ts).

import { columnBytes, type Database, type SqlRow } from './database.ts';
import { TAKE_COLUMNS, type TakeColumns } from './entry-rows.ts';

/** Where copies of the takes go. */
export interface StudioShare {
  readonly address: string;
  /** Whose record this is. */
  readonly player: string;
  /** ISO 8601, local. */
  readonly since: string;
  /** When something was sent the last time. */
  readonly sent?: string;
  /** The last trouble, in a sentence, and when; absent once all has gone well again. */
  readonly trouble?: string;
  readonly troubled?: string;
}

/** A take on its way, with the step that it was of. */
interface SentTake {
  readonly columns: TakeColumns;
  readonly step?: { readonly fingerprint: string; readonly body: string };
  /** It was judged again: what a studio has of it is to be replaced. */
  readonly judged: boolean;
}

export interface Batch {
  readonly takes: readonly SentTake[];
  readonly passages: readonly {
    readonly fingerprint: string;
    readonly name: string;
    readonly body: string;
  }[];
  readonly settings: readonly { readonly name: string; readonly value: string }[];
  /** Its places in the outbox. */
  readonly numbers: readonly number[];
}

type Guarded = <T>(action: 'read' | 'write', work: (database: Database) => T) => T;

/** Its methods throw a ProblemError where the record cannot be read or written. */
export class Outbox {
  readonly #guarded: Guarded;

  constructor(guarded: Guarded) {
    this.#guarded = guarded;
  }

  get share(): StudioShare | undefined {
    const [row] = this.#guarded('read', (database) => database.all('SELECT * FROM share', []));
    if (!row) return undefined;
    const { address, player, since, sent, trouble, troubled } = row as Record<string, string | null>;
    return {
      address: address!,
      player: player!,
      since: since!,
      ...(sent ? { sent } : {}),
      ...(trouble && troubled ? { trouble, troubled } : {}),
    };
  }

  /** All that is there goes into the outbox, and all that comes from now on. */
  begin({ address, player, since }: StudioShare): void {
    this.#guarded('write', (database) =>
      database.transact(() => {
        emptied(database);
        database.run('INSERT INTO share (one, address, player, since) VALUES (1, ?, ?, ?)', [
          address,
          player,
          since,
        ]);
        database.run("INSERT INTO outbox (setting) SELECT name FROM setting WHERE name = 'goals'", []);
        // Judged ones too: a studio that has an older verdict gets today's.
        database.run('INSERT INTO outbox (take, judged) SELECT id, 1 FROM take ORDER BY id', []);
      }),
    );
  }

  /** Nothing is sent any more, and nothing waits. */
  stop(): void {
    this.#guarded('write', (database) => database.transact(() => emptied(database)));
  }

  get isEmpty(): boolean {
    return this.#guarded(
      'read',
      (database) => database.all('SELECT 1 FROM outbox WHERE refused IS NULL LIMIT 1', []).length === 0,
    );
  }

  /** How many takes wait, and what a studio would not take, with its reasons. */
  waiting(): { readonly takes: number; readonly refused: readonly string[] } {
    return this.#guarded('read', (database) => {
      const [row] = database.all(
        'SELECT count(DISTINCT take) AS takes FROM outbox WHERE refused IS NULL',
        [],
      );
      const refused = database.all(
        'SELECT take, refused FROM outbox WHERE refused IS NOT NULL ORDER BY number',
        [],
      );
      return {
        takes: Number(row?.takes ?? 0),
        refused: refused.map((one) => `take ${one.take}: ${one.refused}`),
      };
    });
  }

  /** The oldest of what waits; `numbers` is empty where nothing does. */
  next(most: number): Batch {
    return this.#guarded('read', (database) => {
      const rows = database.all(
        `SELECT outbox.number, outbox.setting, outbox.judged, outbox.take AS id, setting.value,
           step.fingerprint AS step_fingerprint, step.body AS step_body, passage.name AS passage_name, passage.body,
           ${TAKE_COLUMNS.map((name) => `take.${name}`).join(', ')}
         FROM outbox LEFT JOIN take ON take.id = outbox.take LEFT JOIN step ON step.id = take.asked
           LEFT JOIN passage ON passage.fingerprint = take.music
           LEFT JOIN setting ON setting.name = outbox.setting
         WHERE outbox.refused IS NULL ORDER BY outbox.number LIMIT ?`,
        [most],
      );
      const takes = new Map<number, SentTake>();
      const passages = new Map<string, Batch['passages'][number]>();
      const settings = new Map<string, Batch['settings'][number]>();
      for (const row of rows) {
        if (typeof row.setting === 'string' && typeof row.value === 'string')
          settings.set(row.setting, { name: row.setting, value: row.value });
        if (row.id === null) continue;
        const judged = row.judged === 1 || takes.get(Number(row.id))?.judged === true;
        takes.set(Number(row.id), sentTake(row, judged));
        if (typeof row.body === 'string')
          passages.set(String(row.music), {
            fingerprint: String(row.music),
            name: String(row.passage_name),
            body: row.body,
          });
      }
      return {
        takes: [...takes.values()],
        passages: [...passages.values()],
        settings: [...settings.values()],
        numbers: rows.map(({ number }) => Number(number)),
      };
    });
  }

  /** They have arrived, at that time. */
  arrived({ numbers }: Batch, at: string): void {
    this.#guarded('write', (database) =>
      database.transact(() => {
        // What was judged again meanwhile has a number of its own, and waits on.
        for (const number of numbers) database.run('DELETE FROM outbox WHERE number = ?', [number]);
        database.run('UPDATE share SET sent = ?, trouble = NULL, troubled = NULL', [at]);
      }),
    );
  }

  /** The studio would not take them, whatever was tried: they are told, and hold up nothing. */
  refuse({ numbers }: Batch, why: string): void {
    this.#guarded('write', (database) =>
      database.transact(() => {
        for (const number of numbers)
          database.run('UPDATE outbox SET refused = ? WHERE number = ?', [why, number]);
      }),
    );
  }

  noteTrouble(sentence: string, at: string): void {
    this.#guarded('write', (database) =>
      database.run('UPDATE share SET trouble = ?, troubled = ?', [sentence, at]),
    );
  }
}

function emptied(database: Database): void {
  database.run('DELETE FROM share', []);
  database.run('DELETE FROM outbox', []);
}

function sentTake(row: SqlRow, judged: boolean): SentTake {
  const columns = Object.fromEntries(TAKE_COLUMNS.map((name) => [name, row[name]]));
  return {
    columns: { ...columns, events: Buffer.from(columnBytes(row.events) ?? []) } as unknown as TakeColumns,
    ...(typeof row.step_body === 'string'
      ? { step: { fingerprint: String(row.step_fingerprint), body: row.step_body } }
      : {}),
    judged,
  };
}
