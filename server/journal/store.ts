/** Where a book is kept, whatever keeps it: the journal with the sounds beside it, and what may go wrong. */
import type { DeviceId, Entry, Journal } from '../../shared/note/journal.ts';

export interface StoreProblem {
  readonly kind:
    | 'missing'
    | 'notOurs'
    | 'newer'
    | 'older'
    | 'locked'
    | 'unwritable'
    | 'damaged'
    | 'full'
    | 'moved'
    /** It may have been kept: the answer to the commit was lost. */
    | 'unsure';
  /** What was expected, what was found, where, and what to do. */
  readonly sentence: string;
}

/** A store that fails after it was opened: the disk is full or gone, or a row is damaged. */
export class StoreError extends Error {
  readonly kind: StoreProblem['kind'];

  constructor(problem: StoreProblem, cause?: unknown) {
    super(problem.sentence, { cause });
    this.name = 'StoreError';
    this.kind = problem.kind;
  }
}

/** A journal that also keeps the sound of what was said. */
export interface Store extends Journal {
  /** The file that it is in, which others may read beside it; missing where it is in none. */
  readonly path?: string;
  /** What the entries of this program in this book are signed with. */
  readonly device: DeviceId;
  /** Whether other programs may append at the same time: then a reader looks for news before it answers. */
  readonly shared: boolean;
  /** Keeps a clip in memory until the entry that names it is appended; both become durable together. */
  stageClip(ref: string, wav: Uint8Array): void;
  /** Forgets a clip whose words came to nothing. */
  dropClip(ref: string): void;
  /** Rows that are kept but that this program's limits leave out, by cursor, with what is wrong; as far as was read. */
  readonly aside: ReadonlyMap<number, string>;
  clip(ref: string): Promise<Uint8Array | null>;
  /** How many sounds are kept, and their bytes. */
  clipSizes(): Promise<{ count: number; bytes: number }>;
  /** Deletes every sound for good, and nothing of the entries; gives how many there were. */
  deleteClips(): Promise<number>;
}

/** A store that can be looked through from outside. */
export interface KeptStore extends Store {
  rows(): Iterable<CheckedRow> | AsyncIterable<CheckedRow>;
  /** What is wrong with the whole that no row shows; empty when nothing is. */
  integrity(): readonly string[] | Promise<readonly string[]>;
}

/** A row as `check` sees it: an unreadable one is reported, not thrown. */
export interface CheckedRow {
  readonly cursor: number;
  readonly entry: Entry | null;
  readonly problem: string | null;
}
