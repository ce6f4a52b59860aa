/**
 * The stand's own height-diameter curve: a broad prior from each species' usual mature height, moved by the pairs that
 * the stand has given. Linear and Gaussian on the logarithm of the height above breast height, with the scatter summed
 * over a grid, so that few pairs give wide, Student-like intervals; pairs that stray count less.
 *
 * Prior curve: Naslund's form, height = 4.5 + A (d / (d + k))^2 (Naslund 1936, in the form of the trade's tables).
 * Departures from it are a + b x + c x^2 with x = ln(d / 10 in); each is the sum of one shared by the stand and one of
 * the species, so species lend each other what they share.
 */

import { normalCdf } from '../../core/statistics.ts';
import { dot, quadratic, type Vector3 } from '../../core/symmetric.ts';
import { speciesByCode } from '../../note/species.ts';
import { DiameterSpread } from './diameters.ts';
import { type CurveFit, type CurvePair, fitRows, powers, type Row } from './fit.ts';

/** Breast height, feet (4.5 ft in US practice). */
export const breastHeightFt = 4.5;

/** One accepted tree. `species` is an FIA code or null where it was not said; inches and feet. */
export interface Pair {
  readonly species: number | null;
  readonly diameterIn: number;
  readonly heightFt: number;
  /** The plot that it stands on, where it stands on any: trees of one plot are alike. */
  readonly plot?: string | null;
}

interface Prediction {
  /** Median height, feet. */
  readonly feet: number;
  /** 90 percent limits for one tree, feet. */
  readonly low90: number;
  readonly high90: number;
  /** Standard deviation of the logarithm of the height above breast height, for one tree. */
  readonly sdLog: number;
  /** Pairs of this species that the curve has seen. */
  readonly n: number;
}

/** Height that stands for the species not known: middle of the usual mature heights of the table, feet. */
const genericMatureFt = 90;
/** Standard deviations of the three departures (level, slope, bend): of the stand, of a species in it, of a species not said. */
const standSd: Vector3 = [0.24, 0.28, 0.06];
const speciesSd: Vector3 = [0.15, 0.15, 0.05];
const unsaidSd: Vector3 = [0.36, 0.25, 0.08];
/** Share of trees that stray farther than the scatter tells, and how much wider they scatter. */
const wideShare = 0.1;
const wide = 2;
/** Pairs nearer to one another than this (natural logs) share one weight; it bounds the work for any number of pairs. */
const cellWidth = 0.06;
/** Sums are kept in whole multiples of this, so that forgetting a pair undoes it to the last bit. */
const quantum = 2 ** -20;
/** Lowest height above breast height that has a logarithm here, feet. */
const leastFt = 0.3;
/** Diameter below which the scatter grows, inches. */
const thinIn = 1.5;

/** Pairs so near to one another that they share a weight: sums over them. */
interface Cell {
  n: number;
  x: number;
  y: number;
  yy: number;
  /** What the fit reads of it, by the usual height it was reckoned with; null once the sums have changed. */
  point: { readonly mature: number; readonly of: CurvePair } | null;
}

/** What one species has given. */
interface Strand {
  readonly cells: Map<number, Cell>;
  n: number;
}

/**
 * Share of the scatter that is between plots (intraclass correlation): trees of one plot share its soil and its crowding. By
 * judgement; found among the plots of the bench's only stand that has plots: 0.15.
 */
const betweenPlots = 0.15;
/** Trees of a plot that its level is taken from, the last ones, and how far one of them counts at most, sd. */
const mostOfPlot = 30;
const mostStray = 2;

/** The key of a species not said. */
const unsaid = 0;
const key = (species: number | null): number => species ?? unsaid;
const round = (value: number): number => Math.round(value / quantum) * quantum;
const precise = (sds: Vector3): Vector3 => [sds[0] ** -2, sds[1] ** -2, sds[2] ** -2];
const standPrecision = precise(standSd);
const speciesPrecision = precise(speciesSd);
const unsaidPrecision = precise(unsaidSd);
const precisionOf = (species: number): Vector3 => (species === unsaid ? unsaidPrecision : speciesPrecision);

/** Logarithm of the prior curve: height above breast height, feet, of a species with this usual mature height. */
function priorLog(matureFt: number, diameterIn: number): number {
  // Mature trees are still below the asymptote; the factor was set by hand, as were the numbers below.
  const above = 1.2 * matureFt - breastHeightFt;
  // Tall species come to their height at larger diameters; thin stems of all species are about as slender.
  const k = 2.7 * (above / 91) ** 1.5;
  return Math.log(above) + 2 * Math.log(diameterIn / (diameterIn + k));
}

/**
 * Variance relative to that of a tree of ten inches, for one power of the grid: thin stems vary more, by a power of the
 * diameter that the stand tells, and their diameters are rounded more coarsely.
 */
const relativeVariance = (diameterIn: number, power: number): number =>
  (1 + (thinIn / diameterIn) ** 2) * (10 / Math.max(diameterIn, 1)) ** (2 * powers[power]!);

const basis = (diameterIn: number): Vector3 => {
  const x = Math.log(diameterIn / 10);
  return [1, x, x * x];
};

/**
 * Height-diameter curve of one stand.
 *
 * @example
 * const curve = new HeightCurve();
 * curve.observe({ species: 833, diameterIn: 16.2, heightFt: 73 });
 * curve.predict(833, 14).feet; // about 70
 */
export class HeightCurve {
  readonly #strands = new Map<number, Strand>();
  /** Diameters of the trees seen, for judging the next one. */
  readonly diameters = new DiameterSpread();
  readonly #plots = new Map<string, Pair[]>();
  #fit: { readonly fit: CurveFit; readonly genericFt: number } | null = null;
  #version = 0;
  /** The plot in question: by how many sd of a tree it stands above the curve, and what share of the variance is left. */
  #level: { readonly sds: number; readonly left: number } | null = null;

  /** Differs whenever what the curve has seen has changed. */
  get version(): number {
    return this.#version;
  }

  /** Pairs seen. */
  get n(): number {
    return this.diameters.n;
  }

  /** Takes in an accepted pair. Throws for a diameter that is not positive or a height that is not finite. */
  observe(pair: Pair): void {
    this.#count(pair, 1);
  }

  /** Undoes `observe` of the same pair. Throws when it was never observed. */
  forget(pair: Pair): void {
    this.#count(pair, -1);
  }

  /** What `work` gives while a pair that was observed is left out; the curve is then as it was, to the last bit. */
  without<T>(pair: Pair, work: () => T): T {
    const [fit, version] = [this.#fit, this.#version];
    const plot = pair.plot ?? null;
    const mates = plot === null ? [] : [...(this.#plots.get(plot) ?? [])];
    this.forget(pair);
    try {
      return work();
    } finally {
      this.observe(pair);
      this.#fit = fit;
      this.#version = version;
      if (plot !== null) this.#plots.set(plot, mates);
    }
  }

  /**
   * What `work` gives for trees of one plot: its other trees tell how it stands to the curve, drawn in toward it as they are
   * few (a random intercept by plot, best linear prediction). Without a plot, or none told of it, the curve is that of the stand.
   */
  onPlot<T>(plot: string | null | undefined, work: () => T): T {
    const before = this.#level;
    this.#level = null;
    this.#level = this.#levelOf(plot == null ? [] : (this.#plots.get(plot) ?? []));
    try {
      return work();
    } finally {
      this.#level = before;
    }
  }

  #levelOf(mates: readonly Pair[]): { readonly sds: number; readonly left: number } | null {
    if (mates.length === 0) return null;
    const last = mates.slice(-mostOfPlot);
    const weight = betweenPlots / (1 - betweenPlots + last.length * betweenPlots);
    let sum = 0;
    for (const { species, diameterIn, heightFt } of last)
      sum += Math.min(Math.max(this.stray(species, diameterIn, heightFt), -mostStray), mostStray);
    return { sds: weight * sum, left: 1 - last.length * betweenPlots * weight };
  }

  #onPlots(pair: Pair, by: 1 | -1): void {
    const { plot } = pair;
    if (plot == null) return;
    const mates = this.#plots.get(plot) ?? [];
    if (by === 1) mates.push(pair);
    else {
      const at = mates.findIndex(
        ({ species, diameterIn, heightFt }) =>
          species === pair.species && diameterIn === pair.diameterIn && heightFt === pair.heightFt,
      );
      if (at >= 0) mates.splice(at, 1);
    }
    if (mates.length > 0) this.#plots.set(plot, mates);
    else this.#plots.delete(plot);
  }

  #count(pair: Pair, by: 1 | -1): void {
    const { diameterIn, heightFt } = pair;
    if (!(diameterIn > 0) || !Number.isFinite(diameterIn) || !Number.isFinite(heightFt))
      throw new RangeError(`not a pair of a diameter and a height: ${diameterIn} in, ${heightFt} ft`);
    const x = round(Math.log(diameterIn / 10));
    const y = round(Math.log(Math.max(heightFt - breastHeightFt, leastFt)));
    const species = key(pair.species);
    const at = Math.round(x / cellWidth) * 4096 + Math.round(y / cellWidth);
    let strand = this.#strands.get(species);
    if (by === -1 && !strand?.cells.has(at)) throw new Error('forget: this pair was never observed');
    if (strand === undefined) {
      strand = { cells: new Map(), n: 0 };
      this.#strands.set(species, strand);
    }
    const cell = strand.cells.get(at) ?? { n: 0, x: 0, y: 0, yy: 0, point: null };
    cell.n += by;
    cell.x += by * x;
    cell.y += by * y;
    cell.yy += by * round(y * y);
    cell.point = null;
    if (cell.n === 0) strand.cells.delete(at);
    else strand.cells.set(at, cell);
    strand.n += by;
    if (strand.n === 0) this.#strands.delete(species);
    this.diameters.count(diameterIn, by);
    this.#onPlots(pair, by);
    this.#fit = null;
    this.#version++;
  }

  /** The height that a tree of this species (null: not said) and diameter is expected to have. */
  predict(species: number | null, diameterIn: number): Prediction {
    const components = this.#components(species, diameterIn);
    const { centre, means, variances, shares } = components;
    const { mean, variance } = momentsOf(components);
    const sdLog = Math.sqrt(variance);
    const half = halfWidth(shares, means, variances, mean, sdLog);
    return {
      feet: breastHeightFt + Math.exp(centre + mean),
      low90: breastHeightFt + Math.exp(centre + mean - half),
      high90: breastHeightFt + Math.exp(centre + mean + half),
      sdLog,
      n: this.#strands.get(key(species))?.n ?? 0,
    };
  }

  /**
   * Logarithm of the predictive density of a height, per unit of ln(height). `extraSd` is the relative error of the
   * measured height itself, where that is larger than what the pairs of the stand carry.
   */
  logDensity(species: number | null, diameterIn: number, heightFt: number, extraSd = 0): number {
    const above = Math.max(heightFt - breastHeightFt, leastFt);
    const { centre, means, variances, shares } = this.#components(species, diameterIn);
    const y = Math.log(above) - centre;
    const extra = ((extraSd * heightFt) / above) ** 2;
    let density = 0;
    for (let j = 0; j < shares.length; j++) {
      const variance = variances[j]! + extra;
      const zz = (y - means[j]!) ** 2 / variance;
      // One tree in ten comes from a scatter twice as wide: real stands have longer tails than a Gaussian.
      density +=
        (shares[j]! / Math.sqrt(variance)) *
        ((1 - wideShare) * Math.exp(-0.5 * zz) + (wideShare / wide) * Math.exp((-0.5 * zz) / wide ** 2));
    }
    // Far out, the Gaussian tails underflow: a floor keeps the logarithm finite.
    return Math.log(density + 1e-300) - 0.9189385332046727 + Math.log(Math.max(heightFt, leastFt) / above);
  }

  /**
   * How far a height stands from what is expected of such a tree, in standard deviations of the logarithm of the height
   * above breast height; negative below. `extraSd` as in `logDensity`.
   */
  stray(species: number | null, diameterIn: number, heightFt: number, extraSd = 0): number {
    const above = Math.max(heightFt - breastHeightFt, leastFt);
    const components = this.#components(species, diameterIn);
    const { mean, variance } = momentsOf(components);
    const extra = (extraSd * heightFt) / above;
    return (Math.log(above) - components.centre - mean) / Math.hypot(Math.sqrt(variance), extra);
  }

  /** `logDensity` for a tree whose diameter is not known: over the diameters that the stand leads one to expect. */
  logHeight(species: number | null, heightFt: number): number {
    const at = this.diameters.representatives();
    let density = 0;
    for (const diameterIn of at)
      density += Math.exp(this.logDensity(species, diameterIn, heightFt)) / at.length;
    return Math.log(density + 1e-300);
  }

  /** How much trees of this diameter scatter round the curve, were it known: sd of ln(height above breast height). */
  scatter(diameterIn: number): number {
    const { fit } = this.#fitted();
    let mean = 0;
    for (const [j, { scatter, power }] of fit.solutions.entries())
      mean += fit.shares[j]! * scatter * Math.sqrt(relativeVariance(diameterIn, power));
    return mean;
  }

  /** How its trees stand against the usual of their species at 10 in: ratio of heights, and in prior sds. */
  standDeparture(): { readonly ratio: number; readonly z: number; readonly n: number } {
    const { fit } = this.#fitted();
    let level = 0;
    for (const [species, { n }] of this.#strands) {
      for (const [j, solution] of fit.solutions.entries())
        level += (fit.shares[j]! * solution.of(species, precisionOf(species)).mean[0] * n) / this.n;
    }
    return { ratio: Math.exp(level), z: level / Math.hypot(standSd[0], speciesSd[0]), n: this.n };
  }

  /** The mixture over scatters and powers: means from the prior curve's `centre`, variances for one tree. */
  #components(species: number | null, diameterIn: number) {
    const { fit, genericFt } = this.#fitted();
    const at = key(species);
    const f = basis(diameterIn);
    const means: number[] = [];
    const variances: number[] = [];
    const { sds, left } = this.#level ?? { sds: 0, left: 1 };
    for (const solution of fit.solutions) {
      const { mean, covariance } = solution.of(at, precisionOf(at));
      const scatter = solution.scatter ** 2 * relativeVariance(diameterIn, solution.power);
      means.push(dot(mean, f) + sds * Math.sqrt(scatter));
      variances.push(quadratic(covariance, f) + scatter * left);
    }
    return { centre: priorLog(matureFt(at, genericFt), diameterIn), means, variances, shares: fit.shares };
  }

  #fitted() {
    if (this.#fit === null) {
      const genericFt = genericOf(this.#strands);
      const rows = [...this.#strands].map(([species, strand]) => rowOf(species, strand, genericFt));
      this.#fit = { fit: fitRows(rows, standPrecision), genericFt };
    }
    return this.#fit;
  }
}

/** Mean and variance of a mixture. */
function momentsOf({
  means,
  variances,
  shares,
}: {
  readonly means: readonly number[];
  readonly variances: readonly number[];
  readonly shares: readonly number[];
}): { readonly mean: number; readonly variance: number } {
  let mean = 0;
  for (let j = 0; j < shares.length; j++) mean += shares[j]! * means[j]!;
  let variance = 0;
  for (let j = 0; j < shares.length; j++) variance += shares[j]! * (variances[j]! + (means[j]! - mean) ** 2);
  return { mean, variance };
}

function matureFt(species: number, genericFt: number): number {
  const known = species === unsaid ? undefined : speciesByCode(species);
  return known === undefined ? genericFt : (known.matureFt[0] + known.matureFt[1]) / 2;
}

/** Usual mature height for a species not said: of those that were, and one tree's worth of the generic one. */
function genericOf(strands: ReadonlyMap<number, Strand>): number {
  let logs = Math.log(genericMatureFt);
  let n = 1;
  for (const [species, strand] of strands) {
    if (species === unsaid) continue;
    logs += strand.n * Math.log(matureFt(species, genericMatureFt));
    n += strand.n;
  }
  return Math.exp(logs / n);
}

function rowOf(species: number, strand: Strand, genericFt: number): Row {
  const mature = matureFt(species, genericFt);
  const points: CurvePair[] = [];
  for (const cell of strand.cells.values()) {
    if (cell.point?.mature !== mature) cell.point = { mature, of: pointOf(cell, mature) };
    points.push(cell.point.of);
  }
  return { species, precision: precisionOf(species), points };
}

function pointOf(cell: Cell, mature: number): CurvePair {
  const x = cell.x / cell.n;
  const diameterIn = 10 * Math.exp(x);
  const middle = cell.y / cell.n;
  const relative = powers.map((_, power) => relativeVariance(diameterIn, power));
  return {
    x,
    r: middle - priorLog(mature, diameterIn),
    n: cell.n,
    within: Math.max(cell.yy - cell.n * middle * middle, 0),
    relative,
    halfLogRelative: relative.map((of) => 0.5 * Math.log(of)),
  };
}

/** No mixture has more than a tenth of itself further out (Chebyshev: 1 / 0.1 is the square of 3.16). */
const mostSds = Math.sqrt(10);

/** Half width of the symmetric interval that holds 90 percent of a mixture of Gaussians; Newton from its moments. */
function halfWidth(
  shares: readonly number[],
  means: readonly number[],
  variances: readonly number[],
  mean: number,
  sd: number,
): number {
  let half = 1.645 * sd;
  for (let step = 0; step < 4; step++) {
    let inside = 0;
    let slope = 0;
    for (let j = 0; j < shares.length; j++) {
      if (shares[j]! < 1e-4) continue;
      const s = Math.sqrt(variances[j]!);
      const up = (mean + half - means[j]!) / s;
      const down = (mean - half - means[j]!) / s;
      inside += shares[j]! * (normalCdf(up) - normalCdf(down));
      slope +=
        ((shares[j]! / s) * (Math.exp(-0.5 * up * up) + Math.exp(-0.5 * down * down))) / 2.5066282746310002;
    }
    // Far from all of them the density is nothing and Newton would leap out of the numbers: the moments must do.
    if (!(slope > 0)) break;
    const change = (inside - 0.9) / slope;
    half = Math.min(Math.max(half - change, 0.2 * sd), mostSds * sd);
    if (Math.abs(change) < 1e-4 * sd) break;
  }
  return half;
}
