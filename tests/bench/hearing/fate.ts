/** What becomes of what was heard: the same limits as in the program. */

import type { SearchResult } from '../../../grammar/search.ts';
import { takeHeardFrom } from '../../../shared/book/session.ts';
import { belief, leastSpeechFrames, refuseBelow } from '../../../shared/sound/belief.ts';

export type Fate = 'kept' | 'asked' | 'refused';

/** Belief in the best hypothesis as the session sees it, 0 when nothing is offered. */
export function believed(found: SearchResult): number {
  const best = found.hypotheses[0];
  if (!best || found.speechFrames < leastSpeechFrames) return 0;
  const sure = belief({ ...best, speechFrames: found.speechFrames });
  return sure < refuseBelow ? 0 : Math.min(sure, best.posterior);
}

export function fate(found: SearchResult, from = takeHeardFrom): Fate {
  const sure = believed(found);
  return sure === 0 ? 'refused' : sure >= from ? 'kept' : 'asked';
}
