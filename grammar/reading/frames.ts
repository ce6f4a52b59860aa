/**
 * The third reader, behind the exact and the tolerant one: rules by their telling words, in any order. It never keeps
 * anything. It proposes a whole reading that uses every number and every telling word that was said, or finds the example
 * nearest in meaning to what was said. All of it comes from the description.
 */

import { lastOf } from '../../shared/core/required.ts';
import type { Candidate, Notes } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import type { Rule } from '../description/model.ts';
import { normalise } from '../description/normalise.ts';
import { numberRules } from '../description/numbers.ts';
import type { Node } from '../description/patterns.ts';
import { children, digitWords, patternOf, type Syntax } from '../description/syntax.ts';
import type { Reader } from './exact.ts';
import { offered } from './reading.ts';

/** Words that carry nothing by themselves and may be left out of a proposal. "Not", "no" and numbers never are. */
const lightWords: ReadonlySet<string> = new Set(
  (
    "the an and is are was were be been it its it's i i'm i've my me we our you your this that that's these those there here now " +
    'then so just about of at to on from for with by as got get have has had do did make take took say says said read reads call ' +
    'please well really exactly right good nice old also too again actually hm hmm mm oh uh um er ah ok okay hi hello oops'
  ).split(' '),
);

/** Clauses that are tried in every order; so many sentences are read at most. */
const mostClauses = 5;

/** Notes with free words take in whatever stands there; taking back is never guessed. */
const neverProposed: ReadonlySet<string> = new Set([
  'remark',
  'call',
  'stand',
  'stratum',
  'scratch',
  'answer',
  'pick',
  'control',
  'number',
]);

/** A rule that was nearly said, with the example to say instead. */
interface Nearest {
  readonly rule: Rule;
  readonly example: string;
}

interface Frame {
  readonly rule: Rule;
  readonly words: ReadonlySet<string>;
}

export class ClauseFrames {
  private readonly frames: readonly Frame[];
  private readonly numbers: ReadonlySet<string>;
  /** How telling a word is: the fewer rules say it the more. */
  private readonly weight = new Map<string, number>();

  constructor(trees: Syntax) {
    this.numbers = digitWords(trees);
    const parts = new Map<string, ReadonlySet<string>>(numberRules.map(({ id }) => [id, new Set<string>()]));
    const wordsOf = (id: string): ReadonlySet<string> => {
      let words = parts.get(id);
      if (words === undefined) {
        const found = new Set<string>();
        const visit = (node: Node): void => {
          if (node.is === 'word') found.add(node.word);
          else if (node.is === 'rule') for (const word of wordsOf(node.id)) found.add(word);
          else for (const child of children(node)) visit(child);
        };
        visit(patternOf(trees, id));
        words = found;
        parts.set(id, words);
      }
      return words;
    };
    this.frames = trees.roots.map((rule) => ({ rule, words: wordsOf(rule.id) }));
    for (const { words } of this.frames)
      for (const word of words) this.weight.set(word, (this.weight.get(word) ?? 0) + 1);
    for (const [word, count] of this.weight)
      this.weight.set(word, this.isTelling(word) ? Math.log((this.frames.length + 1) / count) : 0);
  }

  /** Words that some rule says. */
  knows(word: string): boolean {
    return this.weight.has(word) || this.numbers.has(word);
  }

  /** True for a word that a proposal must use. */
  isTelling(word: string): boolean {
    return !lightWords.has(word) && !this.numbers.has(word);
  }

  /** The rule with the most telling of the words, and its example nearest to them; undefined when no rule has any. */
  nearest(words: readonly string[]): Nearest | undefined {
    const said = [...new Set(words)];
    const share = (has: (word: string) => boolean): number =>
      said.reduce((sum, word) => sum + (has(word) ? (this.weight.get(word) ?? 0) : 0), 0);
    let best: Nearest | undefined;
    let most = 0;
    for (const { rule, words: known } of this.frames) {
      const inRule = share((word) => known.has(word));
      if (inRule === 0) continue;
      for (const { words: example } of rule.examples ?? []) {
        const own = new Set(example.split(' '));
        const score = inRule + share((word) => own.has(word));
        if (score <= most) continue;
        most = score;
        best = { rule, example };
      }
    }
    return best;
  }

  /**
   * A reading of the same words in another order of their clauses, without light words where they stood in the way;
   * undefined when there is none, or when there are several: "base minus four, sixty six feet, top forty two degrees"
   * is proposed as "top forty two degrees, base minus four, sixty six feet".
   */
  propose(text: string, reader: Reader): Candidate | undefined {
    const clauses = clausesOf(normalise(text), this.numbers);
    if (clauses.length > mostClauses) return undefined;
    for (const lighter of [kept, trimmed, bare]) {
      const words = clauses.map(lighter).filter((clause) => clause !== '');
      const found = new Map<string, Candidate>();
      let fewest = Number.POSITIVE_INFINITY;
      for (const order of orders(words)) {
        const said = order.join(', ');
        const read = reader.read(said);
        if (!read.ok || read.value.length > 1) continue;
        const { notes } = read.value[0]!;
        if (notes.length > fewest || !isProposable(notes)) continue;
        if (notes.length < fewest) found.clear();
        fewest = notes.length;
        found.set(notesKey(notes), { notes, words: said, posterior: offered });
      }
      if (found.size > 1) return undefined;
      for (const only of found.values()) return only;
    }
    return undefined;
  }
}

const isProposable = (notes: Notes): boolean => notes.every(({ kind }) => !neverProposed.has(kind));

/** What stands between commas and "and"; "two and a half" is one thing. */
function clausesOf(words: string, numbers: ReadonlySet<string>): string[][] {
  const clauses: string[][] = [[]];
  const said = words.split(' ');
  said.forEach((each, at) => {
    const word = each.replace(/,$/, '');
    const before = said[at - 1]?.replace(/,$/, '') ?? '';
    const inNumber = numbers.has(before) && /^(a|an|one|two|three)$/.test(said[at + 1] ?? '');
    if (word === 'and' && !inNumber) clauses.push([]);
    else lastOf(clauses).push(word);
    if (each.endsWith(',')) clauses.push([]);
  });
  return clauses.filter((clause) => clause.length > 0);
}

const kept = (clause: readonly string[]): string => clause.join(' ');
const bare = (clause: readonly string[]): string => clause.filter((word) => !lightWords.has(word)).join(' ');
/** Without light words at its two ends. */
function trimmed(clause: readonly string[]): string {
  const first = clause.findIndex((word) => !lightWords.has(word));
  const last = clause.findLastIndex((word) => !lightWords.has(word));
  return first < 0 ? '' : clause.slice(first, last + 1).join(' ');
}

/** Every order of the clauses, as they were said first. */
function orders(clauses: readonly string[]): string[][] {
  if (clauses.length < 2) return [[...clauses]];
  return clauses.flatMap((first, at) =>
    orders([...clauses.slice(0, at), ...clauses.slice(at + 1)]).map((rest) => [first, ...rest]),
  );
}
