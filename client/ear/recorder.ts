/**
 * The recording behind the talk button. The microphone stays open for a while after a note, so that the next first
 * word is not cut, and always keeps the last quarter second: people begin to speak as they press.
 */
import { resample } from '../../shared/sound/resample.ts';
import { wireLimits } from '../../shared/wire.ts';
import { type Pcm, pcmRate } from '../conversation/ear.ts';
import type { Microphone, MicrophoneListener } from './microphone.ts';

/** Seconds kept from before the press and recorded on after the release. */
const before = 0.25;
const after = 0.12;
/** Seconds without a note after which the microphone is let go. */
const idleSeconds = 90;
/** Shorter presses are slips of the thumb, seconds. */
const shortest = 0.2;

type Recorded =
  | { readonly ok: true; readonly pcm: Pcm; readonly seconds: number }
  | { readonly ok: false; readonly sentence: string };

export class Recorder {
  #blocks: Float32Array[] = [];
  #recording = false;
  #pressed = 0;
  #rate = 48_000;
  #idleTimer: ReturnType<typeof setTimeout> | undefined;
  /** Told the loudness, 0 to 1, while it records. */
  onLevel: (level: number) => void = () => {};
  /** The microphone went away in the middle of a recording; what came before is still there. */
  onLost: () => void = () => {};
  readonly #listener: MicrophoneListener = {
    block: (samples, rate) => this.#take(samples, rate),
    gone: () => (this.#recording ? this.onLost() : this.close()),
    paused: (away) => away && this.#recording && this.onLost(),
  };

  constructor(private readonly microphone: Microphone) {}

  /** Opens the microphone and begins to record. Rejects with a sentence when there is none or it was refused. */
  async press(): Promise<void> {
    clearTimeout(this.#idleTimer);
    this.#pressed = performance.now();
    await this.microphone.listen(this.#listener);
    this.#recording = true;
  }

  /** Ends the recording and gives what was said, at 16 kHz. */
  async release(): Promise<Recorded> {
    if (!this.#recording)
      return { ok: false, sentence: 'The microphone was not open yet. Hold and say it again.' };
    const held = (performance.now() - this.#pressed) / 1000;
    await new Promise((resolve) => setTimeout(resolve, after * 1000));
    this.#recording = false;
    const samples = joined(this.#blocks);
    this.#blocks = [];
    this.#idleTimer = setTimeout(() => this.close(), idleSeconds * 1000);
    if (held < shortest)
      return {
        ok: false,
        sentence: 'Hold while you speak and let go when you are done; or tap, speak, and tap again.',
      };
    const most = Math.round(wireLimits.soundSeconds * this.#rate) - 1;
    const heard = resample(samples.length > most ? samples.subarray(0, most) : samples, this.#rate, pcmRate);
    return { ok: true, pcm: toPcm(heard), seconds: heard.length / pcmRate };
  }

  /** Forgets what is being recorded. */
  cancel(): void {
    this.#recording = false;
    this.#blocks = [];
  }

  close(): void {
    clearTimeout(this.#idleTimer);
    this.cancel();
    this.microphone.leave(this.#listener);
  }

  #take(block: Float32Array, rate: number): void {
    this.#rate = rate;
    this.#blocks.push(block);
    if (this.#recording) {
      this.onLevel(Math.min(1, 4 * Math.sqrt(block.reduce((sum, x) => sum + x * x, 0) / block.length)));
      return;
    }
    const keep = Math.ceil((before * rate) / block.length);
    if (this.#blocks.length > keep) this.#blocks.splice(0, this.#blocks.length - keep);
  }
}

function joined(blocks: readonly Float32Array[]): Float32Array {
  const all = new Float32Array(blocks.reduce((sum, block) => sum + block.length, 0));
  let at = 0;
  for (const block of blocks) {
    all.set(block, at);
    at += block.length;
  }
  return all;
}

/** Signed 16-bit samples of -1 to 1; what is louder is clipped. */
export function toPcm(samples: Float32Array): Pcm {
  return Int16Array.from(samples, (x) => Math.round(Math.max(-1, Math.min(1, x)) * 32_767));
}
