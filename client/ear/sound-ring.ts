/** The last of what was recorded, by its place in the recording: what a clip is cut from, and what is not lost with an ear. */
export class SoundRing {
  #pieces: Float32Array<ArrayBuffer>[] = [];
  #first = 0;
  #end = 0;

  /** `most`: samples kept at most, whatever is still wanted. */
  constructor(private readonly most: number) {}

  /** Samples recorded so far. */
  get end(): number {
    return this.#end;
  }

  push(samples: Float32Array<ArrayBuffer>): void {
    this.#pieces.push(samples);
    this.#end += samples.length;
    this.drop(this.#end - this.most);
  }

  /** Samples before this one are wanted no more. */
  drop(before: number): void {
    for (let [first] = this.#pieces; first !== undefined; [first] = this.#pieces) {
      if (this.#first + first.length > before) return;
      this.#first += first.length;
      this.#pieces.shift();
    }
  }

  /** The samples of this place, as far as they are kept. */
  cut(from: number, to = this.#end): Float32Array<ArrayBuffer> {
    const begin = Math.max(from, this.#first);
    const end = Math.min(to, this.#end);
    const cut = new Float32Array(Math.max(0, end - begin));
    let at = this.#first;
    for (const piece of this.#pieces) {
      const [low, high] = [Math.max(begin, at), Math.min(end, at + piece.length)];
      if (low < high) cut.set(piece.subarray(low - at, high - at), low - begin);
      at += piece.length;
    }
    return cut;
  }
}
