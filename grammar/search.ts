/**
 * Exact CTC search over the phone graph: which notes of the grammar the acoustic model's phone probabilities can be,
 * best first by meaning. Frames may be pushed as they come; the same file serves page and server.
 */
import type { Note } from '../shared/note.ts';
import { Lattice, type LatticePath, type PathWord } from './lattice.ts';
import { Meaning, meaningOf } from './meaning.ts';
import { noteKey } from './notekey.ts';
import type { PhoneGraph } from './phonegraph.ts';
import { type HeardWord, ScoreSheet } from './scoresheet.ts';

export interface SearchOptions {
  /** Paths this much worse (nats) than the best of their frame are given up; Infinity keeps all. */
  readonly beam?: number;
  /** Meanings wanted, at most. */
  readonly meanings?: number;
  /** Meanings this much worse (nats) than the best are not listed. */
  readonly depth?: number;
}

export const searchDefaults = { beam: 30, meanings: 8, depth: 25 } as const;

/** One meaning the sound may have. */
export interface Hypothesis {
  readonly note: Note;
  /** The words of its likeliest wording, with times and how badly each fits its own frames. */
  readonly words: readonly HeardWord[];
  /** Log probability summed over the wordings found and all their alignments. */
  readonly logp: number;
  /** Share among all meanings found; they sum to 1. */
  readonly posterior: number;
  /** Nats lost against the free phone path before the first word: something was said before the note. */
  readonly lead: number;
  /** Greatest loss of any one word with the gap behind it, or of the lead: one bad word decides. */
  readonly worst: number;
}

export interface SearchResult {
  /** Best first; empty when no complete note was in the beam. */
  readonly hypotheses: readonly Hypothesis[];
  readonly frames: number;
  /** Log probability of the best phone path without any grammar. */
  readonly free: number;
  /** Frames in which that path hears a phone. */
  readonly speechFrames: number;
  /** (free path - best grammar path) per speech frame, in nats; 0 is a perfect fit, Infinity without a note. */
  readonly margin: number;
  /** The phones of the free path: what was heard if the grammar is forgotten. */
  readonly phones: Uint8Array;
}

/** What can be said before the last frame has come. */
export interface Partial {
  /** Finished words of the best path so far, and the one being said when it can only be one. */
  readonly words: readonly string[];
  /** The note, when the best path stands at a possible end; `behind` nats worse than the best path of all. */
  readonly complete: { readonly note: Note; readonly behind: number } | undefined;
  /** True when the best path's note is complete and no further word could follow. */
  readonly closed: boolean;
  /** Words that could come next, at most eight. */
  readonly next: readonly string[];
}

const never = Number.NEGATIVE_INFINITY;
const outputs = 40;

/**
 * One search, reusable: `push` frames, ask for a `partial`, `finish`, `reset`. Holds arrays of the graph's size.
 * Example: `const s = new Search(graph); s.push(logp, frames); const { hypotheses } = s.finish();`
 */
export class Search {
  private readonly beam: number;
  private readonly meanings: number;
  private readonly depth: number;
  private readonly meaning: Meaning;
  private readonly lattice = new Lattice();
  private readonly sheet = new ScoreSheet();

  // Scores of paths that end in node n's phone, and in a blank after it; the lattice records they entered from.
  private label: Float64Array;
  private blank: Float64Array;
  private labelFrom: Int32Array;
  private blankFrom: Int32Array;
  private nextLabel: Float64Array;
  private nextBlank: Float64Array;
  private nextLabelFrom: Int32Array;
  private nextBlankFrom: Int32Array;
  /** Last frame for which the node's next scores were begun. */
  private readonly begun: Int32Array;
  private active: Int32Array;
  private activeCount = 0;
  private nextActive: Int32Array;
  private nextCount = 0;
  // Entries of each state: best after a blank, best after a phone, best after another phone than that.
  private readonly entryFrame: Int32Array;
  private readonly entryRecord: Int32Array;
  private readonly entryBlank: Float64Array;
  private readonly entryFirst: Float64Array;
  private readonly entryFirstPhone: Uint8Array;
  private readonly entrySecond: Float64Array;
  private entered: number[] = [];
  private frame = 0;
  private best = 0;
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
    const { nodes } = graph;
    const { states } = graph.automaton;
    this.label = new Float64Array(nodes);
    this.blank = new Float64Array(nodes);
    this.labelFrom = new Int32Array(nodes);
    this.blankFrom = new Int32Array(nodes);
    this.nextLabel = new Float64Array(nodes);
    this.nextBlank = new Float64Array(nodes);
    this.nextLabelFrom = new Int32Array(nodes);
    this.nextBlankFrom = new Int32Array(nodes);
    this.begun = new Int32Array(nodes);
    this.active = new Int32Array(nodes);
    this.nextActive = new Int32Array(nodes);
    this.entryFrame = new Int32Array(states);
    this.entryRecord = new Int32Array(states);
    this.entryBlank = new Float64Array(states);
    this.entryFirst = new Float64Array(states);
    this.entryFirstPhone = new Uint8Array(states);
    this.entrySecond = new Float64Array(states);
    this.reset();
  }

  /** Forgets all frames. */
  reset(): void {
    this.lattice.clear();
    this.sheet.clear();
    this.begun.fill(0);
    this.entryFrame.fill(-1);
    this.activeCount = 0;
    this.entered = [];
    this.frame = 0;
    this.best = 0;
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

  private begin(node: number, frame: number): void {
    this.begun[node] = frame;
    this.nextLabel[node] = never;
    this.nextBlank[node] = never;
    this.nextActive[this.nextCount++] = node;
  }

  private step(logp: Float32Array, row: number): void {
    const { phone, childFrom, childNode, rootFrom, rootNode } = this.graph;
    const { label, blank, labelFrom, blankFrom, nextLabel, nextBlank, nextLabelFrom, nextBlankFrom, begun } =
      this;
    const frame = this.frame + 1;
    const blankLogp = logp[row]!;
    const floor = this.best - this.beam;
    let best = never;
    this.nextCount = 0;

    for (let k = 0; k < this.activeCount; k++) {
      const node = this.active[k]!;
      const inLabel = label[node]!;
      const inBlank = blank[node]!;
      const either = inLabel > inBlank ? inLabel : inBlank;
      if (either < floor) continue;
      const from = inLabel > inBlank ? labelFrom[node]! : blankFrom[node]!;
      if (begun[node] !== frame) this.begin(node, frame);
      const rested = either + blankLogp;
      nextBlank[node] = rested;
      nextBlankFrom[node] = from;
      if (rested > best) best = rested;
      const own = phone[node]!;
      const stayed = inLabel + logp[row + own]!;
      if (stayed > nextLabel[node]!) {
        nextLabel[node] = stayed;
        nextLabelFrom[node] = labelFrom[node]!;
        if (stayed > best) best = stayed;
      }
      for (let c = childFrom[node]!; c < childFrom[node + 1]!; c++) {
        const child = childNode[c]!;
        const heard = phone[child]!;
        const doubled = heard === own;
        const score = (doubled ? inBlank : either) + logp[row + heard]!;
        if (score < best - this.beam) continue;
        if (begun[child] !== frame) this.begin(child, frame);
        if (score > nextLabel[child]!) {
          nextLabel[child] = score;
          nextLabelFrom[child] = doubled ? blankFrom[node]! : from;
          if (score > best) best = score;
        }
      }
    }

    for (const state of this.entered) {
      const record = this.entryRecord[state]!;
      const firstPhone = this.entryFirstPhone[state]!;
      const other = Math.max(this.entryBlank[state]!, this.entryFirst[state]!);
      const same = Math.max(this.entryBlank[state]!, this.entrySecond[state]!);
      for (let r = rootFrom[state]!; r < rootFrom[state + 1]!; r++) {
        const root = rootNode[r]!;
        const heard = phone[root]!;
        const score = (heard === firstPhone ? same : other) + logp[row + heard]!;
        if (!(score >= best - this.beam)) continue;
        if (begun[root] !== frame) this.begin(root, frame);
        if (score > nextLabel[root]!) {
          nextLabel[root] = score;
          nextLabelFrom[root] = record;
          if (score > best) best = score;
        }
      }
    }

    this.silence += blankLogp;
    this.label = nextLabel;
    this.blank = nextBlank;
    this.labelFrom = nextLabelFrom;
    this.blankFrom = nextBlankFrom;
    this.nextLabel = label;
    this.nextBlank = blank;
    this.nextLabelFrom = labelFrom;
    this.nextBlankFrom = blankFrom;
    [this.active, this.nextActive] = [this.nextActive, this.active];
    this.activeCount = this.nextCount;
    this.best = Math.max(best, this.silence);
    this.frame = frame;
    this.entered = [];
    this.enterStart();
    this.collectEnds();
  }

  /** Words that are finished with the present frame arrive at their states. */
  private collectEnds(): void {
    const { phone, firstPhone, endFrom, endArc, endTo, endWord, endCost } = this.graph;
    const floor = this.best - this.beam;
    for (let k = 0; k < this.activeCount; k++) {
      const node = this.active[k]!;
      for (let e = endFrom[node]!; e < endFrom[node + 1]!; e++) {
        const inLabel = this.label[node]! - endCost[e]!;
        const inBlank = this.blank[node]! - endCost[e]!;
        if (inLabel < floor && inBlank < floor) continue;
        const state = endTo[e]!;
        const record = this.record(state);
        const first = firstPhone[node]!;
        if (inBlank >= floor && inBlank > never) {
          this.lattice.addEdge(
            record,
            inBlank,
            this.blankFrom[node]!,
            endArc[e]!,
            endWord[e]!,
            node,
            first,
            0,
          );
          if (inBlank > this.entryBlank[state]!) this.entryBlank[state] = inBlank;
        }
        if (inLabel >= floor && inLabel > never) {
          const last = phone[node]!;
          this.lattice.addEdge(
            record,
            inLabel,
            this.labelFrom[node]!,
            endArc[e]!,
            endWord[e]!,
            node,
            first,
            last,
          );
          if (last === this.entryFirstPhone[state]) {
            if (inLabel > this.entryFirst[state]!) this.entryFirst[state] = inLabel;
          } else if (inLabel > this.entryFirst[state]!) {
            this.entrySecond[state] = this.entryFirst[state]!;
            this.entryFirst[state] = inLabel;
            this.entryFirstPhone[state] = last;
          } else if (inLabel > this.entrySecond[state]!) this.entrySecond[state] = inLabel;
        }
      }
    }
  }

  /** Possible ends after the present frame: records of final states. */
  private ends(): { record: number; final: number }[] {
    const { finalFrom, finalTags } = this.graph.automaton;
    const ends: { record: number; final: number }[] = [];
    for (const state of this.entered)
      for (let f = finalFrom[state]!; f < finalFrom[state + 1]!; f++)
        ends.push({ record: this.entryRecord[state]!, final: finalTags[f]! });
    return ends;
  }

  private noteOf(words: readonly PathWord[], final: number): Note {
    return meaningOf(
      this.graph.automaton,
      this.meaning,
      words.map((word) => word.arc),
      final,
      words.map((word) => this.graph.spelling[word.word]!),
    );
  }

  /** The notes that the frames pushed so far can be. Costs a millisecond; more frames may still follow. */
  finish(): SearchResult {
    interface Group {
      readonly note: Note;
      readonly best: LatticePath;
      logp: number;
    }
    const groups = new Map<string, Group>();
    let bestPath: number | undefined;
    let seen = 0;
    for (const path of this.lattice.paths(this.ends())) {
      bestPath ??= path.score;
      if (path.score < bestPath - this.depth || ++seen > 6 * this.meanings) break;
      const note = this.noteOf(path.words, path.final);
      const key = noteKey(note);
      const group = groups.get(key);
      if (group === undefined && groups.size === this.meanings) break;
      const logp = this.sheet.sum(this.graph, path.words);
      if (group === undefined) groups.set(key, { note, best: path, logp });
      else group.logp = logSum(group.logp, logp);
    }
    const list = [...groups.values()].sort((a, b) => b.logp - a.logp);
    const total = list.reduce((sum, group) => logSum(sum, group.logp), never);
    const free = this.sheet.free();
    return {
      hypotheses: list.map((group) => {
        const { words, lead } = this.sheet.align(this.graph, group.best.words);
        return {
          note: group.note,
          words,
          logp: group.logp,
          posterior: Math.exp(group.logp - total),
          lead,
          worst: words.reduce((worst, word) => Math.max(worst, word.margin + word.gap), lead),
        };
      }),
      frames: this.frame,
      free: free.logp,
      speechFrames: free.speechFrames,
      margin:
        bestPath === undefined
          ? Number.POSITIVE_INFINITY
          : (free.logp - bestPath) / Math.max(1, free.speechFrames),
      phones: free.phones,
    };
  }

  /** What has been heard so far. Cheap enough for every push. */
  partial(): Partial {
    const { automaton, spelling, state: stateOfNode } = this.graph;
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
    for (let k = 0; k < this.activeCount; k++) {
      const node = this.active[k]!;
      const score = Math.max(this.label[node]!, this.blank[node]!);
      if (score <= bestScore + 1e-9) continue;
      bestScore = score;
      bestRecord = this.label[node]! > this.blank[node]! ? this.labelFrom[node]! : this.blankFrom[node]!;
      bestState = stateOfNode[node]!;
      firstPhone = this.graph.firstPhone[node]!;
    }
    const words = bestRecord < 0 ? [] : this.lattice.bestInto(bestRecord, firstPhone);
    const next = new Set<string>();
    let arcs = 0;
    if (bestState >= 0)
      for (let arc = automaton.arcFrom[bestState]!; arc < automaton.arcFrom[bestState + 1]!; arc++) {
        arcs++;
        if (next.size < 8) next.add(automaton.words[automaton.arcWord[arc]!]!);
      }
    const complete =
      bestEnd === undefined
        ? undefined
        : {
            note: this.noteOf(this.lattice.bestInto(bestEnd.record, 0), bestEnd.final),
            behind: Math.max(0, bestScore - bestEndScore),
          };
    return {
      words: words.map((word) => spelling[word.word]!),
      complete,
      closed: complete !== undefined && complete.behind < 1e-6 && arcs === 0,
      next: [...next],
    };
  }
}

const logSum = (a: number, b: number): number => {
  if (a === never) return b;
  const high = a > b ? a : b;
  return high + Math.log1p(Math.exp((a > b ? b : a) - high));
};

/** Searches one whole utterance: `frames` rows of 40 log probabilities. See `Search` for streaming. */
export function search(
  graph: PhoneGraph,
  logp: Float32Array,
  frames = Math.floor(logp.length / outputs),
  options: SearchOptions = {},
): SearchResult {
  const run = new Search(graph, options);
  run.push(logp, frames);
  return run.finish();
}
