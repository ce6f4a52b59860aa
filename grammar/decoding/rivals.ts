/**
 * Whether a word of a note may have been another one: a common word that no note can have there ("pages" for "paces"). The search
 * knows nothing but notes, so a foreign word is heard as the word of a note that it sounds like, with hardly any loss against the
 * free phones. Only beside its rivals it is seen that the sound leaves both open, and beside what this person says, that the word
 * is an odd one there.
 */
import type { PathWord } from '../automaton/lattice.ts';
import { firstArc, type PhoneGraph } from '../pronunciation/phone-graph.ts';

/** What stands in the note: the words of a path, where each of them lies in the sound, and what it costs there, nats. */
interface NoteWord {
  readonly path: PathWord;
  readonly from: number;
  /** The frame after its last phone. */
  readonly to: number;
  readonly cost: number;
}

/** Probabilities of the phones, 40 a frame with the blank first, each frame's divided by its greatest. */
interface Sound {
  readonly prob: Float64Array;
  readonly frames: number;
}

const outputs = 40;
/** Sounds this much less likely than the likeliest of their frame are given up. */
const narrow = Math.exp(-20);
/** Nats at most and at least by which a rival fits better than the word. */
const bounds = { most: 5, least: -16 } as const;

/** All words of the lexicon as a tree of phones; node 0 is its root, children stand behind their parents. */
export class Rivals {
  private readonly phone: Uint8Array;
  private readonly childFrom: Uint32Array;
  private readonly child: Uint32Array;
  /** The automaton's words that end at a node, -1 for one that it does not have. */
  private readonly ends: readonly (readonly number[])[];
  private readonly nodes: ReadonlyMap<string, number>;
  // Of each node: how likely it is that its sound ends in its phone, or in a blank behind it.
  private label: Float64Array;
  private blank: Float64Array;
  private nextLabel: Float64Array;
  private nextBlank: Float64Array;

  constructor(private readonly graph: PhoneGraph) {
    const { automaton, lexicon } = graph;
    const phone = [0];
    const children: number[][] = [[]];
    const ends: number[][] = [[]];
    const nodes = new Map<string, number>();
    const nodeOf = (sound: Uint8Array): number => {
      const key = String(sound);
      const known = sound.length === 0 ? 0 : nodes.get(key);
      if (known !== undefined) return known;
      const parent = nodeOf(sound.subarray(0, -1));
      const node = phone.push(sound.at(-1) ?? 0) - 1;
      children.push([]);
      ends.push([]);
      children[parent]!.push(node);
      nodes.set(key, node);
      return node;
    };
    for (const word of new Set([...lexicon.words, ...automaton.words.slice(1)]))
      for (const sound of lexicon.pronounce(word))
        ends[nodeOf(sound)]!.push(automaton.wordId.get(word) ?? -1);
    this.phone = Uint8Array.from(phone);
    this.child = Uint32Array.from(children.flat());
    this.childFrom = new Uint32Array(phone.length + 1);
    children.forEach((list, node) => {
      this.childFrom[node + 1] = this.childFrom[node]! + list.length;
    });
    this.ends = ends;
    this.nodes = nodes;
    this.label = new Float64Array(phone.length);
    this.blank = new Float64Array(phone.length);
    this.nextLabel = new Float64Array(phone.length);
    this.nextBlank = new Float64Array(phone.length);
  }

  /** The greatest odds, nats, that a word of the note was a common word that no note can have there; words in their order. */
  odds(words: readonly NoteWord[], sound: Sound): number {
    let greatest: number = bounds.least;
    words.forEach((word, i) => {
      const state = stateOf(this.graph, word.path.arc);
      // Where any word may stand, none is foreign.
      if (this.accepts(state, 0)) return;
      const from = words[i - 1]?.to ?? 0;
      const to = words[i + 1]?.from ?? sound.frames;
      const rest = words.slice(i + 1).map(({ path }) => this.graph.automaton.arcWord[path.arc]!);
      const isNote = (id: number) => this.reads(state, [id, ...rest]);
      greatest = Math.max(greatest, this.better(word.path, isNote, this.hear(sound, from, to)) + word.cost);
    });
    return greatest;
  }

  /** Nats by which the best rival fits these frames better than the word. */
  private better({ word }: PathWord, isNote: (id: number) => boolean, active: readonly number[]): number {
    const own = new Set(
      this.graph.lexicon
        .pronounce(this.graph.spelling[word]!)
        .map((sound) => this.nodes.get(String(sound)) ?? 0),
    );
    let ours = 0;
    let theirs = 0;
    for (const node of active) {
      const fit = this.label[node]! + this.blank[node]!;
      if (own.has(node)) ours += fit;
      else if (
        fit > theirs &&
        this.ends[node]!.length > 0 &&
        !this.ends[node]!.some((id) => id > 0 && isNote(id))
      )
        theirs = fit;
    }
    if (ours === 0) return bounds.most;
    return Math.min(bounds.most, Math.max(bounds.least, Math.log(theirs / ours)));
  }

  private accepts(state: number, word: number): boolean {
    const { automaton } = this.graph;
    return firstArc(automaton, state, word) < automaton.arcFrom[state + 1]!;
  }

  /** Whether notes may go on with these words from this state, to their end; 0 stands for any word. */
  private reads(state: number, words: readonly number[]): boolean {
    const { arcFrom, arcTo, arcWord, again, finalFrom } = this.graph.automaton;
    const isEnd = (at: number) => finalFrom[at]! < finalFrom[at + 1]!;
    let states = new Set([state]);
    for (const word of words) {
      const next = new Set<number>();
      if (again !== undefined && [...states].some(isEnd)) states.add(again);
      for (const at of states)
        for (const id of new Set([word, 0]))
          for (
            let arc = firstArc(this.graph.automaton, at, id);
            arc < arcFrom[at + 1]! && arcWord[arc] === id;
            arc++
          )
            next.add(arcTo[arc]!);
      states = next;
      if (states.size === 0) return false;
    }
    return [...states].some(isEnd);
  }

  /** How likely each word alone is on these frames, blanks before and behind it: the nodes that are alive at their end. */
  private hear({ prob }: Sound, from: number, to: number): number[] {
    const { phone, child, childFrom } = this;
    for (const values of [this.label, this.blank, this.nextLabel, this.nextBlank]) values.fill(0);
    let active: number[] = [];
    let silence = 1;
    for (let t = from; t < to; t++) {
      const row = t * outputs;
      const { label, blank, nextLabel, nextBlank } = this;
      const reached: number[] = [];
      let best = silence;
      for (const node of active) best = Math.max(best, label[node]!, blank[node]!);
      const floor = best * narrow;
      const enter = (node: number, likely: number): void => {
        if (likely <= 0) return;
        if (nextLabel[node] === 0 && nextBlank[node] === 0) reached.push(node);
        nextLabel[node]! += likely * prob[row + phone[node]!]!;
      };
      for (const node of active) {
        const inLabel = label[node]!;
        const inBlank = blank[node]!;
        label[node] = 0;
        blank[node] = 0;
        if (inLabel + inBlank < floor) continue;
        if (nextLabel[node] === 0 && nextBlank[node] === 0) reached.push(node);
        nextLabel[node]! += inLabel * prob[row + phone[node]!]!;
        nextBlank[node]! += (inLabel + inBlank) * prob[row]!;
        for (let c = childFrom[node]!; c < childFrom[node + 1]!; c++) {
          const below = child[c]!;
          enter(below, phone[below] === phone[node] ? inBlank : inLabel + inBlank);
        }
      }
      if (silence > floor) for (let c = childFrom[0]!; c < childFrom[1]!; c++) enter(child[c]!, silence);
      silence *= prob[row]!;
      active = reached;
      [this.label, this.nextLabel] = [nextLabel, label];
      [this.blank, this.nextBlank] = [nextBlank, blank];
    }
    return active;
  }
}

/** The state that an arc leaves. */
function stateOf({ automaton }: PhoneGraph, arc: number): number {
  const { arcFrom, states } = automaton;
  let low = 0;
  let high = states - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (arcFrom[middle]! <= arc) low = middle;
    else high = middle - 1;
  }
  return low;
}
