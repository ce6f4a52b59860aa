/** Logistic regression of "this is what was said" on the measures of a heard note. */

import { cautionAt } from '../../../shared/sound/confidence.ts';

/** Measures, and 1 where it is what was said. */
export interface Judged {
  readonly x: readonly number[];
  readonly y: number;
}

/** Probability by these weights. */
const probability = (x: readonly number[], weights: readonly number[]) =>
  1 / (1 + Math.exp(-x.reduce((sum, value, k) => sum + value * weights[k]!, 0)));

/** What the program would believe by these weights, where there is so much noise, 0 to 1: on its scale (`caution`). */
export function beliefBy(x: readonly number[], weights: readonly number[], noise: number): number {
  const p = probability(x, weights);
  return 1 / (1 + ((1 - p) / p) * Math.exp(-cautionAt(noise)));
}

/** Newton's method on the log likelihood, with a slight pull to zero. */
export function regress(rows: readonly Judged[]): number[] {
  const size = rows[0]!.x.length;
  const weights = new Array<number>(size).fill(0);
  for (let round = 0; round < 40; round++) {
    const gradient = weights.map((weight) => -1e-2 * weight);
    const curvature = weights.map((_, i) => weights.map((_, j) => (i === j ? 1e-2 : 0)));
    for (const { x, y } of rows) {
      const p = probability(x, weights);
      for (let i = 0; i < size; i++) {
        gradient[i]! += x[i]! * (y - p);
        for (let j = 0; j < size; j++) curvature[i]![j]! += p * (1 - p) * x[i]! * x[j]!;
      }
    }
    solve(curvature, gradient).forEach((step, i) => {
      weights[i]! += step;
    });
  }
  return weights;
}

/** Gaussian elimination; the matrix is positive definite. */
function solve(matrix: number[][], right: number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  for (let i = 0; i < rows.length; i++) {
    for (let j = 0; j < rows.length; j++) {
      if (i === j) continue;
      const factor = rows[j]![i]! / rows[i]![i]!;
      for (let k = i; k <= rows.length; k++) rows[j]![k]! -= factor * rows[i]![k]!;
    }
  }
  return rows.map((row, i) => row[rows.length]! / row[i]!);
}
