/** From the paths of a lattice to meanings with their shares: wordings and alignments of one meaning are summed. */
import { mostNotes, type Notes } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { type LatticePath, skipped } from '../automaton/lattice.ts';
import { isSequence } from '../automaton/note-sequence.ts';
import { fillerCost, type PhoneGraph } from '../pronunciation/phone-graph.ts';
import type { CtcForward, HeardWord } from './ctc-forward.ts';
import type { Rivals } from './rivals.ts';

/** One meaning the sound may have. */
export interface Hypothesis {
  readonly notes: Notes;
  /** The words of its likeliest wording, with times and how badly each fits its own frames. */
  readonly words: readonly HeardWord[];
  /** Log probability summed over the wordings found and all their alignments, less what they cost. */
  readonly logp: number;
  /** What its likeliest wording costs beside the sound, nats: how seldom people say that. */
  readonly unusual: number;
  /** The part of it for what the note tells: how odd its numbers are. */
  readonly odd: number;
  /** Nats by which the sound alone leaves its words in doubt, all their alignments summed; 0: it can be nothing else. */
  readonly doubt: number;
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
  /**
   * Nats of odds that a word of the best note was a common word that no note can have there; -Infinity where nobody's words are
   * known, since then every word is a little odd.
   */
  readonly rival: number;
  /** The phones of the free path: what was heard if the grammar is forgotten. */
  readonly phones: Uint8Array;
}

/** How a search weighs. */
interface Weighing {
  /** Meanings wanted, at most. */
  readonly most: number;
  /** What a path means, and how many numbers its last note has; null: not to be kept. */
  readonly notesOf: (path: LatticePath) => { readonly notes: Notes; readonly numbers: number } | null;
  /** Nats by arc and by last state. */
  readonly arcCost: Float64Array;
  readonly endCost: Float64Array;
  /** Nats for each note of a breath behind the first. */
  readonly joint: number;
  /** Nats against the notes of a breath. */
  readonly against: (notes: Notes) => number;
  /** Null: rivals are not asked for. */
  readonly rivals: Rivals | null;
}

const never = Number.NEGATIVE_INFINITY;

interface Group {
  readonly notes: Notes;
  /** Of its best wording. */
  readonly numbers: number;
  readonly path: LatticePath;
  /** Nats against the note, and what its best wording costs. */
  readonly against: number;
  readonly cost: number;
  logp: number;
}

/** Meanings of the paths, which come best first; `best` is the sound's log probability along the best of them. */
export function nbestOf(
  paths: Iterable<LatticePath>,
  graph: PhoneGraph,
  sheet: CtcForward,
  { most, notesOf, arcCost, endCost, joint, against: opposed, rivals }: Weighing,
): { hypotheses: Hypothesis[]; best: number | undefined; rival: number } {
  const jointsOf = ({ ends }: LatticePath): number => (ends.length > 1 ? joint * (ends.length - 1) : 0);
  const costOf = (path: LatticePath): number => {
    let cost = 0;
    for (const { arc, word } of path.said) {
      if (arc === skipped) cost += fillerCost;
      else cost += arcCost[arc]! + (graph.automaton.arcWord[arc] === 0 ? graph.freeCost[word]! : 0);
    }
    for (const end of path.ends) {
      const last = path.words[end.words - 1];
      cost += endCost[last === undefined ? graph.automaton.start : graph.automaton.arcTo[last.arc]!]!;
    }
    return cost + jointsOf(path);
  };
  const groups = new Map<string, Group>();
  let best: number | undefined;
  let seen = 0;
  for (const path of paths) {
    const cost = costOf(path);
    best ??= path.score + cost;
    if (++seen > 4 * most) break;
    const meant = notesOf(path);
    if (meant === null) continue;
    const { notes, numbers } = meant;
    if (notes.length > mostNotes || !isSequence(notes)) continue;
    const key = notesKey(notes);
    const group = groups.get(key);
    if (group === undefined && groups.size === most) break;
    const against = group === undefined ? opposed(notes) : group.against;
    const logp = sheet.sum(graph, path.said) - cost - against;
    if (group === undefined) groups.set(key, { notes, numbers, path, against, cost, logp });
    else group.logp = logSum(group.logp, logp);
  }
  const list = meantSo([...groups.values()]).sort((a, b) => b.logp - a.logp);
  const total = list.reduce((sum, { logp }) => logSum(sum, logp), never);
  const hypotheses = list.map(({ notes, path, against, cost, logp }): Hypothesis => {
    const { words, lead } = sheet.align(graph, path.said);
    return {
      notes,
      words,
      logp,
      // That several notes were said in one breath is no reason to doubt them.
      unusual: cost + against - jointsOf(path),
      odd: against,
      doubt: Math.max(0, -(logp + cost + against)),
      posterior: Math.exp(logp - total),
      lead,
      worst: words.reduce((worst, word) => Math.max(worst, word.margin + word.gap), lead),
    };
  });
  const chosen = list[0];
  const rival =
    rivals === null || chosen === undefined
      ? never
      : rivals.odds(
          chosen.path.said
            .filter(({ arc }) => arc !== skipped)
            .map((path, i) => {
              const { from, to } = hypotheses[0]!.words[i]!;
              return { path, from, to, cost: arcCost[path.arc]! };
            }),
          sheet.sound,
        );
  return { hypotheses, best, rival };
}

/**
 * Of two notes that are the same words, the one with fewer numbers is meant, as in what is read: "another one" is no tree of
 * one inch. Sound can never tell them apart, so the other would only take from the belief.
 */
function meantSo(groups: readonly Group[]): Group[] {
  const least = new Map<string, number>();
  const wordsOf = ({ path }: Group) => path.words.map(({ word }) => word).join(' ');
  for (const group of groups) {
    const words = wordsOf(group);
    if (group.notes.length === 1)
      least.set(words, Math.min(least.get(words) ?? group.numbers, group.numbers));
  }
  return groups.filter((group) => group.notes.length > 1 || group.numbers === least.get(wordsOf(group)));
}

const logSum = (a: number, b: number): number => {
  if (a === never) return b;
  const high = Math.max(a, b);
  return high + Math.log1p(Math.exp(Math.min(a, b) - high));
};
