/**
 * Change of sampling rate by a windowed-sinc polyphase filter: what would fold back (or be mirrored) lies at least
 * 60 dB down, and the band up to 7/8 of the lower rate's half passes within 0.1 dB.
 */

/** Width of the transition band as a share of the lower half-rate. */
const transition = 1 / 8;
/** Stop band, decibels; a margin over the promised 60. */
const stopBand = 70;
/** Phases kept; rates that would need more are interpolated between neighbours (error below -100 dB). */
const mostPhases = 1024;

interface Kernel {
  readonly phases: number;
  /** Taps of one phase. */
  readonly taps: number;
  /** (phases + 1) rows of taps. */
  readonly weights: Float64Array;
}
const kernels = new Map<string, Kernel>();
/** Kernels kept; a server hears from a handful of devices. */
const mostKernels = 16;

/**
 * Resamples from one rate to another, both in Hz. Same rate: the samples as they are. The result has
 * round(length * to / from) samples and no delay.
 *
 * @example resample(new Float32Array(48000), 48000, 16000).length // 16000
 */
export function resample(samples: Float32Array, from: number, to: number): Float32Array {
  if (from === to) return samples;
  return span(samples, 0, from, to, 0, Math.round((samples.length * to) / from));
}

/** Results `begin` to `end` of a sound of which `samples` holds the part from sample `offset` on; the rest is silence. */
function span(
  samples: Float32Array,
  offset: number,
  from: number,
  to: number,
  begin: number,
  end: number,
): Float32Array {
  if (from === to) return samples.slice(begin - offset, end - offset);
  const { phases, taps, weights } = kernel(from, to);
  const result = new Float32Array(end - begin);
  const reach = taps / 2;
  for (let r = 0; r < result.length; r++) {
    const i = begin + r;
    // i * from / to without loss: all whole numbers.
    const whole = Math.floor((i * from) / to);
    const phase = (((i * from) % to) / to) * phases;
    const row = Math.floor(phase);
    const share = phase - row;
    const first = whole - reach + 1 - offset;
    const low = Math.max(0, -first);
    const high = Math.min(taps, samples.length - first);
    let value = 0;
    let next = 0;
    for (let k = low, w = row * taps + low; k < high; k++, w++) value += samples[first + k]! * weights[w]!;
    if (share > 0) {
      for (let k = low, w = (row + 1) * taps + low; k < high; k++, w++) {
        next += samples[first + k]! * weights[w]!;
      }
    }
    result[r] = value + share * (next - value);
  }
  return result;
}

/**
 * The same while the sound arrives: each push gives the samples that are certain by then, some milliseconds behind.
 *
 * @example
 * const stream = new ResampleStream(48_000, 16_000);
 * const pieces = [stream.push(new Float32Array(480)), stream.push(new Float32Array(480)), stream.end()];
 * pieces.reduce((sum, piece) => sum + piece.length, 0) // 320
 */
export class ResampleStream {
  /** Samples from `#first` on that are still needed. */
  #waiting = new Float32Array(0);
  #first = 0;
  #received = 0;
  #given = 0;

  constructor(
    readonly from: number,
    readonly to: number,
  ) {}

  push(samples: Float32Array): Float32Array {
    const joined = new Float32Array(this.#waiting.length + samples.length);
    joined.set(this.#waiting);
    joined.set(samples, this.#waiting.length);
    this.#waiting = joined;
    this.#received += samples.length;
    if (this.from === this.to) return this.#give(this.#received);
    // Result i needs input samples up to whole + reach.
    const reach = kernel(this.from, this.to).taps / 2;
    const ready = Math.floor(((this.#received - reach) * this.to) / this.from);
    return this.#give(Math.max(this.#given, ready));
  }

  /** The last samples; the stream can be used anew afterwards. */
  end(): Float32Array {
    const rest = this.#give(Math.round((this.#received * this.to) / this.from));
    this.#waiting = new Float32Array(0);
    this.#first = this.#received = this.#given = 0;
    return rest;
  }

  #give(until: number): Float32Array {
    const given = span(this.#waiting, this.#first, this.from, this.to, this.#given, until);
    this.#given = until;
    const reach = this.from === this.to ? 0 : kernel(this.from, this.to).taps / 2;
    const needed = Math.max(0, Math.floor((until * this.from) / this.to) - reach);
    if (needed > this.#first) {
      this.#waiting = this.#waiting.slice(needed - this.#first);
      this.#first = needed;
    }
    return given;
  }
}

function kernel(from: number, to: number): Kernel {
  const key = `${from}>${to}`;
  const known = kernels.get(key);
  if (known) return known;
  const phases = Math.min(to / commonDivisor(from, to), mostPhases);
  const lower = Math.min(1, to / from);
  // Kaiser's formulas: length and shape from the stop band and the transition width (Oppenheim and Schafer).
  const width = Math.PI * transition * lower;
  const taps = 2 * Math.ceil((stopBand - 8) / (2.285 * width) / 2 + 1);
  const beta = 0.1102 * (stopBand - 8.7);
  const cutoff = lower * (1 - transition / 2);
  const weights = new Float64Array((phases + 1) * taps);
  for (let phase = 0; phase <= phases; phase++) {
    let sum = 0;
    for (let k = 0; k < taps; k++) {
      const distance = k - taps / 2 + 1 - phase / phases;
      const edge = distance / (taps / 2);
      const shape = Math.abs(edge) >= 1 ? 0 : bessel0(beta * Math.sqrt(1 - edge * edge)) / bessel0(beta);
      const x = Math.PI * cutoff * distance;
      const weight = (x === 0 ? 1 : Math.sin(x) / x) * cutoff * shape;
      weights[phase * taps + k] = weight;
      sum += weight;
    }
    for (let k = 0; k < taps; k++) weights[phase * taps + k]! /= sum;
  }
  const [oldest] = kernels.keys();
  if (kernels.size >= mostKernels && oldest !== undefined) kernels.delete(oldest);
  const made = { phases, taps, weights };
  kernels.set(key, made);
  return made;
}

function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b);
}

/** Modified Bessel function of the first kind, order zero, by its power series. */
function bessel0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}
