/**
 * The way to a crew's database: a few connections, each transaction durable when it resolves. A database that is
 * restarted or drops a connection is asked again for some seconds before anybody is told; nothing here waits without end.
 */
import { setTimeout as wait } from 'node:timers/promises';
import pg from 'pg';
import { StoreError, type StoreProblem } from './store.ts';

/** Milliseconds: to connect; for one statement; for a lock that another holds; until a silent answer counts as lost. */
const limits = { connect: 5000, statement: 20_000, lock: 5000, answer: 25_000 } as const;
/** Milliseconds between the tries while the database does not answer, and after how long no other is begun. */
const pauses = [50, 100, 200, 400, 800, 1500, 2500, 3500] as const;
const usualPatience = 10_000;
const connections = 4;

/** The connection broke after the commit was sent: whether it was done is not known. */
class CommitLost extends Error {
  override readonly name = 'CommitLost';
}

export const connectionOf = (address: string): pg.ClientConfig => ({
  connectionString: address,
  application_name: 'stemsay',
  connectionTimeoutMillis: limits.connect,
  statement_timeout: limits.statement,
  lock_timeout: limits.lock,
  idle_in_transaction_session_timeout: limits.statement,
  query_timeout: limits.answer,
  keepAlive: true,
  keepAliveInitialDelayMillis: 10_000,
});

export class Link {
  readonly address: string;
  readonly #pool: pg.Pool;
  readonly #book: string;
  #closed = false;

  /** `address` as libpq has it. */
  constructor(address: string, book: string) {
    this.address = address;
    this.#book = book;
    this.#pool = new pg.Pool({ ...connectionOf(address), max: connections });
    // An idle connection that the server closes is replaced at the next use; it must not end the program.
    this.#pool.on('error', () => {});
    // One that is let go because it broke may say so once more, when nobody holds it and the pool has forgotten it.
    this.#pool.on('connect', (client) => client.on('error', () => {}));
  }

  /**
   * Runs the work in one transaction, on a fresh connection again where one broke: it must be safe to repeat.
   *
   * `patience`: milliseconds after which no other try is begun.
   *
   * @throws StoreError; of kind `unsure` when the last word of the database on a commit was lost
   */
  transaction<T>(work: (client: pg.PoolClient) => Promise<T>, patience: number = usualPatience): Promise<T> {
    let unsure = false;
    const once = async (): Promise<T> => {
      try {
        return await this.#once(async (client) => {
          const value = await work(client);
          // It got as far as to see what an earlier try had done, and did what was missing.
          unsure = false;
          return value;
        });
      } catch (cause) {
        unsure ||= cause instanceof CommitLost;
        throw cause;
      }
    };
    return this.#told(this.#persist(once, patience), () => unsure);
  }

  /** One statement that only reads, asked again where a connection broke. @throws StoreError */
  query<R extends pg.QueryResultRow>(text: string, values: readonly unknown[]): Promise<pg.QueryResult<R>> {
    return this.#told(
      this.#persist(() => this.#using((client) => client.query<R>(text, [...values])), usualPatience),
    );
  }

  async close(): Promise<void> {
    this.#closed = true;
    await this.#pool.end();
  }

  /** One try, with what the database itself says where it fails. */
  async #once<T>(work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
    return this.#using(async (client) => {
      let value: T;
      try {
        await client.query('BEGIN');
        // Durable at the commit even where the server's default was relaxed.
        await client.query('SET LOCAL synchronous_commit = on');
        value = await work(client);
      } catch (cause) {
        if (!isPassing(cause)) await client.query('ROLLBACK');
        throw cause;
      }
      try {
        await client.query('COMMIT');
      } catch (cause) {
        if (cause instanceof pg.DatabaseError && !isPassing(cause)) throw cause;
        throw new CommitLost('the connection was lost while it wrote', { cause });
      }
      return value;
    });
  }

  async #using<T>(work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
    const client = await this.#pool.connect();
    let broken: Error | undefined;
    const breaks = (cause: Error): void => {
      broken = cause;
    };
    // A connection that is in use and dies says so by itself too; unheard, that would end the program.
    client.on('error', breaks);
    try {
      return await work(client);
    } catch (cause) {
      if (!(cause instanceof pg.DatabaseError) && !(cause instanceof StoreError))
        broken ??= cause instanceof Error ? cause : new Error(String(cause));
      throw cause;
    } finally {
      client.off('error', breaks);
      client.release(broken);
    }
  }

  async #persist<T>(work: () => Promise<T>, patience: number): Promise<T> {
    const began = performance.now();
    for (let tries = 0; ; tries++) {
      try {
        return await work();
      } catch (cause) {
        const pause = pauses[tries];
        const over = pause === undefined || performance.now() - began + pause >= patience;
        if (this.#closed || over || !isPassing(cause)) throw cause;
        await wait(pause);
      }
    }
  }

  /** Whatever the database says becomes one sentence. */
  async #told<T>(work: Promise<T>, unsure: () => boolean = () => false): Promise<T> {
    try {
      return await work;
    } catch (cause) {
      if (cause instanceof StoreError) throw cause;
      throw new StoreError(unsure() ? unsureOf(this.#book) : problemOf(cause, this.#book), cause);
    }
  }
}

const unsureOf = (book: string): StoreProblem => ({
  kind: 'unsure',
  sentence: `The crew's database was lost in the middle of writing: whether this was kept in "${book}" shows when it answers again. Look before you say it again.`,
});

/** What each state of PostgreSQL means for who speaks; first match wins. See its manual, appendix A. */
const meanings: readonly [RegExp, StoreProblem['kind'], (book: string) => string][] = [
  [
    /^(55P03|57014|25P03)$/,
    'locked',
    (book) => `Others keep the crew's database busy; nothing of this was kept in "${book}". Say it again.`,
  ],
  [
    /^53[1]00$/,
    'full',
    (book) =>
      `The disk of the crew's database is full; nothing of this was kept in "${book}". Make room there and say it again.`,
  ],
  [
    /^(25006|42501)$/,
    'unwritable',
    (book) =>
      `The crew's database may not be written by this user; nothing of this was kept in "${book}". See "Roles" in crews.md.`,
  ],
];

function problemOf(cause: unknown, book: string): StoreProblem {
  const code = cause instanceof pg.DatabaseError ? (cause.code ?? '') : '';
  const [, kind, sentence] = meanings.find(([states]) => states.test(code)) ?? [];
  if (kind && sentence) return { kind, sentence: sentence(book) };
  return {
    kind: 'unwritable',
    sentence: `The crew's database does not answer for "${book}": ${messageOf(cause)}. Nothing of this was kept.`,
  };
}

/** States that pass by themselves: connections lost, the server ending or starting, two that waited for each other. */
const passing = /^(08...|57P0[1235]|40001|40P01|53300)$/;
/** What a connection says that broke or was not to be had. */
const broken = /^(Connection terminated|Client has encountered a connection error|timeout e)/;
const lostCodes = new Set(
  'ECONNREFUSED ECONNRESET EPIPE ENOENT ETIMEDOUT EHOSTUNREACH ENETUNREACH EAI_AGAIN'.split(' '),
);

function isPassing(cause: unknown): boolean {
  if (cause instanceof CommitLost) return true;
  if (cause instanceof AggregateError) return cause.errors.every(isPassing);
  if (cause instanceof pg.DatabaseError) return passing.test(cause.code ?? '');
  if (!(cause instanceof Error) || cause instanceof StoreError) return false;
  return lostCodes.has(String((cause as NodeJS.ErrnoException).code)) || broken.test(cause.message);
}

/** Some connection failures carry their reasons in a list and no message of their own. */
export function messageOf(cause: unknown): string {
  if (cause instanceof AggregateError) return cause.errors.map(messageOf).join('; ');
  return cause instanceof Error ? cause.message : String(cause);
}
