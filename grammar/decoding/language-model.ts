/**
 * What people say: for every arc and ending of the automaton how usual it is where it stands, in nats. Counted on
 * sentences drawn from the description with `rule-weights.ts`, so that it follows every change of the grammar by itself.
 */

import { seeded } from '../../shared/core/random.ts';
import { lastOf } from '../../shared/core/required.ts';
import type { ArcWeights, Automaton } from '../automaton/automaton.ts';
import { weightSteps } from '../automaton/serialize.ts';
import { withWayBackCosts } from '../automaton/way-back.ts';
import type { Description } from '../description/model.ts';
import { ruleWeights } from '../description/rule-weights.ts';
import { parseDescription } from '../description/syntax.ts';
import { firstArc } from '../pronunciation/phone-graph.ts';
import { createSampler } from '../writing/sample.ts';

/** Sentences drawn: enough for the ways of saying things; rare corners are left to what follows elsewhere. */
export const drawnSentences = 16_000;
/** What follows elsewhere weighs as much as this many sentences that came by. */
const guessWeight = 4;
/** Part of that guess in which all that may follow is as likely. */
const even = 0.5;
/** Ways to read one sentence that are counted; more exist only for strings of free words. */
const mostPaths = 16;

const rounded = (cost: number): number => Math.round(cost * weightSteps) / weightSteps + 0;

/** The automaton of a description with its usage. Takes about a second: keep it. */
export const withLanguageModel = (automaton: Automaton, description: Description): Automaton => ({
  ...automaton,
  arcWeights: withWayBackCosts(automaton, countUsage(automaton, description)),
});

function countUsage(automaton: Automaton, description: Description): ArcWeights {
  const trees = parseDescription(description);
  const sampler = createSampler(
    { ...trees, roots: trees.roots.map((rule) => ({ ...rule, weight: ruleWeights[rule.id] ?? 1 })) },
    { again: 0.3, optional: 0.2, first: 0.4 },
  );
  const random = seeded(1);
  const arcs = new Float64Array(automaton.arcTo.length);
  const ends = new Float64Array(automaton.states);
  const talk = new Talk(automaton.words.length);
  for (let i = 0; i < drawnSentences; i++) {
    const paths = pathsOf(automaton, sampler.sample(random).words.split(' '));
    for (const path of paths) {
      const share = 1 / paths.length;
      let before = talk.edge;
      for (const arc of path) {
        arcs[arc]! += share;
        talk.count(before, automaton.arcWord[arc]!, share);
        before = automaton.arcWord[arc]!;
      }
      talk.count(before, talk.edge, share);
      ends[path.length === 0 ? automaton.start : automaton.arcTo[lastOf(path)]!]! += share;
    }
  }
  return sharesOf(automaton, arcs, ends, talk);
}

/** Of words before which little was counted, this many more are taken as words come anywhere. */
const doubt = 40;

/** Which words follow which, wherever that is: what is known of corners that no drawn sentence came to. */
class Talk {
  /** Stands before the first word and behind the last. */
  readonly edge: number;
  private readonly pairs: Float64Array;
  private readonly firsts: Float64Array;
  private readonly singles: Float64Array;
  private total = 0;

  constructor(private readonly words: number) {
    this.edge = words;
    this.pairs = new Float64Array((words + 1) ** 2);
    this.firsts = new Float64Array(words + 1);
    this.singles = new Float64Array(words + 1);
  }

  count(before: number, word: number, share: number): void {
    this.pairs[before * (this.words + 1) + word]! += share;
    this.firsts[before]! += share;
    this.singles[word]! += share;
    this.total += share;
  }

  /** Share of `word` among what follows `before`. */
  share(before: number, word: number): number {
    const alone = (this.singles[word]! + 0.5) / (this.total + 0.5 * this.words);
    return (this.pairs[before * (this.words + 1) + word]! + doubt * alone) / (this.firsts[before]! + doubt);
  }
}

/** Shares at every state: as counted there, and as far as that is little, as words follow each other elsewhere. */
function sharesOf(automaton: Automaton, arcs: Float64Array, ends: Float64Array, talk: Talk): ArcWeights {
  const { states, arcFrom, arcTo, arcWord, finalFrom } = automaton;
  const into = Array.from({ length: states }, () => new Set<number>());
  into[automaton.start]!.add(talk.edge);
  arcTo.forEach((to, arc) => {
    into[to]!.add(arcWord[arc]!);
  });
  const arc = new Float32Array(arcs.length);
  const end = new Float32Array(states);
  for (let state = 0; state < states; state++) {
    const from = arcFrom[state]!;
    const to = arcFrom[state + 1]!;
    const mayEnd = finalFrom[state]! < finalFrom[state + 1]!;
    const befores = [...into[state]!];
    const elsewhere = (word: number) => befores.reduce((sum, before) => sum + talk.share(before, word), 0);
    const guess = new Float64Array(to - from);
    const guessedEnd = mayEnd ? elsewhere(talk.edge) : 0;
    let guessed = guessedEnd;
    let counted = ends[state]!;
    for (let a = from; a < to; ) {
      const word = arcWord[a]!;
      let next = a;
      while (next < to && arcWord[next] === word) next++;
      const several = next - a;
      const share = elsewhere(word);
      guessed += share;
      for (; a < next; a++) {
        guess[a - from] = share / several;
        counted += arcs[a]!;
      }
    }
    const choices = to - from + (mayEnd ? 1 : 0);
    const cost = (count: number, share: number): number => {
      const guess = even / choices + ((1 - even) * share) / guessed;
      return rounded(-Math.log((count + guessWeight * guess) / (counted + guessWeight)));
    };
    for (let a = from; a < to; a++) arc[a] = cost(arcs[a]!, guess[a - from]!);
    if (mayEnd) end[state] = cost(ends[state]!, guessedEnd);
  }
  return { arc, end };
}

/** All ways through the automaton that read the words, as arcs. */
export function pathsOf(automaton: Automaton, words: readonly string[]): number[][] {
  const found: number[][] = [];
  const path: number[] = [];
  const follow = (state: number, at: number): void => {
    if (found.length >= mostPaths) return;
    if (at === words.length) {
      if (automaton.finalFrom[state]! < automaton.finalFrom[state + 1]!) found.push([...path]);
      return;
    }
    const until = automaton.arcFrom[state + 1]!;
    for (const word of [automaton.wordId.get(words[at]!), 0]) {
      if (word === undefined) continue;
      for (
        let arc = firstArc(automaton, state, word);
        arc < until && automaton.arcWord[arc] === word;
        arc++
      ) {
        path.push(arc);
        follow(automaton.arcTo[arc]!, at + 1);
        path.pop();
      }
    }
  };
  follow(automaton.start, 0);
  return found;
}
