/**
 * What hearing returns, and what the process that hears and the one that asks say to each other.
 */
import type { Listened } from '../../grammar/decoding/listener.ts';
import type { Taught } from '../../shared/book/taught.ts';
import type { Result } from '../../shared/core/result.ts';
import type { Heard as HeardFacts } from '../../shared/note/journal.ts';
import type { Candidate } from '../../shared/note/note.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';

/** Milliseconds spent on one clip. */
export interface Timings {
  readonly features: number;
  readonly encoder: number;
  readonly search: number;
}

/** A clip that may mean something. */
export interface HeardClip {
  /**
   * What it may mean, best first. The posteriors sum to at most 1; the rest is the belief that something else was
   * said, so a low first one is a reason to ask.
   */
  readonly candidates: readonly Candidate[];
  /** For the journal entry: margin, posterior and word times (seconds of the clip) of the best candidate. */
  readonly facts: HeardFacts;
  /** What was heard without any grammar, as ARPAbet phones. */
  readonly phones: string;
  readonly timings: Timings;
}

/** A clip from which nothing may be kept. */
export interface Refusal {
  /** `nothing`: no speech; `unclear`: speech that is no note; `deaf`: hearing does not work. */
  readonly kind: 'nothing' | 'unclear' | 'tooLong' | 'busy' | 'deaf';
  /** For the person: what was expected, what was found. */
  readonly message: string;
  readonly phones: string;
  readonly timings: Timings;
}

export type ToWorker =
  /** Samples: 16 kHz, mono, -1 to 1. */
  | { readonly type: 'hear'; readonly id: number; readonly samples: Float32Array }
  /** All words of the user and names of the book that hold from now on. */
  | { readonly type: 'teach'; readonly taught: Taught }
  /** Listens to a stream of sound from now on, with these words before every note. */
  | { readonly type: 'follow'; readonly stream: number; readonly wakeWord: string | null }
  | { readonly type: 'sound'; readonly stream: number; readonly samples: Float32Array }
  | { readonly type: 'attend'; readonly stream: number; readonly gate: ListeningGate }
  | { readonly type: 'leave'; readonly stream: number };

export type FromWorker =
  | { readonly type: 'ready' }
  | { readonly type: 'following'; readonly stream: number; readonly voice: 'network' | 'energy' }
  | { readonly type: 'listened'; readonly stream: number; readonly event: Listened }
  /** So many samples of the stream were listened to: more may come. */
  | { readonly type: 'taken'; readonly stream: number; readonly samples: number }
  /** The model could not be loaded: nothing will ever be heard. */
  | { readonly type: 'failed'; readonly message: string }
  | { readonly type: 'heard'; readonly id: number; readonly result: Result<HeardClip, Refusal> }
  /** Hearing this clip threw: a programming mistake, told and survived. */
  | { readonly type: 'broken'; readonly id: number; readonly message: string };
