/**
 * The microphone of this page, opened once for whoever listens: the talk button and hands-free listening share it.
 * It gives its samples on in blocks, as they come from the audio thread.
 */
import { ownFile } from '../device/home.ts';

export interface MicrophoneListener {
  /** One block of samples, -1 to 1, at the microphone's rate. */
  block(samples: Float32Array, rate: number): void;
  /** The microphone went away: pulled out, or taken by the system. */
  gone?(): void;
  /** Another program has it, a call for instance, and gives it back later; or it is back. */
  paused?(away: boolean): void;
}

interface Open {
  readonly context: AudioContext;
  readonly stream: MediaStream;
}

export class Microphone {
  #open: Promise<Open> | null = null;
  readonly #listeners = new Set<MicrophoneListener>();

  /** Opens it, or wakes it, and listens. Rejects with a sentence when there is none or it was refused. */
  async listen(listener: MicrophoneListener): Promise<void> {
    this.#open ??= this.#start();
    try {
      const { context } = await this.#open;
      if (context.state === 'suspended') await context.resume();
    } catch (cause) {
      this.#open = null;
      throw new Error(sentenceOf(cause));
    }
    this.#listeners.add(listener);
  }

  /** After the page was out of sight: some browsers put the sound to sleep. */
  async wake(): Promise<void> {
    const open = await this.#open?.catch(() => null);
    if (open && open.context.state !== 'running') await open.context.resume().catch(() => undefined);
  }

  /** Listens no more; nobody left lets the microphone go. */
  leave(listener: MicrophoneListener): void {
    this.#listeners.delete(listener);
    if (this.#listeners.size === 0) this.#close();
  }

  #close(): void {
    const open = this.#open;
    this.#open = null;
    void open
      ?.then(({ context, stream }) => {
        for (const track of stream.getTracks()) track.stop();
        void context.close();
      })
      .catch(() => undefined);
  }

  async #start(): Promise<Open> {
    if (!navigator.mediaDevices?.getUserMedia) throw new DOMException('no microphone', 'NotFoundError');
    const stream = await navigator.mediaDevices.getUserMedia({
      // The ear was trained on plain sound: what the browser calls noise suppression eats the ends of words.
      audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: true },
    });
    const context = new AudioContext({ latencyHint: 'interactive' });
    await context.audioWorklet.addModule(ownFile('capture.worklet.js'));
    const capture = new AudioWorkletNode(context, 'capture', { numberOfOutputs: 0, channelCount: 1 });
    capture.port.onmessage = (event: MessageEvent<Float32Array>) => {
      for (const listener of [...this.#listeners]) listener.block(event.data, context.sampleRate);
    };
    context.createMediaStreamSource(stream).connect(capture);
    for (const track of stream.getTracks())
      for (const event of ['mute', 'unmute'] as const)
        track.addEventListener(event, () => {
          for (const listener of [...this.#listeners]) listener.paused?.(event === 'mute');
        });
    // A headset that is pulled out ends its track: the next who listens opens what is there then.
    for (const track of stream.getTracks())
      track.addEventListener('ended', () => {
        const listeners = [...this.#listeners];
        this.#listeners.clear();
        this.#close();
        for (const listener of listeners) listener.gone?.();
      });
    return { context, stream };
  }
}

function sentenceOf(cause: unknown): string {
  const name = cause instanceof DOMException ? cause.name : '';
  if (name === 'NotAllowedError')
    return 'The browser was not allowed to use the microphone. Allow it in the address bar, or type the note.';
  if (name === 'NotFoundError') return 'No microphone was found. Plug one in, or type the note.';
  if (name === 'NotReadableError') return 'Another program holds the microphone. Close it, or type the note.';
  return 'The microphone could not be opened. Type the note.';
}
