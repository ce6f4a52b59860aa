/**
 * Keeps this browser's book and the server's the same: sends what is not there, takes in what is new there. Safe to
 * repeat at any point; after a failure it waits longer each time. It never stands in the way of a note.
 */
import * as z from 'zod/mini';
import type { Entry } from '../../shared/note/journal.ts';
import { endpoints, protocolVersion, refusalSchema } from '../../shared/wire.ts';
import { askServer, hasServer } from '../device/home.ts';
import type { PageStore, Progress } from './indexeddb.ts';

/** Entries of one request. */
const batch = 500;
/** Entries taken in at once: few enough that the page answers between two batches. */
const pullBatch = 200;
/** Milliseconds between looks at a server that answers, and after failures. */
const usualWaitMs = 10_000;
const shutOutWait = 60_000;
const waits = [1000, 2000, 5000, 10_000, 20_000, 40_000, 60_000] as const;

export type SyncState =
  | { readonly kind: 'asking' }
  /** Everything is here and there. */
  | { readonly kind: 'together' }
  | { readonly kind: 'sending'; readonly left: number }
  /** A book is being taken in: so many of its entries are here. */
  | { readonly kind: 'taking'; readonly taken: number; readonly of: number }
  /** The server does not answer; so many entries are only here. */
  | { readonly kind: 'away'; readonly unsent: number }
  /** It lets this phone in no more, or not yet: the sentence to show. Everything stays here. */
  | { readonly kind: 'shutOut'; readonly sentence: string }
  /** It answers, but not as expected: the sentence to show. Nothing is sent or taken in. */
  | { readonly kind: 'stopped'; readonly sentence: string };

export interface ServerFacts {
  readonly hears: boolean;
  readonly deaf: string | null;
  readonly book: string | null;
  /** What its clock showed when it answered, milliseconds since 1970. */
  readonly now: number;
}

/** The state line of the page: where the notes are. */
export function stateLine(state: SyncState): string {
  switch (state.kind) {
    case 'asking':
      return 'Kept here.';
    case 'together':
      return 'Kept here and on the server.';
    case 'sending':
      return `Kept here; ${state.left} on the way to the server.`;
    case 'taking':
      return `Taking in the book: ${inThousands(state.taken)} of ${inThousands(state.of)}.`;
    case 'away':
      return state.unsent === 0
        ? 'Kept here. The server is away.'
        : `Kept here; ${state.unsent} not yet on the server.`;
    case 'shutOut':
    case 'stopped':
      return state.sentence;
  }
}

/** "42 000": parted by a narrow space, as in a table. */
const inThousands = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, '\u202f');

interface SyncParts {
  readonly store: PageStore;
  /** Told of entries that came from the server, after they are durable here; `more` are on their way. */
  readonly onEntries: (entries: readonly Entry[], more: boolean) => Promise<void>;
  readonly onState: (state: SyncState, facts: ServerFacts | null) => void;
  /** Resolves when no note is being answered: notes go before what is taken in. */
  readonly whenFree?: () => Promise<void>;
  readonly fetcher?: typeof fetch;
}

/** The server asks for a token that this browser does not have: said in its own sentence. */
class ShutOut extends Error {}

export class Sync {
  #failures = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #running: Promise<void> | null = null;
  #again = false;
  #closed = false;
  readonly #fetch: typeof fetch;

  constructor(readonly parts: SyncParts) {
    this.#fetch = parts.fetcher ?? askServer;
    // Where there is no server there is nothing to keep the same.
    this.#closed = !hasServer;
  }

  /** Looks now; while a look is running, once more after it. */
  kick(): void {
    if (this.#closed) return;
    if (this.#running) {
      this.#again = true;
      return;
    }
    clearTimeout(this.#timer);
    this.#running = this.#run().finally(() => {
      this.#running = null;
      if (this.#again) {
        this.#again = false;
        this.kick();
      }
    });
  }

  close(): void {
    this.#closed = true;
    clearTimeout(this.#timer);
  }

  async #run(): Promise<void> {
    try {
      await this.once();
      this.#failures = 0;
      this.#wait(usualWaitMs);
    } catch (cause) {
      if (cause instanceof ShutOut) {
        this.parts.onState({ kind: 'shutOut', sentence: `Kept here. ${cause.message}` }, null);
        this.#wait(shutOutWait);
        return;
      }
      const progress = await this.parts.store.progress().catch(() => null);
      const unsent = await countUnsent(this.parts.store, progress?.pushed ?? 0).catch(() => 0);
      this.parts.onState({ kind: 'away', unsent }, null);
      this.#wait(waits[Math.min(this.#failures, waits.length - 1)]!);
      this.#failures++;
    }
  }

  #wait(milliseconds: number): void {
    if (!this.#closed) this.#timer = setTimeout(() => this.kick(), milliseconds);
  }

  /** One full exchange. Rejects when the server does not answer. */
  async once(): Promise<void> {
    const { store, onState } = this.parts;
    const raw = await this.#json('GET', endpoints.state.path);
    const protocol = z.object({ protocol: z.number() }).safeParse(raw);
    const state = endpoints.state.reply.safeParse(raw);
    if (!state.success || !protocol.success || protocol.data.protocol !== protocolVersion) {
      onState(
        {
          kind: 'stopped',
          sentence: 'Kept here. The server is of another version: reload the page when you can.',
        },
        null,
      );
      return;
    }
    const facts: ServerFacts = {
      hears: state.data.hears,
      deaf: state.data.deaf,
      book: state.data.book,
      now: state.data.now,
    };
    const known = await store.progress();
    // Another book on the server has none of what was sent to the one before.
    let progress: Progress =
      known?.server === state.data.device ? known : { server: state.data.device, pulled: 0, pushed: 0 };

    for (;;) {
      const { entries, cursor } = await store.unsent(progress.pushed, batch);
      if (cursor === progress.pushed) break;
      if (entries.length > 0) {
        onState({ kind: 'sending', left: await countUnsent(store, progress.pushed) }, facts);
        endpoints.push.reply.parse(await this.#json('POST', endpoints.push.path, { entries }));
      }
      progress = { ...progress, pushed: cursor };
      await store.setProgress(progress);
    }

    let untold = 0;
    let coming = this.#pull(progress.pulled);
    for (;;) {
      const reply = endpoints.entries.reply.parse(await coming);
      // The next are on their way while these are taken in.
      if (reply.more) coming = this.#pull(reply.cursor);
      const entries = reply.entries as Entry[];
      await this.parts.whenFree?.();
      if (entries.length > 0) untold += (await store.takeIn(entries)).added;
      if (reply.cursor !== progress.pulled) {
        progress = { ...progress, pulled: reply.cursor };
        await store.setProgress(progress);
      }
      if (untold > 0) await this.parts.onEntries(entries, reply.more);
      if (!reply.more) break;
      const of = Math.max(state.data.entries, reply.cursor);
      onState({ kind: 'taking', taken: reply.cursor, of }, facts);
      // The page draws and answers before the next.
      await new Promise((resolve) => setTimeout(resolve));
    }
    await store.setProgress(progress);
    onState({ kind: 'together' }, facts);
  }

  /** Entries after a cursor. That it failed is heard by whoever waits for it. */
  #pull(after: number): Promise<unknown> {
    const coming = this.#json('GET', `${endpoints.entries.path}?after=${after}&limit=${pullBatch}`);
    coming.catch(() => undefined);
    return coming;
  }

  async #json(method: 'GET' | 'POST', path: string, body?: unknown): Promise<unknown> {
    const response = await this.#fetch(path, {
      method,
      ...(body === undefined
        ? {}
        : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
      signal: AbortSignal.timeout(15_000),
    });
    if (response.status === 401) throw new ShutOut(refusalSchema.parse(await response.json()).refused);
    if (!response.ok) throw new Error(`${path}: ${response.status}`);
    return response.json();
  }
}

async function countUnsent(store: PageStore, pushed: number): Promise<number> {
  return (await store.unsent(pushed, 10_000)).entries.length;
}
