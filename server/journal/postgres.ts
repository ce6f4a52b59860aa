/**
 * The journal in PostgreSQL, for a crew that shares one database: several books in it, the same interface and
 * acceptance suite as the SQLite book. Entries are only ever added. How a crew sets it up: `shared/docs/crews.md`.
 */

import type pg from 'pg';
import { lastOf } from '../../shared/core/required.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { type DeviceId, deviceId, type Entry, fitting } from '../../shared/note/journal.ts';
import { DeviceClaim } from './postgres-claim.ts';
import { Link, messageOf } from './postgres-link.ts';
import { lookAt, migrate } from './postgres-schema.ts';
import { checksumOf, readRow, sumNow } from './rows.ts';
import { type CheckedRow, type KeptStore, StoreError, type StoreProblem } from './store.ts';

interface Row {
  readonly cursor: string;
  readonly body: string;
  readonly crc: string | null;
}

/**
 * Opens, or begins, a book of a database. `url` is as libpq has it, with the book's name besides:
 * `postgres://crew@host/database?book=north`. `read` makes and changes nothing.
 */
export async function openPostgres(
  url: string,
  mode: 'write' | 'read' = 'write',
): Promise<Result<PostgresStore, StoreProblem>> {
  const address = URL.canParse(url) ? new URL(url) : null;
  if (address === null || address.hash !== '') {
    // Not repeated: there may be a password in it.
    return err({
      kind: 'missing',
      sentence:
        'Expected postgres://crew@host/database?book=NAME; the address given is none. In a password, @ : / ? # and % are written %40 %3A %2F %3F %23 %25.',
    });
  }
  const book = address.searchParams.get('book') ?? 'field';
  address.searchParams.delete('book');
  const link = new Link(address.href, book);
  try {
    // Who opens is told at once; who is at work already is not.
    await link.transaction((client) => (mode === 'write' ? begun(client, book) : found(client, book)), 0);
    const claim = mode === 'write' ? await DeviceClaim.take(address.href, book) : null;
    return ok(new PostgresStore(link, book, claim));
  } catch (cause) {
    await link.close();
    const known = cause instanceof StoreError ? cause : null;
    const why = messageOf(known?.cause ?? cause);
    return err({
      kind: known?.kind ?? 'unwritable',
      sentence: `The book "${book}" cannot be opened in PostgreSQL: ${why}`,
    });
  }
}

async function begun(client: pg.PoolClient, book: string): Promise<void> {
  await migrate(client);
  await client.query('INSERT INTO stemsay_books (book) VALUES ($1) ON CONFLICT DO NOTHING', [book]);
}

async function found(client: pg.PoolClient, book: string): Promise<void> {
  await lookAt(client);
  const { rowCount } = await client.query('SELECT FROM stemsay_books WHERE book = $1', [book]);
  if (rowCount === 0)
    throw new StoreError({ kind: 'missing', sentence: 'there is no book of that name in this database.' });
}

export class PostgresStore implements KeptStore {
  readonly device: DeviceId;
  readonly shared = true;
  readonly aside = new Map<number, string>();
  readonly #link: Link;
  readonly #book: string;
  readonly #claim: DeviceClaim | null;
  readonly #staged = new Map<string, Uint8Array>();
  #open = true;

  constructor(link: Link, book: string, claim: DeviceClaim | null) {
    this.#link = link;
    this.#book = book;
    this.#claim = claim;
    this.device = claim?.device ?? deviceId('reader');
  }

  async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    const checked = fitting(entries);
    const signed = checked.some(({ device }) => device === this.device);
    // What a try put in whose commit may have been done although its answer was lost: the next try finds it there.
    const put = new Set<string>();
    const result = await this.#link.transaction(async (client) => {
      if (signed) {
        await this.#claim?.hold();
        await this.#claim?.prove(client);
      }
      return this.#insert(client, checked, put);
    });
    for (const { heard } of checked) if (heard?.clip !== undefined) this.#staged.delete(heard.clip);
    return result;
  }

  async #insert(
    client: pg.PoolClient,
    entries: readonly Entry[],
    put: Set<string>,
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
    // The database writes all identities in small letters.
    const seen = new Set(known.map((row) => row.id));
    const before = [...put].filter((id) => seen.has(id)).length;
    const cursors: number[] = [];
    const bodies: string[] = [];
    const added: Entry[] = [];
    for (const entry of entries) {
      const id = entry.id.toLowerCase();
      if (seen.has(id)) continue;
      seen.add(id);
      put.add(id);
      added.push(entry);
      bodies.push(JSON.stringify(entry));
      cursors.push(++cursor);
    }
    if (added.length === 0) return { added: before, cursor };
    await client.query(
      'INSERT INTO stemsay_entries (book, cursor, id, body, crc) SELECT $1, * FROM unnest($2::bigint[], $3::uuid[], $4::text[], $5::bigint[])',
      [this.#book, cursors, added.map((entry) => entry.id), bodies, bodies.map(sumNow)],
    );
    await client.query('UPDATE stemsay_books SET cursor = $2 WHERE book = $1', [this.#book, cursor]);
    for (const { heard } of added) {
      const clip = heard?.clip;
      const wav = clip === undefined ? undefined : this.#staged.get(clip);
      if (wav === undefined) continue;
      await client.query('INSERT INTO stemsay_clips VALUES ($1, $2, $3) ON CONFLICT DO NOTHING', [
        this.#book,
        clip,
        Buffer.from(wav),
      ]);
    }
    return { added: before + added.length, cursor };
  }

  async since(
    cursor: number,
    limit = Number.MAX_SAFE_INTEGER,
  ): Promise<{ entries: Entry[]; cursor: number }> {
    const entries: Entry[] = [];
    let last = cursor;
    // Rows that are set aside count for nothing: a page that is not full is the last one.
    for (let wanted = limit; wanted > 0; wanted = limit - entries.length) {
      const rows = await this.#rows(last, wanted);
      if (rows.length === 0) break;
      for (const row of rows) {
        const read = readRow(row.body, sumIn(row));
        if (read.ok) entries.push(read.value);
        // One bad row must not keep a whole crew from its book: it stays where it is, is left out, and is told.
        else this.aside.set(Number(row.cursor), read.error);
      }
      last = Number(lastOf(rows).cursor);
      if (rows.length < wanted) break;
    }
    return { entries, cursor: last };
  }

  async #rows(after: number, limit: number): Promise<readonly Row[]> {
    const { rows } = await this.#link.query<Row & pg.QueryResultRow>(
      'SELECT cursor, body, crc FROM stemsay_entries WHERE book = $1 AND cursor > $2 ORDER BY cursor LIMIT $3',
      [this.#book, after, Math.min(limit, Number.MAX_SAFE_INTEGER)],
    );
    return rows;
  }

  /** Every row as it stands, for `check`. */
  async *rows(): AsyncGenerator<CheckedRow> {
    for (let last = 0; ; ) {
      const rows = await this.#rows(last, rowsAtOnce);
      if (rows.length === 0) return;
      for (const row of rows) {
        const read = readRow(row.body, null);
        const changed = checksumOf(row.body, sumIn(row)) === 'wrong';
        yield {
          cursor: Number(row.cursor),
          entry: read.ok ? read.value : null,
          problem: changed ? 'it was changed since it was written' : read.ok ? null : read.error,
        };
      }
      last = Number(lastOf(rows).cursor);
    }
  }

  /** Gaps in the numbering: rows that were taken out behind the program's back. */
  async integrity(): Promise<string[]> {
    const { rows } = await this.#link.query<{ cursor: string; count: string }>(
      `SELECT b.cursor, (SELECT count(*) FROM stemsay_entries e WHERE e.book = b.book) AS count
       FROM stemsay_books b WHERE b.book = $1`,
      [this.#book],
    );
    const [of] = rows;
    if (of === undefined || of.cursor === of.count) return [];
    return [`the book counts ${of.cursor} rows, ${of.count} are there`];
  }

  stageClip(ref: string, wav: Uint8Array): void {
    this.#staged.set(ref, wav);
  }

  dropClip(ref: string): void {
    this.#staged.delete(ref);
  }

  async clip(ref: string): Promise<Uint8Array | null> {
    const { rows } = await this.#link.query<{ wav: Buffer }>(
      'SELECT wav FROM stemsay_clips WHERE book = $1 AND ref = $2',
      [this.#book, ref],
    );
    return rows[0]?.wav ?? null;
  }

  async clipSizes(): Promise<{ count: number; bytes: number }> {
    const { rows } = await this.#link.query<{ count: string; bytes: string }>(
      'SELECT count(*) AS count, coalesce(sum(length(wav)), 0) AS bytes FROM stemsay_clips WHERE book = $1',
      [this.#book],
    );
    return { count: Number(rows[0]!.count), bytes: Number(rows[0]!.bytes) };
  }

  /** The database's own files have them until it is vacuumed, and its backups for as long as they are kept. */
  async deleteClips(): Promise<number> {
    let deleted = 0;
    await this.#link.transaction(async (client) => {
      const { rowCount } = await client.query('DELETE FROM stemsay_clips WHERE book = $1', [this.#book]);
      deleted = Math.max(deleted, rowCount ?? 0);
    });
    return deleted;
  }

  async close(): Promise<void> {
    if (!this.#open) return;
    this.#open = false;
    await this.#claim?.release();
    await this.#link.close();
  }
}

/** Rows that are read at once where all are looked at. */
const rowsAtOnce = 1000;

const sumIn = ({ crc }: Row): number | null => (crc === null ? null : Number(crc));
