/**
 * The fit behind the curve: Gaussian departures of a stand and of each of its species from a prior curve, in closed form
 * for each scatter and power of a grid, with pairs that stray weighed down (Huber 1964). Departures are a + b x + c x^2.
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
export interface CurvePair {
  /** ln(diameter / 10 in). */
  readonly x: number;
  /** Residual from the prior curve, in logarithms; mean of the pairs. */
  readonly r: number;
  readonly n: number;
  /** Sum of squares of the pairs round their mean. */
  readonly within: number;
  /** Variance against that of a tree of ten inches, for each power of the grid. */
  readonly relative: readonly number[];
  /** Half the logarithm of each of them. */
  readonly halfLogRelative: readonly number[];
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
const scatters = [0.05, 0.07, 0.095, 0.125, 0.16, 0.2, 0.26, 0.34] as const;
const scatterMiddle = 0.13;
const scatterSpread = 0.9;
/**
 * How much thin trees scatter more than thick ones: the scatter goes with the diameter to the power of minus this (the usual
 * variance function of height-diameter curves: a power of the size). Real stands differ, so each learns its own; the shares
 * before any tree are by judgement, and held against the tuning stands of the bench `doubts`.
 */
export const powers = [0, 0.25, 0.5] as const;
const logPowerPrior = [0.4, 0.4, 0.2].map(Math.log);
/** Shares below this are nothing, and not worth the work. */
const leastShare = 1e-3;
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
  /** Logarithm of the relative deviations, weighted. */
  readonly logRelative: number;
}

/** What the pairs of one species say at one scatter. */
interface Part {
  readonly species: number;
  readonly c: Symmetric3;
  readonly cb: Vector3;
  readonly precision: Vector3;
}

/** One scatter's solution: how well it explains the pairs, and the departures. */
class Solution {
  readonly log: number;
  readonly scatter: number;
  readonly stand: Departures;
  /** In the order of the sums; few, so that looking one up costs less than a table of them. */
  readonly #parts: Part[] = [];
  #departures: Map<number, Departures> | null = null;

  /** `index` of its scatter, `power` of its power in the grids. */
  constructor(
    sums: readonly Sums[],
    index: number,
    readonly power: number,
    standPrecision: Vector3,
  ) {
    const scatter = scatters[index]!;
    this.scatter = scatter;
    const precision = 1 / (scatter * scatter);
    let p = diagonal(standPrecision);
    let q: Vector3 = [0, 0, 0];
    let log = logScatterPrior[index]! + logPowerPrior[power]!;
    for (const { row, information, vector, squares, weight, logRelative } of sums) {
      const own = row.precision;
      const c = inverse(plusDiagonal(scale(information, precision), own));
      const b: Vector3 = [vector[0] * precision, vector[1] * precision, vector[2] * precision];
      const cb = times(c, b);
      // What this species says of the stand, its own departure integrated out: own - own c own.
      p = plusDiagonal(add(p, scale(stretched(c, own), -1)), own);
      q = [q[0] + own[0] * cb[0], q[1] + own[1] * cb[1], q[2] + own[2] * cb[2]];
      log -= weight * Math.log(scatter) + logRelative + 0.5 * (squares * precision - dot(b, cb));
      log += 0.5 * Math.log(determinant(c) * own[0] * own[1] * own[2]);
      this.#parts.push({ species: row.species, c, cb, precision: own });
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
    this.#departures ??= new Map();
    let found = this.#departures.get(species);
    if (found === undefined) {
      const { mean, covariance } = this.stand;
      const part = this.#parts.find((one) => one.species === species);
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
  /** Posterior share of each solution. */
  readonly shares: readonly number[];
  /** One for each scatter and power that has a share worth naming. */
  readonly solutions: readonly Solution[];
}

/** Fits all species together; `standPrecision` is the prior precision of the stand's departures. */
export function fitRows(rows: readonly Row[], standPrecision: Vector3): CurveFit {
  const solutions = powers.flatMap((_, power) => solutionsOf(rows, power, standPrecision));
  const most = Math.max(...solutions.map(({ log }) => log));
  const raw = solutions.map(({ log }) => Math.exp(log - most));
  const least = leastShare * raw.reduce((sum, share) => sum + share, 0);
  const kept = solutions.filter((_, i) => raw[i]! >= least);
  const shares = raw.filter((share) => share >= least);
  const total = shares.reduce((sum, share) => sum + share, 0);
  return { shares: shares.map((share) => share / total), solutions: kept };
}

/** One for each scatter, at one power. */
function solutionsOf(rows: readonly Row[], power: number, standPrecision: Vector3): Solution[] {
  const solve = (sums: readonly Sums[], index: number): Solution =>
    new Solution(sums, index, power, standPrecision);
  const likeliest = (sums: readonly Sums[], indexes: readonly number[]): [number, Solution] => {
    let best = indexes[0]!;
    let solution = solve(sums, best);
    for (const index of indexes.slice(1)) {
      const next = solve(sums, index);
      if (next.log > solution.log) [best, solution] = [index, next];
    }
    return [best, solution];
  };
  let sums = rows.map((row) => sumUp(row, null, { scatter: 1, power }));
  if (rows.length > 0) {
    let [at, solution] = likeliest(sums, firstLook);
    for (let pass = 1; pass <= reweightings; pass++) {
      const scatter = scatters[at]!;
      sums = rows.map((row) => sumUp(row, solution.of(row.species, row.precision).mean, { scatter, power }));
      // Weighing strays down moves the scatter by little: look at its neighbours only.
      if (pass < reweightings) {
        [at, solution] = likeliest(
          sums,
          [at, at - 1, at + 1].filter((i) => i >= 0 && i < scatters.length),
        );
      }
    }
  }
  return scatters.map((_, index) => solve(sums, index));
}

/** Weighted sums of a species' residuals; `around` are the departures, at `scatter`, that strays are judged by. */
function sumUp(
  row: Row,
  around: Vector3 | null,
  { scatter, power }: { readonly scatter: number; readonly power: number },
): Sums {
  let weight = 0;
  let logRelative = 0;
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
  for (const { x, r, n, within, relative: relatives, halfLogRelative } of row.points) {
    const relative = relatives[power]!;
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
    logRelative += trust * n * halfLogRelative[power]!;
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
  return { row, information: [x0, x1, x2, x2, x3, x4], vector: [r0, r1, r2], squares, weight, logRelative };
}
