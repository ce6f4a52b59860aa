/**
 * Sampling estimators on plot values: simple random, stratified, ratio; limits; how many plots are needed and where.
 * Pure numbers in any unit. Too few values give null, never NaN.
 */
import { tQuantile } from '../core/statistics.ts';

/** Mean of a sample of plots with its standard error; `se` null while there is only one plot. */
export interface SampleMean {
  readonly n: number;
  readonly mean: number;
  readonly variance: number | null;
  readonly se: number | null;
  readonly df: number;
}

/** Finite population correction, 1 - n/N, never below 0. `N` may be Infinity. */
const finite = (n: number, populationSize: number): number =>
  populationSize === Number.POSITIVE_INFINITY ? 1 : Math.max(0, 1 - n / populationSize);

/**
 * Simple random sample without replacement: SE^2 = s^2/n (1 - n/N). Null for no values.
 * Source: Freese 1967, USDA Agriculture Handbook 317. Example: its 20 of 100 units give mean 10.7, SE 0.734.
 */
export function simpleRandom(
  values: ArrayLike<number>,
  populationSize = Number.POSITIVE_INFINITY,
): SampleMean | null {
  const n = values.length;
  if (n === 0) return null;
  let total = 0;
  for (let i = 0; i < n; i++) total += values[i]!;
  const mean = total / n;
  let squares = 0;
  let drift = 0;
  for (let i = 0; i < n; i++) {
    const apart = values[i]! - mean;
    squares += apart * apart;
    drift += apart;
  }
  if (n < 2) return { n, mean, variance: null, se: null, df: 0 };
  const variance = Math.max(0, squares - (drift * drift) / n) / (n - 1);
  return { n, mean, variance, se: Math.sqrt((variance / n) * finite(n, populationSize)), df: n - 1 };
}

export interface Limits {
  readonly low: number;
  readonly high: number;
  /** Half width of the interval in percent of the mean; null when the mean is 0. */
  readonly errorPct: number | null;
}

/** Confidence limits mean +- t SE. `confidence` in (0, 1), such as 0.95. */
export function limitsOf(mean: number, se: number, df: number, confidence: number): Limits {
  const half = se === 0 ? 0 : tQuantile(0.5 + confidence / 2, df) * se;
  return { low: mean - half, high: mean + half, errorPct: mean === 0 ? null : (100 * half) / Math.abs(mean) };
}

export interface Stratum {
  /** Area, or any weight; they are scaled to sum to 1. */
  readonly weight: number;
  readonly n: number;
  readonly mean: number;
  /** Sample variance (divisor n - 1); null for one plot; 0 where everything was measured. */
  readonly variance: number | null;
  /** Plots that the stratum could hold; Infinity when that is not bounded. */
  readonly populationSize: number;
}

/**
 * Stratified mean: sum W m; SE^2 = sum W^2 s^2/n (1 - n/N); degrees of freedom by Satterthwaite 1946. The error is null
 * while any stratum that was not fully measured has a single plot. Null for no strata.
 */
export function stratifiedMean(
  strata: readonly Stratum[],
): { readonly n: number; readonly mean: number; readonly se: number | null; readonly df: number } | null {
  let weight = 0;
  for (const each of strata) weight += each.weight;
  if (strata.length === 0 || !(weight > 0)) return null;
  let n = 0;
  let mean = 0;
  let square = 0;
  let below = 0;
  let spare = 0;
  let known = true;
  for (const each of strata) {
    const share = each.weight / weight;
    n += each.n;
    mean += share * each.mean;
    if (each.variance === null) {
      known = false;
      continue;
    }
    const part = ((share * share * each.variance) / each.n) * finite(each.n, each.populationSize);
    square += part;
    if (each.n > 1) {
      below += (part * part) / (each.n - 1);
      spare += each.n - 1;
    }
  }
  if (!known) return { n, mean, se: null, df: 0 };
  const df = below > 0 ? (square * square) / below : Math.max(1, spare);
  return { n, mean, se: Math.sqrt(square), df: Math.max(1, df) };
}

export interface RatioEstimate {
  readonly n: number;
  readonly ratio: number;
  /** Residual variance of y about ratio times x, divisor n - 1; null for one pair. */
  readonly residualVariance: number | null;
  /** Ratio times the known total of x. */
  readonly total: number;
  /** Variance of the total: N^2 (1 - n/N) s^2/n. */
  readonly totalVariance: number | null;
}

/**
 * Ratio of sums, for totals of y from the known total of x over N units. Null when x sums to 0 or nothing is given.
 * Source: the usual ratio estimator; a textbook exercise (12 trees of 250) gives 1589.552 with variance 8678.564.
 */
export function ratioEstimate(
  pairs: readonly { readonly x: number; readonly y: number }[],
  populationSize: number,
  totalX: number,
): RatioEstimate | null {
  const n = pairs.length;
  let x = 0;
  let y = 0;
  for (const pair of pairs) {
    x += pair.x;
    y += pair.y;
  }
  if (n === 0 || x === 0) return null;
  const ratio = y / x;
  let squares = 0;
  for (const pair of pairs) squares += (pair.y - ratio * pair.x) ** 2;
  const residualVariance = n > 1 ? squares / (n - 1) : null;
  return {
    n,
    ratio,
    residualVariance,
    total: ratio * totalX,
    totalVariance:
      residualVariance === null
        ? null
        : populationSize ** 2 * finite(n, populationSize) * (residualVariance / n),
  };
}

/** Plots for an error with a given t, not rounded: n = 1 / (E^2/(t^2 CV^2) + 1/N). */
export const plotsForT = (cvPct: number, errorPct: number, t: number, populationSize: number): number =>
  cvPct === 0 ? 0 : 1 / ((errorPct / (t * cvPct)) ** 2 + 1 / populationSize);

/** A hair below a whole number still rounds to it, so that 27.0000000001 is 27 plots, not 28. */
const roundUp = (n: number): number => Math.ceil(n - 1e-9);

/**
 * Plots needed in all for a sampling error of `errorPct` percent at a confidence, when plots vary by `cvPct`; rounds up;
 * t follows n, and where n flips between values the larger stands. At least 2.
 * Example: CV 50, error 20, 95 percent: 27; with N 200: 24.
 */
export function plotsNeeded(of: {
  readonly cvPct: number;
  readonly errorPct: number;
  readonly confidence: number;
  readonly populationSize?: number;
}): number {
  const { cvPct, errorPct, confidence, populationSize = Number.POSITIVE_INFINITY } = of;
  if (!(cvPct >= 0) || !(errorPct > 0)) {
    throw new RangeError(`plotsNeeded requires cv >= 0 and error > 0, found ${cvPct} and ${errorPct}`);
  }
  const seen: number[] = [10];
  let n = 10;
  for (;;) {
    const t = tQuantile(0.5 + confidence / 2, Math.max(1, n - 1));
    const next = Math.max(
      2,
      Math.min(populationSize, roundUp(plotsForT(cvPct, errorPct, t, populationSize))),
    );
    if (next === n) return n;
    const from = seen.indexOf(next);
    if (from >= 0) return Math.max(...seen.slice(from));
    seen.push(next);
    n = next;
  }
}

/** Plots of each stratum in proportion to its weight, not rounded: n W. */
export function proportionalAllocation(n: number, weights: readonly number[]): number[] {
  const all = weights.reduce((a, b) => a + b, 0);
  return weights.map((weight) => (all > 0 ? (n * weight) / all : 0));
}

/** Optimum (Neyman) allocation, not rounded: n W s / sum(W s); proportional when nothing varies. */
export function optimumAllocation(
  n: number,
  strata: readonly { readonly weight: number; readonly sd: number }[],
): number[] {
  const all = strata.reduce((a, each) => a + each.weight * each.sd, 0);
  if (!(all > 0))
    return proportionalAllocation(
      n,
      strata.map((each) => each.weight),
    );
  return strata.map((each) => (n * each.weight * each.sd) / all);
}

/**
 * Plots for a stratified sample by the weighted coefficient of variation, with a fixed t, not rounded.
 * Source: USDA Forest Service 2000, FSH 2409.12: CV 48.5, error 10, t 2, N 1000 give n 86.
 */
export function stratifiedPlots(
  strata: readonly { readonly weight: number; readonly cvPct: number }[],
  errorPct: number,
  t: number,
  populationSize = Number.POSITIVE_INFINITY,
): { readonly weightedCvPct: number; readonly n: number; readonly allocation: readonly number[] } {
  const all = strata.reduce((a, each) => a + each.weight, 0);
  const weightedCvPct = strata.reduce((a, each) => a + (each.weight / all) * each.cvPct, 0);
  const n = plotsForT(weightedCvPct, errorPct, t, populationSize);
  const allocation = optimumAllocation(
    roundUp(n),
    strata.map((each) => ({ weight: each.weight, sd: each.cvPct })),
  );
  return { weightedCvPct, n, allocation };
}
