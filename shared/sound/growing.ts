/**
 * Features of a clip that is still being said: each piece of sound costs only its own frames, and at any moment the
 * features are those of the clip as if it ended there.
 */
import { bands, hop, type LogMel, LogMelStream, sampleRate } from './logmel.ts';
import { restSeconds } from './windows.ts';

const rest = new Float32Array(Math.round(restSeconds * sampleRate));
/** Frames before the first unfinished one that are computed with it, so that nothing at its edge is mirrored. */
const margin = 4;

export class GrowingFeatures {
  #stream = new LogMelStream();
  /** The last samples of the clip, from the sample `#recentFrom` on, the rest before the clip counted. */
  #recent = new Float32Array(0);
  #recentFrom = 0;

  constructor() {
    this.#take(rest);
  }

  /** Samples of the clip so far. */
  get length(): number {
    return this.#stream.length - rest.length;
  }

  /** More samples of the clip: 16 kHz, mono, -1 to 1. */
  push(samples: Float32Array): void {
    this.#take(samples);
  }

  /** What `featuresOf` gives for the samples so far: rest before, the clip, rest behind it. */
  now(): LogMel {
    const done = this.#stream.features();
    const frames = Math.floor((this.#stream.length + rest.length) / hop);
    const from = Math.max(0, done.frames - margin);
    const end = new LogMelStream();
    end.push(this.#recent.subarray(from * hop - this.#recentFrom));
    end.push(rest);
    const tail = end.end();
    // Both parts were clamped by the loudest frame that they know; clamping again by the louder of the two is the
    // clamping of the whole.
    const floor = Math.max(greatest(done.data), greatest(tail.data, tail.frames, margin)) - 2;
    const data = new Float32Array(bands * frames);
    for (let band = 0; band < bands; band++) {
      const to = band * frames;
      for (let t = 0; t < frames; t++) {
        const value =
          t < done.frames
            ? done.data[band * done.frames + t]!
            : tail.data[band * tail.frames + Math.min(t - from, tail.frames - 1)]!;
        data[to + t] = Math.max(value, floor);
      }
    }
    return { data, frames };
  }

  #take(samples: Float32Array): void {
    const before = this.#recent;
    this.#stream.push(samples);
    const joined = new Float32Array(before.length + samples.length);
    joined.set(before);
    joined.set(samples, before.length);
    // Frame numbers times the hop: the small stream above must have its frames where the large one has them.
    const keepFrom = Math.max(0, Math.floor(this.#stream.length / hop) - 2 * margin) * hop;
    const cut = Math.max(0, keepFrom - this.#recentFrom);
    this.#recent = joined.slice(cut);
    this.#recentFrom += cut;
  }
}

/** The greatest value; of the frames from `from` on where there are `frames` a band. */
function greatest(data: Float32Array, frames = 1, from = 0): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < data.length; i++)
    if (frames === 1 || i % frames >= from) most = Math.max(most, data[i]!);
  return most;
}
