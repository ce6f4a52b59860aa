/**
 * Is somebody speaking? One frame of sound in, a probability out. Two answers to it: the Silero network, whose
 * runtime is handed in, and the energy of the frame against the quiet before it, which needs no file.
 */
import { required } from '../core/required.ts';
import { sampleRate } from './log-mel.ts';

/** Samples of one frame: what the Silero network takes at 16 kHz. */
export const voiceFrame = 512;
/** Length of one frame, seconds. */
export const voiceFrameSeconds = voiceFrame / sampleRate;

export interface VoiceActivity {
  /** How it knows: for figures and for telling the person. */
  readonly kind: 'network' | 'energy';
  /** Probability, 0 to 1, that somebody speaks in the frame: `voiceFrame` samples, -1 to 1 at 16 kHz, in sequence. */
  probability(frame: Float32Array): Promise<number>;
  /** Forgets what was heard before. */
  reset(): void;
}

/** Samples of the frame before that the network is given in front of a frame. */
const context = 64;
/** Shape of what the network remembers from frame to frame. */
const memoryShape = [2, 1, 128] as const;
const fresh = (): Float32Array => new Float32Array(memoryShape[0] * memoryShape[1] * memoryShape[2]);

/** What the runtimes of page and server have in common: a loaded network. */
interface NetworkSession<Tensor> {
  run(inputs: Record<string, Tensor>): Promise<{ readonly [output: string]: { readonly data: unknown } }>;
}

/** The Silero network (versions 5 and 6), wherever its runtime is; `tensor` makes one of that runtime's. */
export function networkActivity<Tensor>(
  session: NetworkSession<Tensor>,
  tensor: (values: Float32Array, shape: readonly number[]) => Tensor,
): VoiceActivity {
  let memory = fresh();
  let before = new Float32Array(context);
  return {
    kind: 'network',
    async probability(frame) {
      const input = new Float32Array(context + voiceFrame);
      input.set(before);
      input.set(frame, context);
      before = input.slice(-context);
      const { output, stateN } = await session.run({
        input: tensor(input, [1, input.length]),
        state: tensor(memory, memoryShape),
      });
      memory = required(stateN, 'the state of the network').data as Float32Array;
      return (required(output, 'the output of the network').data as Float32Array)[0]!;
    },
    reset() {
      memory = fresh();
      before = new Float32Array(context);
    },
  };
}

/** Frames over which the quietest one counts as the quiet of the place: a word never fills all of them. */
const quietFrames = Math.round(1.6 / voiceFrameSeconds);
/** Decibels over the quiet at which a frame is as likely speech as not, and over which the likelihood grows e-fold. */
const middle = 12;
const slope = 2.5;
/** A frame below this level, decibels of full scale, is never speech. */
const faintest = -62;

/**
 * Speech by loudness alone: cheap, and fooled by every other sound; for when the network cannot be had. A first
 * difference takes the low rumble of wind out before the level is measured.
 *
 * @example await energyActivity().probability(new Float32Array(512)) // near 0
 */
export function energyActivity(): VoiceActivity {
  let last = 0;
  let levels: number[] = [];
  return {
    kind: 'energy',
    async probability(frame) {
      let energy = 0;
      for (const sample of frame) {
        const change = sample - 0.95 * last;
        energy += change * change;
        last = sample;
      }
      const level = 10 * Math.log10(energy / frame.length + 1e-10);
      levels.push(level);
      if (levels.length > quietFrames) levels.shift();
      if (level < faintest) return 0;
      const quiet = Math.max(faintest - middle, Math.min(...levels));
      return 1 / (1 + Math.exp((middle - (level - quiet)) / slope));
    },
    reset() {
      last = 0;
      levels = [];
    },
  };
}

/** Loudness of a frame, decibels of full scale; -100 for silence. */
export function loudness(frame: Float32Array): number {
  let energy = 0;
  for (const sample of frame) energy += sample * sample;
  return 10 * Math.log10(energy / Math.max(1, frame.length) + 1e-10);
}
