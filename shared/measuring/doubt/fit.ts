/**
 * The fit behind the curve: Gaussian departures of a stand and of each of its species from a prior curve, in closed form
 * for each scatter of a grid, with pairs that stray weighed down (Huber 1964). Departures are a + b x + c x^2.
 */
import {
  add,
  determinant,
  diagonal,
  dot,
  inverse,
  plusDiagonal,
  type Symmetric3,
  sandwich,
  scale,
  stretched,
  times,
  type Vector3,
} from '../../core/symmetric.ts';

/** Pairs near to one another, ready to be summed. */
interface CurvePair {
  /** ln(diameter / 10 in). */
  readonly x: number;
  /** Residual from the prior curve, in logarithms; mean of the pairs. */
  readonly r: number;
  readonly n: number;
  /** Sum of squares of the pairs round their mean. */
  readonly within: number;
  /** Variance against that of a thick tree. */
  readonly relative: number;
}

/** What one species of the stand has given; `precision` is that of its own departures, beside the stand's. */
export interface Row {
  readonly species: number;
  readonly precision: Vector3;
  readonly points: readonly CurvePair[];
}

/** Departures from the prior curve at one scatter: Gaussian. */
interface Departures {
  readonly mean: Vector3;
  readonly covariance: Symmetric3;
}

/** Grid of the scatter (sd of the logarithm of a thick tree) and the middle and spread of its prior. */
export const scatters = [0.05, 0.07, 0.095, 0.125, 0.16, 0.2, 0.26, 0.34] as const;
const scatterMiddle = 0.13;
const scatterSpread = 0.9;
/** Residuals beyond this many scatters count less. */
const huber = 2;
const reweightings = 3;
/** Where the first look at the scatter is taken; strays are not yet weighed down. */
const firstLook = [1, 3, 5, 7] as const;

const logScatterPrior = scatters.map((s) => -0.5 * (Math.log(s / scatterMiddle) / scatterSpread) ** 2);

/** Sums of one species at the present weights, for unit scatter. */
interface Sums {
  readonly row: Row;
  readonly information: Symmetric3;
  readonly vector: Vector3;
  readonly squares: number;
  readonly weight: number;
}

/** One scatter's solution: how well it explains the pairs, and the departures. */
class Solution {
  readonly log: number;
  readonly stand: Departures;
  readonly #parts = new Map<
    number,
    { readonly c: Symmetric3; readonly cb: Vector3; readonly precision: Vector3 }
  >();
  readonly #departures = new Map<number, Departures>();

  constructor(sums: readonly Sums[], index: number, standPrecision: Vector3) {
    const scatter = scatters[index]!;
    const precision = 1 / (scatter * scatter);
    let p = diagonal(standPrecision);
    let q: Vector3 = [0, 0, 0];
    let log = logScatterPrior[index]!;
    for (const { row, information, vector, squares, weight } of sums) {
      const own = row.precision;
      const c = inverse(plusDiagonal(scale(information, precision), own));
      const b: Vector3 = [vector[0] * precision, vector[1] * precision, vector[2] * precision];
      const cb = times(c, b);
      // What this species says of the stand, its own departure integrated out: own - own c own.
      p = plusDiagonal(add(p, scale(stretched(c, own), -1)), own);
      q = [q[0] + own[0] * cb[0], q[1] + own[1] * cb[1], q[2] + own[2] * cb[2]];
      log -= weight * Math.log(scatter) + 0.5 * (squares * precision - dot(b, cb));
      log += 0.5 * Math.log(determinant(c) * own[0] * own[1] * own[2]);
      this.#parts.set(row.species, { c, cb, precision: own });
    }
    const covariance = inverse(p);
    const mean = times(covariance, q);
    log +=
      0.5 *
      (dot(q, mean) +
        Math.log(determinant(covariance) * standPrecision[0] * standPrecision[1] * standPrecision[2]));
    this.log = log;
    this.stand = { mean, covariance };
  }

  /** Departures of a species: the stand's and its own, from its pairs or, without any, from `precision` alone. */
  of(species: number, precision: Vector3): Departures {
    let found = this.#departures.get(species);
    if (found === undefined) {
      const { mean, covariance } = this.stand;
      const part = this.#parts.get(species);
      if (part === undefined) {
        const spread: Vector3 = [1 / precision[0], 1 / precision[1], 1 / precision[2]];
        found = { mean, covariance: plusDiagonal(covariance, spread) };
      } else {
        const { c, cb, precision: own } = part;
        const pulled = times(c, [own[0] * mean[0], own[1] * mean[1], own[2] * mean[2]]);
        found = {
          mean: [cb[0] + pulled[0], cb[1] + pulled[1], cb[2] + pulled[2]],
          covariance: add(c, sandwich(c, stretched(covariance, own))),
        };
      }
      this.#departures.set(species, found);
    }
    return found;
  }
}

export interface CurveFit {
  /** Posterior share of each scatter of the grid. */
  readonly shares: readonly number[];
  readonly solutions: readonly Solution[];
}

/** Fits all species together; `standPrecision` is the prior precision of the stand's departures. */
export function fitRows(rows: readonly Row[], standPrecision: Vector3): CurveFit {
  const solve = (sums: readonly Sums[], index: number): Solution => new Solution(sums, index, standPrecision);
  const likeliest = (sums: readonly Sums[], indexes: readonly number[]): [number, Solution] => {
    let best = indexes[0]!;
    let solution = solve(sums, best);
    for (const index of indexes.slice(1)) {
      const next = solve(sums, index);
      if (next.log > solution.log) [best, solution] = [index, next];
    }
    return [best, solution];
  };
  let sums = rows.map((row) => sumUp(row, null, 1));
  if (rows.length > 0) {
    let [at, solution] = likeliest(sums, firstLook);
    for (let pass = 1; pass <= reweightings; pass++) {
      const scatter = scatters[at]!;
      sums = rows.map((row) => sumUp(row, solution.of(row.species, row.precision).mean, scatter));
      // Weighing strays down moves the scatter by little: look at its neighbours only.
      if (pass < reweightings) {
        [at, solution] = likeliest(
          sums,
          [at, at - 1, at + 1].filter((i) => i >= 0 && i < scatters.length),
        );
      }
    }
  }
  const solutions = scatters.map((_, index) => solve(sums, index));
  const most = Math.max(...solutions.map(({ log }) => log));
  const raw = solutions.map(({ log }) => Math.exp(log - most));
  const total = raw.reduce((sum, share) => sum + share, 0);
  return { shares: raw.map((share) => share / total), solutions };
}

/** Weighted sums of a species' residuals; `around` are the departures, at `scatter`, that strays are judged by. */
function sumUp(row: Row, around: Vector3 | null, scatter: number): Sums {
  let weight = 0;
  let x0 = 0;
  let x1 = 0;
  let x2 = 0;
  let x3 = 0;
  let x4 = 0;
  let r0 = 0;
  let r1 = 0;
  let r2 = 0;
  let squares = 0;
  const limit = huber * huber * scatter * scatter;
  for (const { x, r, n, within, relative } of row.points) {
    let trust = 1;
    if (around !== null) {
      const stray = r - around[0] - around[1] * x - around[2] * x * x;
      const squared = (stray * stray) / relative;
      if (squared > limit) trust = Math.sqrt(limit / squared);
    }
    const w = (trust * n) / relative;
    const wx = w * x;
    const wxx = wx * x;
    weight += trust * n;
    x0 += w;
    x1 += wx;
    x2 += wxx;
    x3 += wxx * x;
    x4 += wxx * x * x;
    r0 += w * r;
    r1 += wx * r;
    r2 += wxx * r;
    squares += w * r * r + (trust * within) / relative;
  }
  return { row, information: [x0, x1, x2, x2, x3, x4], vector: [r0, r1, r2], squares, weight };
}
