/** The word automaton with semantic tags: what every reader of the description works on. */
import type { Tag } from '../description/tags.ts';

/**
 * The word automaton: epsilon-free, determinised and minimised over (word, tags) pairs, so that the same words may
 * still lead two ways when they mean two things. Arcs of a state lie together, sorted by word.
 */
export interface Automaton {
  readonly version: string;
  /** Word 0 is "any word": it matches every word, known or not. */
  readonly words: readonly string[];
  readonly wordId: ReadonlyMap<string, number>;
  readonly start: number;
  /**
   * The way back from the ends to the start: where a state may end a note, the next note of the same breath goes on
   * from here. Its arcs are those of `start` and the words that only join ("and", "then"). Absent: one note at a time.
   */
  readonly again?: number;
  readonly states: number;
  /** Arcs of state s: from arcFrom[s] to arcFrom[s + 1]. */
  readonly arcFrom: Uint32Array;
  readonly arcWord: Uint32Array;
  readonly arcTo: Uint32Array;
  /** Index into tagSequences: done in order when the arc is taken. */
  readonly arcTags: Uint32Array;
  /** Index into tagSequences when the state may end a note, else -1. A state may end in several ways: see finals. */
  readonly finalFrom: Uint32Array;
  readonly finalTags: Uint32Array;
  readonly tagSequences: readonly (readonly Tag[])[];
  /** Per sequence how many of its tags come before the arc's word; the others ride on it. Absent: all come before. */
  readonly tagsBefore?: Uint32Array;
  /** What people say; absent where all is as likely. */
  readonly arcWeights?: ArcWeights;
}

/** How usual a word or an ending is where it stands, -log of its share: 0 for what is always said there. */
export interface ArcWeights {
  /** By arc. */
  readonly arc: Float32Array;
  /** By state: that the sentence ends there. */
  readonly end: Float32Array;
  /** They tell what one person says; else what people say. */
  readonly ofPerson?: boolean;
}
