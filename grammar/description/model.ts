/**
 * The shape of the language description: what a rule is and how its pattern is written. The description itself is
 * `grammar.ts` and `rules/`.
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
 * `shared/note/note.ts`, so the note needs no builder: reading sets paths, speaking looks them up.
 */
import type { Note } from '../../shared/note/note.ts';

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
  /**
   * Words that may stand between two notes of one breath and mean nothing there; later ones may follow earlier ones.
   * Absent: one note at a time.
   */
  readonly joining?: readonly string[];
  /** What the ear may hear where free words stand: place words, names, words of remarks. Typed words are free. */
  readonly freeWords: readonly string[];
  /** Those of them that names are drawn from when sentences are sampled; all of them unless given. */
  readonly nameWords?: readonly string[];
  /** Words of names that the book knows already: where free words stand, the ear expects them most. */
  readonly knownWords?: readonly string[];
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
