/**
 * From what the search found to what is told: candidates with their share of belief, word times by the clip's clock,
 * or why nothing may be kept. One judgement for the server and the page.
 */

import { err, ok, type Result } from '../../shared/core/result.ts';
import type { Heard } from '../../shared/note/journal.ts';
import type { Candidate } from '../../shared/note/note.ts';
import { confidence, leastSpeechFrames, refuseBelow } from '../../shared/sound/confidence.ts';
import { frameSeconds, restSeconds } from '../../shared/sound/windows.ts';
import type { Hypothesis, SearchResult } from './search.ts';

/** A clip that may mean something. */
export interface HeardClip {
  /**
   * What it may mean, best first. The posteriors sum to at most 1; the rest is the belief that something else was
   * said, so a low first one is a reason to ask.
   */
  readonly candidates: readonly Candidate[];
  /** For the journal entry: margin, posterior and word times (seconds of the clip) of the best candidate. */
  readonly facts: Heard;
}

/** A clip from which nothing may be kept. */
export interface Unheard {
  /**
   * `nothing`: no speech; `unclear`: speech that is no note; `tooLong`: longer than a clip may be; `busy` and `deaf`:
   * nothing can be heard here now, so whoever has the sound keeps it.
   */
  readonly kind: 'nothing' | 'unclear' | 'tooLong' | 'busy' | 'deaf';
  /** For the person: what was expected, what was found. */
  readonly message: string;
}

/** What hearing gives, from the search to the page: the same shape in every process and on the wire. */
export type ClipResult = Result<HeardClip, Unheard>;

/** Whether the sound should be kept for another ear. */
export const isDeaf = ({ kind }: Unheard): boolean => kind === 'deaf' || kind === 'busy';

/** Judges a search over a clip of so many seconds, rest not counted. */
export function withConfidence(found: SearchResult, seconds: number): ClipResult {
  if (found.speechFrames < leastSpeechFrames) {
    return err({ kind: 'nothing', message: 'Nothing was said, or too softly.' });
  }
  const best = found.hypotheses[0];
  const believed = best ? confidence({ ...best, speechFrames: found.speechFrames }) : 0;
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
