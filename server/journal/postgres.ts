/**
 * The journal in PostgreSQL, for a crew that shares one server: several books in one database, the same interface
 * and acceptance suite as the SQLite book. Entries are only ever added.
 */
import { randomBytes } from 'node:crypto';
import { hostname } from 'node:os';
import pg from 'pg';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { type Entry, entrySchema, fitting } from '../../shared/note/journal.ts';
import { type Store, StoreError, type StoreProblem } from './sqlite.ts';

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
   );
   CREATE TABLE stemsay_clips (
     book text NOT NULL REFERENCES stemsay_books,
     ref text NOT NULL,
     wav bytea NOT NULL,
     PRIMARY KEY (book, ref)
   );
   CREATE TABLE stemsay_devices (
     number integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
     book text NOT NULL REFERENCES stemsay_books,
     host text NOT NULL,
     device text NOT NULL
   );`,
];

/** Any number that only this program's locks use ("Stem"). */
const lockSpace = 0x5374656d;

/**
 * Opens, or begins, a book of a database. `url` is as libpq has it, with the book's name besides:
 * `postgres://crew@host/database?book=north`.
 */
export async function openPostgres(
  url: string,
  mode: 'write' | 'read' = 'write',
): Promise<Result<PostgresStore, StoreProblem>> {
  if (!URL.canParse(url)) {
    return err({
      kind: 'missing',
      sentence: `Expected postgres://crew@host/database?book=NAME, found ${url}.`,
    });
  }
  const address = new URL(url);
  const book = address.searchParams.get('book') ?? 'field';
  address.searchParams.delete('book');
  const pool = new pg.Pool({ connectionString: address.href, max: 4, connectionTimeoutMillis: 5000 });
  // An idle connection that the server closes is replaced at the next use; it must not end the program.
  pool.on('error', () => {});
  try {
    await transaction(pool, (client) => migrate(client, book));
    if (mode === 'read')
      return ok(new PostgresStore(pool, book, { device: 'reader', lost: () => false, release: () => {} }));
    return ok(new PostgresStore(pool, book, await claimDevice(pool, book)));
  } catch (cause) {
    await pool.end();
    const kind = cause instanceof StoreError ? cause.kind : 'unwritable';
    return err({ kind, sentence: `The book "${book}" cannot be opened in PostgreSQL: ${messageOf(cause)}` });
  }
}

async function migrate(client: pg.PoolClient, book: string): Promise<void> {
  await client.query('SELECT pg_advisory_xact_lock($1, 0)', [lockSpace]);
  await client.query('CREATE TABLE IF NOT EXISTS stemsay_version (version integer NOT NULL)');
  const { rows } = await client.query<{ version: number }>('SELECT version FROM stemsay_version');
  const version = rows[0]?.version ?? 0;
  if (version > migrations.length) {
    throw new StoreError({
      kind: 'newer',
      sentence: `it was set up by a newer stemsay (version ${version}, this program knows ${migrations.length}) and was left as it is.`,
    });
  }
  for (const step of migrations.slice(version)) await client.query(step);
  await client.query(
    rows.length === 0 ? 'INSERT INTO stemsay_version VALUES ($1)' : 'UPDATE stemsay_version SET version = $1',
    [migrations.length],
  );
  await client.query('INSERT INTO stemsay_books (book) VALUES ($1) ON CONFLICT DO NOTHING', [book]);
}

interface Claim {
  readonly device: string;
  /** Whether the connection that holds the claim broke: another program may have claimed the device since. */
  lost(): boolean;
  release(): void;
}

/**
 * A device of this host that no running program signs with, or a new one. The lock belongs to one connection, which
 * is held as long as the book is open, so the database lets go of it however the program ends.
 */
async function claimDevice(pool: pg.Pool, book: string): Promise<Claim> {
  const client = await pool.connect();
  let broken = false;
  client.on('error', () => {
    broken = true;
  });
  const lost = () => broken;
  // Closed, not given back to the pool: closing is what releases the lock.
  const release = () => client.release(true);
  try {
    const { rows } = await client.query<{ number: number; device: string }>(
      'SELECT number, device FROM stemsay_devices WHERE book = $1 AND host = $2 ORDER BY number',
      [book, hostname()],
    );
    const lock = async (number: number) => {
      const tried = await client.query<{ got: boolean }>('SELECT pg_try_advisory_lock($1, $2) AS got', [
        lockSpace,
        number,
      ]);
      return tried.rows[0]?.got === true;
    };
    for (const { number, device } of rows) if (await lock(number)) return { device, lost, release };
    const device = `d-${randomBytes(5).toString('hex')}`;
    const made = await client.query<{ number: number }>(
      'INSERT INTO stemsay_devices (book, host, device) VALUES ($1, $2, $3) RETURNING number',
      [book, hostname(), device],
    );
    await lock(made.rows[0]!.number);
    return { device, lost, release };
  } catch (cause) {
    release();
    throw cause;
  }
}

export class PostgresStore implements Store {
  readonly device: string;
  readonly shared = true;
  readonly #pool: pg.Pool;
  readonly #book: string;
  readonly #claim: Claim;
  readonly #staged = new Map<string, Uint8Array>();
  #open = true;

  constructor(pool: pg.Pool, book: string, claim: Claim) {
    this.#pool = pool;
    this.#book = book;
    this.device = claim.device;
    this.#claim = claim;
  }

  async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    const checked = fitting(entries);
    if (this.#claim.lost()) {
      throw new StoreError({
        kind: 'locked',
        sentence: `The connection to the crew's database was lost; nothing of this was kept in "${this.#book}". Start stemsay again.`,
      });
    }
    const result = await this.#told(transaction(this.#pool, (client) => this.#insert(client, checked)));
    for (const { heard } of checked) if (heard?.clip !== undefined) this.#staged.delete(heard.clip);
    return result;
  }

  async #insert(
    client: pg.PoolClient,
    entries: readonly Entry[],
  ): Promise<{ added: number; cursor: number }> {
    // The book's row is locked until the commit, so cursors become visible in their order: a reader that pages by
    // cursor can never step over an entry whose transaction was still open.
    const { rows: locked } = await client.query<{ cursor: string }>(
      'SELECT cursor FROM stemsay_books WHERE book = $1 FOR UPDATE',
      [this.#book],
    );
    let cursor = Number(locked[0]?.cursor ?? 0);
    const { rows: known } = await client.query<{ id: string }>(
      'SELECT id FROM stemsay_entries WHERE book = $1 AND id = ANY($2::uuid[])',
      [this.#book, entries.map((entry) => entry.id)],
    );
    const seen = new Set(known.map((row) => row.id));
    const cursors: number[] = [];
    const added: Entry[] = [];
    for (const entry of entries) {
      if (seen.has(entry.id)) continue;
      seen.add(entry.id);
      added.push(entry);
      cursors.push(++cursor);
    }
    if (added.length === 0) return { added: 0, cursor };
    await client.query(
      'INSERT INTO stemsay_entries (book, cursor, id, body) SELECT $1, * FROM unnest($2::bigint[], $3::uuid[], $4::text[])',
      [this.#book, cursors, added.map((entry) => entry.id), added.map((entry) => JSON.stringify(entry))],
    );
    await client.query('UPDATE stemsay_books SET cursor = $2 WHERE book = $1', [this.#book, cursor]);
    for (const { heard } of added) {
      const wav = heard?.clip === undefined ? undefined : this.#staged.get(heard.clip);
      if (wav === undefined) continue;
      await client.query('INSERT INTO stemsay_clips VALUES ($1, $2, $3) ON CONFLICT DO NOTHING', [
        this.#book,
        heard!.clip,
        Buffer.from(wav),
      ]);
    }
    return { added: added.length, cursor };
  }

  async since(
    cursor: number,
    limit = Number.MAX_SAFE_INTEGER,
  ): Promise<{ entries: Entry[]; cursor: number }> {
    const { rows } = await this.#told(
      this.#pool.query<{ cursor: string; body: string }>(
        'SELECT cursor, body FROM stemsay_entries WHERE book = $1 AND cursor > $2 ORDER BY cursor LIMIT $3',
        [this.#book, cursor, Math.min(limit, Number.MAX_SAFE_INTEGER)],
      ),
    );
    const entries = rows.map((row) => entrySchema.parse(JSON.parse(row.body)));
    return { entries, cursor: Number(rows.at(-1)?.cursor ?? cursor) };
  }

  stageClip(ref: string, wav: Uint8Array): void {
    this.#staged.set(ref, wav);
  }

  dropClip(ref: string): void {
    this.#staged.delete(ref);
  }

  async clip(ref: string): Promise<Uint8Array | null> {
    const { rows } = await this.#told(
      this.#pool.query<{ wav: Buffer }>('SELECT wav FROM stemsay_clips WHERE book = $1 AND ref = $2', [
        this.#book,
        ref,
      ]),
    );
    return rows[0]?.wav ?? null;
  }

  async clipSizes(): Promise<{ count: number; bytes: number }> {
    const { rows } = await this.#told(
      this.#pool.query<{ count: string; bytes: string }>(
        'SELECT count(*) AS count, coalesce(sum(length(wav)), 0) AS bytes FROM stemsay_clips WHERE book = $1',
        [this.#book],
      ),
    );
    return { count: Number(rows[0]!.count), bytes: Number(rows[0]!.bytes) };
  }

  /** The database's own files have them until it is vacuumed, and its backups for as long as they are kept. */
  async deleteClips(): Promise<number> {
    const { rowCount } = await this.#told(
      this.#pool.query('DELETE FROM stemsay_clips WHERE book = $1', [this.#book]),
    );
    return rowCount ?? 0;
  }

  async close(): Promise<void> {
    if (!this.#open) return;
    this.#open = false;
    this.#claim.release();
    await this.#pool.end();
  }

  /** A database that is gone is told in a sentence; nothing of what was asked was kept. */
  async #told<T>(work: Promise<T>): Promise<T> {
    try {
      return await work;
    } catch (cause) {
      throw new StoreError(
        {
          kind: 'unwritable',
          sentence: `The crew's database does not answer for "${this.#book}": ${messageOf(cause)}`,
        },
        cause,
      );
    }
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

/** Some connection failures carry their reasons in a list and no message of their own. */
function messageOf(cause: unknown): string {
  if (cause instanceof AggregateError) return cause.errors.map(messageOf).join('; ');
  return cause instanceof Error ? cause.message : String(cause);
}
