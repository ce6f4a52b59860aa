/**
 * The book in the browser: a Journal on IndexedDB, and beside it what belongs to this page alone: the replies as they
 * were given, clips, sounds that wait to be heard, and how far the server has everything.
 */
import { type DBSchema, type IDBPDatabase, openDB, unwrap } from 'idb';
import type { Told } from '../../shared/dialogue/types.ts';
import { type DeviceId, deviceId, type Entry, fitting, type Journal } from '../../shared/note/journal.ts';

/** Raised when the stores below change; older books are taken over in `upgrade`. */
const layout = 1;

interface Row {
  /** Order of receipt: the journal's cursor. Given by the database. */
  readonly at?: number;
  readonly id: string;
  readonly entry: Entry;
  /** Came from the server: need not be sent there. */
  readonly pulled: boolean;
}

/** A reply as it was given, so that the conversation is there again after a reload. */
interface Given {
  readonly entry: string;
  readonly told: Told;
}

/** A sound for which there was no ear yet. */
export interface WaitingSound {
  readonly ref: string;
  readonly pcm: ArrayBuffer;
  readonly time: number;
  /** Cut while nobody pressed anything: it may be no note at all. */
  readonly free?: boolean;
}

/** How far the server and this page have each other's entries. */
export interface Progress {
  /** The server's own device id: another one is another book. */
  readonly server: string;
  /** The server's cursor up to which entries were taken in. */
  readonly pulled: number;
  /** The own cursor up to which entries were sent. */
  readonly pushed: number;
}

interface Shape extends DBSchema {
  entries: { key: number; value: Row; indexes: { id: string } };
  given: { key: string; value: Given };
  clips: { key: string; value: { readonly ref: string; readonly pcm: ArrayBuffer } };
  waiting: { key: string; value: WaitingSound };
  meta: { key: string; value: unknown };
}

/** What may happen to the book of a browser while the page is open. */
interface StoreEvents {
  /** Another tab with a newer program needs this one to let go. */
  readonly onOlder?: () => void;
  /** The browser has cleared it. It is there again, and empty: what the page still holds should be written anew. */
  readonly onCleared?: () => Promise<void>;
}

export class PageStore implements Journal {
  private constructor(
    private db: IDBPDatabase<Shape>,
    private readonly name: string,
    private readonly events: StoreEvents,
  ) {}

  /** Opens the book of this browser, or makes it. Rejects with a sentence when the browser keeps nothing here. */
  static async open(name = 'stemsay', events: StoreEvents = {}): Promise<PageStore> {
    try {
      const made: { store?: PageStore } = {};
      const db = await PageStore.#connect(name, events, () => void made.store?.again());
      made.store = new PageStore(db, name, events);
      return made.store;
    } catch (cause) {
      const why = cause instanceof Error ? cause.message : String(cause);
      throw new Error(
        `This browser keeps nothing for this page, as in a private window or with storage blocked (${why}). Open it in an ordinary window, so that no note is lost.`,
      );
    }
  }

  /** After the browser has cleared everything: a new, empty book in its place. */
  private async again(): Promise<void> {
    // While the browser is still clearing, it refuses to open.
    for (let tries = 0; tries < 20; tries++) {
      try {
        this.db = await PageStore.#connect(this.name, this.events, () => void this.again());
        break;
      } catch {
        await new Promise((resolve) => setTimeout(resolve, 250));
      }
    }
    await this.events.onCleared?.();
  }

  static async #connect(
    name: string,
    { onOlder }: StoreEvents,
    onCleared: () => void,
  ): Promise<IDBPDatabase<Shape>> {
    const db = await openDB<Shape>(name, layout, {
      upgrade(made) {
        const entries = made.createObjectStore('entries', { keyPath: 'at', autoIncrement: true });
        entries.createIndex('id', 'id', { unique: true });
        made.createObjectStore('given', { keyPath: 'entry' });
        made.createObjectStore('clips', { keyPath: 'ref' });
        made.createObjectStore('waiting', { keyPath: 'ref' });
        made.createObjectStore('meta');
      },
      blocking() {
        db.close();
        onOlder?.();
      },
      terminated: onCleared,
    });
    return db;
  }

  async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    // All or none: one entry that does not belong in a book (a NaN) refuses the whole batch.
    return this.#add(fitting(entries));
  }

  /**
   * Adds entries that came from the server, and were read as such: there they are durable already. A book comes by the
   * ten thousand, so what is there already is left to the index to refuse, and no promise is made for each.
   */
  takeIn(entries: readonly Entry[]): Promise<{ added: number }> {
    return new Promise((resolve, reject) => {
      const tx = unwrap(this.db).transaction('entries', 'readwrite', { durability: 'relaxed' });
      const rows = tx.objectStore('entries');
      let added = 0;
      tx.oncomplete = () => resolve({ added });
      tx.onabort = () => reject(tx.error ?? new DOMException('It was aborted.', 'AbortError'));
      try {
        for (const entry of entries) {
          const adding = rows.add({ id: entry.id, entry, pulled: true } satisfies Row);
          adding.onsuccess = () => {
            added++;
          };
          adding.onerror = (event) => {
            if (adding.error?.name !== 'ConstraintError') return;
            event.preventDefault();
            event.stopPropagation();
          };
        }
      } catch (cause) {
        reject(cause);
        tx.abort();
      }
    });
  }

  async #add(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    // Strict: resolved only when it is on the disk, not in a cache that a dead battery forgets.
    const tx = this.db.transaction('entries', 'readwrite', { durability: 'strict' });
    try {
      const byId = tx.store.index('id');
      const known = await Promise.all(entries.map(({ id }) => byId.getKey(id)));
      const fresh = new Map<string, Entry>();
      for (const [at, entry] of entries.entries())
        if (known[at] === undefined && !fresh.has(entry.id)) fresh.set(entry.id, entry);
      await Promise.all(
        [...fresh.values()].map(async (entry) => tx.store.add({ id: entry.id, entry, pulled: false })),
      );
      const added = fresh.size;
      const last = await tx.store.openKeyCursor(null, 'prev');
      const cursor = last?.key ?? 0;
      await tx.done;
      return { added, cursor };
    } catch (cause) {
      try {
        tx.abort();
      } catch {
        // Aborted by the database already.
      }
      await tx.done.catch(() => undefined);
      throw cause;
    }
  }

  async since(
    cursor: number,
    limit = Number.POSITIVE_INFINITY,
  ): Promise<{ entries: Entry[]; cursor: number }> {
    const rows = await this.#rows(cursor, limit);
    return { entries: rows.map((row) => row.entry), cursor: rows.at(-1)?.at ?? cursor };
  }

  /** Entries after the cursor that the server did not send itself. */
  async unsent(cursor: number, limit: number): Promise<{ entries: Entry[]; cursor: number }> {
    const rows = await this.#rows(cursor, limit);
    return {
      entries: rows.filter((row) => !row.pulled).map((row) => row.entry),
      cursor: rows.at(-1)?.at ?? cursor,
    };
  }

  #rows(cursor: number, limit: number): Promise<Row[]> {
    return this.db.getAll(
      'entries',
      IDBKeyRange.lowerBound(cursor, true),
      Number.isFinite(limit) ? limit : undefined,
    );
  }

  async give(told: Told): Promise<void> {
    if (told.entry) await this.db.put('given', { entry: told.entry.id, told });
  }

  async given(entry: string): Promise<Told | null> {
    return (await this.db.get('given', entry))?.told ?? null;
  }

  async keepClip(ref: string, pcm: Int16Array<ArrayBuffer>): Promise<void> {
    await this.db.put('clips', { ref, pcm: pcm.buffer });
  }

  /** Samples of a clip: 16 kHz, signed 16 bits, mono; null when it is not here. */
  async clip(ref: string): Promise<Int16Array | null> {
    const found = await this.db.get('clips', ref);
    return found ? new Int16Array(found.pcm) : null;
  }

  async dropClip(ref: string): Promise<void> {
    await this.db.delete('clips', ref);
  }

  clipCount(): Promise<number> {
    return this.db.count('clips');
  }

  /** Deletes every clip, and nothing of the entries; gives how many there were. */
  async dropAllClips(): Promise<number> {
    const tx = this.db.transaction('clips', 'readwrite', { durability: 'strict' });
    const count = await tx.store.count();
    await tx.store.clear();
    await tx.done;
    return count;
  }

  async keepWaiting(sound: WaitingSound): Promise<void> {
    await this.db.put('waiting', sound);
  }

  waiting(): Promise<WaitingSound[]> {
    return this.db.getAll('waiting');
  }

  async dropWaiting(ref: string): Promise<void> {
    await this.db.delete('waiting', ref);
  }

  /** The name under which this browser's entries go; made at the first call. */
  async device(fresh: () => string): Promise<DeviceId> {
    const tx = this.db.transaction('meta', 'readwrite');
    let device = (await tx.store.get('device')) as string | undefined;
    if (device === undefined) {
      device = fresh();
      await tx.store.put(device, 'device');
    }
    await tx.done;
    return deviceId(device);
  }

  /** What is known of a speaker on this device, and nowhere else; null: nothing. */
  async personal<T>(speaker: string): Promise<T | null> {
    return ((await this.db.get('meta', `voice:${speaker}`)) as T | undefined) ?? null;
  }

  /** Null deletes it. */
  async setPersonal(speaker: string, known: unknown): Promise<void> {
    const key = `voice:${speaker}`;
    await (known === null ? this.db.delete('meta', key) : this.db.put('meta', known, key));
  }

  async progress(): Promise<Progress | null> {
    return ((await this.db.get('meta', 'progress')) as Progress | undefined) ?? null;
  }

  async setProgress(progress: Progress): Promise<void> {
    await this.db.put('meta', progress, 'progress');
  }

  async close(): Promise<void> {
    this.db.close();
  }
}
