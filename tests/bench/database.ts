import { DuckDBInstance } from '@duckdb/node-api';

/** A general-purpose database in memory, asked with SQL: what the bench compares its own reading and writing with. */
export interface Database {
  run(sql: string): Promise<unknown[][]>;
  close(): void;
}

/** On one thread: what is compared with it has one, too. */
export async function openDatabase(): Promise<Database> {
  const instance = await DuckDBInstance.create(':memory:', { threads: '1' });
  const connection = await instance.connect();
  return {
    run: async (sql) => (await connection.runAndReadAll(sql)).getRowsJson() as unknown[][],
    close: () => {
      connection.closeSync();
      instance.closeSync();
    },
  };
}
