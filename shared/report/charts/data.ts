/** The numbers behind the charts, from the book. Feet, inches and acres; conversions happen at the edges. */

import type { Book } from '../../book/book.ts';
import { totalsOf } from '../../book/totals-of.ts';
import { mean, standardErrorOfMean, tQuantile, variance } from '../../core/statistics.ts';
import { measure } from '../../measuring/height/index.ts';
import { treesIn } from '../../totals/types.ts';

export interface HeightPoint {
  readonly tree: number;
  /** Null where it was not said. */
  readonly species: number | null;
  readonly diameterIn: number;
  readonly heightFt: number;
  readonly sdFt: number;
  readonly doubted: boolean;
}

/** Measured pairs of a species (null: of all), and those that wait because they are doubted. */
export function heightPoints(book: Book, species: number | null): HeightPoint[] {
  const open = book.doubts.filter((one) => one.state === 'open');
  const doubted = new Set(open.map((one) => one.tree));
  const points: HeightPoint[] = [];
  for (const tree of book.trees()) {
    if (tree.diameterIn === null || tree.heightFt === null) continue;
    if (species !== null && tree.species !== species) continue;
    points.push({
      tree: tree.number,
      species: tree.species,
      diameterIn: tree.diameterIn,
      heightFt: tree.heightFt,
      sdFt: tree.heightSdFt ?? 0,
      doubted: doubted.has(tree.id),
    });
  }
  // A strong doubt keeps its height out of the book until it is answered: the question holds it.
  for (const entry of new Set(open.map((one) => one.entry))) {
    const said = book.entry(entry);
    const asked = said?.asks;
    const tree = book.tree(asked?.target ?? open.find((one) => one.entry === entry)?.tree ?? null);
    if (
      !said ||
      asked?.pending?.kind !== 'height' ||
      !tree ||
      tree.diameterIn === null ||
      tree.heightFt !== null
    )
      continue;
    if (species !== null && tree.species !== species) continue;
    const height = measure(asked.pending.height, book.settingsOf(said.device));
    if (!height.ok) continue;
    points.push({
      tree: tree.number,
      species: tree.species,
      diameterIn: tree.diameterIn,
      heightFt: height.value.feet,
      sdFt: height.value.sdFeet,
      doubted: true,
    });
  }
  return points;
}

interface CurvePoint {
  readonly diameterIn: number;
  readonly feet: number;
  readonly low: number;
  readonly high: number;
}

/** The stand's curve with the 90 percent limits of one tree. */
export function curvePoints(book: Book, species: number | null, from: number, to: number): CurvePoint[] {
  const steps = 48;
  return Array.from({ length: steps + 1 }, (_, step) => {
    const diameterIn = from + ((to - from) * step) / steps;
    const { feet, low90, high90 } = book.curve.predict(species, diameterIn);
    return { diameterIn, feet, low: low90, high: high90 };
  });
}

interface DiameterClass {
  readonly from: number;
  readonly to: number;
  readonly live: number;
  readonly dead: number;
}

/** Counted trees in classes of `width` inches, the empty ones between them included. */
export function diameterClasses(book: Book, species: number | null, width: number): DiameterClass[] {
  const counts = new Map<number, { live: number; dead: number }>();
  for (const tree of book.trees()) {
    if (tree.diameterIn === null || !tree.counted) continue;
    if (species !== null && tree.species !== species) continue;
    const at = Math.floor(tree.diameterIn / width + 1e-9);
    const count = counts.get(at) ?? { live: 0, dead: 0 };
    if (tree.status === 'dead') count.dead += treesIn(tree);
    else count.live += treesIn(tree);
    counts.set(at, count);
  }
  if (counts.size === 0) return [];
  const first = Math.min(...counts.keys());
  const last = Math.max(...counts.keys());
  return Array.from({ length: last - first + 1 }, (_, step) => {
    const at = first + step;
    const { live, dead } = counts.get(at) ?? { live: 0, dead: 0 };
    return { from: at * width, to: (at + 1) * width, live, dead };
  });
}

interface RunningMean {
  readonly plots: number;
  readonly mean: number;
  /** 95 percent confidence limits, as in the tables; null while there is one plot. */
  readonly low: number | null;
  readonly high: number | null;
}

/** Mean basal area per acre after one, two, three... plots, in their order and all alike; the empty ones count as nothing. */
export function runningMean(book: Book): RunningMean[] {
  const totals = totalsOf(book);
  const values: number[] = [];
  for (const plot of book.plots()) {
    const value = plot.empty ? 0 : totals.basalAreaOnPlot(plot.id);
    if (value !== null) values.push(value);
  }
  return evenly(values, mostMeans).map((_, at, drawn) => {
    const upTo =
      drawn.length === values.length ? at : Math.round((at * (values.length - 1)) / (drawn.length - 1));
    return runningMeanOf(values.slice(0, upTo + 1));
  });
}

/** Means that a chart of them draws at most. */
const mostMeans = 150;

/**
 * At most so many of a list, the first and the last among them, as far apart as they can be.
 * Example: `evenly([1, 2, 3, 4, 5, 6], 3)` is `[1, 4, 6]`.
 */
export function evenly<T>(list: readonly T[], most: number): readonly T[] {
  if (list.length <= most) return list;
  return Array.from({ length: most }, (_, at) => list[Math.round((at * (list.length - 1)) / (most - 1))]!);
}

/** The greatest of a list of any length; `least` where it is empty. */
export const greatest = (values: Iterable<number>, least = Number.NEGATIVE_INFINITY): number => {
  let most = least;
  for (const value of values) if (value > most) most = value;
  return most;
};

/** Mean and 95 percent limits by Student's t. `runningMeanOf([10])` has no limits. */
export function runningMeanOf(values: readonly number[]): RunningMean {
  const middle = mean(values);
  if (values.length < 2) return { plots: values.length, mean: middle, low: null, high: null };
  const half =
    tQuantile(0.975, values.length - 1) * standardErrorOfMean(Math.sqrt(variance(values)), values.length);
  return { plots: values.length, mean: middle, low: Math.max(0, middle - half), high: middle + half };
}
