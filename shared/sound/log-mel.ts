/**
 * Log-mel features of 16 kHz sound, as the acoustic model was trained on: Whisper's definition over the true length
 * of the clip (no padding to a window). Used alike by the server and the page; knows no platform.
 *
 * Definition (openai/whisper `audio.py`, checked in the tests against two independent implementations): frames of
 * 400 samples every 160, centred, edges mirrored; periodic Hann window; power of the 400-point DFT; 80 triangular
 * bands on the Slaney mel scale, 0 to 8 kHz, area-normalised; log10 with floor 1e-10; clamped at 8 below the
 * greatest value of the clip; (x + 4) / 4.
 */

export const sampleRate = 16000;
export const bands = 80;
/** Samples between two frames: 100 frames a second. */
const hop = 160;
const size = 400;
const half = size / 2;
const bins = half + 1;

/** Features, one row a band: `data[band * frames + frame]`, the layout of the model's input [1, 80, frames]. */
export interface LogMel {
  readonly data: Float32Array;
  readonly frames: number;
}

const window = Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));

/** Slaney's mel scale: linear to 1 kHz (15 mel), then logarithmic, 27 mel to a factor of 6.4. */
const melToHertz = (mel: number) =>
  mel < 15 ? (mel * 200) / 3 : 1000 * Math.exp((mel - 15) * (Math.log(6.4) / 27));
const topMel = 15 + (27 * Math.log(8)) / Math.log(6.4);

/** The bands as runs of weights: band b has bins first[b] ..., weights from[b] to from[b + 1]. */
const filters = (() => {
  const edges = Array.from({ length: bands + 2 }, (_, i) => melToHertz((topMel * i) / (bands + 1)));
  const first = new Int32Array(bands);
  const from = new Int32Array(bands + 1);
  const weights: number[] = [];
  for (let band = 0; band < bands; band++) {
    const [low, centre, high] = [edges[band]!, edges[band + 1]!, edges[band + 2]!];
    first[band] = -1;
    for (let bin = 0; bin < bins; bin++) {
      const hertz = (bin * sampleRate) / size;
      const weight = Math.min((hertz - low) / (centre - low), (high - hertz) / (high - centre));
      if (weight <= 0) continue;
      if (first[band] === -1) first[band] = bin;
      weights.push((weight * 2) / (high - low));
    }
    from[band + 1] = weights.length;
  }
  return { first, from, weights: Float64Array.from(weights) };
})();

/** Cosine and sine of 2 pi k / n for k below n. */
const circle = (n: number) => ({
  cos: Float64Array.from({ length: n }, (_, k) => Math.cos((2 * Math.PI * k) / n)),
  sin: Float64Array.from({ length: n }, (_, k) => Math.sin((2 * Math.PI * k) / n)),
});
const turn200 = circle(half);
const turn400 = circle(size);

const [fifth1, fifth2, fifthS1, fifthS2] = [1, 2]
  .flatMap((k) => Math.cos((2 * Math.PI * k) / 5))
  .concat([1, 2].map((k) => Math.sin((2 * Math.PI * k) / 5))) as [number, number, number, number];

/** Work space of the transform; a frame is done before the next begins, so one is enough. */
const [reA, imA, reB, imB] = Array.from({ length: 4 }, () => new Float64Array(half)) as [
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
];

/**
 * One pass of a self-sorting transform of 200 points: `count` groups still to be combined, radix 5, 4 or 2,
 * `stride` transforms side by side. Result in (toRe, toIm).
 */
function pass5(
  stride: number,
  count: number,
  re: Float64Array,
  im: Float64Array,
  toRe: Float64Array,
  toIm: Float64Array,
) {
  const step = half / count;
  const span = count / 5;
  for (let p = 0; p < span; p++) {
    const [w1, w2, w3, w4] = [p * step, 2 * p * step, 3 * p * step, 4 * p * step];
    for (let q = 0; q < stride; q++) {
      const at = q + stride * p;
      const jump = stride * span;
      const r0 = re[at]!;
      const i0 = im[at]!;
      const r1 = re[at + jump]!;
      const i1 = im[at + jump]!;
      const r2 = re[at + 2 * jump]!;
      const i2 = im[at + 2 * jump]!;
      const r3 = re[at + 3 * jump]!;
      const i3 = im[at + 3 * jump]!;
      const r4 = re[at + 4 * jump]!;
      const i4 = im[at + 4 * jump]!;
      const sr1 = r1 + r4;
      const si1 = i1 + i4;
      const dr1 = r1 - r4;
      const di1 = i1 - i4;
      const sr2 = r2 + r3;
      const si2 = i2 + i3;
      const dr2 = r2 - r3;
      const di2 = i2 - i3;
      const ar = r0 + fifth1 * sr1 + fifth2 * sr2;
      const ai = i0 + fifth1 * si1 + fifth2 * si2;
      const br = r0 + fifth2 * sr1 + fifth1 * sr2;
      const bi = i0 + fifth2 * si1 + fifth1 * si2;
      const cr = fifthS1 * di1 + fifthS2 * di2;
      const ci = -(fifthS1 * dr1 + fifthS2 * dr2);
      const er = fifthS2 * di1 - fifthS1 * di2;
      const ei = -(fifthS2 * dr1 - fifthS1 * dr2);
      const to = q + stride * 5 * p;
      toRe[to] = r0 + sr1 + sr2;
      toIm[to] = i0 + si1 + si2;
      rotate(toRe, toIm, to + stride, ar + cr, ai + ci, w1);
      rotate(toRe, toIm, to + 2 * stride, br + er, bi + ei, w2);
      rotate(toRe, toIm, to + 3 * stride, br - er, bi - ei, w3);
      rotate(toRe, toIm, to + 4 * stride, ar - cr, ai - ci, w4);
    }
  }
}

function rotate(toRe: Float64Array, toIm: Float64Array, to: number, re: number, im: number, k: number): void {
  const cos = turn200.cos[k]!;
  const sin = turn200.sin[k]!;
  toRe[to] = re * cos + im * sin;
  toIm[to] = im * cos - re * sin;
}

function pass2(
  stride: number,
  count: number,
  re: Float64Array,
  im: Float64Array,
  toRe: Float64Array,
  toIm: Float64Array,
) {
  const step = half / count;
  const span = count / 2;
  for (let p = 0; p < span; p++) {
    for (let q = 0; q < stride; q++) {
      const at = q + stride * p;
      const other = at + stride * span;
      const to = q + stride * 2 * p;
      const [r0, i0, r1, i1] = [re[at]!, im[at]!, re[other]!, im[other]!];
      toRe[to] = r0 + r1;
      toIm[to] = i0 + i1;
      rotate(toRe, toIm, to + stride, r0 - r1, i0 - i1, p * step);
    }
  }
}

/**
 * Power of the 400-point DFT of a real frame, bins 0 to 200, into `power`. Even and odd samples make one complex
 * transform of 200 = 5 * 5 * 2 * 2 * 2 points (Stockham's self-sorting form), taken apart at the end.
 */
export function powerSpectrum(frame: Float64Array, power: Float64Array): void {
  for (let i = 0; i < half; i++) {
    reA[i] = frame[2 * i]!;
    imA[i] = frame[2 * i + 1]!;
  }
  pass5(1, 200, reA, imA, reB, imB);
  pass5(5, 40, reB, imB, reA, imA);
  pass2(25, 8, reA, imA, reB, imB);
  pass2(50, 4, reB, imB, reA, imA);
  pass2(100, 2, reA, imA, reB, imB);
  for (let k = 0; k <= half; k++) {
    const a = k === half ? 0 : k;
    const b = k === 0 ? 0 : half - k;
    const evenRe = (reB[a]! + reB[b]!) / 2;
    const evenIm = (imB[a]! - imB[b]!) / 2;
    const oddRe = (imB[a]! + imB[b]!) / 2;
    const oddIm = (reB[b]! - reB[a]!) / 2;
    const re = evenRe + oddRe * turn400.cos[k]! + oddIm * turn400.sin[k]!;
    const im = evenIm + oddIm * turn400.cos[k]! - oddRe * turn400.sin[k]!;
    power[k] = re * re + im * im;
  }
}

/** Index of sample i in a signal of n samples that is mirrored at both ends without repeating the end sample. */
function mirrored(i: number, n: number): number {
  if (n === 1) return 0;
  const period = 2 * (n - 1);
  const at = ((i % period) + period) % period;
  return at < n ? at : period - at;
}

const frame = new Float64Array(size);
const power = new Float64Array(bins);

/**
 * Features while the sound arrives: push samples in pieces of any length, ask for the features when the clip ends.
 * The clamp needs the greatest value of the whole clip, so frames are kept unclamped and `features` clamps them by
 * the greatest value so far; before the end, frames may therefore still rise when a louder sound comes later.
 *
 * @example
 * const stream = new LogMelStream();
 * stream.push(new Float32Array(7000));
 * stream.push(new Float32Array(9000));
 * stream.end().frames // 100
 */
export class LogMelStream {
  #samples = new Float32Array(4 * sampleRate);
  #length = 0;
  #logs = new Float32Array(400 * bands);
  #frames = 0;
  #greatest = Number.NEGATIVE_INFINITY;

  /** Samples pushed so far. */
  get length(): number {
    return this.#length;
  }

  /** Adds samples, -1 to 1 at 16 kHz, and computes every frame that they complete. */
  push(samples: Float32Array): void {
    this.#samples = room(this.#samples, this.#length, this.#length + samples.length);
    this.#samples.set(samples, this.#length);
    this.#length += samples.length;
    while (this.#frames * hop + half <= this.#length) this.#compute();
  }

  /** The frames complete so far, clamped by the greatest value so far. */
  features(): LogMel {
    const frames = this.#frames;
    const data = new Float32Array(bands * frames);
    const floor = this.#greatest - 8;
    for (let t = 0; t < frames; t++) {
      const row = t * bands;
      for (let band = 0; band < bands; band++) {
        data[band * frames + t] = (Math.max(this.#logs[row + band]!, floor) + 4) / 4;
      }
    }
    return { data, frames };
  }

  /** The clip's features: floor(samples / 160) frames. The edges are mirrored now that the end is known. */
  end(): LogMel {
    const frames = Math.floor(this.#length / hop);
    while (this.#frames < frames) this.#compute();
    return this.features();
  }

  /** What `end` would give after these samples; the stream goes on as if they had not come. */
  endAfter(samples: Float32Array): LogMel {
    const [length, frames, greatest] = [this.#length, this.#frames, this.#greatest];
    this.push(samples);
    const ended = this.end();
    this.#length = length;
    this.#frames = frames;
    this.#greatest = greatest;
    return ended;
  }

  #compute(): void {
    const start = this.#frames * hop - half;
    const samples = this.#samples;
    if (start >= 0 && start + size <= this.#length) {
      for (let i = 0; i < size; i++) frame[i] = samples[start + i]! * window[i]!;
    } else {
      for (let i = 0; i < size; i++) frame[i] = samples[mirrored(start + i, this.#length)]! * window[i]!;
    }
    powerSpectrum(frame, power);
    this.#logs = room(this.#logs, this.#frames * bands, (this.#frames + 1) * bands);
    const row = this.#frames * bands;
    for (let band = 0; band < bands; band++) {
      let sum = 0;
      const to = filters.from[band + 1]!;
      for (let i = filters.from[band]!, bin = filters.first[band]!; i < to; i++, bin++) {
        sum += filters.weights[i]! * power[bin]!;
      }
      const log = Math.log10(Math.max(sum, 1e-10));
      this.#logs[row + band] = log;
      if (log > this.#greatest) this.#greatest = log;
    }
    this.#frames++;
  }
}

/** The same array, or a copy twice as long as needed when `needed` values do not fit. */
function room(array: Float32Array<ArrayBuffer>, used: number, needed: number): Float32Array<ArrayBuffer> {
  if (needed <= array.length) return array;
  const larger = new Float32Array(2 * needed);
  larger.set(array.subarray(0, used));
  return larger;
}
