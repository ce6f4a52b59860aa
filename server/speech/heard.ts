/**
 * What hearing returns, and what the process that hears and the one that asks say to each other.
 */
import type { Heard as HeardFacts } from '../../shared/journal.ts';
import type { Candidate } from '../../shared/note.ts';
import type { Result } from '../../shared/result.ts';

/** Milliseconds spent on one clip. */
export interface Timings {
  readonly features: number;
  readonly encoder: number;
  readonly search: number;
}

/** A clip that may mean something. */
export interface Heard {
  /** What it may mean, best first; posteriors sum to at most 1. */
  readonly candidates: readonly Candidate[];
  /** For the journal entry: margin, posterior and word times of the best candidate. */
  readonly facts: HeardFacts;
  /** `ask`: a word is in doubt, so the note must not be kept before the person confirms it. */
  readonly verdict: 'sure' | 'ask';
  /** The word in doubt, index into `facts.times`. */
  readonly doubtful?: number;
  /** What was heard without any grammar, as ARPAbet phones. */
  readonly phones: string;
  readonly timings: Timings;
}

/** A clip from which nothing may be kept. */
export interface Refusal {
  readonly kind: 'nothing' | 'unclear' | 'tooLong' | 'busy' | 'deaf';
  /** For the person: what was expected, what was found. */
  readonly message: string;
  readonly phones: string;
  readonly timings: Timings;
}

export interface ToWorker {
  readonly id: number;
  /** 16 kHz, mono, -1 to 1. */
  readonly samples: Float32Array;
}

export type FromWorker =
  | { readonly type: 'ready' }
  /** The model could not be loaded: nothing will ever be heard. */
  | { readonly type: 'failed'; readonly message: string }
  | { readonly type: 'heard'; readonly id: number; readonly result: Result<Heard, Refusal> }
  /** Hearing this clip threw: a programming mistake, told and survived. */
  | { readonly type: 'broken'; readonly id: number; readonly message: string };
