/**
 * From a clip to what the acoustic model takes, and from its windows back to one row of frames. Knows neither the
 * runtime nor where it runs, so page and server hear alike.
 */
import { bands, type LogMel, LogMelStream, sampleRate } from './log-mel.ts';

/** Length of one frame of the model's output, seconds: two feature frames. */
export const frameSeconds = 0.02;
/**
 * Rest put before and after a clip, seconds: the model was trained with rest around the words, and a button let go
 * at once cuts them close.
 */
export const restSeconds = 0.2;
/**
 * Feature frames (10 ms) that the model sees at once and by how much two windows overlap. It was trained on clips up
 * to 12 s and begins to babble in silence from about 17 s on, so a long clip is taken in windows.
 */
const windowFrames = 1200;
const overlapFrames = 200;

/** Features of a clip (16 kHz, mono, -1 to 1) with rest on both sides. */
export function featuresOf(samples: Float32Array): LogMel {
  const rest = new Float32Array(restSeconds * sampleRate);
  const stream = new LogMelStream();
  stream.push(rest);
  stream.push(samples);
  stream.push(rest);
  return stream.end();
}

/** What the acoustic model makes of one window of features. */
export interface Encoded {
  /** Log probabilities, natural, `outputs` a frame. */
  readonly data: Float32Array;
  readonly outputs: number;
  /** What the last layer makes them of, so many numbers a frame: absent where the model does not tell. */
  readonly hidden?: Float32Array;
}

/** The model's outputs by their names, as the runtimes give them. */
export interface EncoderOutputs {
  readonly logits: { readonly data: Float32Array; readonly dims: readonly number[] };
  readonly hidden?: { readonly data: Float32Array };
}

export const encodedOf = ({ logits, hidden }: EncoderOutputs): Encoded => ({
  data: logits.data,
  outputs: logits.dims[2]!,
  ...(hidden ? { hidden: hidden.data } : {}),
});

export interface Frames {
  /** Natural logarithms, one row of `outputs` a frame; frame t begins at `t * frameSeconds - restSeconds` of the clip. */
  readonly logp: Float32Array;
  readonly frames: number;
}

/** Runs a model window by window; the output of each counts from the middle of one overlap to the middle of the next. */
export async function overWindows(
  features: LogMel,
  outputs: number,
  call: (features: LogMel) => Promise<{ readonly data: Float32Array; readonly outputs: number }>,
): Promise<Frames> {
  const frames = Math.ceil(features.frames / 2);
  const logp = new Float32Array(frames * outputs);
  for (let from = 0; ; from += windowFrames - overlapFrames) {
    const to = Math.min(features.frames, from + windowFrames);
    const row = await call(slice(features, from, to));
    if (row.outputs !== outputs) {
      throw new Error(
        `The speech model and its phones.txt do not fit: ${row.outputs} outputs, ${outputs} phones.`,
      );
    }
    const skipped = from === 0 ? 0 : overlapFrames / 4;
    logp.set(row.data.subarray(skipped * outputs), (from / 2 + skipped) * outputs);
    if (to === features.frames) return { logp, frames };
  }
}

function slice(features: LogMel, from: number, to: number): LogMel {
  if (from === 0 && to === features.frames) return features;
  const data = new Float32Array(bands * (to - from));
  for (let band = 0; band < bands; band++) {
    const row = band * features.frames;
    data.set(features.data.subarray(row + from, row + to), band * (to - from));
  }
  return { data, frames: to - from };
}
