/**
 * The error budget: first-order propagation of independent uncertain inputs through a height, kept apart by cause,
 * and the one action that would lower the error most. Also the error of several heights together, where what they
 * share (pace, eye) does not average out.
 */
import { chiSquareTail, normalCdf, sum } from '../../core/statistics.ts';
import { type Advice, type Cause, commonCauses, type Height, type Share } from './types.ts';

/** A value computed from the inputs; `x` holds one value per input, in order. */
export type UncertainQuantity = (x: readonly number[]) => number;

export interface Input {
  readonly name: string;
  readonly cause: Cause;
  readonly value: number;
  /** Standard deviation in the unit of `value`, >= 0. */
  readonly sd: number;
}

/** What could be done better: the inputs that would then have another standard deviation. */
export interface Remedy {
  readonly action: Advice['action'];
  readonly sds: Readonly<Record<string, number>>;
}

interface Budget {
  readonly feet: number;
  readonly sdFeet: number;
  readonly shares: readonly Share[];
  readonly advice: Advice | null;
}

/** An advice that lowers the error by less than this part is not worth a breath. */
const worthSaying = 0.1;

/**
 * Value, standard deviation and shares of a height, by first-order propagation: sd^2 = sum (dH/dx sd_x)^2 (JCGM
 * 100:2008, GUM, 5.1.2), slopes by central differences of a thousandth of each sd. Inputs are independent.
 *
 * `height` in feet. Holds as far as the height is nearly straight over one sd of each input: within 5 % against
 * Monte Carlo for every method, for sighted tops up to 85 degrees.
 */
export function budget(
  inputs: readonly Input[],
  height: UncertainQuantity,
  remedies: readonly Remedy[] = [],
): Budget {
  const at = inputs.map((input) => input.value);
  const slopes = inputs.map((input, i) => {
    if (!(input.sd > 0)) return 0;
    const step = Math.max(input.sd * 1e-3, Math.abs(input.value) * 1e-7);
    at[i] = input.value + step;
    const above = height(at);
    at[i] = input.value - step;
    const below = height(at);
    at[i] = input.value;
    return (above - below) / (2 * step);
  });
  const variances = new Map<Cause, number>();
  let variance = 0;
  inputs.forEach((input, i) => {
    const part = (slopes[i]! * input.sd) ** 2;
    variance += part;
    variances.set(input.cause, (variances.get(input.cause) ?? 0) + part);
  });
  const sdFeet = Math.sqrt(variance);
  const advices = remedies.map(({ action, sds }): Advice => {
    // The cause named is the one that the remedy takes most from.
    let left = variance;
    let cause: Cause = 'count';
    let most = Number.NEGATIVE_INFINITY;
    const gains = new Map<Cause, number>();
    inputs.forEach((input, i) => {
      const sd = sds[input.name];
      if (sd === undefined) return;
      const gain = slopes[i]! ** 2 * (input.sd ** 2 - sd ** 2);
      left -= gain;
      const total = (gains.get(input.cause) ?? 0) + gain;
      gains.set(input.cause, total);
      if (total > most) {
        most = total;
        cause = input.cause;
      }
    });
    return { action, cause, sdFeet: Math.sqrt(Math.max(0, left)) };
  });
  return {
    feet: height(at),
    sdFeet,
    shares: sharesOf([...variances].map(([cause, part]) => ({ cause, sdFeet: Math.sqrt(part) }))),
    advice: bestAdvice(sdFeet, advices),
  };
}

/** Parts of the variance, greatest first; causes without effect are left out. */
function sharesOf(causes: readonly { readonly cause: Cause; readonly sdFeet: number }[]): readonly Share[] {
  const variance = causes.reduce((total, each) => total + each.sdFeet ** 2, 0);
  if (!(variance > 0)) return [];
  return causes
    .filter((each) => each.sdFeet > 0)
    .map((each) => ({ cause: each.cause, sdFeet: each.sdFeet, part: each.sdFeet ** 2 / variance }))
    .sort((a, b) => b.part - a.part);
}

/** The advice that leaves the least error, if it is worth saying. */
export function bestAdvice(sdFeet: number, advices: readonly Advice[]): Advice | null {
  let best: Advice | null = null;
  for (const advice of advices) {
    if (advice.sdFeet <= sdFeet * (1 - worthSaying) && (best === null || advice.sdFeet < best.sdFeet)) {
      best = advice;
    }
  }
  return best;
}

const sdOf = (height: Height, cause: Cause): number =>
  height.shares.find((share) => share.cause === cause)?.sdFeet ?? 0;

const isCommon = (cause: Cause): boolean => commonCauses.includes(cause);

/** Covariance of the errors of two heights: only what they share. */
const sharedVariance = (a: Height, b: Height): number =>
  sum(commonCauses.map((cause) => sdOf(a, cause) * sdOf(b, cause)));

interface Combined {
  readonly feet: number;
  readonly sdFeet: number;
  /** Weight of each height, in the order given; they sum to 1. */
  readonly weights: readonly number[];
  /** Probability of a scatter this wide if all heights were of one tree with the errors stated; 1 for one height. */
  readonly agreement: number;
  /** False below one in twenty: the sd is then widened by the Birge ratio. */
  readonly agree: boolean;
  /** The two that disagree most: their indices, how far apart, and how many sd of their difference that is. */
  readonly furthest: {
    readonly first: number;
    readonly second: number;
    readonly apartFeet: number;
    readonly sds: number;
    /** Two-sided probability of such a difference, times the number of pairs (Bonferroni), at most 1. */
    readonly probability: number;
  } | null;
}

/** Agreement below this is a disagreement worth telling. */
const agreementLimit = 0.05;

/**
 * One height of one tree from several measurements, feet. Weights go by the reciprocal variance; the sd counts what the
 * heights share (two paced heights share the pace), so combining never hides it. Disagreement: chi-square of the
 * scatter about the generalised least squares mean, shared errors included; when it is found, the sd is widened by
 * sqrt(chi-square / df) (Birge 1932, Phys. Rev. 40:207-227). Heights must be of one tree; sd above 0.
 * Example: 60 +- 3 and 66 +- 4: 62.16 +- 2.4, agreement 0.23.
 */
export function combine(heights: readonly Height[]): Combined {
  return { ...combineValues(heights), furthest: furthestOf(heights) };
}

/** The same without the two that disagree most, for which every pair would be looked at. */
export function combineValues(heights: readonly Height[]): Omit<Combined, 'furthest'> {
  if (heights.length === 0) throw new RangeError('combine requires at least one height');
  if (heights.some((height) => !(height.sdFeet > 0))) throw new RangeError('combine requires sd above 0');
  const raw = heights.map((height) => 1 / (height.sdFeet * height.sdFeet));
  const all = sum(raw);
  const weights = raw.map((weight) => weight / all);
  const feet = sum(heights.map((height, i) => height.feet * weights[i]!));
  const own = heights.map((height) => Math.hypot(...ownParts(height)));
  const common = commonCauses.map((cause) =>
    sum(heights.map((height, i) => weights[i]! * sdOf(height, cause))),
  );
  const sdFeet = Math.hypot(Math.sqrt(sum(weights.map((weight, i) => (weight * own[i]!) ** 2))), ...common);
  if (heights.length === 1) return { feet, sdFeet, weights, agreement: 1, agree: true };
  const apart = heights.map((height) => height.feet - feet);
  const [ones, solved] = solvedBy(heights, own, [heights.map(() => 1), apart]) as [number[], number[]];
  const scatter = Math.max(0, sum(apart.map((d, i) => d * solved[i]!)) - sum(solved) ** 2 / sum(ones));
  const df = heights.length - 1;
  const agreement = chiSquareTail(scatter, df);
  const agree = agreement >= agreementLimit;
  return {
    feet,
    sdFeet: agree ? sdFeet : sdFeet * Math.max(1, Math.sqrt(scatter / df)),
    weights,
    agreement,
    agree,
  };
}

/** The two of several heights that disagree most; null for one. */
function furthestOf(heights: readonly Height[]): Combined['furthest'] {
  let furthest: Combined['furthest'] = null;
  const pairs = (heights.length * (heights.length - 1)) / 2;
  for (let first = 0; first < heights.length; first++) {
    for (let second = first + 1; second < heights.length; second++) {
      const a = heights[first]!;
      const b = heights[second]!;
      const apartFeet = Math.abs(a.feet - b.feet);
      const spread = Math.sqrt(
        Math.max(0, a.sdFeet * a.sdFeet + b.sdFeet * b.sdFeet - 2 * sharedVariance(a, b)),
      );
      // Two heights that share all their error can differ only by a slip; keep the ratio finite.
      const sds = apartFeet / Math.max(spread, 1e-6);
      if (furthest === null || sds > furthest.sds) {
        const probability = Math.min(1, 2 * normalCdf(-sds) * pairs);
        furthest = { first, second, apartFeet, sds, probability };
      }
    }
  }
  return furthest;
}

/** Heights of one tree up to which their covariances are written out; nobody measures a tree so often. */
const written = 30;

/**
 * Solutions of the covariances of some heights for right sides. They are a diagonal of what each errs by itself and what
 * all share by cause, so that of many heights only a system of the causes is solved (Woodbury 1950, from memory):
 * V^-1 x = D^-1 x - D^-1 U (I + U' D^-1 U)^-1 U' D^-1 x.
 */
function solvedBy(
  heights: readonly Height[],
  own: readonly number[],
  rights: readonly (readonly number[])[],
): number[][] {
  const alone = own.map((sd) => Math.max(sd, 1e-6) ** 2);
  if (heights.length <= written) {
    const covariance = heights.map((a, i) =>
      heights.map((b, j) => sharedVariance(a, b) + (i === j ? alone[i]! : 0)),
    );
    return rights.map((right) => solve(covariance, right));
  }
  const shared = commonCauses.map((cause) => heights.map((height) => sdOf(height, cause)));
  const inner = shared.map((a, k) =>
    shared.map((b, l) => (k === l ? 1 : 0) + sum(a.map((value, i) => (value * b[i]!) / alone[i]!))),
  );
  return rights.map((right) => {
    const by = right.map((value, i) => value / alone[i]!);
    const parts = solve(
      inner,
      shared.map((a) => sum(a.map((value, i) => value * by[i]!))),
    );
    return by.map((value, i) => value - sum(shared.map((a, k) => a[i]! * parts[k]!)) / alone[i]!);
  });
}

/** Standard deviations that a height shares with no other. */
const ownParts = (height: Height): number[] =>
  height.shares.filter((share) => !isCommon(share.cause)).map((share) => share.sdFeet);

/** Solves a small symmetric positive definite system by Gaussian elimination. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const n = rows.length;
  for (let k = 0; k < n; k++) {
    for (let i = k + 1; i < n; i++) {
      const factor = rows[i]![k]! / rows[k]![k]!;
      for (let j = k; j <= n; j++) rows[i]![j]! -= factor * rows[k]![j]!;
    }
  }
  const solution = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let value = rows[i]![n]!;
    for (let j = i + 1; j < n; j++) value -= rows[i]![j]! * solution[j]!;
    solution[i] = value / rows[i]![i]!;
  }
  return solution;
}
