/**
 * The phone graph: the word automaton with every word spelled out in phones, pronunciations of one state sharing
 * their beginnings. Speech search and the tolerant reader both run on it. Word ends carry the automaton's arc, so
 * that a path through the graph is a path of the automaton with its tags.
 */
import type { Lexicon, Pronunciation } from './lexicon.ts';
import type { Automaton } from './model.ts';

/** Flat arrays; node n of state s stands for one phone of one or more words that may follow s. */
export interface PhoneGraph {
  readonly automaton: Automaton;
  readonly lexicon: Lexicon;
  readonly nodes: number;
  /** Phone 1..39 of each node. */
  readonly phone: Uint8Array;
  /** The first phone of the node's words: the one with which its word was entered. */
  readonly firstPhone: Uint8Array;
  /** The phone before in the same word, -1 at its start. */
  readonly parent: Int32Array;
  /** The state from which the node's words start. */
  readonly state: Uint32Array;
  /** Phones that may follow inside the word: childNode[childFrom[n] .. childFrom[n + 1]]. */
  readonly childFrom: Uint32Array;
  readonly childNode: Uint32Array;
  /** First phones of a state's words: rootNode[rootFrom[s] .. rootFrom[s + 1]]. */
  readonly rootFrom: Uint32Array;
  readonly rootNode: Uint32Array;
  /** Words that end at a node: ends endFrom[n] .. endFrom[n + 1]. */
  readonly endFrom: Uint32Array;
  readonly endArc: Uint32Array;
  /** State after the word. */
  readonly endTo: Uint32Array;
  /** Index into `spelling`. */
  readonly endWord: Uint32Array;
  /** Nats that a word costs beside its sound: 0 but for free words. */
  readonly endCost: Float32Array;
  /** How words are written: the automaton's words, then those that may be heard as "any word". */
  readonly spelling: readonly string[];
}

/** Nats for a free word ("any word") in speech: one of some thousand words, none likelier than another. */
export const freeWordCost = 8.5;

/** A pronunciation with what it is a pronunciation of. */
interface Entry {
  readonly sound: Pronunciation;
  readonly word: number;
}

const compareSounds = (a: Pronunciation, b: Pronunciation): number => {
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i++) if (a[i] !== b[i]) return a[i]! - b[i]!;
  return a.length - b.length;
};

/** A growing list of unsigned integers. */
class Growing {
  private data = new Uint32Array(1 << 14);
  length = 0;
  push(value: number): void {
    if (this.length === this.data.length) {
      const larger = new Uint32Array(2 * this.length);
      larger.set(this.data);
      this.data = larger;
    }
    this.data[this.length++] = value;
  }
  take(): Uint32Array {
    return this.data.slice(0, this.length);
  }
}

/**
 * Spells the automaton out. Homophones that mean the same (same tags, same next state) are one word here; a word
 * without any pronunciation cannot be heard. `freeWords` are those that the ear may find where the automaton takes
 * any word. Built anew when user words are added.
 */
export function createGraph(
  automaton: Automaton,
  lexicon: Lexicon,
  freeWords: readonly string[] = lexicon.words,
): PhoneGraph {
  // Pronunciations in the order of their sounds: words that start alike come one after another.
  const anyWord = 0;
  const spelling = [...automaton.words];
  const entriesOf: Entry[][] = automaton.words.map((word, id) =>
    id === anyWord ? [] : lexicon.pronounce(word).map((sound) => ({ sound, word: id })),
  );
  const free: Entry[] = [];
  const hasFreeWords = automaton.arcWord.includes(anyWord);
  if (hasFreeWords)
    for (const word of freeWords) {
      const id = automaton.wordId.get(word) ?? spelling.push(word) - 1;
      for (const sound of lexicon.pronounce(word)) free.push({ sound, word: id });
    }
  const ordered = [...new Set([...entriesOf.flat(), ...free])].sort((a, b) =>
    compareSounds(a.sound, b.sound),
  );
  const rank = new Map(ordered.map((entry, index) => [entry, index]));

  const phone = new Growing();
  const parent = new Growing();
  const firstPhone = new Growing();
  const state = new Growing();
  const rootNode = new Growing();
  const rootFrom = new Uint32Array(automaton.states + 1);
  const endNode: number[] = [];
  const endArc: number[] = [];
  const endWord: number[] = [];
  const endCost: number[] = [];
  const none = 0xffffffff;
  const path = new Int32Array(256);

  for (let s = 0; s < automaton.states; s++) {
    rootFrom[s] = rootNode.length;
    const list: [number, Entry, number][] = [];
    for (let arc = automaton.arcFrom[s]!; arc < automaton.arcFrom[s + 1]!; arc++) {
      const word = automaton.arcWord[arc]!;
      for (const entry of word === anyWord ? free : entriesOf[word]!)
        list.push([rank.get(entry)!, entry, arc]);
    }
    list.sort((a, b) => a[0] - b[0]);
    let before: Pronunciation | undefined;
    let firstEnd = endNode.length;
    for (const [, { sound, word }, arc] of list) {
      let shared = 0;
      if (before !== undefined)
        while (shared < sound.length && shared < before.length && sound[shared] === before[shared]) shared++;
      const same = before !== undefined && shared === sound.length && shared === before.length;
      for (let i = shared; i < sound.length; i++) {
        const node = phone.length;
        phone.push(sound[i]!);
        firstPhone.push(sound[0]!);
        state.push(s);
        parent.push(i === 0 ? none : path[i - 1]!);
        if (i === 0) rootNode.push(node);
        path[i] = node;
      }
      if (!same) firstEnd = endNode.length;
      before = sound;
      const free = automaton.arcWord[arc] === anyWord;
      let known = false;
      for (let e = firstEnd; e < endNode.length && !known; e++) {
        const other = endArc[e]!;
        known =
          automaton.arcTo[other] === automaton.arcTo[arc] &&
          automaton.arcTags[other] === automaton.arcTags[arc] &&
          (automaton.arcWord[other] === anyWord) === free;
      }
      if (known) continue;
      endNode.push(path[sound.length - 1]!);
      endArc.push(arc);
      endWord.push(word);
      endCost.push(free ? freeWordCost : 0);
    }
  }
  rootFrom[automaton.states] = rootNode.length;

  const nodes = phone.length;
  const parents = Int32Array.from(parent.take(), (node) => node | 0);
  const byParent = compressed(nodes, parents);
  const byNode = compressed(nodes, Int32Array.from(endNode));
  const endOrder = byNode.items;
  return {
    automaton,
    lexicon,
    nodes,
    phone: Uint8Array.from(phone.take()),
    firstPhone: Uint8Array.from(firstPhone.take()),
    parent: parents,
    state: state.take(),
    childFrom: byParent.from,
    childNode: byParent.items,
    rootFrom,
    rootNode: rootNode.take(),
    endFrom: byNode.from,
    endArc: endOrder.map((e) => endArc[e]!),
    endTo: endOrder.map((e) => automaton.arcTo[endArc[e]!]!),
    endWord: endOrder.map((e) => endWord[e]!),
    endCost: Float32Array.from(endOrder, (e) => endCost[e]!),
    spelling,
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
