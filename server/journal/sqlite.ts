/**
 * The journal in one SQLite file, a book: appended in one durable transaction, never changed. It knows nothing of
 * what the entries mean. A file that is not a book, is newer than this program or is in use is left untouched.
 */

import { createHash } from 'node:crypto';
import {
  accessSync,
  chmodSync,
  closeSync,
  constants,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readlinkSync,
  readSync,
  realpathSync,
  statSync,
  unlinkSync,
} from 'node:fs';
import { hostname } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import { lastOf, required } from '../../shared/core/required.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { type DeviceId, deviceId, type Entry, fitting } from '../../shared/note/journal.ts';
import { freshDevice } from './identity.ts';
import { checksumOf, notJson, readRow, sumNow } from './rows.ts';
import { NoSqliteError, openSqlite, type SqliteDatabase, type SqliteStatement } from './sqlite-driver.ts';
import { type CheckedRow, type KeptStore, StoreError, type StoreProblem } from './store.ts';

/** Marks the file as ours in the header's application id: "Stem". */
export const applicationId = 0x5374656d;

/** Each brings a book from the version of its index to the next. Never edit one that was released: add one. */
export const migrations: readonly string[] = [
  `CREATE TABLE entries (
     cursor INTEGER PRIMARY KEY AUTOINCREMENT,
     id TEXT NOT NULL UNIQUE,
     body TEXT NOT NULL,
     crc INTEGER
   ) STRICT;
   CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
   CREATE TRIGGER entries_last BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
   CREATE TABLE devices (home TEXT PRIMARY KEY, device TEXT NOT NULL) STRICT;`,
  'CREATE TABLE clips (ref TEXT PRIMARY KEY, wav BLOB NOT NULL) STRICT;',
];

/** Cursor, the entry as JSON, and the check sum of that text. */
type Row = [cursor: number, body: string, crc: number | null];

/**
 * Opens the book in this file, or begins one (`write` only). `read` leaves the file as it is and works beside a
 * program that writes it.
 */
export function openStore(file: string, mode: 'write' | 'read' = 'write'): Result<SqliteStore, StoreProblem> {
  const path = realPath(file);
  const header = readHeader(path, mode);
  if (!header.ok) return header;

  let unlock = () => {};
  if (mode === 'write') {
    const lock = lockFor(path);
    if (!lock.ok) return lock;
    unlock = lock.value;
  }
  let database: SqliteDatabase | undefined;
  try {
    database = openSqlite(
      path,
      mode === 'read' ? { readonly: true, fileMustExist: true, timeout: 1000 } : { timeout: 1000 },
    );
    const version = Number(database.pragma('user_version', { simple: true }));
    if (version > migrations.length) throw new StoreError(newer(path, version));
    if (mode === 'write') {
      closeToOthers(path);
      if (version > 0 && version < migrations.length) backUpBefore(database, path, version);
      migrate(database, version);
      database.pragma('journal_mode = WAL');
      // FULL, not NORMAL: in WAL mode only FULL syncs the log at every commit, which "acknowledged" promises.
      database.pragma('synchronous = FULL');
    } else if (version < migrations.length) {
      throw new StoreError({
        kind: 'older',
        sentence: `${path} was written by an older stemsay (book version ${version}). Open it once to write, "stemsay note --book FILE", and it is brought up to date.`,
      });
    }
    return ok(new SqliteStore(database, path, mode, unlock));
  } catch (cause) {
    database?.close();
    unlock();
    return err(
      cause instanceof StoreError ? { kind: cause.kind, sentence: cause.message } : problemOf(cause, path),
    );
  }
}

export class SqliteStore implements KeptStore {
  readonly device: DeviceId;
  readonly shared = false;
  readonly path: string;
  readonly #database: SqliteDatabase;
  readonly #mode: 'write' | 'read';
  readonly #unlock: () => void;
  readonly aside = new Map<number, string>();
  readonly #staged = new Map<string, Uint8Array>();
  readonly #insertAll: (entries: readonly Entry[]) => number;
  readonly #since: SqliteStatement<[number, number], Row>;
  readonly #last: SqliteStatement<[], { cursor: number | null }>;
  readonly #one: SqliteStatement<[string], Row>;
  readonly #clip: SqliteStatement<[string], { wav: Buffer }>;
  readonly #file: { readonly dev: number; readonly ino: number };
  #idle: NodeJS.Timeout | undefined;
  #open = true;

  constructor(database: SqliteDatabase, path: string, mode: 'write' | 'read', unlock: () => void) {
    this.#database = database;
    this.path = path;
    this.#mode = mode;
    this.#unlock = unlock;
    this.device = mode === 'write' ? claimDevice(database, path) : deviceId('reader');
    this.#file = statSync(path);
    this.#since = database
      .prepare<[number, number], Row>(
        'SELECT cursor, body, crc FROM entries WHERE cursor > ? ORDER BY cursor LIMIT ?',
      )
      .raw();
    this.#one = database.prepare<[string], Row>('SELECT cursor, body, crc FROM entries WHERE id = ?').raw();
    this.#last = database.prepare('SELECT max(cursor) AS cursor FROM entries');
    this.#clip = database.prepare('SELECT wav FROM clips WHERE ref = ?');
    const insert = database.prepare<[string, string, number | null]>(
      'INSERT INTO entries (id, body, crc) VALUES (?, ?, ?) ON CONFLICT (id) DO NOTHING',
    );
    const insertClip = database.prepare<[string, Uint8Array]>(
      'INSERT INTO clips (ref, wav) VALUES (?, ?) ON CONFLICT DO NOTHING',
    );
    this.#insertAll = database.transaction((entries: readonly Entry[]) => {
      let added = 0;
      for (const entry of entries) {
        const body = JSON.stringify(entry);
        const { changes } = insert.run(entry.id, body, sumNow(body));
        added += changes;
        const ref = entry.heard?.clip;
        const wav = ref === undefined ? undefined : this.#staged.get(ref);
        if (changes > 0 && ref !== undefined && wav !== undefined) insertClip.run(ref, wav);
      }
      return added;
    }).immediate;
  }

  async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    // Parsed again although typed: JSON writes NaN as null, and what is written must read back.
    const checked = fitting(entries);
    this.#stillThere();
    const result = this.#told(() => {
      const added = checked.length > 0 ? this.#insertAll(checked) : 0;
      return { added, cursor: this.#last.get()?.cursor ?? 0 };
    });
    // A file that went away between the look and the commit: what was written is where nobody looks for it.
    this.#stillThere();
    for (const entry of checked) if (entry.heard?.clip !== undefined) this.#staged.delete(entry.heard.clip);
    this.#checkpointWhenIdle();
    return result;
  }

  /** @throws StoreError when the book is no longer where it was opened: nobody would find what is written to it. */
  #stillThere(): void {
    const now = statSync(this.path, { throwIfNoEntry: false });
    if (now !== undefined && now.ino === this.#file.ino && now.dev === this.#file.dev) {
      const log = `${this.path}-wal`;
      // The log is where a commit goes first. Without it the commit is brought into the book itself, at once.
      if (this.#mode === 'write' && !existsSync(log)) this.#told(() => this.#checkpoint());
      return;
    }
    throw new StoreError({
      kind: 'moved',
      sentence: `${this.path} was moved or deleted while it was open. Nothing of this was kept: put it back, or start stemsay on where it is now, and say it again.`,
    });
  }

  /** Brings what is in the log into the book, so that the one file can be copied as it is. */
  #checkpointWhenIdle(): void {
    clearTimeout(this.#idle);
    this.#idle = setTimeout(() => {
      try {
        if (this.#open) this.#checkpoint();
      } catch {
        // What was acknowledged is safe in the log; the next quiet moment tries again.
      }
    }, quietMs);
    this.#idle.unref();
  }

  #checkpoint(): void {
    this.#database.pragma('wal_checkpoint(TRUNCATE)');
  }

  /** A whole copy of the book as it stands, in a file that is not there yet. */
  copyTo(file: string): void {
    this.#told(() => this.#database.prepare('VACUUM INTO ?').run(file));
    chmodSync(file, ownerOnly);
    syncFile(file);
  }

  /** All that SQLite can say while it works becomes one sentence. */
  #told<T>(work: () => T): T {
    try {
      return work();
    } catch (cause) {
      if (cause instanceof StoreError) throw cause;
      throw new StoreError(problemOf(cause, this.path), cause);
    }
  }

  async since(
    cursor: number,
    limit = Number.MAX_SAFE_INTEGER,
  ): Promise<{ entries: Entry[]; cursor: number }> {
    const entries: Entry[] = [];
    let last = cursor;
    // Rows that are set aside count for nothing: a page that is not full is the last one.
    for (let wanted = limit; wanted > 0; wanted = limit - entries.length) {
      const rows = this.#told(() => this.#since.all(last, Math.min(wanted, Number.MAX_SAFE_INTEGER)));
      if (rows.length === 0) break;
      for (const row of rows) entries.push(...this.#entryOf(row));
      last = lastOf(rows)[0];
      if (rows.length < wanted) break;
    }
    return { entries, cursor: last };
  }

  recall(id: string): Entry {
    const row = this.#told(() => this.#one.get(id));
    const [entry] = row === undefined ? [] : this.#entryOf(row);
    if (entry !== undefined) return entry;
    throw new StoreError({
      kind: 'damaged',
      sentence: `Entry ${id} is not in ${this.path} any more. "stemsay check --book FILE" lists all that is wrong; "stemsay restore" brings back a copy.`,
    });
  }

  /** Every row as it stands, for `check`: an unreadable one is reported, not thrown. */
  *rows(): Generator<CheckedRow> {
    let last = 0;
    for (;;) {
      const rows = this.#told(() => this.#since.all(last, rowsAtOnce));
      if (rows.length === 0) return;
      for (const [cursor, body, crc] of rows) {
        const read = readRow(body, null);
        const entry = read.ok ? read.value : null;
        const changed = checksumOf(body, crc) === 'wrong';
        yield {
          cursor,
          entry,
          problem: changed ? 'it was changed since it was written' : read.ok ? null : read.error,
        };
      }
      last = lastOf(rows)[0];
    }
  }

  /** What SQLite itself finds wrong with the file; empty when nothing is. */
  integrity(): string[] {
    const found = this.#told(() => this.#database.pragma('integrity_check(20)')) as {
      integrity_check: string;
    }[];
    return found.map((row) => row.integrity_check).filter((line) => line !== 'ok');
  }

  /** How commits reach the disk; see sqlite.org/pragma.html, journal_mode and synchronous. */
  settings(): { journal: string; synchronous: number } {
    return {
      journal: String(this.#database.pragma('journal_mode', { simple: true })),
      synchronous: Number(this.#database.pragma('synchronous', { simple: true })),
    };
  }

  stageClip(ref: string, wav: Uint8Array): void {
    this.#staged.set(ref, wav);
  }

  dropClip(ref: string): void {
    this.#staged.delete(ref);
  }

  async clip(ref: string): Promise<Uint8Array | null> {
    return this.#told(() => this.#clip.get(ref))?.wav ?? null;
  }

  async clipSizes(): Promise<{ count: number; bytes: number }> {
    const sizes = this.#database
      .prepare<[], { count: number; bytes: number }>(
        'SELECT count(*) AS count, coalesce(sum(length(wav)), 0) AS bytes FROM clips',
      )
      .get();
    return required(sizes, 'the sizes of the clips');
  }

  async deleteClips(): Promise<number> {
    try {
      // Overwritten, not only unlinked; the log, which has them too, is folded in and cut.
      this.#database.pragma('secure_delete = ON');
      const { changes } = this.#database.prepare('DELETE FROM clips').run();
      this.#database.pragma('wal_checkpoint(TRUNCATE)');
      this.#database.exec('VACUUM');
      return changes;
    } catch (cause) {
      throw new StoreError(problemOf(cause, this.path), cause);
    }
  }

  async close(): Promise<void> {
    if (!this.#open) return;
    this.#open = false;
    clearTimeout(this.#idle);
    // A closed book is one file that can be copied or read anywhere; fails harmlessly while someone else reads it.
    try {
      if (this.#mode === 'write') this.#database.pragma('journal_mode = DELETE');
    } catch {}
    this.#database.close();
    this.#unlock();
  }

  /** The entry of a row, or none where this program's limits set it aside. */
  #entryOf([cursor, body, crc]: Row): Entry[] {
    const read = readRow(body, crc);
    if (read.ok) return [read.value];
    // Whole, but written when the limits were wider: it is kept in the book and left out of it.
    if (checksumOf(body, crc) === 'older' && read.error !== notJson) {
      this.aside.set(cursor, read.error);
      return [];
    }
    throw new StoreError({
      kind: 'damaged',
      sentence: `Entry ${cursor} of ${this.path} cannot be read: ${read.error}. "stemsay check --book FILE" lists all that is wrong; "stemsay restore" brings back a copy.`,
    });
  }
}

/** Rows that are read at once where all are looked at. */
const rowsAtOnce = 1000;
/** A book is quiet when nothing was written for so long, milliseconds. */
const quietMs = 500;
const ownerOnly = 0o600;

/** The file that a path names, also through links: two names of one book have one lock. */
function realPath(file: string, links = 0): string {
  const path = resolve(file);
  try {
    return realpathSync(path);
  } catch {}
  try {
    // A link to a book that is still to be begun.
    if (links < 40) return realPath(resolve(dirname(path), readlinkSync(path)), links + 1);
  } catch {}
  try {
    return join(realpathSync(dirname(path)), basename(path));
  } catch {
    return path;
  }
}

/** Positions and voices are nobody else's business. A file system that knows no rights leaves it as it is. */
function closeToOthers(path: string): void {
  try {
    if ((statSync(path).mode & 0o077) !== 0) chmodSync(path, ownerOnly);
  } catch {}
}

function syncFile(file: string): void {
  const handle = openSync(file, 'r+');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** A book is brought up to date only once there is a copy of it as it was. */
function backUpBefore(database: SqliteDatabase, path: string, version: number): void {
  database.pragma('wal_checkpoint(TRUNCATE)');
  const copy = `${path}.version-${version}.backup`;
  if (existsSync(copy)) return;
  copyFileSync(path, copy);
  chmodSync(copy, ownerOnly);
  syncFile(copy);
}

/** Looks at the first hundred bytes before SQLite may touch the file. Layout: sqlite.org/fileformat.html, 1.3. */
function readHeader(path: string, mode: 'write' | 'read'): Result<null, StoreProblem> {
  if (!existsSync(path)) {
    if (mode === 'read') return err({ kind: 'missing', sentence: `There is no book at ${path}.` });
    try {
      mkdirSync(dirname(path), { recursive: true });
    } catch (cause) {
      return err(problemOf(cause, path));
    }
    return ok(null);
  }
  // A pipe would be waited for without end, and a device be given a book's rights.
  if (!statSync(path).isFile())
    return err({
      kind: 'unwritable',
      sentence: `${path} is ${statSync(path).isDirectory() ? 'a folder' : 'no file but a device or a pipe'}. Name a file with --book.`,
    });
  const bytes = Buffer.alloc(100);
  let length: number;
  try {
    const handle = openSync(path, 'r');
    try {
      length = readSync(handle, bytes, 0, 100, 0);
    } finally {
      closeSync(handle);
    }
  } catch (cause) {
    return err(problemOf(cause, path));
  }
  if (length === 0 && mode === 'write') return ok(null);
  const ours =
    length === 100 &&
    bytes.toString('latin1', 0, 16) === 'SQLite format 3\0' &&
    bytes.readUInt32BE(68) === applicationId;
  if (!ours) {
    return err({
      kind: 'notOurs',
      sentence: `${path} is not a stemsay book; it was left as it is. Name another file with --book.`,
    });
  }
  const version = bytes.readUInt32BE(60);
  return version > migrations.length ? err(newer(path, version)) : ok(null);
}

function newer(path: string, version: number): StoreProblem {
  return {
    kind: 'newer',
    sentence: `${path} was written by a newer stemsay (book version ${version}, this program knows ${migrations.length}); it was left as it is. Update stemsay to open it.`,
  };
}

function migrate(database: SqliteDatabase, from: number): void {
  if (from === migrations.length) return;
  database
    .transaction(() => {
      for (const step of migrations.slice(from)) database.exec(step);
      database.pragma(`application_id = ${applicationId}`);
      database.pragma(`user_version = ${migrations.length}`);
    })
    .immediate();
}

/**
 * One program writes a book at a time, because each holds the dialogue in memory. The lock is SQLite's own, on an
 * empty file beside the book, so that the system releases it however the program ends and readers are not hindered.
 */
function lockFor(path: string): Result<() => void, StoreProblem> {
  const file = join(dirname(path), `.${basename(path)}.lock`);
  for (;;) {
    let lock: SqliteDatabase | undefined;
    try {
      lock = openSqlite(file, { timeout: 0 });
      const inode = statSync(file).ino;
      // No journal: the lock never writes a byte.
      lock.pragma('journal_mode = MEMORY');
      lock.exec('BEGIN IMMEDIATE');
      const held = lock;
      // Whoever let go a moment ago has unlinked the file: a lock on it would be on nothing.
      if (existsSync(file) && statSync(file).ino === inode) {
        return ok(() => {
          try {
            unlinkSync(file);
          } catch {}
          held.close();
        });
      }
      held.close();
    } catch (cause) {
      lock?.close();
      if (hasCode(cause, 'SQLITE_BUSY')) {
        return err({
          kind: 'locked',
          sentence: `${path} is open in another stemsay. Close that one first, or name another file with --book.`,
        });
      }
      return err(problemOf(cause, path));
    }
  }
}

/** A copied or moved book gets a new device, so that two copies never sign different entries alike. */
function claimDevice(database: SqliteDatabase, path: string): DeviceId {
  const home = createHash('sha256')
    .update(`${hostname()}:${realpathSync(path)}`)
    .digest('hex')
    .slice(0, 16);
  const known = database
    .prepare<[string], { device: string }>('SELECT device FROM devices WHERE home = ?')
    .get(home);
  if (known) return deviceId(known.device);
  const device = freshDevice();
  database.prepare<[string, string]>('INSERT INTO devices (home, device) VALUES (?, ?)').run(home, device);
  return device;
}

function hasCode(cause: unknown, code: string): boolean {
  return cause instanceof Error && 'code' in cause && String(cause.code).startsWith(code);
}

/** Whether the disk under a book takes no writing, whoever asks. */
function liesReadOnly(path: string): boolean {
  try {
    accessSync(dirname(path), constants.W_OK);
    return false;
  } catch (cause) {
    return hasCode(cause, 'EROFS');
  }
}

function problemOf(cause: unknown, path: string): StoreProblem {
  if (cause instanceof NoSqliteError) return { kind: 'unwritable', sentence: cause.message };
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
  const problem = (kind: StoreProblem['kind'], sentence: string): StoreProblem => ({ kind, sentence });
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) {
    return problem('locked', `${path} is in use by another program. Close it there and try again.`);
  }
  if (code === 'SQLITE_FULL' || code === 'ENOSPC') {
    return problem(
      'full',
      `There is no room left on the disk for ${path}. Nothing of this was kept; make room and say it again.`,
    );
  }
  if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB') {
    return problem('damaged', `${path} is damaged: ${cause instanceof Error ? cause.message : code}.`);
  }
  const known = /^(SQLITE_(READONLY|CANTOPEN|IOERR|PERM)|E[A-Z]+$)/.test(code);
  if (!known && code.startsWith('SQLITE_'))
    return problem('damaged', `${path} cannot be read as a book: ${(cause as Error).message}.`);
  if (!known) throw cause;
  if (code === 'EROFS' || liesReadOnly(path))
    return problem(
      'unwritable',
      `${path} lies on a disk that is read-only. Nothing of this was kept: make the disk writable, or copy the book to another.`,
    );
  return problem(
    'unwritable',
    `${path} cannot be opened or written (${code}). Check the folder, its rights and the disk.`,
  );
}
