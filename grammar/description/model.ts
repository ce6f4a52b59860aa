/**
 * The shape of the language description: what a rule is, how its pattern is written, and the word automaton that
 * every reader of the description works on. The description itself is `grammar.ts` and `rules/`.
 *
 * ## How a pattern is written
 *
 * | written | means |
 * |---|---|
 * | `eye height` | these words, lower case, one space |
 * | `[at]` | may be left out |
 * | `(feet \| foot)` | one of these; the first is the one that is spoken |
 * | `(<a> & [<b>] & <c>)` | all of these in any order |
 * | `<length>` | another rule or a number part (see `numbers.ts`) |
 * | `<count:4..40>` | the same; the range only guides sampling |
 * | `<word+>` | free words, one or more: a name |
 * | `<text+>` | free words, one or more: a remark |
 * | `<take+>` | a rule or part, one or more times |
 * | `<height/distance>` | the rule `distance`, with all its paths under `height` |
 * | `{status=dead}` | sets a field of the note to a constant word |
 * | `{species=316}` `{taped=true}` | ... to a number, to true |
 * | `{distance.count=#}` | ... to the number just said |
 * | `{eye=#u}` | ... to `{value, unit?}`: the number and the unit just said |
 * | `{top=#-}` | ... to the number just said, negated |
 * | `{takes[]=#u}` | appends to a list |
 * | `{marks[]=forked}` | appends a constant word |
 * | `{pair=##}` | ... to both numbers of a `<pair>` |
 * | `{name=@}` | ... to the free words just said |
 *
 * A tag belongs to the point where it stands, after the words that it interprets. A path is the field's path in
 * `shared/note.ts`, so the note needs no builder: reading sets paths, speaking looks them up.
 */
import type { Candidate, Note } from '../../shared/note/note.ts';

/** One thing that can be said. */
export interface Rule {
  readonly id: string;
  /** Heading of the help page under which it stands; absent for parts of other rules. */
  readonly family?: string;
  /** One plain sentence for the help page: what saying it does. */
  readonly help?: string;
  /** Patterns, the canonical one first. Rules with a family must set `kind`. */
  readonly patterns: readonly string[];
  /** Fields that saying this always sets, as tags: `kind=height`, `height.method=stick`. */
  readonly sets?: readonly string[];
  /** Sentences of this rule with the note that each means; every one is a test case. */
  readonly examples?: readonly { readonly words: string; readonly note: Note }[];
  /** How often it is sampled against the other rules; 1 unless given. */
  readonly weight?: number;
}

/** The whole description, frozen. User words are merged in by `withUserWords`. */
export interface Description {
  readonly version: string;
  readonly rules: readonly Rule[];
  /** Words without meaning that people put before, after and between the parts: "uh", "okay". */
  readonly fillers: readonly string[];
  /** What the ear may hear where free words stand: place words, names, words of remarks. Typed words are free. */
  readonly freeWords: readonly string[];
  /** Those of them that names are drawn from when sentences are sampled; all of them unless given. */
  readonly nameWords?: readonly string[];
  /** Words of names that the book knows already: where free words stand, the ear expects them most. */
  readonly knownWords?: readonly string[];
}

/** One action on the note being read. */
export type Tag =
  | { readonly op: 'const'; readonly path: string; readonly value: string | number | boolean }
  | {
      readonly op: 'number';
      readonly path: string;
      readonly sign: 1 | -1;
      readonly quantity: boolean;
      readonly append: boolean;
    }
  | { readonly op: 'words'; readonly path: string }
  /** Both numbers of a `<pair>`. */
  | { readonly op: 'pair'; readonly path: string }
  /** Numbers are read by these, in order, into one register. */
  | { readonly op: 'digit'; readonly action: NumberAction; readonly value: number }
  | { readonly op: 'unit'; readonly unit: string };

/**
 * What a number word does to the register (`whole`, `fraction digits`, `added part`):
 * `add` n; `times` 100 or 1000 (the part since the last `times`); `shift` by 100 and add (one twenty); `append` a
 * digit (one oh five, one four two); `point` begins decimals; `decimal` appends a digit behind it; `part` adds a
 * fraction (and a half: 0.5); `over` divides (three eighths); `feet` closes the feet of
 * feet-and-inches; `negate` stands before the number and turns its sign.
 */
export type NumberAction =
  | 'add'
  | 'times'
  | 'shift'
  | 'append'
  | 'point'
  | 'decimal'
  | 'part'
  | 'over'
  | 'feet'
  | 'negate';

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
  readonly usage?: Usage;
}

/** How usual a word or an ending is where it stands, -log of its share: 0 for what is always said there. */
export interface Usage {
  /** By arc. */
  readonly arc: Float32Array;
  /** By state: that the sentence ends there. */
  readonly end: Float32Array;
}

/** Where a field was said: words from..to (exclusive) of the utterance. */
export interface Span {
  readonly path: string;
  readonly from: number;
  readonly to: number;
}

/** One way to read an utterance. Cost 0 is word for word in the grammar; posterior as in Candidate. */
export interface Reading extends Candidate {
  readonly cost: number;
  readonly spans: readonly Span[];
}

export interface ReadFailure {
  readonly kind: 'empty' | 'unreadable' | 'incomplete' | 'tooLong';
  /** Word index at which no continuation fits. */
  readonly at: number;
  readonly found: string;
  /** What could have come there, most usual first, at most eight, each a word or a part's plain name. */
  readonly expected: readonly string[];
  /** The sentence for the user: what was expected, what was found and where. */
  readonly message: string;
}

/** A mistake in the description, found when it is compiled: never the user's fault. */
export class DescriptionError extends Error {
  constructor(
    readonly rule: string,
    readonly problem: string,
  ) {
    super(`rule "${rule}": ${problem}`);
    this.name = 'DescriptionError';
  }
}
