// The record on this computer as Kysely asks it: over the embedded database that is open already. What is written to it
// does not come this way.

import {
  type CompiledQuery,
  type DatabaseConnection,
  type Dialect,
  DummyDriver,
  Kysely,
  type QueryResult,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
} from 'kysely';
import type { Database, SqlValue } from './database.ts';
import type { RecordTables } from './record-queries.ts';

export function embeddedTables(database: Database): Kysely<RecordTables> {
  const dialect: Dialect = {
    createAdapter: () => new SqliteAdapter(),
    createDriver: () => new EmbeddedDriver(database),
    createIntrospector: (tables) => new SqliteIntrospector(tables),
    createQueryCompiler: () => new SqliteQueryCompiler(),
  };
  return new Kysely<RecordTables>({ dialect });
}

class EmbeddedDriver extends DummyDriver {
  readonly #connection: DatabaseConnection;

  constructor(database: Database) {
    super();
    this.#connection = {
      executeQuery: async <R>({ sql: text, parameters }: CompiledQuery): Promise<QueryResult<R>> => ({
        rows: database.all(text, parameters as readonly SqlValue[]) as R[],
      }),
      streamQuery: () => {
        throw new Error('a record is not streamed: it is read in pages');
      },
    };
  }

  override async acquireConnection(): Promise<DatabaseConnection> {
    return this.#connection;
  }
}
