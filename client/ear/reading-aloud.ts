/** Cuts what is read aloud into clips by its silences, one for each note that is shown. */
import type { Listened } from '../../grammar/decoding/listener.ts';
import { ResampleStream } from '../../shared/sound/resample.ts';
import { wireLimits } from '../../shared/wire.ts';
import { type Pcm, pcmRate } from '../conversation/ear.ts';
import { openBareEar } from './bare-ear.ts';
import type { ListeningClient } from './listening-client.ts';
import type { Microphone, MicrophoneListener } from './microphone.ts';
import { toPcm } from './recorder.ts';
import { SoundRing } from './sound-ring.ts';

/** Shorter sounds are a cough or a click, seconds. */
const shortest = 0.4;

export class ReadingAloud {
  #ring = new SoundRing((wireLimits.soundSeconds + 5) * pcmRate);
  #stream: ResampleStream | null = null;
  #ear: ListeningClient | null = null;
  readonly #listener: MicrophoneListener = {
    block: (samples, rate) => {
      this.#stream ??= new ResampleStream(rate, pcmRate);
      const sound = Float32Array.from(this.#stream.push(samples));
      if (sound.length === 0) return;
      this.#ring.push(sound);
      this.#ear?.push(sound);
    },
    gone: () => this.stop(),
  };

  constructor(
    private readonly microphone: Microphone,
    private readonly read: (pcm: Pcm) => Promise<void>,
  ) {}

  /** Rejects with a sentence when there is no microphone. */
  async start(): Promise<void> {
    this.#ear = openBareEar({ tell: (event) => this.#told(event) });
    await this.microphone.listen(this.#listener);
  }

  stop(): void {
    this.#ear?.close();
    this.#ear = null;
    this.microphone.leave(this.#listener);
  }

  #told(event: Listened): void {
    if (event.kind !== 'unheard' || event.to - event.from < shortest * pcmRate) return;
    void this.read(toPcm(this.#ring.cut(event.from, event.to)));
  }
}
