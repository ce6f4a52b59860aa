/**
 * The word lattice that a search leaves behind: at each place (frame or column) and automaton state, the words that
 * arrived there. Its paths come out best first, each as arcs of the automaton. Speech search and tolerant reader
 * share it.
 */
import { required } from '../../shared/core/required.ts';

/** A word of a path. */
export interface PathWord {
  readonly arc: number;
  /** Index into the graph's spelling. */
  readonly word: number;
  /** Graph node at which the word ended, -1 when it was found by its letters or left out by the speaker. */
  readonly node: number;
  /** Place where the word was entered and where it ended, gaps behind it included. */
  readonly from: number;
  readonly to: number;
}

/** Where a note of a path ends. */
export interface NoteEnd {
  /** So many words stand before it. */
  readonly words: number;
  /** Index into tagSequences. */
  readonly final: number;
  /** The place. */
  readonly at: number;
}

export interface LatticePath {
  /** Words of the notes; those that belong to none of them are only in `said`. */
  readonly words: readonly PathWord[];
  readonly said: readonly PathWord[];
  /** At least one: the end of the last note. */
  readonly ends: readonly NoteEnd[];
  readonly score: number;
}

/** The same numbers with room for more. */
export const grown = <T extends Int32Array | Float64Array>(old: T, room: number): T => {
  const larger = new (old.constructor as new (n: number) => T)(room);
  larger.set(old);
  return larger;
};

/** In place of an arc: something was said or typed here that belongs to no word of the note. */
export const skipped = -2;

/** In place of an arc, added to the tags of an end: a note ended here, and the next one begins. More than any arc. */
export const closing = 1 << 20;

/** Ends a list of edges; also the record before the start. */
const none = -1;

/** Places at which the same words are looked at again. */
const mostPlaces = 3;

/** A path from some record to the end, waiting to be extended towards the start. */
interface Suffix {
  /** Score of the best whole path through here. */
  readonly total: number;
  readonly record: number;
  /** Score of the part behind the record. */
  readonly rest: number;
  /** First phone of the word that follows; 0 when any word end may come before it. */
  readonly firstPhone: number;
  /** Number of this sequence of words. */
  readonly sequence: number;
  /** How much was skipped in it: a pause that was filled is another place, not the same one again. */
  readonly skips: number;
  readonly edge: number;
  readonly next: Suffix | undefined;
  readonly final: number;
}

export class Lattice {
  private records = 0;
  private edges = 0;
  private recordState = new Int32Array(1024);
  private recordTime = new Int32Array(1024);
  private recordEdge = new Int32Array(1024);
  private edgeArc = new Int32Array(1024);
  private edgeWord = new Int32Array(1024);
  private edgeNode = new Int32Array(1024);
  /** First phone of the edge's word, and the phone it ended in when no blank has followed it (else 0). */
  private edgeFirst = new Int32Array(1024);
  private edgeLast = new Int32Array(1024);
  private edgeFrom = new Int32Array(1024);
  private edgeNext = new Int32Array(1024);
  private edgeScore = new Float64Array(1024);

  clear(): void {
    this.records = 0;
    this.edges = 0;
  }

  /** A new place: words that arrive in `state` at `time`. */
  addRecord(state: number, time: number): number {
    if (this.records === this.recordState.length) {
      const room = 2 * this.records;
      this.recordState = grown(this.recordState, room);
      this.recordTime = grown(this.recordTime, room);
      this.recordEdge = grown(this.recordEdge, room);
    }
    const record = this.records++;
    this.recordState[record] = state;
    this.recordTime[record] = time;
    this.recordEdge[record] = none;
    return record;
  }

  /**
   * A word that arrives at a record, entered from another (`none` = -1 at the start of the sentence). `score` is
   * that of the best whole path up to here through this word.
   */
  addEdge(
    record: number,
    score: number,
    from: number,
    arc: number,
    word: number,
    node: number,
    firstPhone: number,
    lastPhone: number,
  ): void {
    if (this.edges === this.edgeArc.length) {
      const room = 2 * this.edges;
      this.edgeArc = grown(this.edgeArc, room);
      this.edgeWord = grown(this.edgeWord, room);
      this.edgeNode = grown(this.edgeNode, room);
      this.edgeFirst = grown(this.edgeFirst, room);
      this.edgeLast = grown(this.edgeLast, room);
      this.edgeFrom = grown(this.edgeFrom, room);
      this.edgeNext = grown(this.edgeNext, room);
      this.edgeScore = grown(this.edgeScore, room);
    }
    const edge = this.edges++;
    this.edgeArc[edge] = arc;
    this.edgeWord[edge] = word;
    this.edgeNode[edge] = node;
    this.edgeFirst[edge] = firstPhone;
    this.edgeLast[edge] = lastPhone;
    this.edgeFrom[edge] = from;
    this.edgeScore[edge] = score;
    this.edgeNext[edge] = this.recordEdge[record]!;
    this.recordEdge[record] = edge;
  }

  stateOf(record: number): number {
    return this.recordState[record]!;
  }

  timeOf(record: number): number {
    return this.recordTime[record]!;
  }

  get size(): number {
    return this.edges;
  }

  /** Score with which a word beginning with `firstPhone` leaves the record: no phone repeats without a blank. */
  entry(record: number, firstPhone: number): number {
    let best = Number.NEGATIVE_INFINITY;
    for (let edge = this.recordEdge[record]!; edge !== none; edge = this.edgeNext[edge]!) {
      const last = this.edgeLast[edge]!;
      if ((last === 0 || last !== firstPhone) && this.edgeScore[edge]! > best) best = this.edgeScore[edge]!;
    }
    return best;
  }

  /**
   * The words of the best path into a record, followed back from a word that begins with `firstPhone` (0: any), and
   * the ends of the notes before the one in hand.
   */
  bestInto(record: number, firstPhone: number): Pick<LatticePath, 'words' | 'ends'> {
    const words: PathWord[] = [];
    /** Ends with the number of words behind them. */
    const ends: NoteEnd[] = [];
    let at = record;
    let first = firstPhone;
    while (at !== none) {
      let best = none;
      for (let edge = this.recordEdge[at]!; edge !== none; edge = this.edgeNext[edge]!)
        if (
          (this.edgeLast[edge] === 0 || this.edgeLast[edge] !== first) &&
          (best === none || this.edgeScore[edge]! > this.edgeScore[best]!)
        )
          best = edge;
      if (best === none) break;
      const from = this.edgeFrom[best]!;
      if (from === none) break;
      const arc = this.edgeArc[best]!;
      if (arc >= closing)
        ends.unshift({ words: words.length, final: arc - closing, at: this.recordTime[at]! });
      else if (arc !== skipped) words.unshift(this.wordOf(best, at));
      first = this.edgeFirst[best]!;
      at = from;
    }
    return { words, ends: ends.map((end) => ({ ...end, words: words.length - end.words })) };
  }

  private wordOf(edge: number, record: number): PathWord {
    return {
      arc: this.edgeArc[edge]!,
      word: this.edgeWord[edge]!,
      node: this.edgeNode[edge]!,
      from: this.recordTime[this.edgeFrom[edge]!]!,
      to: this.recordTime[record]!,
    };
  }

  /**
   * Paths that end in one of `ends`, best first, each sequence of words once. Scores are exact for the lattice: the
   * score of every record is already that of its best beginning, so the search backwards never goes astray. Paths
   * more than `depth` worse than the best are left out; after `most` steps it ends in any case. An end's cost, nats, is
   * paid by all paths that end there.
   */
  *paths(
    ends: Iterable<{ readonly record: number; readonly final: number; readonly cost?: number }>,
    depth = Number.POSITIVE_INFINITY,
    most = 20_000,
  ): Generator<LatticePath> {
    const heap: Suffix[] = [];
    const numbers = new Map<number, number>();
    const visits = new Map<number, number>();
    const sequenceAfter = (sequence: number, symbol: number): number => {
      const key = sequence * 2 ** 36 + symbol;
      let number = numbers.get(key);
      if (number === undefined) {
        number = numbers.size + 1;
        numbers.set(key, number);
      }
      return number;
    };
    for (const { record, final, cost = 0 } of ends) {
      const total = this.entry(record, 0) - cost;
      if (total > Number.NEGATIVE_INFINITY)
        push(heap, {
          total,
          record,
          rest: -cost,
          firstPhone: 0,
          sequence: sequenceAfter(0, final),
          skips: 0,
          edge: none,
          next: undefined,
          final,
        });
    }
    const floor = (heap[0]?.total ?? 0) - depth;
    for (let step = 0; heap.length > 0 && step < most; step++) {
      const suffix = pop(heap);
      if (suffix.record === none) {
        // The best beginning of a sequence comes first; others differ in what they skip.
        if (visits.get(-suffix.sequence) !== undefined) continue;
        visits.set(-suffix.sequence, 1);
        yield this.pathOf(suffix);
        continue;
      }
      // The same words may wait at several places; a few are enough, the best comes first.
      const waiting = suffix.sequence * 8 + Math.min(suffix.skips, 7);
      const visited = visits.get(waiting) ?? 0;
      if (visited >= mostPlaces) continue;
      visits.set(waiting, visited + 1);
      for (let edge = this.recordEdge[suffix.record]!; edge !== none; edge = this.edgeNext[edge]!) {
        const last = this.edgeLast[edge]!;
        if (last !== 0 && last === suffix.firstPhone) continue;
        const from = this.edgeFrom[edge]!;
        const total = this.edgeScore[edge]! + suffix.rest;
        if (total < floor) continue;
        if (from === none) {
          push(heap, { ...suffix, total, record: none, edge: none, next: suffix });
          continue;
        }
        const firstPhone = this.edgeFirst[edge]!;
        push(heap, {
          total,
          record: from,
          rest: total - this.entry(from, firstPhone),
          firstPhone,
          sequence:
            this.edgeArc[edge] === skipped
              ? suffix.sequence
              : sequenceAfter(suffix.sequence, this.edgeArc[edge]! * 16384 + this.edgeWord[edge]! + 1),
          skips: suffix.skips + (this.edgeArc[edge] === skipped ? 1 : 0),
          edge,
          next: suffix,
          final: suffix.final,
        });
      }
    }
  }

  private pathOf(start: Suffix): LatticePath {
    const said: PathWord[] = [];
    const words: PathWord[] = [];
    const ends: NoteEnd[] = [];
    let last = 0;
    for (let at = start.next; at?.next !== undefined; at = at.next) {
      const { record } = at.next;
      const arc = this.edgeArc[at.edge]!;
      last = this.recordTime[record]!;
      if (arc >= closing) {
        ends.push({ words: words.length, final: arc - closing, at: last });
        continue;
      }
      const word = this.wordOf(at.edge, record);
      said.push(word);
      if (arc !== skipped) words.push(word);
    }
    ends.push({ words: words.length, final: start.final, at: last });
    return { words, said, ends, score: start.total };
  }
}

/** Better ones first; among equals those nearer to the start, whose records are older. */
const before = (a: Suffix, b: Suffix): boolean =>
  a.total > b.total || (a.total === b.total && a.record < b.record);

function push(heap: Suffix[], item: Suffix): void {
  let at = heap.length;
  heap.push(item);
  while (at > 0) {
    const up = (at - 1) >> 1;
    if (!before(item, heap[up]!)) break;
    heap[at] = heap[up]!;
    at = up;
  }
  heap[at] = item;
}

function pop(heap: Suffix[]): Suffix {
  const top = heap[0]!;
  const item = required(heap.pop(), 'the top of the heap');
  if (heap.length === 0) return top;
  let at = 0;
  for (;;) {
    let down = 2 * at + 1;
    if (down >= heap.length) break;
    if (down + 1 < heap.length && before(heap[down + 1]!, heap[down]!)) down++;
    if (!before(heap[down]!, item)) break;
    heap[at] = heap[down]!;
    at = down;
  }
  heap[at] = item;
  return top;
}
