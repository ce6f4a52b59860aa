/**
 * The second look: accepted trees that do not fit what the stand has taught since. At the closing of a plot those of the
 * stand are told, the two strongest aloud and all of them among the doubts; at the end of the day (whoever asks for the
 * doubts, stops listening or prints the report) those of the whole book, also the trees that stand on no plot. Each tree
 * is told once; who says it is right is not told again.
 */

import type { Book, Tree } from '../book/book.ts';
import { secondLookCode } from '../book/doubt-register.ts';
import { required } from '../core/required.ts';
import type { Units } from '../core/units.ts';
import { type Accepted, askFrom, type SecondLook, secondLook } from '../measuring/doubt/index.ts';
import type { Doubt } from '../note/acts.ts';
import * as wording from '../wording/wording.ts';

/** Doubts about accepted trees of a stand that nobody was told of yet, strongest first. */
export function secondDoubts(book: Book, stand: string | null, units: Units): readonly Doubt[] {
  const own: Tree[] = [];
  for (const tree of book.trees()) if (tree.stand === stand) own.push(tree);
  return doubtsOf(book, looksAt(book, own), units);
}

function doubtsOf(book: Book, looks: readonly SecondLook[], units: Units): readonly Doubt[] {
  return looks.map((look) => ({
    code: secondLookCode,
    // Told, not asked: the tree is accepted, and the next note is about another.
    strength: 0.45,
    sentence: sentenceOf(required(book.tree(look.tree), 'a tree'), look, units),
    slips: [],
    about: look.tree,
  }));
}

/** Trees that are looked at when a day ends: more than a crew measures in one. */
const mostTrees = 2000;

/** The same of the whole book, its last trees where there are many. */
export const secondDoubtsOfBook = (book: Book, units: Units): readonly Doubt[] =>
  doubtsOf(book, looksAt(book, [...book.trees()].slice(-mostTrees)), units);

function looksAt(book: Book, of: Iterable<Tree>): readonly SecondLook[] {
  const told = new Set<string | null>();
  // What was only told in passing does not keep a tree from being told again, now that the stand knows better.
  for (const { tree, state, doubt } of book.doubts) {
    const asked = state === 'open' && doubt.strength >= askFrom;
    if (asked || state === 'kept' || doubt.code === secondLookCode) told.add(tree);
  }
  const trees: Accepted[] = [];
  for (const tree of of) {
    if (!tree.counted || told.has(tree.id)) continue;
    const accepted = acceptedOf(book, tree);
    if (accepted !== null) trees.push(accepted);
  }
  return secondLook(trees, book.curve);
}

function acceptedOf(book: Book, tree: Tree): Accepted | null {
  const node = book.height(tree.heights.at(-1) ?? null);
  const measurement = node?.said.at(-1)?.value ?? null;
  const taught = book.taughtBy(tree.id);
  if (node === null || node.value === null || measurement === null || taught === null) return null;
  return {
    tree,
    taught,
    measured: { measurement, height: node.value },
    settings: book.settings.at(node.device, node.point),
  };
}

/** "112 feet at 14 inches, where a northern red oak here comes to about 70." */
function sentenceOf(tree: Tree, { expectedFt }: SecondLook, units: Units): string {
  const said = `${wording.length(required(tree.heightFt, 'its height'), units)} at ${wording.diameter(required(tree.diameterIn, 'its diameter'), units)}`;
  const name = tree.species === null ? 'tree' : wording.speciesName(tree.species);
  const article = /^[aeiou]/i.test(name) ? 'an' : 'a';
  return `${said}, where ${article} ${name} here comes to about ${wording.length(expectedFt, units, 5)}.`;
}

/** What is said of them after the closing: two at most; the rest is under doubts. */
export function lookAgain(book: Book, doubts: readonly Doubt[]): string {
  const told = doubts.slice(0, 2).map(({ about, sentence }) => {
    return ` Look again at tree ${book.tree(about ?? null)?.number}: ${sentence}`;
  });
  const more = doubts.length - told.length;
  return told.join('') + (more > 0 ? ` ${more} more under doubts.` : '');
}
