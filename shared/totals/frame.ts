/**
 * The frame of a question: which plots stand for which area. It turns sums of plots into values an acre and totals, with
 * the error of a simple or stratified sample, of a ratio, or none where everything was measured.
 */
import { limitsOf, type SampleMean, type Stratum, simpleRandom, stratifiedMean } from './estimators.ts';

/** A stand, or one stratum of it. */
export interface Domain {
  readonly acres: number | null;
  readonly census: boolean;
  /** Indexes of its plots that count. */
  readonly plots: number[];
  /** Plots that it could hold, when all its plots have an area and it has one; else Infinity. */
  readonly populationSize: number;
}

export interface Frame {
  readonly domains: readonly Domain[];
  /** True when domains are weighted by their areas; false when they had to be pooled. */
  readonly weighted: boolean;
  readonly plots: number;
  /** Acres of all domains; null when one is not known. */
  readonly acres: number | null;
}

/** Value an acre (or whatever `values` are per) over the frame; null when no plot counts. */
export function frameMean(frame: Frame, values: Float64Array): Omit<SampleMean, 'variance'> | null {
  const strata = strataOf(frame, values);
  if (strata.length === 0) return null;
  const result = stratifiedMean(strata);
  if (result === null) return null;
  return result;
}

function strataOf(frame: Frame, values: Float64Array): Stratum[] {
  if (!frame.weighted) {
    const sampled = frame.domains.filter((domain) => !domain.census);
    const plots = sampled.flatMap((domain) => domain.plots);
    const stratum = stratumOf(plots, values, 1, sampled.length === 1 ? sampled[0]!.populationSize : Infinity);
    return stratum === null ? [] : [stratum];
  }
  const strata: Stratum[] = [];
  for (const domain of frame.domains) {
    if (domain.census) {
      let sum = 0;
      for (const plot of domain.plots) sum += values[plot]!;
      strata.push({
        weight: domain.acres ?? 1,
        n: domain.plots.length,
        mean: sum / (domain.acres ?? 1),
        variance: 0,
        populationSize: domain.plots.length,
      });
    } else {
      const stratum = stratumOf(domain.plots, values, domain.acres ?? 1, domain.populationSize);
      if (stratum !== null) strata.push(stratum);
    }
  }
  return strata;
}

const gathered = { values: new Float64Array(64) };

function stratumOf(
  plots: readonly number[],
  values: Float64Array,
  weight: number,
  populationSize: number,
): Stratum | null {
  const n = plots.length;
  if (gathered.values.length < n) gathered.values = new Float64Array(n * 2);
  for (let i = 0; i < n; i++) gathered.values[i] = values[plots[i]!]!;
  const sample = simpleRandom(gathered.values.subarray(0, n), populationSize);
  return sample === null ? null : { weight, n, mean: sample.mean, variance: sample.variance, populationSize };
}

/**
 * Ratio of two values an acre (a mean height: heights over trees) by the combined ratio estimator: the error comes from
 * the residuals y - R x of the plots. Null when x is 0 everywhere. `y` is overwritten.
 */
export function frameRatio(
  frame: Frame,
  y: Float64Array,
  x: Float64Array,
): { ratio: number; se: number | null; df: number; n: number } | null {
  const top = frameMean(frame, y);
  const bottom = frameMean(frame, x);
  if (top === null || bottom === null || bottom.mean <= 0) return null;
  const ratio = top.mean / bottom.mean;
  // Plots without any x say nothing on the ratio: one telling plot has no error, few have few degrees of freedom.
  let telling = 0;
  for (const domain of frame.domains) {
    for (const plot of domain.plots) {
      if (x[plot]! > 0) telling++;
      y[plot]! -= ratio * x[plot]!;
    }
  }
  const census = frame.domains.every((domain) => domain.census);
  if (telling < 2 && !census) return { ratio, se: null, df: 0, n: top.n };
  const residual = frameMean(frame, y);
  if (residual === null || residual.se === null) return { ratio, se: null, df: 0, n: top.n };
  const spare = census ? 1 : (telling * (top.n - 1)) / ((telling - 1) * top.n);
  return {
    ratio,
    se: (residual.se / bottom.mean) * Math.sqrt(Math.max(1, spare)),
    df: census ? residual.df : Math.min(residual.df, telling - 1),
    n: top.n,
  };
}

/** Limits for an estimate that cannot be below 0; null without an error. */
export function limits(
  value: number,
  se: number | null,
  df: number,
  confidence: number,
): { low: number | null; high: number | null; samplingErrorPct: number | null } {
  if (se === null || (df < 1 && se > 0)) return { low: null, high: null, samplingErrorPct: null };
  const found = limitsOf(value, se, df, confidence);
  return { low: Math.max(0, found.low), high: found.high, samplingErrorPct: found.errorPct };
}
