/**
 * A cache model: how usual the words of the automaton are for one person in one stand, from what that person said there
 * and what stood. Kept notes are counted beside the drawn sentences of the language model, each as several of them,
 * and mixed in state by state (Kuhn and De Mori 1990, "A Cache-Based Natural Language Model", mixes word classes so).
 */
import type { ArcWeights, Automaton } from '../automaton/automaton.ts';
import { withWayBackCosts } from '../automaton/way-back.ts';
import { drawnSentences, pathsOf } from './language-model.ts';

/** A note that was said, typed or spoken. */
export interface SaidNote {
  /** The words as they were read, small letters; those of a breath together. */
  readonly words: string;
  /** False: it was corrected or taken back, and counts against these words. */
  readonly stood: boolean;
}

interface CacheOptions {
  /** Drawn sentences that one said note is worth. */
  readonly worth?: number;
  /** No word and no ending costs more than so many nats above what it costs everybody. */
  readonly bound?: number;
  /**
   * Notes more that are taken to have come by where any did, with this person's words as often as they come anywhere:
   * the numbers and species of the stand.
   */
  readonly elsewhere?: number;
}

/** Worth and bound chosen on voices that the model was trained on (`npm run bench -- profiles`, STEMSAY_TUNING=yes). */
export const cacheDefaults = { worth: 100, bound: 4, elsewhere: 2 } as const;

/** The latest notes count; older ones are forgotten. */
export const mostSaid = 400;
/** Notes of one breath that are looked for. */
const mostJoined = 6;
/** Rounds after which hardly any sentence goes on. */
const longest = 40;

/** Counts of one automaton: what is made once, and the weights of what was said, which take milliseconds. */
export class CacheModel {
  /** How many of the drawn sentences come by each state. */
  private readonly visits: Float64Array;

  constructor(
    private readonly automaton: Automaton,
    private readonly base: ArcWeights,
    private readonly options: CacheOptions = {},
  ) {
    this.visits = visitsOf(automaton, base);
  }

  /**
   * The weights for who said these notes, the latest last. Law: none is more than `bound` above that of everybody, so
   * an odd but clear note stays sayable.
   */
  weights(said: readonly SaidNote[]): ArcWeights {
    const { automaton, base } = this;
    const counts = countSaid(automaton, said.slice(-mostSaid));
    if (counts.notes === 0) return base;
    const arc = base.arc.slice();
    const end = base.end.slice();
    for (const state of counts.states) this.mix(state, counts, arc, end);
    return { ...withWayBackCosts(automaton, { arc, end }), ofPerson: true };
  }

  /** Writes the weights of one state. The last choice is to end there. */
  private mix(state: number, counts: SaidCounts, arc: Float32Array, end: Float32Array): void {
    const { automaton, base, visits } = this;
    const { worth, bound, elsewhere } = { ...cacheDefaults, ...this.options };
    const from = automaton.arcFrom[state]!;
    const arcs = automaton.arcFrom[state + 1]! - from;
    const mayEnd = automaton.finalFrom[state]! < automaton.finalFrom[state + 1]!;
    const choices = arcs + (mayEnd ? 1 : 0);
    const costOf = (i: number) => (i < arcs ? base.arc[from + i]! : base.end[state]!);
    const countOf = (i: number) => (i < arcs ? counts.arc[from + i]! : counts.end[state]!);
    const wordOf = (i: number) => (i < arcs ? Math.max(0, counts.word[automaton.arcWord[from + i]!]!) : 0);
    let guessed = 0;
    let own = 0;
    for (let i = 0; i < choices; i++) {
      guessed += wordOf(i);
      own += Math.max(0, countOf(i));
    }
    const guess = own > 0 && guessed > 0 && elsewhere > 0;
    const all = own + (guess ? elsewhere : 0);
    const sentences = Math.max(1, visits[state]!);
    const shares = new Float64Array(choices);
    let whole = 0;
    for (let i = 0; i < choices; i++) {
      const share = Math.exp(-costOf(i));
      const least = share * Math.exp(-bound / 2);
      shares[i] = Math.max(least, share + Math.min(0, (worth * countOf(i)) / sentences));
      whole += shares[i]!;
    }
    const mixed = Math.min(1 - Math.exp(-bound / 2), (worth * all) / (sentences + worth * all));
    for (let i = 0; i < choices; i++) {
      const word = guess ? wordOf(i) / guessed : 0;
      const mine = all === 0 ? 0 : (Math.max(0, countOf(i)) + elsewhere * word) / all;
      const share = ((1 - mixed) * shares[i]!) / whole + mixed * mine;
      const cost = Math.min(costOf(i) + bound, -Math.log(share));
      if (i < arcs) arc[from + i] = cost;
      else end[state] = cost;
    }
  }
}

/** Sentences that come by each state, of those that were drawn: the weights followed from the start. */
function visitsOf({ states, start, arcFrom, arcTo }: Automaton, { arc }: ArcWeights): Float64Array {
  const visits = new Float64Array(states);
  let now = new Map([[start, drawnSentences]]);
  for (let round = 0; round < longest && now.size > 0; round++) {
    const next = new Map<number, number>();
    for (const [state, many] of now) {
      visits[state]! += many;
      for (let a = arcFrom[state]!; a < arcFrom[state + 1]!; a++) {
        const part = many * Math.exp(-arc[a]!);
        if (part > 1e-3) next.set(arcTo[a]!, (next.get(arcTo[a]!) ?? 0) + part);
      }
    }
    now = next;
  }
  return visits;
}

interface SaidCounts {
  readonly notes: number;
  /** Where any of them came by. */
  readonly states: ReadonlySet<number>;
  readonly arc: Float64Array;
  readonly end: Float64Array;
  /** By word, wherever it was said. */
  readonly word: Float64Array;
}

function countSaid(automaton: Automaton, said: readonly SaidNote[]): SaidCounts {
  const arc = new Float64Array(automaton.arcTo.length);
  const end = new Float64Array(automaton.states);
  const word = new Float64Array(automaton.words.length);
  const states = new Set<number>();
  let notes = 0;
  for (const { words, stood } of said) {
    for (const paths of notesIn(automaton, words)) {
      notes++;
      const share = (stood ? 1 : -1) / paths.length;
      for (const path of paths) {
        let state = automaton.start;
        for (const a of path) {
          states.add(state);
          state = automaton.arcTo[a]!;
          arc[a]! += share;
          if (automaton.arcWord[a] !== 0) word[automaton.arcWord[a]!]! += share;
        }
        states.add(state);
        end[state]! += share;
      }
    }
  }
  return { notes, states, arc, end, word };
}

/** Words that join two notes and belong to none. */
const joining = new Set(['and', 'then']);

/** The notes of a breath, as few as can be, each as its ways through the automaton; none where it is not read. */
function notesIn(automaton: Automaton, words: string): number[][][] {
  const list = words.split(/[\s,;.]+/).filter((word) => word !== '');
  const read = (from: number, to: number) => pathsOf(automaton, list.slice(from, to));
  const split = (from: number, most: number): number[][][] | null => {
    let first = from;
    while (from > 0 && joining.has(list[first] ?? '')) first++;
    const whole = first < list.length ? read(first, list.length) : [];
    if (whole.length > 0) return [whole];
    if (most === 1) return null;
    for (let to = first + 1; to < list.length; to++) {
      const paths = read(first, to);
      if (paths.length === 0) continue;
      const rest = split(to, most - 1);
      if (rest !== null) return [paths, ...rest];
    }
    return null;
  };
  for (let most = 1; most <= mostJoined; most++) {
    const found = split(0, most);
    if (found !== null) return found;
  }
  return [];
}
