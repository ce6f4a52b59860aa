/**
 * What both halves of the network are built of: affine maps, normalisation and attention over rows of numbers. Weights
 * stay bytes with a scale a row, as in their file.
 */
import type { Matrix, Weights } from './weights.ts';

/** Affine map: rows of outputs. */
export interface Linear {
  readonly weight: Matrix;
  readonly bias: Float32Array;
}

export interface Norm {
  readonly weight: Float32Array;
  readonly bias: Float32Array;
  /** Kept away from a division by nothing. */
  readonly epsilon: number;
}

export const linearOf = (weights: Weights, name: string): Linear => ({
  weight: weights.matrix(`${name}.weight`),
  bias: weights.vector(`${name}.bias`),
});

export const normOf = (weights: Weights, name: string, epsilon = 1e-5): Norm => ({
  weight: weights.vector(`${name}.weight`),
  bias: weights.vector(`${name}.bias`),
  epsilon,
});

/** Rows of input that are multiplied at once with a row of weights. */
const atOnce = 4;

/** Every row of `input` through the map: `out[r][o] = bias[o] + weight[o] . input[r]`. */
export function through({ weight, bias }: Linear, input: Float32Array): Float32Array {
  const { rows, columns, bytes, scale } = weight;
  const many = input.length / columns;
  const out = new Float32Array(many * rows);
  const numbers = new Float64Array(columns);
  const inBlocks = many - (many % atOnce);
  for (let row = 0; row < rows; row++) {
    const begins = row * columns;
    const step = scale[row]!;
    const first = bias[row]!;
    // Bytes are made numbers once for all rows, and each number is used four times while it is at hand: twice as fast.
    if (inBlocks > 0) for (let at = 0; at < columns; at++) numbers[at] = bytes[begins + at]!;
    for (let of = 0; of < inBlocks; of += atOnce) {
      const one = of * columns;
      const two = one + columns;
      const three = two + columns;
      const four = three + columns;
      let [a, b, c, d] = [0, 0, 0, 0];
      for (let at = 0; at < columns; at++) {
        const number = numbers[at]!;
        a += number * input[one + at]!;
        b += number * input[two + at]!;
        c += number * input[three + at]!;
        d += number * input[four + at]!;
      }
      out[of * rows + row] = first + step * a;
      out[(of + 1) * rows + row] = first + step * b;
      out[(of + 2) * rows + row] = first + step * c;
      out[(of + 3) * rows + row] = first + step * d;
    }
    for (let of = inBlocks; of < many; of++) {
      const from = of * columns;
      let [even, odd] = [0, 0];
      for (let at = 0; at < columns; at += 2) {
        even += bytes[begins + at]! * input[from + at]!;
        odd += bytes[begins + at + 1]! * input[from + at + 1]!;
      }
      out[of * rows + row] = first + step * (even + odd);
    }
  }
  return out;
}

/** Every row of `input`, of as many numbers as the norm, brought to mean and spread of the norm. */
export function normalised({ weight, bias, epsilon }: Norm, input: Float32Array): Float32Array {
  const width = weight.length;
  const out = new Float32Array(input.length);
  for (let from = 0; from < input.length; from += width) {
    let mean = 0;
    for (let at = 0; at < width; at++) mean += input[from + at]!;
    mean /= width;
    let variance = 0;
    for (let at = 0; at < width; at++) variance += (input[from + at]! - mean) ** 2;
    const scale = 1 / Math.sqrt(variance / width + epsilon);
    for (let at = 0; at < width; at++)
      out[from + at] = (input[from + at]! - mean) * scale * weight[at]! + bias[at]!;
  }
  return out;
}

/** Adds row by row. */
export function addTo(rows: Float32Array, more: Float32Array): void {
  for (let at = 0; at < rows.length; at++) rows[at]! += more[at]!;
}

/** Adds a row of a table to the row of `rows` that begins at `to`. */
export function addRow({ columns, bytes, scale }: Matrix, row: number, rows: Float32Array, to: number): void {
  const begins = row * columns;
  const step = scale[row]!;
  for (let at = 0; at < columns; at++) rows[to + at]! += bytes[begins + at]! * step;
}

/** Keys and values, row by row. */
export interface SeenRows {
  readonly keys: Float32Array;
  readonly values: Float32Array;
}

/** Every row of queries looks at what was seen, in so many heads (Vaswani and others 2017). */
export function attend(
  queries: Float32Array,
  { keys, values }: SeenRows,
  width: number,
  heads: number,
): Float32Array {
  const part = width / heads;
  const scale = 1 / Math.sqrt(part);
  const length = keys.length / width;
  const out = new Float32Array(queries.length);
  const shares = new Float32Array(length);
  for (let row = 0; row < queries.length; row += width) {
    for (let head = 0; head < width; head += part) {
      let most = Number.NEGATIVE_INFINITY;
      for (let at = 0; at < length; at++) {
        let sum = 0;
        for (let i = head; i < head + part; i++) sum += queries[row + i]! * keys[at * width + i]!;
        shares[at] = sum * scale;
        most = Math.max(most, shares[at]!);
      }
      let total = 0;
      for (let at = 0; at < length; at++) {
        shares[at] = Math.exp(shares[at]! - most);
        total += shares[at]!;
      }
      for (let at = 0; at < length; at++) {
        const share = shares[at]! / total;
        for (let i = head; i < head + part; i++) out[row + i]! += share * values[at * width + i]!;
      }
    }
  }
  return out;
}
