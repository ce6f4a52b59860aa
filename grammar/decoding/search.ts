/**
 * Exact CTC search over the phone graph: which notes of the grammar the acoustic model's phone probabilities can be,
 * best first by meaning. Frames may be pushed as they come; the same file serves page and server.
 */
import type { Note, Notes } from '../../shared/note/note.ts';
import type { ArcWeights } from '../automaton/automaton.ts';
import { closing, Lattice, type LatticePath, skipped } from '../automaton/lattice.ts';
import { Meaning, notesOf } from '../automaton/meaning.ts';
import { fillerCost, firstArc, type PhoneGraph } from '../pronunciation/phone-graph.ts';
import { Beam } from './beam.ts';
import { CtcForward } from './ctc-forward.ts';
import { lookaheadCosts } from './lookahead.ts';
import { type Hypothesis, nbestOf, type SearchResult } from './nbest.ts';
import { numberSurprise } from './number-prior.ts';
import { Rivals } from './rivals.ts';

export interface SearchOptions {
  /** Paths this much worse (nats) than the best of their frame are given up; Infinity keeps all. */
  readonly beam?: number;
  /** Meanings wanted, at most. */
  readonly meanings?: number;
  /** Meanings this much worse (nats) than the best are not listed. */
  readonly depth?: number;
  /** How far the search leans on what people say, 0 (not at all) to 1 (as far as on the sound). */
  readonly lean?: number;
  /** Nats for each note of a breath behind the first. */
  readonly joint?: number;
  /** Nats against a note, 0 for a usual one; `unusualNumbers` unless given. */
  readonly against?: (note: Note) => number;
}

/**
 * Beam: on 1 048 clips of the tuning voices with noise at 10 and 0 dB a beam of 18 lost two right answers and one of 20
 * none against a beam of 40; `npm run bench -- search` repeats it on the project's own clips. Lean: see
 * `planOfTuning` in tests/bench/voices/clips.ts.
 */
export const searchDefaults = { beam: 19, meanings: 8, depth: 20, lean: 0.7, joint: 10 } as const;

/** What can be said before the last frame has come. */
interface PartialResult {
  /** Finished words of the best path so far, and the one being said when it can only be one. */
  readonly words: readonly string[];
  /** The notes, when the best path stands at a possible end; `behind` nats worse than the best path of all. */
  readonly complete: { readonly notes: Notes; readonly behind: number } | undefined;
  /** True when the best path's note is complete and no further word of it could follow. */
  readonly closed: boolean;
  /** Words that could come next, at most eight. */
  readonly next: readonly string[];
  /** Nats by which the best path of all, with what its words cost, is worse than the phones without any grammar. */
  readonly lost: number;
}

export type { Hypothesis, SearchResult };

const weighed = (costs: Float32Array, lean: number): Float64Array =>
  Float64Array.from(costs, (cost) => lean * cost);

const never = Number.NEGATIVE_INFINITY;
const outputs = 40;
/** More paths at once than this are a crowd, and how narrow the beam may get in one, nats; Infinity never narrows. */
const crowd = 600;
const leastWidth = 11;

/**
 * One search, reusable: `push` frames, ask for a `partial`, `finish`, `reset`. Holds arrays of the graph's size.
 * Example: `const s = new Search(graph); s.push(logp, frames); const { hypotheses } = s.finish();`
 */
export class Search {
  private readonly beam: number;
  private readonly meanings: number;
  private readonly depth: number;
  private readonly lean: number;
  /** Costs by arc and by last state, already weighed. */
  private readonly arcCost: Float64Array;
  private readonly endCost: Float64Array;
  /** By place: the least that any word costs which can still become of it. Paid on the way, not at the word's end. */
  private readonly ahead: Float32Array;
  private readonly joint: number;
  private readonly against: (note: Note) => number;
  private readonly meaning: Meaning;
  private readonly lattice = new Lattice();
  private readonly sheet = new CtcForward();
  /** Made when one person's words are known. */
  private rivals: Rivals | null = null;
  private ofPerson: boolean;

  private now = new Beam();
  private next = new Beam();
  /** Where a place's token may lie; true only when the token says so itself. */
  private readonly slotOf: Int32Array;
  // Entries of each state: best after a blank, best after a phone, best after another phone than that.
  private readonly entryFrame: Int32Array;
  private readonly entryRecord: Int32Array;
  private readonly entryBlank: Float64Array;
  private readonly entryFirst: Float64Array;
  private readonly entryFirstPhone: Uint8Array;
  private readonly entrySecond: Float64Array;
  private entered: number[] = [];
  private readonly arrived: number[] = [];
  private frame = 0;
  private best = 0;
  /** The beam of the present frame: narrower in a crowd. */
  private width = 0;
  /** Score of silence so far: the sentence has not begun. */
  private silence = 0;

  constructor(
    readonly graph: PhoneGraph,
    options: SearchOptions = {},
  ) {
    this.beam = options.beam ?? searchDefaults.beam;
    this.meanings = options.meanings ?? searchDefaults.meanings;
    this.depth = options.depth ?? searchDefaults.depth;
    this.meaning = new Meaning(graph.automaton.tagSequences);
    const { states, arcWeights, arcTo } = graph.automaton;
    this.lean = options.lean ?? searchDefaults.lean;
    this.ofPerson = arcWeights?.ofPerson ?? false;
    if (this.ofPerson) this.rivals = new Rivals(graph);
    this.arcCost = weighed(arcWeights?.arc ?? new Float32Array(arcTo.length), this.lean);
    this.endCost = weighed(arcWeights?.end ?? new Float32Array(states), this.lean);
    this.ahead = lookaheadCosts(graph, this.arcCost, new Float32Array(graph.places));
    this.joint = options.joint ?? searchDefaults.joint;
    this.against = options.against ?? numberSurprise;
    this.slotOf = new Int32Array(graph.places);
    this.entryFrame = new Int32Array(states);
    this.entryRecord = new Int32Array(states);
    this.entryBlank = new Float64Array(states);
    this.entryFirst = new Float64Array(states);
    this.entryFirstPhone = new Uint8Array(states);
    this.entrySecond = new Float64Array(states);
    this.reset();
  }

  /**
   * Takes other weights of the same automaton from the next frame on: what one person says. Only states where they differ
   * are worked on, so a note more costs a millisecond or two.
   */
  weigh({ arc, end, ofPerson = false }: ArcWeights): void {
    this.ofPerson = ofPerson;
    if (ofPerson) this.rivals ??= new Rivals(this.graph);
    const { states, arcFrom } = this.graph.automaton;
    const { arcCost, endCost, lean } = this;
    const changed: number[] = [];
    for (let state = 0; state < states; state++) {
      let differs = false;
      for (let a = arcFrom[state]!; a < arcFrom[state + 1]!; a++) {
        const cost = lean * arc[a]!;
        if (cost === arcCost[a]) continue;
        differs = true;
        arcCost[a] = cost;
      }
      if (differs) changed.push(state);
      endCost[state] = lean * end[state]!;
    }
    lookaheadCosts(this.graph, arcCost, this.ahead, changed);
  }

  /** Forgets all frames. */
  reset(): void {
    this.lattice.clear();
    this.sheet.clear();
    this.entryFrame.fill(-1);
    this.now.count = 0;
    this.entered = [];
    this.frame = 0;
    this.best = 0;
    this.width = this.beam;
    this.silence = 0;
    this.enterStart();
  }

  /** Takes `frames` more rows of 40 natural log probabilities (blank first, then `phones` in order). */
  push(logp: Float32Array, frames = Math.floor(logp.length / outputs)): void {
    this.sheet.push(logp, frames);
    for (let t = 0; t < frames; t++) this.step(logp, t * outputs);
  }

  private enterStart(): void {
    const { start } = this.graph.automaton;
    if (this.silence < this.best - this.beam) return;
    this.lattice.addEdge(this.record(start), this.silence, -1, 0, -1, -1, 0, 0);
    this.entryBlank[start] = Math.max(this.entryBlank[start]!, this.silence);
  }

  /** The lattice record of words arriving in `state` after the present frame. */
  private record(state: number): number {
    if (this.entryFrame[state] !== this.frame) {
      this.entryFrame[state] = this.frame;
      this.entryRecord[state] = this.lattice.addRecord(state, this.frame);
      this.entryBlank[state] = never;
      this.entryFirst[state] = never;
      this.entryFirstPhone[state] = 0;
      this.entrySecond[state] = never;
      this.entered.push(state);
    }
    return this.entryRecord[state]!;
  }

  /** The next frame's token of a place. */
  private slot(next: Beam, place: number, state: number, node: number): number {
    const known = this.slotOf[place]!;
    if (known < next.count && next.place[known] === place) return known;
    const slot = next.add(place, state, node);
    this.slotOf[place] = slot;
    return slot;
  }

  private step(logp: Float32Array, row: number): void {
    const { phone, childFrom, childNode, treeOf, rootFrom, rootNode, nodeFrom, placeFrom } = this.graph;
    const { now, next, ahead } = this;
    const blankLogp = logp[row]!;
    const { width } = this;
    const floor = this.best - width;
    // A score that is surely reached: what becomes of the best path when it stays. Spares most hopeless tokens.
    let best = this.silence + blankLogp;
    for (let k = 0; k < now.count; k++) {
      const rested = Math.max(now.label[k]!, now.blank[k]!) + blankLogp;
      const stayed = now.label[k]! + logp[row + phone[now.node[k]!]!]!;
      if (rested > best) best = rested;
      if (stayed > best) best = stayed;
    }
    next.count = 0;

    for (let k = 0; k < now.count; k++) {
      const inLabel = now.label[k]!;
      const inBlank = now.blank[k]!;
      const either = Math.max(inLabel, inBlank);
      if (either < floor) continue;
      const from = inLabel > inBlank ? now.labelFrom[k]! : now.blankFrom[k]!;
      const place = now.place[k]!;
      const node = now.node[k]!;
      const state = now.state[k]!;
      const own = phone[node]!;
      const rested = either + blankLogp;
      const stayed = inLabel + logp[row + own]!;
      if (rested >= best - width || stayed >= best - width) {
        const slot = this.slot(next, place, state, node);
        next.blank[slot] = rested;
        next.blankFrom[slot] = from;
        if (stayed > next.label[slot]!) {
          next.label[slot] = stayed;
          next.labelFrom[slot] = now.labelFrom[k]!;
        }
      }
      for (let c = childFrom[node]!; c < childFrom[node + 1]!; c++) {
        const child = childNode[c]!;
        const heard = phone[child]!;
        const doubled = heard === own;
        const into = place + child - node;
        const score = (doubled ? inBlank : either) + logp[row + heard]! + ahead[place]! - ahead[into]!;
        if (score < best - width) continue;
        const to = this.slot(next, into, state, child);
        if (score > next.label[to]!) {
          next.label[to] = score;
          next.labelFrom[to] = doubled ? now.blankFrom[k]! : from;
          if (score > best) best = score;
        }
      }
    }

    for (const state of this.entered) {
      const record = this.entryRecord[state]!;
      const firstPhone = this.entryFirstPhone[state]!;
      const other = Math.max(this.entryBlank[state]!, this.entryFirst[state]!);
      const same = Math.max(this.entryBlank[state]!, this.entrySecond[state]!);
      const tree = treeOf[state]!;
      const offset = placeFrom[state]! - nodeFrom[tree]!;
      for (let r = rootFrom[tree]!; r < rootFrom[tree + 1]!; r++) {
        const root = rootNode[r]!;
        const heard = phone[root]!;
        const score = (heard === firstPhone ? same : other) + logp[row + heard]! - ahead[root + offset]!;
        if (!(score >= best - width)) continue;
        const to = this.slot(next, root + offset, state, root);
        if (score > next.label[to]!) {
          next.label[to] = score;
          next.labelFrom[to] = record;
          if (score > best) best = score;
        }
      }
    }

    // In noise everything seems possible: then only the better part is followed on.
    if (next.count > crowd) this.width = Math.max(leastWidth, 0.9 * width);
    else if (width < this.beam) this.width = Math.min(this.beam, 1.1 * width);
    this.silence += blankLogp;
    this.now = next;
    this.next = now;
    this.best = Math.max(best, this.silence);
    this.frame++;
    this.entered = [];
    this.enterStart();
    this.collectEnds();
    this.enterAgain();
  }

  /** Words that are finished with the present frame arrive at their states. */
  private collectEnds(): void {
    const { automaton, endFrom, endWord, endSpelling, fillerWord, freeCost } = this.graph;
    const { now, arcCost } = this;
    const floor = this.best - this.beam;
    for (let k = 0; k < now.count; k++) {
      const node = now.node[k]!;
      const first = endFrom[node]!;
      const last = endFrom[node + 1]!;
      if (first === last || Math.max(now.label[k]!, now.blank[k]!) < floor) continue;
      const state = now.state[k]!;
      const several = last - first > 1;
      if (several) this.arrived.length = 0;
      for (let e = first; e < last; e++) {
        const word = endWord[e]!;
        if (word === fillerWord) {
          this.arrive(k, skipped, state, endSpelling[e]!, fillerCost, floor);
          continue;
        }
        const until = automaton.arcFrom[state + 1]!;
        for (
          let arc = firstArc(automaton, state, word);
          arc < until && automaton.arcWord[arc] === word;
          arc++
        )
          if (word === 0 || !several || this.isNew(arc)) {
            const spelling = endSpelling[e]!;
            const cost = arcCost[arc]! + (word === 0 ? freeCost[spelling]! : 0);
            this.arrive(k, arc, automaton.arcTo[arc]!, spelling, cost, floor);
          }
      }
    }
  }

  /** Where a note may end, the next one of the breath may begin: the pause between them is the last word's. */
  private enterAgain(): void {
    const { again, finalFrom, finalTags } = this.graph.automaton;
    if (again === undefined) return;
    const floor = this.best - this.beam;
    const states = this.entered.length;
    for (let i = 0; i < states; i++) {
      const state = this.entered[i]!;
      const either = Math.max(this.entryBlank[state]!, this.entryFirst[state]!);
      const score = either - this.endCost[state]! - this.joint;
      if (score < floor) continue;
      for (let f = finalFrom[state]!; f < finalFrom[state + 1]!; f++) {
        const record = this.record(again);
        this.lattice.addEdge(record, score, this.entryRecord[state]!, closing + finalTags[f]!, 0, -1, 0, 0);
        if (score > this.entryBlank[again]!) this.entryBlank[again] = score;
      }
    }
  }

  /** False for a word that means the same as a homophone that has arrived at this node already. */
  private isNew(arc: number): boolean {
    const { arcTo, arcTags } = this.graph.automaton;
    for (const other of this.arrived)
      if (arcTo[other] === arcTo[arc] && arcTags[other] === arcTags[arc]) return false;
    this.arrived.push(arc);
    return true;
  }

  private arrive(
    token: number,
    arc: number,
    state: number,
    spelling: number,
    cost: number,
    floor: number,
  ): void {
    const { phone, firstPhone } = this.graph;
    const { now, lattice } = this;
    const owed = cost - this.ahead[now.place[token]!]!;
    const inLabel = now.label[token]! - owed;
    const inBlank = now.blank[token]! - owed;
    const blankIn = inBlank >= floor && inBlank > never;
    const labelIn = inLabel >= floor && inLabel > never;
    if (!blankIn && !labelIn) return;
    const record = this.record(state);
    const node = now.node[token]!;
    const first = firstPhone[node]!;
    if (blankIn) {
      lattice.addEdge(record, inBlank, now.blankFrom[token]!, arc, spelling, node, first, 0);
      if (inBlank > this.entryBlank[state]!) this.entryBlank[state] = inBlank;
    }
    if (labelIn) {
      const last = phone[node]!;
      lattice.addEdge(record, inLabel, now.labelFrom[token]!, arc, spelling, node, first, last);
      if (last === this.entryFirstPhone[state]) {
        if (inLabel > this.entryFirst[state]!) this.entryFirst[state] = inLabel;
      } else if (inLabel > this.entryFirst[state]!) {
        this.entrySecond[state] = this.entryFirst[state]!;
        this.entryFirst[state] = inLabel;
        this.entryFirstPhone[state] = last;
      } else if (inLabel > this.entrySecond[state]!) this.entrySecond[state] = inLabel;
    }
  }

  /** Possible ends after the present frame: records of final states. */
  private ends(): { record: number; final: number; cost: number }[] {
    const { finalFrom, finalTags } = this.graph.automaton;
    const ends: { record: number; final: number; cost: number }[] = [];
    for (const state of this.entered)
      for (let f = finalFrom[state]!; f < finalFrom[state + 1]!; f++)
        ends.push({
          record: this.entryRecord[state]!,
          final: finalTags[f]!,
          cost: this.endCost[state]!,
        });
    return ends;
  }

  private notesOf({ words, ends }: Pick<LatticePath, 'words' | 'ends'>): Notes | null {
    return notesOf(
      this.graph.automaton,
      this.meaning,
      words.map((word) => word.arc),
      ends,
      words.map((word) => this.graph.spelling[word.word]!),
    );
  }

  /** The notes that the frames pushed so far can be. Costs a millisecond; more frames may still follow. */
  finish(): SearchResult {
    const paths = this.lattice.paths(this.ends(), this.depth);
    const found = nbestOf(paths, this.graph, this.sheet, {
      most: this.meanings,
      notesOf: (path) => {
        const notes = this.notesOf(path);
        return notes === null ? null : { notes, numbers: this.meaning.numbers };
      },
      arcCost: this.arcCost,
      endCost: this.endCost,
      joint: this.joint,
      against: (notes) => notes.reduce((sum, note) => sum + this.against(note), 0),
      rivals: this.ofPerson ? this.rivals : null,
    });
    const free = this.sheet.free();
    return {
      hypotheses: found.hypotheses,
      frames: this.frame,
      free: free.logp,
      speechFrames: free.speechFrames,
      margin:
        found.best === undefined
          ? Number.POSITIVE_INFINITY
          : (free.logp - found.best) / Math.max(1, free.speechFrames),
      rival: found.rival,
      phones: free.phones,
    };
  }

  private notesInto({ record, final }: { record: number; final: number }): Notes | null {
    const { words, ends } = this.lattice.bestInto(record, 0);
    return this.notesOf({ words, ends: [...ends, { words: words.length, final, at: this.frame }] });
  }

  /** What has been heard so far. Cheap enough for every push. */
  partial(): PartialResult {
    const { automaton, spelling } = this.graph;
    const { now } = this;
    let bestEnd: { record: number; final: number } | undefined;
    let bestEndScore = never;
    for (const end of this.ends()) {
      const score = this.lattice.entry(end.record, 0);
      if (score > bestEndScore) {
        bestEnd = end;
        bestEndScore = score;
      }
    }
    // The best path of all stands inside a word or, when it ends one as well, behind it.
    let bestState = -1;
    let bestRecord = -1;
    let bestScore = never;
    for (const state of this.entered) {
      const score = this.lattice.entry(this.entryRecord[state]!, 0);
      if (score > bestScore) {
        bestScore = score;
        bestState = state;
        bestRecord = this.entryRecord[state]!;
      }
    }
    let firstPhone = 0;
    for (let k = 0; k < now.count; k++) {
      const score = Math.max(now.label[k]!, now.blank[k]!);
      if (score <= bestScore + 1e-9) continue;
      bestScore = score;
      bestRecord = now.label[k]! > now.blank[k]! ? now.labelFrom[k]! : now.blankFrom[k]!;
      bestState = now.state[k]!;
      firstPhone = this.graph.firstPhone[now.node[k]!]!;
    }
    const words = bestRecord < 0 ? [] : this.lattice.bestInto(bestRecord, firstPhone).words;
    const next = new Set<string>();
    let arcs = 0;
    if (bestState >= 0)
      for (let arc = automaton.arcFrom[bestState]!; arc < automaton.arcFrom[bestState + 1]!; arc++) {
        arcs++;
        if (next.size < 8) next.add(automaton.words[automaton.arcWord[arc]!]!);
      }
    const notes = bestEnd === undefined ? null : this.notesInto(bestEnd);
    const complete = notes === null ? undefined : { notes, behind: Math.max(0, bestScore - bestEndScore) };
    return {
      words: words.map((word) => spelling[word.word]!),
      complete,
      closed: complete !== undefined && complete.behind < 1e-6 && arcs === 0,
      next: [...next],
      lost: this.sheet.freeLogp - this.best,
    };
  }
}
