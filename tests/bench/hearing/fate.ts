/** What becomes of what was heard: the same limits and the same steps as in the program. */

import { withConfidence } from '../../../grammar/decoding/confidence.ts';
import type { SearchResult } from '../../../grammar/decoding/search.ts';
import { takeHeardFrom } from '../../../shared/dialogue/choosing.ts';
import { isBareAnswer, withDialoguePrior } from '../../../shared/dialogue/dialogue-prior.ts';
import type { Question } from '../../../shared/note/acts.ts';
import type { Candidate, Note } from '../../../shared/note/note.ts';

export type Fate = 'kept' | 'asked' | 'refused';

/**
 * What the session makes of a search in so much noise (0 to 1) while `question` is open; empty where nothing is offered or
 * kept.
 */
export function candidatesOf(
  found: SearchResult,
  noise: number,
  question: Question | null,
): readonly Candidate[] {
  const judged = withConfidence(found, { seconds: Number.POSITIVE_INFINITY, noise });
  const candidates = judged.ok ? withDialoguePrior(judged.value.candidates, question) : [];
  const refused = fate(candidates) === 'kept' && question === null && answersNothing(candidates[0]!.notes);
  return refused ? [] : candidates;
}

/** "Nothing is asked": answers that the session refuses and that keep nothing, where no question is open (`resolve.ts`). */
const answersNothing = ([note, ...others]: Candidate['notes']): boolean =>
  others.length === 0 &&
  ((note.kind === 'answer' && ['yes', 'no', 'dismiss'].includes(note.answer)) ||
    (note.kind === 'pick' && note.what !== 'named'));

/** Belief in the best of them, 0 when there is none. */
export const believed = (candidates: readonly Candidate[]): number => candidates[0]?.posterior ?? 0;

export function fate(candidates: readonly Candidate[], from = takeHeardFrom): Fate {
  if (candidates.length === 0) return 'refused';
  return believed(candidates) >= from ? 'kept' : 'asked';
}

/** Of all that is no answer, one in so many is said while something is asked. */
const whileAsked = 8;

/**
 * What is asked when a sentence is said: something that it answers, where all that it may mean is answers; else nothing,
 * or, every eighth time, something else. By judgement: common practice, no source.
 */
export function questionBefore(turn: number, notes: readonly Note[]): Question | null {
  const asked = (about: Question['about']): Question => ({ about, text: '', options: [] });
  if (notes.length === 0 || !notes.every(isBareAnswer))
    return turn % whileAsked === whileAsked - 1 ? asked('doubt') : null;
  const picked = notes.find((note) => note.kind === 'pick');
  switch (picked?.what) {
    case undefined:
      return asked('doubt');
    case 'deg':
    case 'pct':
    case 'topo':
      return asked('scale');
    case 'centre':
    case 'face':
      return asked('face');
    default:
      return asked('reading');
  }
}
