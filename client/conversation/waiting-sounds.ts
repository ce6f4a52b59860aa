/** Sounds that were said while there was no ear: kept in the browser, heard in their order when there is one. */
import { type ClipResult, isDeaf } from '../../grammar/decoding/clip-result.ts';
import type { PageStore, WaitingSound } from '../journal/indexeddb.ts';
import type { PageHearing, Pcm } from './ear.ts';

interface WaitingSoundsParts {
  readonly store: Pick<PageStore, 'keepWaiting' | 'waiting' | 'dropWaiting'>;
  readonly ear: PageHearing;
  /** Whether a note with this sound is in the book already. */
  readonly isAnswered: (ref: string) => boolean;
  /** A sound was heard at last; the line that it had in the conversation, null where it had none. */
  readonly answer: (sound: WaitingSound, lineKey: string | null, heard: ClipResult) => Promise<void>;
  /** No sound waits any more. */
  readonly onEmpty: () => void;
}

export class WaitingSounds {
  /** By reference, the key of the line that says that it waits. */
  readonly #lines = new Map<string, string | null>();
  #hearing = false;

  constructor(private readonly parts: WaitingSoundsParts) {}

  get count(): number {
    return this.#lines.size;
  }

  /** Finds what was kept before the page was closed. */
  async load(): Promise<void> {
    for (const { ref } of await this.parts.store.waiting()) this.#lines.set(ref, null);
  }

  /** Keeps a sound; false when the browser has no room for it. */
  async keep(ref: string, pcm: Pcm, said: { readonly time: number; readonly free?: true }): Promise<boolean> {
    try {
      await this.parts.store.keepWaiting({ ref, pcm: pcm.buffer, ...said });
    } catch {
      return false;
    }
    this.#lines.set(ref, null);
    return true;
  }

  /** Names the line of the conversation that a kept sound belongs to. */
  showAs(ref: string, lineKey: string): void {
    if (this.#lines.has(ref)) this.#lines.set(ref, lineKey);
  }

  /** Hears what waits, in its order, as far as there is an ear now. A second call while one runs does nothing. */
  async hear(): Promise<void> {
    if (this.#hearing) return;
    this.#hearing = true;
    try {
      for (const sound of await this.parts.store.waiting()) {
        const heard = await this.parts.ear.hear(new Int16Array(sound.pcm));
        if (!heard.ok && isDeaf(heard.error)) return;
        // The page may have been closed after the note was kept and before its sound was let go. What was said without
        // a button and is no note is not worth a word.
        const worthAWord = heard.ok || !sound.free;
        if (worthAWord && !this.parts.isAnswered(sound.ref))
          await this.parts.answer(sound, this.#lines.get(sound.ref) ?? null, heard);
        await this.parts.store.dropWaiting(sound.ref);
        this.#lines.delete(sound.ref);
      }
      this.parts.onEmpty();
    } finally {
      this.#hearing = false;
    }
  }
}
