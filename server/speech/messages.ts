/** What the helper processes of speech are sent and what they answer: the voice, and the writer of remarks. */

/** To the voice: a sentence to say; `rate` 1 is the usual speed. */
export interface SayMessage {
  readonly id: number;
  readonly words: string;
  readonly rate: number;
}
/** From the voice: the sound, or why there is none. */
export interface SaidMessage {
  readonly id: number;
  readonly wav: Uint8Array<ArrayBuffer> | null;
  readonly why?: string;
}

/** To the writer: 16 kHz mono samples from -1 to 1. */
export interface ToWriter {
  readonly id: number;
  readonly samples: Float32Array;
}
export type FromWriter =
  | { readonly id: number; readonly text: string }
  | { readonly id: number; readonly failed: string };
