/**
 * From what the search found to what is told: candidates with their share of belief, word times by the clip's clock,
 * or why nothing may be kept. One judgement for the server and the page.
 */

import { err, ok } from '../../shared/core/result.ts';
import type { Heard } from '../../shared/note/journal.ts';
import { besideRivals, confidence, leastSpeechFrames, refuseBelow } from '../../shared/sound/confidence.ts';
import { frameSeconds, restSeconds } from '../../shared/sound/windows.ts';
import type { ClipResult } from './clip-result.ts';
import type { Hypothesis, SearchResult } from './search.ts';

/** What the judgement needs to know of a clip besides what was found in it. */
export interface ClipFacts {
  /** Its length, rest not counted. */
  readonly seconds: number;
  /** Other sound under the words, 0 to 1 (`noiseLevelOf`). */
  readonly noise: number;
}

/** Judges a search over a clip. */
export function withConfidence(found: SearchResult, { seconds, noise }: ClipFacts): ClipResult {
  if (found.speechFrames < leastSpeechFrames) {
    return err({ kind: 'nothing', message: 'Nothing was said, or too softly.' });
  }
  const best = found.hypotheses[0];
  const believed = best
    ? besideRivals(confidence({ ...best, speechFrames: found.speechFrames, noise }), found.rival)
    : 0;
  if (!best || believed < refuseBelow) {
    return err({ kind: 'unclear', message: 'That was no note that I know. Say it again or type it.' });
  }
  /** Frame of the model to seconds of the clip. */
  const clock = (frame: number) =>
    Math.round(Math.min(seconds, Math.max(0, frame * frameSeconds - restSeconds)) * 1000) / 1000;
  // Belief in the best takes in that something else may have been said; the others keep their shares beside it.
  const share = Math.min(1, believed / best.posterior);
  const candidates = found.hypotheses.map((hypothesis) => ({
    notes: hypothesis.notes,
    words: wordsOf(hypothesis),
    posterior: hypothesis.posterior * share,
  }));
  const facts: Heard = {
    margin: best.worst,
    posterior: candidates[0]!.posterior,
    times: best.words.map(({ word, from, to }) => ({ word, from: clock(from), to: clock(to) })),
  };
  return ok({ candidates, facts });
}

const wordsOf = (hypothesis: Hypothesis): string => hypothesis.words.map((word) => word.word).join(' ');
