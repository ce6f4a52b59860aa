/** What the process that hears and the one that asks say to each other. */
import type { SaidNote } from '../../grammar/decoding/cache-model.ts';
import type { ClipResult } from '../../grammar/decoding/clip-result.ts';
import type { Listened } from '../../grammar/decoding/listener.ts';
import type { Taught } from '../../shared/book/taught.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import type { VoiceProfile } from '../../shared/sound/voice-profile.ts';

/** Who speaks, as far as that is known and allowed. */
export interface SpeakerKnown {
  /** Null: heard as anybody's; so is one that was learnt with another model. */
  readonly voice: VoiceProfile | null;
  /** What was said in this book and whether it stood, the latest last. */
  readonly said: readonly SaidNote[];
}

export type ToWorker =
  /** Samples: 16 kHz, mono, -1 to 1. */
  | {
      readonly type: 'hear';
      readonly id: number;
      readonly samples: Float32Array;
      readonly speaker?: SpeakerKnown;
    }
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
  | { readonly type: 'heard'; readonly id: number; readonly result: ClipResult }
  /** Hearing this clip threw: a programming mistake, told and survived. */
  | { readonly type: 'broken'; readonly id: number; readonly message: string };
