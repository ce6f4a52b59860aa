/**
 * Written words as the tolerant reader's input: a row of columns from word border to word border, joined by what
 * each word may stand for: its phones in every pronunciation, words of the vocabulary that are spelled alike, a free
 * word, or nothing.
 */

import type { Automaton } from '../automaton/automaton.ts';
import { conceptPhrases, passedOver } from '../description/other-words/concepts.ts';
import type { PhoneGraph } from '../pronunciation/phone-graph.ts';
import { editCosts } from './edit-costs.ts';

/** One way into a column: a phone, or a whole word. */
export interface InputEdge {
  readonly from: number;
  readonly phone?: number;
  /** What the phone costs beside its sound: a word of the vocabulary is seldom another one's sound. */
  readonly cost?: number;
  /** Words of the automaton that the written word may stand for (0 is "any word"), with costs in nats. */
  readonly words?: readonly { readonly word: number; readonly cost: number }[];
  /** Which written word it is. */
  readonly written?: number;
  /** What it costs to take the word as no part of the note. */
  readonly skip?: number;
}

export interface Typed {
  /** Edges into each column; the first has none. */
  readonly columns: readonly (readonly InputEdge[])[];
  /** Columns that lie between words. */
  readonly borders: readonly number[];
  readonly words: readonly string[];
  /** Borders with a comma. */
  readonly commas: ReadonlySet<number>;
}

/** True when the arc's word is part of a number. */
export function saysNumber(automaton: Automaton, arc: number): boolean {
  return automaton.tagSequences[automaton.arcTags[arc]!]!.some((tag) => tag.op === 'digit');
}

/** Words that are part of a number somewhere. */
export function numberWords(automaton: Automaton): ReadonlySet<number> {
  const words = new Set<number>();
  for (let arc = 0; arc < automaton.arcWord.length; arc++)
    if (saysNumber(automaton, arc)) words.add(automaton.arcWord[arc]!);
  return words;
}

/** Words that hold trees against each other. */
const comparing = 'larger smaller bigger taller shorter thicker thinner higher lower lowest'.split(' ');

/** Written words that are often another one misheard, beyond homophones. */
const soundAlikes: ReadonlyMap<string, readonly string[]> = new Map([
  ['three', ['tree']],
  ['tree', ['three']],
]);

/** Words of which it is known what they speak of, so that they are no slip of another: "larger" is no laser. */
const ownMeaning: ReadonlySet<string> = new Set(
  [...conceptPhrases.flatMap(([, phrases]) => phrases), ...comparing].filter(
    (phrase) => /^[a-z]{5,}$/.test(phrase) && !passedOver.has(phrase),
  ),
);

/** Such a word, where the automaton has it not. */
const isOwn = (word: string, known: number | undefined): boolean =>
  known === undefined && ownMeaning.has(word);

/** What a written word costs as a free word: more when the vocabulary has it. */
export const freeCost = (known: boolean): number => (known ? 2 : 1) * editCosts.free;

/** Sounds and spellings of a written sentence; a comma stays behind its word. */
export function typedInput(
  written: readonly string[],
  graph: PhoneGraph,
  fillers: ReadonlySet<string>,
  numbers: ReadonlySet<number>,
): Typed {
  const { automaton, lexicon } = graph;
  const words = written.map((word) => word.replace(/,$/, ''));
  const commas = new Set<number>();
  const columns: InputEdge[][] = [[]];
  const borders = [0];
  let border = 0;
  words.forEach((word, index) => {
    const into: InputEdge[] = [];
    const known = automaton.wordId.get(word);
    for (const sound of isOwn(word, known) ? [] : lexicon.pronounce(word)) {
      let from = border;
      sound.forEach((phone, i) => {
        const cost = i === 0 && known !== undefined ? editCosts.knownBySound : 0;
        if (i === sound.length - 1) into.push({ from, phone, cost });
        else from = columns.push([{ from, phone, cost }]) - 1;
      });
    }
    const meant: { word: number; cost: number }[] = [];
    if (known !== undefined && known !== 0) meant.push({ word: known, cost: 0 });
    else meant.push(...spelledLike(word, graph, lexicon.has(word)));
    for (const alike of soundAlikes.get(word) ?? []) {
      const id = automaton.wordId.get(alike);
      if (id !== undefined) meant.push({ word: id, cost: editCosts.alike });
    }
    meant.push({ word: 0, cost: freeCost(known !== undefined) });
    let skip: number = numbers.has(known ?? 0) ? editCosts.skippedNumber : editCosts.skipped;
    if (fillers.has(word)) skip = editCosts.filler;
    else if (index > 0 && words[index - 1] === word) {
      const numeric = [word, words[index - 2], words[index + 1]].some(
        (near) => near !== undefined && numbers.has(automaton.wordId.get(near) ?? 0),
      );
      skip = numeric ? editCosts.doubledNumber : editCosts.doubled;
    }
    into.push({ from: border, words: meant, written: index, skip });
    border = columns.push(into) - 1;
    borders.push(border);
    if (written[index]!.endsWith(',')) commas.add(border);
  });
  return { columns, borders, words, commas };
}

/** Words of the vocabulary within a slip or two of the keyboard. */
function spelledLike(written: string, graph: PhoneGraph, isWord: boolean): { word: number; cost: number }[] {
  const found: { word: number; cost: number }[] = [];
  if (isOwn(written, undefined)) return found;
  const most = written.length <= 2 ? 0 : written.length <= 5 ? 1 : 2;
  if (most === 0) return found;
  const letters = lettersOf(written);
  const lettersOfAll = lettersOfWords(graph.automaton.words);
  graph.automaton.words.forEach((word, id) => {
    if (id === 0 || word.length < 3 || Math.abs(word.length - written.length) > most) return;
    if (!maybeWithin(letters, lettersOfAll[id]!, most)) return;
    const slips = keySlips(written, word, most);
    if (slips <= most)
      found.push({ word: id, cost: slips * editCosts.key + (isWord ? editCosts.realWord : 0) });
  });
  return found;
}

/** The letters of a word as bits: those that are not letters, or share a bit, only make two words look more alike. */
function lettersOf(word: string): number {
  let bits = 0;
  for (let i = 0; i < word.length; i++) bits |= 1 << (word.charCodeAt(i) & 31);
  return bits;
}

const knownLetters = new WeakMap<readonly string[], Int32Array>();

function lettersOfWords(words: readonly string[]): Int32Array {
  let letters = knownLetters.get(words);
  if (letters === undefined) {
    letters = Int32Array.from(words, lettersOf);
    knownLetters.set(words, letters);
  }
  return letters;
}

/** False where two words are surely further apart: one slip takes at most one letter away and brings at most one in. */
const maybeWithin = (a: number, b: number, most: number): boolean =>
  bitsIn(a & ~b) <= most && bitsIn(b & ~a) <= most;

function bitsIn(bits: number): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}

/**
 * Letters left out, added, changed or swapped between two words (Damerau's distance, adjacent swaps only); stops
 * counting beyond `most`. `keySlips('dougals', 'douglas', 2)` is 1.
 */
export function keySlips(a: string, b: string, most: number): number {
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      let cost = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, before[j - 2]! + 1);
      next.push(cost);
      if (cost < least) least = cost;
    }
    if (least > most) return least;
    before = row;
    row = next;
  }
  return row[b.length]!;
}
