/**
 * The tolerant reader: what a sentence that is not word for word in the grammar was probably meant to be. The whole
 * sentence is sounded out and aligned with the phone graph, so that homophones, split and merged words, slips of the
 * tongue, misspellings, fillers and one word too many or too few are all one search. Readings come best first by
 * meaning, with posteriors; `decide` says whether to keep the best, ask, or refuse.
 */
import { mostNotes, type Notes } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { closing, Lattice, type LatticePath, skipped } from '../automaton/lattice.ts';
import { Meaning, notesOf } from '../automaton/meaning.ts';
import { isSequence } from '../automaton/note-sequence.ts';
import { deletion, insertion, substitution } from '../pronunciation/phone-confusion.ts';
import { fillerCost, firstArc, type PhoneGraph } from '../pronunciation/phone-graph.ts';
import { never, TolerantColumn } from './columns.ts';
import { decisionLimits, editCosts } from './edit-costs.ts';
import { type EditEvidence, editEvidenceOf } from './edit-evidence.ts';
import type { Reading } from './reading.ts';
import { freeCost, type InputEdge, numberWords, saysNumber, type Typed, typedInput } from './typed-input.ts';

/** A reading with the word that it supposes was not said. */
export interface TolerantReading extends Reading {
  /**
   * Absent unless a word was left out: how many written words stand before it, what it would be (the automaton's word 0: a name),
   * and whether the note's values depend on it, so that it must be asked for.
   */
  readonly missing?: { readonly at: number; readonly word: string; readonly valued: boolean };
  /** What it takes liberties with; of the best reading of written words only. */
  readonly evidence?: EditEvidence;
}

interface TolerantOptions {
  /** Words that mean nothing ("uh"). */
  readonly fillers?: readonly string[];
  /** Readings wanted, at most. */
  readonly readings?: number;
  /** Paths this much worse (nats) than the best are given up. */
  readonly beam?: number;
}

const count = 40;
/** Mends up to this cost are found with the narrow search; worse ones are looked for more widely. */
const narrow = { beam: 7, enough: 1.2 };
const wide = 12.5;

/** One reader over one graph, reusable. Example: `new TolerantReader(graph).read('ateen paces')`. */
export class TolerantReader {
  private readonly meaning: Meaning;
  private readonly lattice = new Lattice();
  private readonly columns: TolerantColumn[] = [];
  /** Where a place's token may lie in the column at work; true only when the token says so itself. */
  private readonly slotOf: Int32Array;
  private readonly stateSlot: Int32Array;
  private readonly fillers: ReadonlySet<string>;
  private readonly numbers: ReadonlySet<number>;
  private readonly wanted: number;
  private readonly widest: number;
  private beam = wide;
  private respelled = 0;
  private dropping = false;
  /** What it costs to begin the next note of the breath at the column at work. */
  private joint = Number.POSITIVE_INFINITY;
  /** Paths that score less would never be asked about. */
  private least = never;
  /** Words of the vocabulary that free words may follow, and the states that these are in. */
  private readonly beforeFree: ReadonlySet<string>;
  private readonly freeState: Uint8Array;
  /** Tokens (and, as -1 - index, records) of the column at work whose score is better than when last looked at. */
  private readonly queue: number[] = [];

  constructor(
    readonly graph: PhoneGraph,
    options: TolerantOptions = {},
  ) {
    this.meaning = new Meaning(graph.automaton.tagSequences);
    this.slotOf = new Int32Array(graph.places);
    this.stateSlot = new Int32Array(graph.automaton.states);
    this.fillers = new Set(options.fillers ?? []);
    this.numbers = numberWords(graph.automaton);
    const { automaton } = graph;
    this.freeState = new Uint8Array(automaton.states);
    for (let state = 0; state < automaton.states; state++)
      // Arcs are sorted by their word, and "any word" is word 0.
      if (
        automaton.arcFrom[state]! < automaton.arcFrom[state + 1]! &&
        automaton.arcWord[automaton.arcFrom[state]!] === 0
      )
        this.freeState[state] = 1;
    const beforeFree = new Set<string>();
    automaton.arcTo.forEach((to, arc) => {
      if (this.freeState[to] === 1) beforeFree.add(automaton.words[automaton.arcWord[arc]!]!);
    });
    this.beforeFree = beforeFree;
    this.wanted = options.readings ?? 8;
    this.widest = options.beam ?? wide;
  }

  /** Readings of words (lower case, single spaces: see `normalise`), best first; none when nothing comes near. */
  read(text: string): TolerantReading[] {
    const words = text.split(' ').filter((word) => word !== '');
    if (words.length === 0 || words.length > 60) return [];
    const input = typedInput(words, this.graph, this.fillers, this.numbers);
    this.respelled = editCosts.respelled;
    const names = input.words.some((word) => this.beforeFree.has(word));
    const joints = Math.min(mostNotes - 1, input.commas.size) * editCosts.joint;
    this.least = -decisionLimits.askCost - joints - (names ? freeCost(true) * words.length : 0);
    this.dropping = false;
    this.beam = Math.min(narrow.beam, this.widest);
    this.run(input);
    const first = this.collect(input);
    if (first.length > 0 && first[0]!.cost <= narrow.enough) return first;
    this.dropping = true;
    this.beam = this.widest;
    this.run(input);
    return this.collect(input);
  }

  /** Readings of phones without word borders: what the free phone path heard. */
  readPhones(phones: ArrayLike<number>): TolerantReading[] {
    if (phones.length === 0 || phones.length > 240) return [];
    const edges = Array.from(phones, (phone, at): InputEdge[] => [{ from: at, phone }]);
    const input: Typed = { columns: [[], ...edges], borders: [], words: [], commas: new Set() };
    this.respelled = 0;
    this.least = never;
    this.dropping = false;
    this.beam = this.widest;
    this.run(input);
    return this.collect(input);
  }

  private run(input: Typed): void {
    this.lattice.clear();
    while (this.columns.length < input.columns.length) this.columns.push(new TolerantColumn());
    const { start } = this.graph.automaton;
    input.columns.forEach((edges, at) => {
      const column = this.columns[at]!;
      column.clear();
      this.queue.length = 0;
      if (at === 0) this.arrive(column, 0, start, 0, -1, -1, 0, -1);
      for (const edge of edges) {
        const before = this.columns[edge.from]!;
        if (edge.phone !== undefined) this.hear(before, column, at, edge.phone, edge.cost ?? 0);
        else this.readWord(before, column, at, edge);
      }
      const isBorder = input.borders.length === 0 || input.borders.includes(at);
      this.joint = input.commas.has(at) ? editCosts.joint : editCosts.openJoint;
      if (!isBorder) this.joint = Number.POSITIVE_INFINITY;
      this.relax(column, at, this.dropping && isBorder);
    });
  }

  /** One phone of the input, taken as said, as another phone, or as said by nobody. */
  private hear(
    before: TolerantColumn,
    column: TolerantColumn,
    at: number,
    phone: number,
    price: number,
  ): void {
    const {
      phone: phoneOf,
      childFrom,
      childNode,
      treeOf,
      rootFrom,
      rootNode,
      nodeFrom,
      placeFrom,
    } = this.graph;
    // Imported bindings are looked up at every use.
    const swap = substitution;
    const written = this.respelled > 0 ? editCosts.writtenSlip : 0;
    const extra = insertion[phone]! + written;
    const floor = Math.max(before.best - this.beam, this.least);
    for (let k = 0; k < before.tokens; k++) {
      if (before.score[k]! < floor) continue;
      const score = before.score[k]! - price;
      const place = before.place[k]!;
      const node = before.node[k]!;
      const state = before.state[k]!;
      const from = before.from[k]!;
      this.improve(column, place, state, node, score - extra, from);
      for (let c = childFrom[node]!; c < childFrom[node + 1]!; c++) {
        const child = childNode[c]!;
        const cost = phoneOf[child] === phone ? 0 : swap[phoneOf[child]! * count + phone]! + written;
        this.improve(column, place + child - node, state, child, score - cost, from);
      }
    }
    const { start } = this.graph.automaton;
    for (let r = 0; r < before.records.length; r++) {
      if (before.recordScore[r]! < floor) continue;
      const score = before.recordScore[r]! - price;
      const record = before.records[r]!;
      const state = this.lattice.stateOf(record);
      // Behind a word a stray phone belongs to that word's last one; before the first word it stands alone.
      if (state === start) this.arrive(column, at, start, score - extra, record, skipped, 0, -1);
      const tree = treeOf[state]!;
      const offset = placeFrom[state]! - nodeFrom[tree]!;
      for (let k = rootFrom[tree]!; k < rootFrom[tree + 1]!; k++) {
        const root = rootNode[k]!;
        const cost = phoneOf[root] === phone ? 0 : swap[phoneOf[root]! * count + phone]! + written;
        this.improve(column, root + offset, state, root, score - cost, record);
      }
    }
  }

  /** A written word taken as a word of the vocabulary, as a free word, or as none of the note's. */
  private readWord(before: TolerantColumn, column: TolerantColumn, at: number, edge: InputEdge): void {
    const { automaton, spelling } = this.graph;
    const floor = Math.max(before.best - this.beam, this.least);
    for (let r = 0; r < before.records.length; r++) {
      const score = before.recordScore[r]!;
      if (score < floor) continue;
      const record = before.records[r]!;
      const state = this.lattice.stateOf(record);
      const end = automaton.arcFrom[state + 1]!;
      const { written = 0, words = [], skip } = edge;
      for (const { word, cost } of words)
        for (
          let arc = firstArc(automaton, state, word);
          arc < end && automaton.arcWord[arc] === word;
          arc++
        ) {
          const text = word === 0 ? spelling.length + written : word;
          this.arrive(column, at, automaton.arcTo[arc]!, score - cost, record, arc, text, -1);
        }
      if (skip !== undefined) this.arrive(column, at, state, score - skip, record, skipped, 0, -1);
    }
  }

  private improve(
    column: TolerantColumn,
    place: number,
    state: number,
    node: number,
    score: number,
    from: number,
  ): void {
    if (score < column.best - this.beam || score < this.least) return;
    let token = this.slotOf[place]!;
    if (token >= column.tokens || column.place[token] !== place) {
      token = column.add(place, state, node);
      this.slotOf[place] = token;
    } else if (score <= column.score[token]!) return;
    column.score[token] = score;
    column.from[token] = from;
    if (score > column.best) column.best = score;
    if (column.waiting[token] === 0) {
      column.waiting[token] = 1;
      this.queue.push(token);
    }
  }

  /** A word that is over. Keeps the edge in any case, for the other readings. */
  private arrive(
    column: TolerantColumn,
    at: number,
    state: number,
    score: number,
    from: number,
    arc: number,
    word: number,
    node: number,
    supposed = false,
  ): void {
    if (score < column.best - this.beam || score < this.least) return;
    let slot = this.stateSlot[state]!;
    if (slot >= column.records.length || this.lattice.stateOf(column.records[slot]!) !== state) {
      slot = column.records.length;
      this.stateSlot[state] = slot;
      column.records.push(this.lattice.addRecord(state, at));
      column.recordScore.push(never);
      column.recordSupposed.push(false);
    }
    this.lattice.addEdge(column.records[slot]!, score, from, arc, word, node, 0, 0);
    if (score > column.recordScore[slot]!) {
      column.recordScore[slot] = score;
      column.recordSupposed[slot] = supposed;
      if (score > column.best) column.best = score;
      this.queue.push(-1 - slot);
    }
  }

  /** Steps that take no input: phones and words that were not said, and the ends of words. */
  private relax(column: TolerantColumn, at: number, dropping: boolean): void {
    const { automaton, phone, childFrom, childNode, treeOf, rootFrom, rootNode, nodeFrom, placeFrom } =
      this.graph;
    const { endFrom, endWord, endSpelling, fillerWord } = this.graph;
    const { queue } = this;
    const left = deletion;
    const written = this.respelled > 0 ? editCosts.writtenSlip : 0;
    for (let q = 0; q < queue.length; q++) {
      const item = queue[q]!;
      if (item >= 0) {
        column.waiting[item] = 0;
        const score = column.score[item]!;
        const floor = Math.max(column.best - this.beam, this.least);
        if (score < floor) continue;
        const node = column.node[item]!;
        const state = column.state[item]!;
        const from = column.from[item]!;
        const place = column.place[item]!;
        for (let c = childFrom[node]!; c < childFrom[node + 1]!; c++) {
          const child = childNode[c]!;
          const less = score - left[phone[child]!]! - written;
          if (less >= floor) this.improve(column, place + child - node, state, child, less, from);
        }
        // A written word that is wholly missing is a dropped word, not a row of dropped phones.
        if (this.respelled > 0 && this.lattice.timeOf(from) === at) continue;
        const end = automaton.arcFrom[state + 1]!;
        for (let e = endFrom[node]!; e < endFrom[node + 1]!; e++) {
          const word = endWord[e]!;
          if (word === fillerWord) {
            if (this.respelled === 0)
              this.arrive(column, at, state, score - fillerCost, from, skipped, endSpelling[e]!, node);
            continue;
          }
          // Free words are written words here; only a reader of phones must find them by their sound.
          if (word === 0 && this.respelled > 0) continue;
          const cost = word === 0 ? editCosts.heardFree : this.respelled;
          if (score - cost < floor) continue;
          for (
            let arc = firstArc(automaton, state, word);
            arc < end && automaton.arcWord[arc] === word;
            arc++
          )
            this.arrive(column, at, automaton.arcTo[arc]!, score - cost, from, arc, endSpelling[e]!, node);
        }
        continue;
      }
      const slot = -1 - item;
      const score = column.recordScore[slot]!;
      const floor = Math.max(column.best - this.beam, this.least);
      if (score < floor) continue;
      const record = column.records[slot]!;
      const state = this.lattice.stateOf(record);
      const tree = treeOf[state]!;
      const offset = placeFrom[state]! - nodeFrom[tree]!;
      for (let k = rootFrom[tree]!; k < rootFrom[tree + 1]!; k++) {
        const root = rootNode[k]!;
        const less = score - left[phone[root]!]! - written;
        if (less >= floor) this.improve(column, root + offset, state, root, less, record);
      }
      const { again } = automaton;
      if (again !== undefined && score - this.joint >= floor)
        for (let f = automaton.finalFrom[state]!; f < automaton.finalFrom[state + 1]!; f++) {
          const closed = closing + automaton.finalTags[f]!;
          this.arrive(column, at, again, score - this.joint, record, closed, 0, -1);
        }
      // Two words on end are never left out.
      if (dropping && !column.recordSupposed[slot] && score - editCosts.dropped >= floor)
        for (let arc = automaton.arcFrom[state]!; arc < automaton.arcFrom[state + 1]!; arc++) {
          const word = automaton.arcWord[arc]!;
          // "Remark" and "stand" are never supposed before words that anything could follow.
          if (word !== 0 && this.freeState[automaton.arcTo[arc]!] === 1) continue;
          this.arrive(
            column,
            at,
            automaton.arcTo[arc]!,
            score - editCosts.dropped,
            record,
            arc,
            word,
            -1,
            true,
          );
        }
    }
  }

  private collect(input: Typed): TolerantReading[] {
    const { automaton } = this.graph;
    const last = this.columns[input.columns.length - 1]!;
    const ends = last.records.flatMap((record) => {
      const state = this.lattice.stateOf(record);
      const finals = automaton.finalTags.subarray(
        automaton.finalFrom[state]!,
        automaton.finalFrom[state + 1]!,
      );
      return Array.from(finals, (final) => ({ record, final }));
    });
    const groups = new Map<string, { notes: Notes; path: LatticePath; weight: number }>();
    let best = never;
    let seen = 0;
    for (const path of this.lattice.paths(ends, this.beam)) {
      if (best === never) best = path.score;
      if (++seen > 8 * this.wanted) break;
      const notes = notesOf(
        automaton,
        this.meaning,
        path.words.map((word) => word.arc),
        path.ends,
        path.words.map((word) => this.textOf(word.word, input)),
      );
      if (notes === null || notes.length > mostNotes || !isSequence(notes)) continue;
      const key = notesKey(notes);
      const group = groups.get(key);
      const weight = Math.exp(path.score - best);
      if (group !== undefined) group.weight += weight;
      else if (groups.size < this.wanted) groups.set(key, { notes, path, weight });
      else break;
    }
    const total = [...groups.values()].reduce((sum, group) => sum + group.weight, 0);
    return [...groups.values()]
      .sort((a, b) => b.weight - a.weight)
      .map(({ notes, path, weight }, rank) => {
        const dropped = path.words.find(({ from, to }) => from === to);
        return {
          notes,
          words: path.words.map((word) => this.textOf(word.word, input)).join(' '),
          posterior: weight / total,
          cost: this.costOf(path, input),
          ...(rank === 0 && input.borders.length > 0 && { evidence: this.evidenceOf(path, input) }),
          ...(dropped && {
            missing: {
              at: input.borders.indexOf(dropped.from),
              word: this.textOf(dropped.word, input),
              valued: automaton.arcWord[dropped.arc] === 0 || saysNumber(automaton, dropped.arc),
            },
          }),
        };
      });
  }

  /** Of several notes each must be believed for itself: the one that least stands there as it is speaks for all. */
  private evidenceOf(path: LatticePath, { words, borders }: Typed): EditEvidence {
    const { automaton, lexicon } = this.graph;
    const known = {
      lexicon,
      fillers: this.fillers,
      vocabulary: (word: string) => automaton.wordId.has(word),
      number: (word: string) => this.numbers.has(automaton.wordId.get(word) ?? -1),
    };
    let first = 0;
    let from = 0;
    const each = path.ends.map(({ words: last, at }, index) => {
      const to = index === path.ends.length - 1 ? words.length : borders.indexOf(at);
      const evidence = editEvidenceOf(
        {
          words: words.slice(from, to),
          borders: borders.slice(from, to + 1),
          path: path.words.slice(first, last).map((word) => ({
            ...word,
            text: automaton.words[automaton.arcWord[word.arc]!]!,
            free: automaton.arcWord[word.arc] === 0,
          })),
        },
        known,
      );
      first = last;
      from = to;
      return evidence;
    });
    const weakest = each.reduce((one, two) => (two.own - two.needs < one.own - one.needs ? two : one));
    const sum = (count: (one: EditEvidence) => number): number =>
      each.reduce((total, one) => total + count(one), 0);
    return { ...weakest, passedOver: sum((one) => one.passedOver), supposed: sum((one) => one.supposed) };
  }

  /** What the path cost beyond its free words, which are nobody's mistake. */
  private costOf(path: LatticePath, input: Typed): number {
    const { automaton } = this.graph;
    let free = 0;
    for (const { arc, node, word } of path.words)
      if (automaton.arcWord[arc] === 0)
        free += node >= 0 ? editCosts.heardFree : freeCost(automaton.wordId.has(this.textOf(word, input)));
    // A comma between two notes is nobody's mistake either.
    const joints = path.ends.slice(0, -1).filter(({ at }) => input.commas.has(at)).length;
    return Math.max(0, -path.score - free - joints * editCosts.joint);
  }

  private textOf(word: number, input: Typed): string {
    const { spelling } = this.graph;
    return word < spelling.length ? spelling[word]! : input.words[word - spelling.length]!;
  }
}
