/**
 * Several notes in one breath: every way to read the words as notes one after another, the best first. Fewest notes
 * win, then what is best of one note alone: what was meant as one is never cut in two.
 */
import { required } from '../../shared/core/required.ts';
import { mostNotes, type Note, type Notes } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { mayFollow } from '../automaton/note-sequence.ts';

/** One note among the words, `from` to `to` (exclusive). */
export interface NoteFound {
  readonly note: Note;
  readonly rank: number;
  readonly from: number;
  readonly to: number;
}

/** What speaks against a reading, the weightiest first. All are counts below 1 000. */
interface Against {
  /** Commas inside names: "stand mill lot, plot one" is no stand of that long name. */
  readonly names: number;
  /** Commas inside numbers and free words: "forty, seven" is two numbers. */
  readonly crossed: number;
  /** Commas inside phrases. */
  readonly inPhrase: number;
  readonly free: number;
  /** "Forty seven" is one number, not a forty and a seven. */
  readonly numbers: number;
}

const each = 1000;
const perNote = each ** 4;
/** More notes than a breath can have before one comma in a name. */
const perName = 16 * perNote;

/** One number for a note: the sum over the notes of a breath is the rank of the breath; less is meant. */
export const rankOf = ({ names, crossed, inPhrase, free, numbers }: Against): number =>
  names * perName + perNote + ((crossed * each + inPhrase) * each + free) * each + numbers;

/** Commas inside names in a reading of this rank. */
export const namesCrossed = ({ rank }: Pick<NoteFound, 'rank'>): number => Math.floor(rank / perName);

/** The best ways to a place: their rank, and the notes that can stand last. */
interface Way {
  rank: number;
  notes: number;
  last: NoteFound[];
}

/** The notes found from each place on; they must be added in the order of their beginnings. */
export class Breath {
  /** By place. */
  private readonly ways: (Way | undefined)[];
  private last = 0;

  /** Of so many words. */
  constructor(words: number) {
    this.ways = new Array<Way | undefined>(words + 1).fill(undefined);
    this.ways[0] = { rank: 0, notes: 0, last: [] };
  }

  /** True when there were notes one behind the other that do not follow one another. */
  parted = false;

  /** True when the words up to here are notes, with room for one more. */
  reaches(at: number): boolean {
    const way = this.ways[at];
    return way !== undefined && way.notes < mostNotes;
  }

  /** The last place up to which all words are notes. */
  get furthest(): number {
    return this.last;
  }

  best(at: number): { readonly rank: number } | undefined {
    return this.ways[at];
  }

  /**
   * Equally good readings of the same words as one note, behind the notes before them. `bare`: only "and" stands
   * before them.
   */
  add(readings: readonly NoteFound[], bare = false): void {
    const before = readings[0] && this.ways[readings[0].from];
    const found = readings.filter(
      ({ note }) => before?.last.every((last) => mayFollow(last.note, note, bare)) ?? false,
    );
    const [first] = found;
    if (first === undefined || before === undefined) {
      this.parted = true;
      return;
    }
    const rank = before.rank + first.rank;
    const way = this.ways[first.to];
    if (first.to > this.last) this.last = first.to;
    if (way === undefined || rank < way.rank)
      this.ways[first.to] = { rank, notes: before.notes + 1, last: [...found] };
    else if (rank === way.rank) way.last.push(...found);
  }

  /** The best ways to read the words up to a place as notes, each meaning once, at most so many. */
  readings(at: number, most: number): Notes[] {
    const only = this.onlyOne(at);
    if (only !== undefined) return [asNotes(only)];
    const found = new Map<string, Notes>();
    for (const way of this.endingAt(at)) {
      const notes = asNotes(way);
      const key = notesKey(notes);
      if (!found.has(key)) found.set(key, notes);
      if (found.size === most) break;
    }
    return [...found.values()];
  }

  /** The notes up to a place, where they can be one thing only. */
  private onlyOne(at: number): NoteFound[] | undefined {
    const notes: NoteFound[] = [];
    for (let place = at; place > 0; place = notes[0]!.from) {
      const last = this.ways[place]?.last;
      if (last?.length !== 1) return undefined;
      notes.unshift(last[0]!);
    }
    return notes;
  }

  private *endingAt(at: number): Generator<NoteFound[]> {
    if (at === 0) {
      yield [];
      return;
    }
    for (const last of this.ways[at]?.last ?? [])
      for (const before of this.endingAt(last.from)) yield [...before, last];
  }
}

function asNotes(found: readonly NoteFound[]): Notes {
  const [first, ...others] = found;
  return [required(first, 'a note').note, ...others.map(({ note }) => note)];
}
