// An embedded SQL database behind three calls, so that the library can be changed: libsql, or node:sqlite where libsql
// has no binary for this machine (node:sqlite needs Node 22.5). Both are synchronous and write one SQLite file.

export type SqlValue = string | number | Uint8Array | null;
export type SqlRow = Readonly<Record<string, unknown>>;

/** A column of bytes: libsql answers an ArrayBuffer, node:sqlite a Uint8Array; undefined for anything else. */
export function columnBytes(value: unknown): Uint8Array | undefined {
  if (value instanceof Uint8Array) return value;
  // By its tag: a test runner's globals are not the library's.
  const isBuffer = Object.prototype.toString.call(value) === '[object ArrayBuffer]';
  return isBuffer ? new Uint8Array(value as ArrayBuffer) : undefined;
}

export interface Database {
  execute(sql: string): void;
  /**
   * Returns how many rows were changed. Never bytes alone: libsql takes a single object for named values, and ends the
   * process over it.
   */
  run(sql: string, values: readonly SqlValue[]): number;
  all(sql: string, values: readonly SqlValue[]): SqlRow[];
  /** All of the work or nothing of it. */
  transact<T>(work: () => T): T;
  close(): void;
}

/** The calls that libsql and node:sqlite have in common. */
interface Driver {
  exec(sql: string): unknown;
  prepare(sql: string): {
    run(...values: SqlValue[]): { changes: number | bigint };
    all(...values: SqlValue[]): unknown[];
  };
  close(): unknown;
}

/** Opens or makes the file; ':memory:' for one that is gone with the process. Throws what the library throws. */
export async function openDatabase(file: string): Promise<Database> {
  return new CommonDatabase(await openDriver(file));
}

async function openDriver(file: string): Promise<Driver> {
  let libsql: typeof import('libsql') | undefined;
  try {
    libsql = (await import('libsql')).default as unknown as typeof import('libsql');
  } catch {
    // No binary for this machine: the one that Node brings along.
    const builtIn = 'node:sqlite';
    const { DatabaseSync } = (await import(builtIn)) as { DatabaseSync: new (file: string) => Driver };
    return new DatabaseSync(file);
  }
  return new (libsql as unknown as new (file: string) => Driver)(file);
}

class CommonDatabase implements Database {
  readonly #driver: Driver;
  readonly #statements = new Map<string, ReturnType<Driver['prepare']>>();

  constructor(driver: Driver) {
    this.#driver = driver;
  }

  execute(sql: string): void {
    this.#driver.exec(sql);
  }

  run(sql: string, values: readonly SqlValue[]): number {
    return Number(this.#prepared(sql).run(...values).changes);
  }

  all(sql: string, values: readonly SqlValue[]): SqlRow[] {
    return this.#prepared(sql).all(...values) as SqlRow[];
  }

  transact<T>(work: () => T): T {
    this.execute('BEGIN IMMEDIATE');
    try {
      const done = work();
      this.execute('COMMIT');
      return done;
    } catch (error) {
      // A full disk has rolled it back by itself.
      try {
        this.execute('ROLLBACK');
      } catch {}
      throw error;
    }
  }

  close(): void {
    this.#statements.clear();
    this.#driver.close();
  }

  #prepared(sql: string): ReturnType<Driver['prepare']> {
    const statement = this.#statements.get(sql) ?? this.#driver.prepare(sql);
    this.#statements.set(sql, statement);
    return statement;
  }
}
