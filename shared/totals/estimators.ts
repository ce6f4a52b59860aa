/**
 * Sampling estimators on plot values: simple random, stratified, ratio; limits; how many plots are needed and where.
 * Pure numbers in any unit. Too few values give null, never NaN.
 */
import { tQuantile } from '../core/statistics.ts';

/** Finite population correction, 1 - n/N, never below 0. `N` may be Infinity. */
const finite = (n: number, populationSize: number): number =>
  populationSize === Number.POSITIVE_INFINITY ? 1 : Math.max(0, 1 - n / populationSize);

interface Limits {
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

/** Plots for an error with a given t, not rounded: n = 1 / (E^2/(t^2 CV^2) + 1/N). */
export const plotsForT = (cvPct: number, errorPct: number, t: number, populationSize: number): number =>
  cvPct === 0 ? 0 : 1 / ((errorPct / (t * cvPct)) ** 2 + 1 / populationSize);

/** A hair below a whole number still rounds to it, so that 27.0000000001 is 27 plots, not 28. */
const roundUp = (n: number): number => Math.ceil(n - 1e-9);

/**
 * Plots needed in all for a sampling error of `errorPct` percent at a confidence, when plots vary by `cvPct`; rounds up;
 * t follows n, and where n flips between values the larger stands. At least 2.
 * Example: `plotsNeeded({ cvPct: 50, errorPct: 20, confidence: 0.95 }) === 27`; of 200 plots 24.
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

/**
 * Shares of n plots as whole numbers that add up to n, each at least `least` where n allows it: the largest remainders get
 * what rounding down leaves over. Example: `wholeAllocation(7, [3.4, 2.3, 1.3], 2).join(' ') === '3 2 2'`.
 */
export function wholeAllocation(n: number, shares: readonly number[], least: number): number[] {
  const fewest = Math.min(least, Math.floor(n / Math.max(1, shares.length)));
  const sum = shares.reduce((a, b) => a + b, 0);
  const wanted = shares.map((share) => (sum > 0 ? (n * share) / sum : n / shares.length));
  const counts = wanted.map((each) => Math.max(fewest, Math.floor(each)));
  for (let over = n - counts.reduce((a, b) => a + b, 0); over !== 0; over -= Math.sign(over)) {
    // Given to, or taken from, where it is furthest from what was wanted.
    let at = -1;
    for (const [i, count] of counts.entries()) {
      if (over < 0 && count <= fewest) continue;
      const better = at < 0 || Math.sign(over) * (wanted[i]! - count - (wanted[at]! - counts[at]!)) > 0;
      if (better) at = i;
    }
    counts[at]! += Math.sign(over);
  }
  return counts;
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
