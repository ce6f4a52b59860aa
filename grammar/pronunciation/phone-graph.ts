/**
 * The phone graph: the word automaton with every word spelled out in phones. States that may be followed by the same
 * words share one tree of phones, in which pronunciations share their beginnings. Speech search and the tolerant
 * reader both run on it; word ends lead back to the automaton's arcs, so that a path through the graph is a path of
 * the automaton with its tags.
 */

import type { Automaton } from '../automaton/automaton.ts';
import type { Lexicon, Pronunciation } from './lexicon.ts';
import { unigramCosts } from './unigrams.ts';

/** Flat arrays. A place is a node of a tree as seen from one state. */
export interface PhoneGraph {
  readonly automaton: Automaton;
  readonly lexicon: Lexicon;
  /** The tree of the words that may follow a state. */
  readonly treeOf: Uint32Array;
  /** Node n of state s is place placeFrom[s] + n - nodeFrom[treeOf[s]]. */
  readonly placeFrom: Uint32Array;
  readonly places: number;
  /** Nodes of tree t: from nodeFrom[t] to nodeFrom[t + 1]. */
  readonly nodeFrom: Uint32Array;
  /** Phone 1..39 of each node. */
  readonly phone: Uint8Array;
  /** The phone with which the node's words begin. */
  readonly firstPhone: Uint8Array;
  /** The phone before in the same word, -1 at its start. */
  readonly parent: Int32Array;
  /** Phones that may follow inside the word: childNode[childFrom[n] .. childFrom[n + 1]]. */
  readonly childFrom: Uint32Array;
  readonly childNode: Uint32Array;
  /** First phones of a tree: rootNode[rootFrom[t] .. rootFrom[t + 1]]. */
  readonly rootFrom: Uint32Array;
  readonly rootNode: Uint32Array;
  /** Words that end at a node: endFrom[n] .. endFrom[n + 1]. */
  readonly endFrom: Uint32Array;
  /** The automaton's word, 0 for "any word", `fillerWord` for a sound that means nothing and leads nowhere. */
  readonly endWord: Uint32Array;
  readonly fillerWord: number;
  /** How it is written: index into `spelling`. */
  readonly endSpelling: Uint32Array;
  /** The automaton's words, then those that may be heard as "any word". */
  readonly spelling: readonly string[];
  /** Nats for each of them where it is heard as "any word". */
  readonly freeCost: Float64Array;
}

/** Nats for a filler ("um") between words. */
export const fillerCost = 4;

/** A pronunciation with what it is a pronunciation of. */
interface Entry {
  readonly sound: Pronunciation;
  readonly word: number;
  readonly spelling: number;
}

const compareSounds = (a: Pronunciation, b: Pronunciation): number => {
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i++) if (a[i] !== b[i]) return a[i]! - b[i]!;
  return a.length - b.length;
};

/** A growing list of integers. */
class Growing {
  private data = new Int32Array(1 << 12);
  length = 0;
  push(value: number): void {
    if (this.length === this.data.length) {
      const larger = new Int32Array(2 * this.length);
      larger.set(this.data);
      this.data = larger;
    }
    this.data[this.length++] = value;
  }
  take(): Int32Array {
    return this.data.slice(0, this.length);
  }
}

/** Words that the ear may hear beside those of the automaton. */
interface GraphWords {
  /** Where the automaton takes any word: those expected there (the whole lexicon unless given), ... */
  readonly free?: readonly string[];
  /** ... those of them that are expected most, ... */
  readonly known?: readonly string[] | undefined;
  /** ... and those found there if none of them fits. */
  readonly rare?: readonly string[];
  /** Before any word, for nothing. */
  readonly fillers?: readonly string[];
}

/**
 * Spells the automaton out; a word without any pronunciation cannot be heard. Built anew when user words are added.
 */
export function createGraph(
  automaton: Automaton,
  lexicon: Lexicon,
  { free: freeWords = lexicon.words, known = [], rare = [], fillers = [] }: GraphWords = {},
): PhoneGraph {
  const anyWord = 0;
  const spelling = [...automaton.words];
  const entries: Entry[] = [];
  automaton.words.forEach((word, id) => {
    if (id !== anyWord)
      for (const sound of lexicon.pronounce(word)) entries.push({ sound, word: id, spelling: id });
  });
  if (automaton.arcWord.includes(anyWord))
    for (const word of new Set([...freeWords, ...rare])) {
      const id = automaton.wordId.get(word) ?? spelling.push(word) - 1;
      for (const sound of lexicon.pronounce(word)) entries.push({ sound, word: anyWord, spelling: id });
    }
  const fillerWord = automaton.words.length;
  for (const word of fillers) {
    const id = automaton.wordId.get(word) ?? spelling.push(word) - 1;
    for (const sound of lexicon.pronounce(word)) entries.push({ sound, word: fillerWord, spelling: id });
  }
  // In the order of their sounds, words that start alike come one after another.
  entries.sort((a, b) => compareSounds(a.sound, b.sound));
  const entriesOf: number[][] = Array.from({ length: fillerWord + 1 }, () => []);
  entries.forEach((entry, index) => {
    entriesOf[entry.word]!.push(index);
  });

  const phone = new Growing();
  const parent = new Growing();
  const firstPhone = new Growing();
  const rootNode = new Growing();
  const rootFrom = [0];
  const nodeFrom = [0];
  const endNode = new Growing();
  const endWord = new Growing();
  const endSpelling = new Growing();
  const addTree = (words: readonly number[]): void => {
    const list = Int32Array.from([...words, fillerWord].flatMap((word) => entriesOf[word]!)).sort();
    const path: number[] = [];
    let before: Pronunciation | undefined;
    for (const index of list) {
      const { sound, word, spelling } = entries[index]!;
      let shared = 0;
      if (before !== undefined)
        while (shared < sound.length && shared < before.length && sound[shared] === before[shared]) shared++;
      for (let i = shared; i < sound.length; i++) {
        const node = phone.length;
        phone.push(sound[i]!);
        firstPhone.push(sound[0]!);
        parent.push(i === 0 ? -1 : path[i - 1]!);
        if (i === 0) rootNode.push(node);
        path[i] = node;
      }
      endNode.push(path[sound.length - 1]!);
      endWord.push(word);
      endSpelling.push(spelling);
      before = sound;
    }
    rootFrom.push(rootNode.length);
    nodeFrom.push(phone.length);
  };

  const treeOf = new Uint32Array(automaton.states);
  const placeFrom = new Uint32Array(automaton.states + 1);
  const trees = new Map<string, number>();
  for (let s = 0; s < automaton.states; s++) {
    const words = [...new Set(automaton.arcWord.subarray(automaton.arcFrom[s]!, automaton.arcFrom[s + 1]!))];
    const key = words.join();
    let tree = trees.get(key);
    if (tree === undefined) {
      tree = trees.size;
      trees.set(key, tree);
      addTree(words);
    }
    treeOf[s] = tree;
    placeFrom[s + 1] = placeFrom[s]! + nodeFrom[tree + 1]! - nodeFrom[tree]!;
  }

  const parents = parent.take();
  const children = compressed(phone.length, parents);
  const ends = compressed(phone.length, endNode.take());
  const words = endWord.take();
  const spellings = endSpelling.take();
  return {
    automaton,
    lexicon,
    treeOf,
    placeFrom,
    places: placeFrom[automaton.states]!,
    nodeFrom: Uint32Array.from(nodeFrom),
    phone: Uint8Array.from(phone.take()),
    firstPhone: Uint8Array.from(firstPhone.take()),
    parent: parents,
    childFrom: children.from,
    childNode: children.items,
    rootFrom: Uint32Array.from(rootFrom),
    rootNode: Uint32Array.from(rootNode.take()),
    endFrom: ends.from,
    endWord: ends.items.map((e) => words[e]!),
    fillerWord,
    endSpelling: ends.items.map((e) => spellings[e]!),
    spelling,
    freeCost: unigramCosts(spelling, freeWords, known),
  };
}

/** Items grouped by their key 0..keys-1 (negative keys left out), in rows: items[from[k] .. from[k + 1]]. */
function compressed(keys: number, keyOf: Int32Array): { from: Uint32Array; items: Uint32Array } {
  const from = new Uint32Array(keys + 1);
  for (const key of keyOf) if (key >= 0) from[key + 1]!++;
  for (let key = 0; key < keys; key++) from[key + 1]! += from[key]!;
  const next = from.slice();
  const items = new Uint32Array(from[keys]!);
  keyOf.forEach((key, item) => {
    if (key >= 0) items[next[key]!++] = item;
  });
  return { from, items };
}

/** The first arc of a state that reads a word (arcs are sorted by word), or the state's end when there is none. */
export function firstArc(automaton: Automaton, state: number, word: number): number {
  const { arcFrom, arcWord } = automaton;
  let low = arcFrom[state]!;
  let high = arcFrom[state + 1]!;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (arcWord[middle]! < word) low = middle + 1;
    else high = middle;
  }
  return low < arcFrom[state + 1]! && arcWord[low] === word ? low : arcFrom[state + 1]!;
}
