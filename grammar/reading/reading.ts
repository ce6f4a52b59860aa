/** What reading written words gives: the meanings that they may have, or why they have none. */
import type { Candidate } from '../../shared/note/note.ts';

/** What is offered never has more belief than this, all meanings of a choice together: the book takes 0.8 without asking. */
export const offered = 0.7;

/** One way to read an utterance. Cost 0 is word for word in the grammar; posterior as in Candidate. */
export interface Reading extends Candidate {
  readonly cost: number;
}

export interface ReadFailure {
  readonly kind: 'empty' | 'unreadable' | 'incomplete' | 'tooLong';
  /** Word index at which no continuation fits. */
  readonly at: number;
  readonly found: string;
  /** What could have come there, most usual first, at most eight, each a word or a part's plain name. */
  readonly expected: readonly string[];
  /** True when the words fit and a number does not. */
  readonly limit?: true;
  /** The sentence for the user: what was expected, what was found and where. */
  readonly message: string;
}
