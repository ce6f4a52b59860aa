/**
 * The journal in PostgreSQL, for a crew that shares one server: several books in one database, the same interface
 * and acceptance suite as the SQLite book. Entries are only ever added.
 */
import pg from 'pg';
import { type Entry, entrySchema, type Journal } from '../shared/journal.ts';

/** Each brings the tables from the version of its index to the next. Never edit one that was released: add one. */
const migrations: readonly string[] = [
  `CREATE TABLE stemsay_books (
     book text PRIMARY KEY,
     cursor bigint NOT NULL DEFAULT 0
   );
   CREATE TABLE stemsay_entries (
     book text NOT NULL REFERENCES stemsay_books,
     cursor bigint NOT NULL,
     id uuid NOT NULL,
     body text NOT NULL,
     PRIMARY KEY (book, cursor),
     UNIQUE (book, id)
   );`,
];

/** Any number that only this program's migrations lock on. */
const migrationLock = 0x5374656d;

/** `url` as libpq has it: `postgres://crew@host/database`. Rejects with a plain sentence when it cannot be used. */
export async function openPostgres(url: string, book: string): Promise<PostgresJournal> {
  const pool = new pg.Pool({ connectionString: url, max: 4, connectionTimeoutMillis: 5000 });
  // An idle connection that the server closes is replaced at the next use; it must not end the program.
  pool.on('error', () => {});
  try {
    await transaction(pool, async (client) => {
      await client.query('SELECT pg_advisory_xact_lock($1)', [migrationLock]);
      await client.query('CREATE TABLE IF NOT EXISTS stemsay_version (version integer NOT NULL)');
      const { rows } = await client.query<{ version: number }>('SELECT version FROM stemsay_version');
      const version = rows[0]?.version ?? 0;
      if (version > migrations.length) {
        throw new Error(
          `The database was set up by a newer stemsay (version ${version}, this program knows ${migrations.length}); it was left as it is.`,
        );
      }
      for (const step of migrations.slice(version)) await client.query(step);
      await client.query(
        rows.length === 0
          ? 'INSERT INTO stemsay_version VALUES ($1)'
          : 'UPDATE stemsay_version SET version = $1',
        [migrations.length],
      );
      await client.query('INSERT INTO stemsay_books (book) VALUES ($1) ON CONFLICT DO NOTHING', [book]);
    });
  } catch (cause) {
    await pool.end();
    const message = cause instanceof Error ? cause.message || String(cause) : String(cause);
    throw new Error(`The book "${book}" cannot be opened in PostgreSQL: ${message}`, { cause });
  }
  return new PostgresJournal(pool, book);
}

export class PostgresJournal implements Journal {
  readonly #pool: pg.Pool;
  readonly #book: string;
  #open = true;

  constructor(pool: pg.Pool, book: string) {
    this.#pool = pool;
    this.#book = book;
  }

  async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    const checked = entries.map((entry) => entrySchema.parse(entry));
    return transaction(this.#pool, async (client) => {
      // The book's row is locked until the commit, so cursors become visible in their order: a reader that pages by
      // cursor can never step over an entry whose transaction was still open.
      const { rows: locked } = await client.query<{ cursor: string }>(
        'SELECT cursor FROM stemsay_books WHERE book = $1 FOR UPDATE',
        [this.#book],
      );
      let cursor = Number(locked[0]?.cursor ?? 0);
      if (checked.length === 0) return { added: 0, cursor };
      const { rows: known } = await client.query<{ id: string }>(
        'SELECT id FROM stemsay_entries WHERE book = $1 AND id = ANY($2::uuid[])',
        [this.#book, checked.map((entry) => entry.id)],
      );
      const seen = new Set(known.map((row) => row.id));
      const cursors: number[] = [];
      const added: Entry[] = [];
      for (const entry of checked) {
        if (seen.has(entry.id)) continue;
        seen.add(entry.id);
        added.push(entry);
        cursors.push(++cursor);
      }
      if (added.length > 0) {
        await client.query(
          'INSERT INTO stemsay_entries (book, cursor, id, body) SELECT $1, * FROM unnest($2::bigint[], $3::uuid[], $4::text[])',
          [this.#book, cursors, added.map((entry) => entry.id), added.map((entry) => JSON.stringify(entry))],
        );
        await client.query('UPDATE stemsay_books SET cursor = $2 WHERE book = $1', [this.#book, cursor]);
      }
      return { added: added.length, cursor };
    });
  }

  async since(
    cursor: number,
    limit = Number.MAX_SAFE_INTEGER,
  ): Promise<{ entries: Entry[]; cursor: number }> {
    const { rows } = await this.#pool.query<{ cursor: string; body: string }>(
      'SELECT cursor, body FROM stemsay_entries WHERE book = $1 AND cursor > $2 ORDER BY cursor LIMIT $3',
      [this.#book, cursor, Math.min(limit, Number.MAX_SAFE_INTEGER)],
    );
    const entries = rows.map((row) => entrySchema.parse(JSON.parse(row.body)));
    return { entries, cursor: Number(rows.at(-1)?.cursor ?? cursor) };
  }

  async close(): Promise<void> {
    if (!this.#open) return;
    this.#open = false;
    await this.#pool.end();
  }
}

/** Runs the work in one transaction that is durable when this resolves and gone when it rejects. */
async function transaction<T>(pool: pg.Pool, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('BEGIN');
    // Durable at the commit even where the server's default was relaxed.
    await client.query('SET LOCAL synchronous_commit = on');
    const value = await work(client);
    await client.query('COMMIT');
    return value;
  } catch (cause) {
    await client.query('ROLLBACK').catch((error: Error) => {
      broken = error;
    });
    throw cause;
  } finally {
    client.release(broken);
  }
}
