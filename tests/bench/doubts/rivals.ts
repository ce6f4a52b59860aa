/**
 * What simpler checkers do with the same trees: fixed limits alone; limits and the residual from a least-squares curve
 * (Naslund 1936, linearised; Curtis 1967) fitted to the earlier trees; the same with a test of the diameter.
 */

import type { Pair } from '../../../shared/measuring/doubt/curve.ts';
import { limitsPassed } from '../../../shared/measuring/doubt/limits.ts';

export interface Rival {
  /** How far the tree strays, in standard deviations; 0 while there are too few trees. */
  score(tree: Pair): number;
}

function line(xs: readonly number[], ys: readonly number[]): { a: number; b: number } {
  const n = xs.length;
  const mx = xs.reduce((s, x) => s + x, 0) / n;
  const my = ys.reduce((s, y) => s + y, 0) / n;
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    xx += (xs[i]! - mx) ** 2;
    xy += (xs[i]! - mx) * (ys[i]! - my);
  }
  const b = xx > 0 ? xy / xx : 0;
  return { a: my - b * mx, b };
}

const above = (tree: Pair): number => Math.log(Math.max(tree.heightFt - 4.5, 0.3));

function byCurve(trees: readonly Pair[], expected: (diameterIn: number) => number): Rival {
  const residuals = trees.map((tree) => above(tree) - expected(tree.diameterIn));
  const sd = Math.sqrt(residuals.reduce((s, r) => s + r * r, 0) / (trees.length - 2));
  return { score: (tree) => Math.abs(above(tree) - expected(tree.diameterIn)) / Math.max(sd, 0.01) };
}

const none: Rival = { score: () => 0 };

/** ln(h - 4.5) = a + b / d. */
export function curtis(trees: readonly Pair[]): Rival {
  if (trees.length < 5) return none;
  const { a, b } = line(
    trees.map((t) => 1 / t.diameterIn),
    trees.map(above),
  );
  return byCurve(trees, (d) => a + b / d);
}

/** d / sqrt(h - 4.5) = a + b d. */
export function naslund(trees: readonly Pair[]): Rival {
  if (trees.length < 5) return none;
  const { a, b } = line(
    trees.map((t) => t.diameterIn),
    trees.map((t) => t.diameterIn / Math.sqrt(Math.max(t.heightFt - 4.5, 0.3))),
  );
  return byCurve(trees, (d) => 2 * Math.log(d / Math.max(a + b * d, 1e-3)));
}

/** Curtis's curve, or the logarithm of the diameter against those before. */
export function curtisAndDiameter(trees: readonly Pair[]): Rival {
  if (trees.length < 5) return none;
  const heights = curtis(trees);
  const logs = trees.map((t) => Math.log(t.diameterIn));
  const mean = logs.reduce((s, x) => s + x, 0) / logs.length;
  const sd = Math.sqrt(logs.reduce((s, x) => s + (x - mean) ** 2, 0) / (logs.length - 1));
  return {
    score: (tree) =>
      Math.max(heights.score(tree), Math.abs(Math.log(tree.diameterIn) - mean) / Math.max(sd, 0.02)),
  };
}

/** True where a fixed limit that asks is passed. */
export const limitsAsk = (tree: Pair): boolean =>
  limitsPassed(
    { species: tree.species, diameterIn: tree.diameterIn, feet: tree.heightFt, away: null },
    null,
    null,
    'feet',
  ).some(({ strength }) => strength >= 0.5);
