/**
 * SQLite, as far as a book needs it: by better-sqlite3, or, where its binding cannot be loaded (no ready-made one for this
 * machine and no compiler to make it), by the SQLite that Node brings from version 22.13 on. Both speak the same files
 * and pass the same acceptance suite. Errors of either have SQLite's own name in `code`, "SQLITE_FULL" and the like.
 */
import { createRequire } from 'node:module';

/** This machine has no SQLite that can be loaded; the message says what to do. */
export class NoSqliteError extends Error {}

export interface SqliteStatement<P extends readonly unknown[], R> {
  get(...parameters: P): R | undefined;
  all(...parameters: P): R[];
  run(...parameters: P): { readonly changes: number };
  /** Rows as arrays from here on. */
  raw(): SqliteStatement<P, R>;
}

export interface SqliteDatabase {
  prepare<P extends readonly unknown[], R = unknown>(sql: string): SqliteStatement<P, R>;
  /** Rows of the answer; with `simple` the first value alone. */
  pragma(text: string, options?: { readonly simple?: boolean }): unknown;
  exec(sql: string): void;
  /** All that the function does, or nothing of it; the lock to write is taken at its begin. */
  transaction<A extends readonly unknown[], R>(work: (...given: A) => R): { immediate(...given: A): R };
  close(): void;
}

interface Opening {
  readonly readonly?: boolean;
  readonly fileMustExist?: boolean;
  /** Milliseconds to wait for another program's lock. */
  readonly timeout: number;
}

const drivers = ['better-sqlite3', 'node'] as const;
type Driver = (typeof drivers)[number];
type Open = (file: string, opening: Opening) => SqliteDatabase;

const require = createRequire(import.meta.url);
const openers: Readonly<Record<Driver, () => Open>> = { 'better-sqlite3': better, node: ofNode };
let chosen: Open | undefined;

/**
 * Opens a file. Throws SQLite's errors, and NoSqliteError where there is none.
 * STEMSAY_SQLITE names the driver, for tests.
 */
export function openSqlite(file: string, opening: Opening): SqliteDatabase {
  chosen ??= choose(process.env.STEMSAY_SQLITE);
  return chosen(file, opening);
}

function choose(named: string | undefined): Open {
  const wanted = drivers.filter((driver) => named === undefined || driver === named);
  const why: string[] = [];
  for (const driver of wanted)
    try {
      return openers[driver]();
    } catch (cause) {
      why.push(cause instanceof Error ? (cause.message.split('\n')[0] ?? '') : String(cause));
    }
  throw new NoSqliteError(
    `No SQLite can be loaded here. Use Node 22.13 or newer, or install a C++ compiler and run "npm rebuild better-sqlite3" (${why.join('; ')}).`,
  );
}

function better(): Open {
  const Database = require('better-sqlite3') as new (file: string, opening?: Opening) => SqliteDatabase;
  // The binding is loaded with the first database only.
  new Database(':memory:').close();
  return (file, opening) => new Database(file, opening);
}

/** What is used of `node:sqlite`; the types of Node 20 do not know it. */
interface NodeStatement {
  get(...parameters: readonly unknown[]): Record<string, unknown> | undefined;
  all(...parameters: readonly unknown[]): Record<string, unknown>[];
  run(...parameters: readonly unknown[]): { readonly changes: number | bigint };
}
interface NodeDatabase {
  prepare(sql: string): NodeStatement;
  exec(sql: string): void;
  close(): void;
}
type NodeSqlite = {
  readonly DatabaseSync: new (file: string, options: { readonly readOnly?: boolean }) => NodeDatabase;
};

function ofNode(): Open {
  const { DatabaseSync } = withoutWarning(() => require('node:sqlite') as NodeSqlite);
  return (file, { readonly: readOnly = false, timeout }) => {
    const database = told(() => new DatabaseSync(file, { readOnly }));
    told(() => database.exec(`PRAGMA busy_timeout = ${timeout}`));
    return new NodeSqliteDatabase(database);
  };
}

/** Node says at every start that its SQLite is new; that is known, and nothing a user can do about it. */
function withoutWarning<T>(load: () => T): T {
  const { emitWarning } = process;
  process.emitWarning = () => {};
  try {
    return load();
  } finally {
    process.emitWarning = emitWarning;
  }
}

class NodeSqliteDatabase implements SqliteDatabase {
  constructor(private readonly database: NodeDatabase) {}

  prepare<P extends readonly unknown[], R>(sql: string): SqliteStatement<P, R> {
    return statementOf(
      told(() => this.database.prepare(sql)),
      false,
    );
  }

  pragma(text: string, { simple = false } = {}): unknown {
    const rows = told(() => this.database.prepare(`PRAGMA ${text}`).all());
    return simple ? Object.values(rows[0] ?? {})[0] : rows;
  }

  exec(sql: string): void {
    told(() => this.database.exec(sql));
  }

  transaction<A extends readonly unknown[], R>(work: (...given: A) => R): { immediate(...given: A): R } {
    return { immediate: (...given) => this.#whole(() => work(...given)) };
  }

  #whole<R>(work: () => R): R {
    this.exec('BEGIN IMMEDIATE');
    try {
      const result = work();
      this.exec('COMMIT');
      return result;
    } catch (cause) {
      // A full disk has rolled it back already.
      try {
        this.database.exec('ROLLBACK');
      } catch {}
      throw cause;
    }
  }

  close(): void {
    told(() => this.database.close());
  }
}

function statementOf<P extends readonly unknown[], R>(
  statement: NodeStatement,
  raw: boolean,
): SqliteStatement<P, R> {
  const row = (found: Record<string, unknown>): R =>
    (raw ? Object.values(found).map(bytes) : Object.fromEntries(Object.entries(found).map(bytesOf))) as R;
  return {
    get(...parameters) {
      const found = told(() => statement.get(...parameters));
      return found === undefined ? undefined : row(found);
    },
    all: (...parameters) => told(() => statement.all(...parameters)).map(row),
    run: (...parameters) => ({ changes: Number(told(() => statement.run(...parameters)).changes) }),
    raw: () => statementOf(statement, true),
  };
}

/** Blobs as buffers, as the other driver gives them. */
const bytes = (value: unknown): unknown =>
  value instanceof Uint8Array ? Buffer.from(value.buffer, value.byteOffset, value.byteLength) : value;
const bytesOf = ([name, value]: [string, unknown]): [string, unknown] => [name, bytes(value)];

/** SQLite's result codes that the book tells apart, by number: https://www.sqlite.org/rescode.html. */
const codes: Readonly<Record<number, string>> = {
  1: 'SQLITE_ERROR',
  3: 'SQLITE_PERM',
  5: 'SQLITE_BUSY',
  6: 'SQLITE_LOCKED',
  7: 'SQLITE_NOMEM',
  8: 'SQLITE_READONLY',
  10: 'SQLITE_IOERR',
  11: 'SQLITE_CORRUPT',
  13: 'SQLITE_FULL',
  14: 'SQLITE_CANTOPEN',
  19: 'SQLITE_CONSTRAINT',
  26: 'SQLITE_NOTADB',
};

/** Runs it; an error of SQLite gets its own name, which Node gives as a number. */
function told<T>(work: () => T): T {
  try {
    return work();
  } catch (cause) {
    const number = cause instanceof Error && 'errcode' in cause ? Number(cause.errcode) : Number.NaN;
    if (Number.isNaN(number)) throw cause;
    throw Object.assign(cause as Error, { code: codes[number % 256] ?? 'SQLITE_ERROR' });
  }
}
