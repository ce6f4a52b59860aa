/**
 * The frame of a question: which groups of plots stand for which area. It turns moments over plots into values an acre with
 * the error of a simple or stratified sample, of a ratio, or none where everything was measured.
 */
import { standardErrorOfMean } from '../core/statistics.ts';
import { limitsOf, type Stratum, stratifiedMean } from './estimators.ts';
import { type Group, type MeasureName, type PairName, pairs } from './plot-sums.ts';

/** How far an area may be off, acres, one standard deviation: by itself, and with all other areas that were paced. */
export interface AreaError {
  readonly own: number;
  readonly shared: number;
}
export const noAreaError: AreaError = { own: 0, shared: 0 };

/** A stand, or one stratum of it. */
export interface Domain {
  /** Number of its place. */
  readonly place: number;
  readonly acres: number | null;
  readonly areaError: AreaError;
  /** True when every tree was measured. */
  readonly census: boolean;
  readonly groups: readonly Group[];
  readonly plots: number;
  /** Plots that it could hold, when all its plots have an area and it has one; else Infinity. */
  readonly populationSize: number;
}

/** Whether the error of its area counts in totals: where every tree was measured it does not. */
export const hasUnsureArea = ({ census, areaError: { own, shared } }: Domain): boolean =>
  !census && (own > 0 || shared !== 0);

export interface SamplingFrame {
  readonly domains: readonly Domain[];
  /** True when domains are weighted by their areas; false when they are pooled. */
  readonly weighted: boolean;
  readonly plots: number;
  /** Acres of all domains; null when one is not known. */
  readonly acres: number | null;
  /** Trees on no plot of known size. */
  readonly loose: readonly Group[];
}

/** Whether plots of an area and points of a gauge are taken together in one place, or in one pool of places. */
export const mixesDesigns = ({ domains, weighted }: SamplingFrame): boolean => {
  const mixed = (groups: readonly Group[]): boolean =>
    groups.some(({ gauge }) => gauge) && groups.some(({ gauge }) => !gauge);
  const sampled = domains.filter(({ census }) => !census);
  return weighted
    ? sampled.some(({ groups }) => mixed(groups))
    : mixed(sampled.flatMap(({ groups }) => groups));
};

/** Factors from the columns' units to the answer's: on plots of an area, and at a gauge. */
export interface AreaScale {
  readonly area: number;
  readonly gauge: number;
}
export const noScale: AreaScale = { area: 1, gauge: 1 };

interface FrameMean {
  readonly mean: number;
  readonly se: number | null;
  readonly df: number;
  readonly n: number;
}

/** A variance below this share of the mean square is rounding. */
const rounding = 1e-12;

/** Sample variance from sum and sum of squares; null for fewer than two values. */
function varianceOf(n: number, sum: number, squares: number): number | null {
  if (n < 2) return null;
  const apart = squares - (sum * sum) / n;
  return apart <= rounding * squares ? 0 : apart / (n - 1);
}

type Sums = (group: Group, factor: number) => readonly [sum: number, squares: number];

/** The strata of a frame for values whose sum and sum of squares over a group's plots `sums` gives. */
function strataOf(frame: SamplingFrame, scale: AreaScale, sums: Sums): Stratum[] {
  const collect = (groups: readonly Group[]): [number, number] => {
    let sum = 0;
    let squares = 0;
    for (const group of groups) {
      const [one, two] = sums(group, group.expansion * (group.gauge ? scale.gauge : scale.area));
      sum += one;
      squares += two;
    }
    return [sum, squares];
  };
  if (!frame.weighted) {
    const sampled = frame.domains.filter((domain) => !domain.census);
    const n = sampled.reduce((total, domain) => total + domain.plots, 0);
    if (n === 0) return [];
    const [sum, squares] = collect(sampled.flatMap((domain) => domain.groups));
    const populationSize = sampled.length === 1 ? sampled[0]!.populationSize : Number.POSITIVE_INFINITY;
    return [{ weight: 1, n, mean: sum / n, variance: varianceOf(n, sum, squares), populationSize }];
  }
  return frame.domains.map((domain) => {
    const [sum, squares] = collect(domain.groups);
    const weight = domain.acres ?? 1;
    const n = domain.plots;
    if (domain.census) return { weight, n, mean: sum / weight, variance: 0, populationSize: n };
    const variance = varianceOf(n, sum, squares);
    return { weight, n, mean: sum / n, variance, populationSize: domain.populationSize };
  });
}

/** Value of a measure of one species and status (`key`): of an acre, or of all acres; null when no plot counts. */
export function frameMean(
  frame: SamplingFrame,
  key: number,
  name: MeasureName,
  scale: AreaScale,
  whole = false,
): FrameMean | null {
  return frameMeanOf(
    frame,
    scale,
    (group, factor) => [factor * group.first(key, name), factor * factor * group.second(key, name)],
    whole,
  );
}

/** The same for values of plots whose sums are given by group. */
export function frameMeanOf(
  frame: SamplingFrame,
  scale: AreaScale,
  sums: Sums,
  whole: boolean,
): FrameMean | null {
  return withAreaErrors(frame, strataOf(frame, scale, sums), whole);
}

/** As many degrees of freedom as a normal value has, for all that it matters. */
const mostDf = 1e6;

/**
 * A mean of a frame with the errors of its areas, for an acre or for them all. A total is the sum of A m: by an area it
 * changes by m, a mean by (m - mean) / A; where every tree was measured the trees stay the same, so a total does not change
 * and a mean by -mean / A. What areas share (paces) is added up before it is squared. For a total the product of both errors
 * is taken off, as both are estimated (Goodman 1960, J. Am. Stat. Assoc. 55:708-713, from memory).
 */
function withAreaErrors(frame: SamplingFrame, strata: readonly Stratum[], whole: boolean): FrameMean | null {
  const found = stratifiedMean(strata);
  if (found === null || !frame.weighted) return found;
  const acres = frame.domains.reduce((sum, domain) => sum + (domain.acres ?? 1), 0);
  const factor = whole ? acres : 1;
  let [own, shared, product] = [0, 0, 0];
  frame.domains.forEach(({ census, areaError }, i) => {
    const { mean, variance, n, populationSize } = strata[i]!;
    const perTotal = census ? 0 : mean;
    const slope = whole ? perTotal : (perTotal - found.mean) / acres;
    own += (slope * areaError.own) ** 2;
    shared += slope * areaError.shared;
    if (whole && variance !== null)
      product +=
        (areaError.own ** 2 + areaError.shared ** 2) *
        standardErrorOfMean(Math.sqrt(variance), n, populationSize) ** 2;
  });
  const areas = own + shared * shared;
  if (areas === 0 || found.se === null)
    return { ...found, mean: found.mean * factor, se: found.se === null ? null : found.se * factor };
  const sampling = (found.se * factor) ** 2;
  const se = Math.sqrt(Math.max(sampling, areas, sampling + areas - product));
  // Satterthwaite: the areas' errors are taken as known.
  const df = sampling > 0 ? Math.min(mostDf, found.df * ((sampling + areas) / sampling) ** 2) : mostDf;
  return { ...found, mean: found.mean * factor, se, df };
}

/** Value an acre by a frame's weights of one key, without an error. */
export function frameValue(frame: SamplingFrame, key: number, name: MeasureName, scale: AreaScale): number {
  return (
    stratifiedMean(strataOf(frame, scale, (group, factor) => [factor * group.first(key, name), 0]))?.mean ?? 0
  );
}

/**
 * Ratio of two measures (a mean height: heights over trees) by the combined ratio estimator: the error comes from the
 * residuals y - R x of the plots. Plots without any x say nothing on it: with one telling plot there is no error, with
 * few there are few degrees of freedom. Null when x is 0 everywhere.
 */
export function frameRatio(
  frame: SamplingFrame,
  key: number,
  name: PairName,
  top: AreaScale,
  bottom: AreaScale,
): { ratio: number; se: number | null; df: number; n: number } | null {
  const [y, x] = pairs[name];
  const upper = frameMean(frame, key, y, top);
  const lower = frameMean(frame, key, x, bottom);
  if (upper === null || lower === null || !(lower.mean > 0)) return null;
  const ratio = upper.mean / lower.mean;
  let telling = 0;
  for (const domain of frame.domains) {
    for (const group of domain.groups) telling += group.product(key, name).telling;
  }
  const census = frame.domains.every((domain) => domain.census);
  const none = { ratio, se: null, df: 0, n: upper.n };
  if (census) return { ratio, se: 0, df: 1, n: upper.n };
  if (telling < 2) return none;
  const residual = stratifiedMean(
    strataOf(frame, noScale, (group, expansion) => {
      const a = expansion * (group.gauge ? top.gauge : top.area);
      const b = ratio * expansion * (group.gauge ? bottom.gauge : bottom.area);
      const squares =
        a * a * group.second(key, y) -
        2 * a * b * group.product(key, name).sum +
        b * b * group.second(key, x);
      return [a * group.first(key, y) - b * group.first(key, x), Math.max(0, squares)];
    }),
  );
  if (residual === null || residual.se === null) return none;
  const spare = (telling * (upper.n - 1)) / ((telling - 1) * upper.n);
  return {
    ratio,
    se: (residual.se / lower.mean) * Math.sqrt(Math.max(1, spare)),
    df: Math.min(residual.df, telling - 1),
    n: upper.n,
  };
}

/** Spread of a measure over all sampled plots as one sample: null below two plots. */
export function frameSpread(
  frame: SamplingFrame,
  key: number,
  name: MeasureName,
  scale: AreaScale,
): { n: number; mean: number; sd: number; cvPct: number | null; populationSize: number } | null {
  const sampled = frame.domains.filter((domain) => !domain.census);
  const [one] = strataOf({ ...frame, domains: sampled, weighted: false }, scale, (group, factor) => [
    factor * group.first(key, name),
    factor * factor * group.second(key, name),
  ]);
  if (one === undefined || one.variance === null) return null;
  const sd = Math.sqrt(one.variance);
  const populationSize = sampled.reduce((total, domain) => total + domain.populationSize, 0);
  return { n: one.n, mean: one.mean, sd, cvPct: one.mean > 0 ? (100 * sd) / one.mean : null, populationSize };
}

/** Spread of a measure within each sampled domain of a weighted frame; null where a domain has fewer than two plots. */
export function domainSpreads(
  frame: SamplingFrame,
  key: number,
  name: MeasureName,
  scale: AreaScale,
): { domain: Domain; mean: number; sd: number }[] | null {
  const sampled = frame.domains.filter((domain) => !domain.census);
  if (!frame.weighted) return null;
  const strata = strataOf({ ...frame, domains: sampled }, scale, (group, factor) => [
    factor * group.first(key, name),
    factor * factor * group.second(key, name),
  ]);
  const spreads = strata.flatMap(({ mean, variance }, i) =>
    variance === null ? [] : [{ domain: sampled[i]!, mean, sd: Math.sqrt(variance) }],
  );
  return spreads.length < strata.length ? null : spreads;
}

/** Limits for an estimate that cannot be below 0; null without an error. */
export function confidenceLimits(
  value: number,
  se: number | null,
  df: number,
  confidence: number,
): { low: number | null; high: number | null; samplingErrorPct: number | null } {
  if (se === null || (df < 1 && se > 0)) return { low: null, high: null, samplingErrorPct: null };
  const found = limitsOf(value, se, df, confidence);
  return { low: Math.max(0, found.low), high: found.high, samplingErrorPct: found.errorPct };
}
