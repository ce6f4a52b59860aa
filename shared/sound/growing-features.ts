/**
 * Features of a clip that is still being said: each piece of sound costs only its own frames, and at any moment the
 * features are those of the clip as if it ended there.
 */
import { type LogMel, LogMelStream, sampleRate } from './log-mel.ts';
import { restSeconds } from './windows.ts';

const rest = new Float32Array(Math.round(restSeconds * sampleRate));

export class GrowingFeatures {
  #stream = new LogMelStream();

  constructor() {
    this.#stream.push(rest);
  }

  /** Samples of the clip so far. */
  get length(): number {
    return this.#stream.length - rest.length;
  }

  /** More samples of the clip: 16 kHz, mono, -1 to 1. */
  push(samples: Float32Array): void {
    this.#stream.push(samples);
  }

  /** What `featuresOf` gives for the samples so far: rest before, the clip, rest behind it. */
  now(): LogMel {
    return this.#stream.endAfter(rest);
  }
}
