/**
 * Trains the letter-to-sound trees of grammar/pronunciation/grapheme-to-phoneme.json from CMUdict and prints their phone error on held-out
 * words. Run: `npx tsx tests/grammar/make/grapheme-to-phoneme.ts` (about half a minute).
 *
 * Every letter is aligned to none, one or two phones by expectation maximisation; then one decision tree a letter
 * chooses them from the letters around and the phones just given, pruned on words kept apart from both the
 * training and the test words.
 */
import { writeFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { dictionary } from 'cmu-pronouncing-dictionary';
import { phoneCodes, phones } from '../../../grammar/pronunciation/lexicon.ts';

const codeOf = new Map(phones.map((phone, id) => [phone, phoneCodes[id]!]));
const coded = (entry: string) =>
  entry
    .split(' ')
    .map((phone) => codeOf.get(phone.replace(/\d/g, ''))!)
    .join('');

interface Item {
  readonly word: string;
  readonly sound: string;
  readonly variants: readonly string[];
}
let seed = 7;
const random = () => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return seed / 2 ** 32;
};
const training: Item[] = [];
const pruning: Item[] = [];
const test: Item[] = [];
for (const [word, entry] of Object.entries(dictionary)) {
  if (!/^[a-z]{2,}$/.test(word) || entry === undefined) continue;
  const variants = [2, 3, 4].flatMap((v) => dictionary[`${word}(${v})`] ?? []).map(coded);
  const item = { word, sound: coded(entry), variants: [coded(entry), ...variants] };
  const draw = random();
  (draw < 0.05 ? test : draw < 0.15 ? pruning : training).push(item);
}

/** Chunk probabilities P(phones | letter), by expectation maximisation over all alignments. */
const chunk = new Map<string, number>();
const weight = (letter: string, sound: string) => chunk.get(letter + sound) ?? (chunk.size === 0 ? 1 : 1e-7);
const lengths = [0, 1, 2];
for (let round = 0; round < 8; round++) {
  const counts = new Map<string, number>();
  for (const { word, sound } of training) {
    const columns = sound.length + 1;
    const forward = new Float64Array((word.length + 1) * columns);
    const backward = new Float64Array((word.length + 1) * columns);
    forward[0] = 1;
    for (let i = 0; i < word.length; i++)
      for (let j = 0; j < columns; j++)
        for (const n of lengths)
          if (j + n < columns)
            forward[(i + 1) * columns + j + n]! +=
              forward[i * columns + j]! * weight(word[i]!, sound.slice(j, j + n)) * (n === 1 ? 1 : 0.1);
    const total = forward[word.length * columns + sound.length]!;
    if (!(total > 0)) continue;
    backward[word.length * columns + sound.length] = 1;
    for (let i = word.length - 1; i >= 0; i--)
      for (let j = 0; j < columns; j++)
        for (const n of lengths) {
          if (j + n >= columns) continue;
          const key = word[i]! + sound.slice(j, j + n);
          const step =
            weight(word[i]!, sound.slice(j, j + n)) *
            (n === 1 ? 1 : 0.1) *
            backward[(i + 1) * columns + j + n]!;
          backward[i * columns + j]! += step;
          const share = (forward[i * columns + j]! * step) / total;
          if (share > 1e-9) counts.set(key, (counts.get(key) ?? 0) + share);
        }
  }
  const sums = new Map<string, number>();
  for (const [key, count] of counts) sums.set(key[0]!, (sums.get(key[0]!) ?? 0) + count);
  chunk.clear();
  for (const [key, count] of counts) chunk.set(key, count / sums.get(key[0]!)!);
}

/** The best alignment: for each letter its phones; undefined when the word cannot be aligned. */
function align(word: string, sound: string): string[] | undefined {
  const columns = sound.length + 1;
  const best = new Float64Array((word.length + 1) * columns).fill(-Infinity);
  const from = new Uint8Array(best.length);
  best[0] = 0;
  for (let i = 0; i < word.length; i++)
    for (let j = 0; j < columns; j++)
      for (const n of lengths) {
        if (j + n >= columns) continue;
        const score = best[i * columns + j]! + Math.log(weight(word[i]!, sound.slice(j, j + n)));
        const to = (i + 1) * columns + j + n;
        if (score > best[to]!) {
          best[to] = score;
          from[to] = n;
        }
      }
  if (best[best.length - 1] === -Infinity) return undefined;
  const out: string[] = [];
  let j = sound.length;
  for (let i = word.length; i > 0; i--) {
    const n = from[i * columns + j]!;
    out.unshift(sound.slice(j - n, j));
    j -= n;
  }
  return out;
}

/** Feature f of letter i: the letters at -4..-1, +1..+4, then the phones of the two letters before. */
const offsets = [-4, -3, -2, -1, 1, 2, 3, 4];
const features = (word: string, i: number, given: readonly string[]): string[] => [
  ...offsets.map((offset) => word[i + offset] ?? '#'),
  given[i - 1] ?? '#',
  given[i - 2] ?? '#',
];
interface Example {
  readonly is: readonly string[];
  readonly out: string;
}
const examples = (items: readonly Item[]) => {
  const byLetter = new Map<string, Example[]>();
  for (const { word, sound } of items) {
    const given = align(word, sound);
    if (given === undefined) continue;
    for (let i = 0; i < word.length; i++) {
      const list = byLetter.get(word[i]!) ?? [];
      list.push({ is: features(word, i, given), out: given[i]! });
      byLetter.set(word[i]!, list);
    }
  }
  return byLetter;
};

/** A leaf is its phones; a branch is [phones otherwise, feature, values of the feature -> tree]. */
type Tree = string | [string, number, Record<string, Tree>];

const tally = (list: readonly Example[]) => {
  const counts = new Map<string, number>();
  for (const { out } of list) counts.set(out, (counts.get(out) ?? 0) + 1);
  return counts;
};
const entropy = (counts: ReadonlyMap<string, number>, total: number) => {
  let sum = 0;
  for (const count of counts.values()) sum -= count * Math.log2(count / total);
  return sum;
};
const split = (list: readonly Example[], feature: number) => {
  const groups = new Map<string, Example[]>();
  for (const example of list) {
    const value = example.is[feature]!;
    const group = groups.get(value);
    if (group === undefined) groups.set(value, [example]);
    else group.push(example);
  }
  return groups;
};

const leastCount = 4;
const leastGain = 1;
function grow(list: readonly Example[], held: readonly Example[]): Tree {
  const counts = tally(list);
  const usual = [...counts].sort((a, b) => b[1] - a[1])[0]![0];
  if (counts.size === 1 || list.length < leastCount) return usual;
  const before = entropy(counts, list.length);
  let bestFeature = -1;
  let bestRatio = 0;
  let bestGroups: Map<string, Example[]> | undefined;
  for (let feature = 0; feature < offsets.length + 2; feature++) {
    const groups = split(list, feature);
    let after = 0;
    let splitEntropy = 1;
    for (const group of groups.values()) {
      after += entropy(tally(group), group.length);
      splitEntropy -= (group.length / list.length) * Math.log2(group.length / list.length);
    }
    const ratio = (before - after) / splitEntropy;
    if (ratio > bestRatio) {
      bestRatio = ratio;
      bestFeature = feature;
      bestGroups = groups;
    }
  }
  if (bestGroups === undefined || bestGroups.size === 1) return usual;
  const heldGroups = split(held, bestFeature);
  const branches: Record<string, Tree> = {};
  let kept = 0;
  for (const [value, group] of [...bestGroups].sort((a, b) => (a[0] < b[0] ? -1 : 1))) {
    if (group.length < 2) continue;
    const heldGroup = heldGroups.get(value) ?? [];
    const tree = grow(group, heldGroup);
    if (tree === usual) continue;
    const gain = wrong(usual, heldGroup) - wrong(tree, heldGroup);
    if (gain < leastGain) continue;
    branches[value] = tree;
    kept++;
  }
  return kept === 0 ? usual : [usual, bestFeature, branches];
}
function follow(tree: Tree, is: readonly string[]): string {
  let at = tree;
  while (typeof at !== 'string') {
    const next: Tree | undefined = at[2][is[at[1]]!];
    if (next === undefined) return at[0];
    at = next;
  }
  return at;
}
const wrong = (tree: Tree, list: readonly Example[]) =>
  list.reduce((sum, example) => sum + (follow(tree, example.is) === example.out ? 0 : 1), 0);

const trainingExamples = examples(training);
const pruningExamples = examples(pruning);
const trees: Record<string, Tree> = {};
for (const letter of [...trainingExamples.keys()].sort())
  trees[letter] = grow(trainingExamples.get(letter)!, pruningExamples.get(letter) ?? []);

function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1));
    row = next;
  }
  return row[b.length]!;
}
let errors = 0;
let length = 0;
let exact = 0;
for (const { word, variants } of test) {
  const given: string[] = [];
  for (let i = 0; i < word.length; i++) given.push(follow(trees[word[i]!]!, features(word, i, given)));
  const sound = given.join('');
  const [nearest, best] = variants
    .map((variant): [number, string] => [distance(sound, variant), variant])
    .sort((a, b) => a[0] - b[0])[0]!;
  errors += nearest;
  length += best.length;
  if (nearest === 0) exact++;
}
const text = `{\n${Object.entries(trees)
  .map(([letter, tree]) => `"${letter}":${JSON.stringify(tree)}`)
  .join(',\n')}\n}\n`;
writeFileSync(new URL('../../../grammar/pronunciation/grapheme-to-phoneme.json', import.meta.url), text);
console.log(`${test.length} held-out words: phone error ${((100 * errors) / length).toFixed(1)} %`);
console.log(`words wholly right ${((100 * exact) / test.length).toFixed(1)} %`);
console.log(`${(text.length / 1024).toFixed(0)} kB, ${(gzipSync(text).length / 1024).toFixed(1)} kB gzipped`);
