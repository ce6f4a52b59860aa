/** What a book teaches to whoever reads and hears for it. */

/** A word that the user taught: what it calls. */
export interface TaughtWord {
  /** As spoken: lower case, words parted by single spaces. */
  readonly word: string;
  readonly species?: number;
  readonly mark?: string;
}

/** What a book has taught so far to whoever reads and hears for it. */
export interface Taught {
  readonly words: readonly TaughtWord[];
  /** Names of stands, strata and people. */
  readonly names: readonly string[];
}
/** Words of its own that a book may teach: each makes the language larger for everybody who reads it. */
export const mostTaught = 300;
export const nothingTaught: Taught = Object.freeze({ words: [], names: [] });
