/** Runs on the audio thread: hands the microphone's samples on in blocks, as they come. */

declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;

/** Samples of one block; at 48 kHz 43 ms. */
const blockLength = 2048;

class Capture extends AudioWorkletProcessor {
  #block = new Float32Array(blockLength);
  #filled = 0;

  process(inputs: readonly (readonly Float32Array[])[]): boolean {
    const samples = inputs[0]?.[0];
    if (samples) {
      this.#block.set(samples, this.#filled);
      this.#filled += samples.length;
      if (this.#filled === blockLength) {
        this.port.postMessage(this.#block, [this.#block.buffer]);
        this.#block = new Float32Array(blockLength);
        this.#filled = 0;
      }
    }
    return true;
  }
}

registerProcessor('capture', Capture);
