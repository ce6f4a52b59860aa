/** What hearing a clip gives. Apart from the judgement that makes it: a page that asks a server for it needs no more. */
import type { Result } from '../../shared/core/result.ts';
import type { Heard } from '../../shared/note/journal.ts';
import type { Candidate } from '../../shared/note/note.ts';

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
