/** What the Book shows of each entry: the words, who and when, and what stands now because of it; found by a filter. */
import type { Book } from '../../shared/book/book.ts';
import { type DeviceId, type Entry, treeOfEntry } from '../../shared/note/journal.ts';
import type { Note } from '../../shared/note/note.ts';
import { standingOf } from './standing.ts';

export interface BookRow {
  readonly entry: Entry;
  readonly who: string;
  /** Number of the tree that it is about, null for none. */
  readonly tree: number | null;
  /** What is in the book now because of it; empty where it only asked or answered. */
  readonly stands: string;
  readonly state: 'stands' | 'taken back' | 'said' | 'waits for an answer';
  readonly doubted: boolean;
  readonly clip: string | null;
}

/** What the book is narrowed to; all of it where nothing is named. */
export interface BookFilter {
  /** Words that must each begin a word of what was said, of what stands, or of who said it. */
  readonly find?: string;
  /** Id of a plot. */
  readonly plot?: string;
  readonly species?: number;
  /** Only what is in doubt, or waits for an answer. */
  readonly doubt?: boolean;
  /** Number of a tree. */
  readonly tree?: number;
}

/**
 * The rows of a book that pass a filter, newest first, looked for a little at a time: through a large book it takes longer
 * than a key or a touch may wait.
 */
export class RowSearch {
  readonly rows: BookRow[] = [];
  readonly #doubted: ReadonlySet<string>;
  readonly #wanted: readonly string[];
  #left: number;

  constructor(
    readonly book: Book,
    readonly device: DeviceId,
    readonly filter: BookFilter,
    /** Who spoke, by entry: `speakersOf`. */
    readonly speakers: ReadonlyMap<string, string>,
  ) {
    this.#doubted = new Set(book.doubts.filter((one) => one.state === 'open').map((one) => one.entry));
    this.#wanted = wordsOf(filter.find ?? '');
    this.#left = book.entries.length;
  }

  /** `limit` rows are there, or all that there are. */
  isDone(limit: number): boolean {
    return this.#left === 0 || this.rows.length >= limit;
  }

  /** Looks on until it is done, or until `isEnough`, which is asked after every few entries. */
  lookOn(limit: number, isEnough: () => boolean): void {
    while (!this.isDone(limit)) {
      const entry = this.book.entries.at(--this.#left);
      const row = entry === undefined ? null : this.#rowOf(entry);
      if (row !== null) this.rows.push(row);
      if (this.#left % askedEvery === 0 && isEnough()) return;
    }
  }

  /** Null where it does not pass. */
  #rowOf(entry: Entry): BookRow | null {
    const { book, device, filter, speakers } = this;
    if (!mayPass(book, entry, filter)) return null;
    const row = rowOf(book, device, entry, { doubted: this.#doubted, speakers });
    if (filter.doubt && !row.doubted && row.state !== 'waits for an answer') return null;
    if (this.#wanted.length === 0) return row;
    const text = ` ${wordsOf(`${entry.words} ${row.stands} ${row.who}`).join(' ')}`;
    return this.#wanted.every((word) => text.includes(` ${word}`)) ? row : null;
  }
}

/** Entries after which a search asks whether it has looked long enough. */
const askedEvery = 16;

const wordsOf = (text: string): string[] => text.toLowerCase().match(/[a-z0-9.]+/g) ?? [];

/** The part of the filter that needs no wording. */
function mayPass(book: Book, entry: Entry, { plot, species, tree: number }: BookFilter): boolean {
  if (plot === undefined && species === undefined && number === undefined) return true;
  const tree = book.tree(treeOfEntry(entry));
  if (number !== undefined && tree?.number !== number) return false;
  if (species !== undefined && tree?.species !== species) return false;
  return plot === undefined || tree?.plot === plot || plotOf(entry) === plot;
}

function plotOf(entry: Entry): string | null {
  for (const act of entry.acts) {
    if (act.act === 'plot') return act.id;
    if (act.act === 'plotAmend') return act.target;
  }
  return null;
}

function rowOf(
  book: Book,
  device: DeviceId,
  entry: Entry,
  known: { readonly doubted: ReadonlySet<string>; readonly speakers: ReadonlyMap<string, string> },
): BookRow {
  const gone = book.isRetracted(entry.id);
  const waits = book.openQuestion(entry.id) !== undefined && book.openQuestion(entry.id) !== null;
  const did = entry.acts.some(
    (act) => act.act !== 'settle' && act.act !== 'retract' && act.act !== 'restore',
  );
  return {
    entry,
    who:
      known.speakers.get(entry.id) ?? (entry.device === device ? 'here' : `device ${entry.device.slice(-4)}`),
    tree: book.tree(treeOfEntry(entry))?.number ?? null,
    stands: gone ? '' : standingOf(book, entry, device) || (did || waits ? '' : sayingOf(entry.note)),
    state: gone ? 'taken back' : waits ? 'waits for an answer' : did ? 'stands' : 'said',
    doubted: known.doubted.has(entry.id),
    clip: entry.heard?.clip ?? null,
  };
}

/** Who spoke, by entry, as far as people named themselves on their devices. */
export function speakersOf(book: Book): ReadonlyMap<string, string> {
  const people = new Map<string, string>();
  const speakers = new Map<string, string>();
  for (const entry of book.entries) {
    for (const act of entry.acts)
      if (act.act === 'setting' && act.set.what === 'person' && !book.isRetracted(entry.id))
        people.set(entry.device, act.set.name);
    const who = entry.person ?? people.get(entry.device);
    if (who !== undefined) speakers.set(entry.id, who);
  }
  return speakers;
}

/** What an entry was that changed nothing in the book. */
function sayingOf(note: Note): string {
  switch (note.kind) {
    case 'ask':
      return 'A question.';
    case 'control':
      return 'To the voice.';
    case 'next':
      return 'The next tree.';
    case 'hand':
      return 'A tree in hand again.';
    case 'scratch':
    case 'undo':
      return 'Took something back.';
    case 'restore':
      return 'Put something back.';
    default:
      return 'An answer.';
  }
}
