/**
 * What could be reached at best: an oracle that knows of each stand the mean height at every diameter, the spread and
 * shape of its heights and of its diameters (smoothed from all its trees but the one in question), how often the
 * bench draws each slip, and, looking back, the threshold that gives just the false alarms allowed. By the lemma of
 * Neyman and Pearson (1933) no judge of one note finds more at that rate, as far as these densities are the true ones.
 */
import { breastHeightFt, HeightCurve, type Pair } from '../../../shared/measuring/doubt/curve.ts';
import type { Stand } from './sets.ts';

/** Widths of the smoothing: of mean and spread over ln(diameter), and of the residuals in units of their spread. */
const meanWidth = 0.15;
const spreadWidth = 0.3;
const residualWidth = 0.3;
/** Relative error of a told height beyond the tree's own: 5 percent of the measurement, 3 of the pace of the day. */
const toldSd = Math.hypot(0.05, 0.03);

const gauss = (z: number): number => Math.exp(-0.5 * z * z) / 2.5066282746310002;
const above = (feet: number): number => Math.log(Math.max(feet - breastHeightFt, 0.3));

/** A function of x tabled from `from` to `to`, straight between the points and level outside. */
function tabled(from: number, to: number, of: (x: number) => number): (x: number) => number {
  const steps = 300;
  const table = Float64Array.from({ length: steps + 1 }, (_, i) => of(from + ((to - from) * i) / steps));
  return (x) => {
    const at = Math.min(Math.max(((x - from) / (to - from)) * steps, 0), steps - 1e-9);
    const i = Math.floor(at);
    return table[i]! + (at - i) * (table[i + 1]! - table[i]!);
  };
}

/** Mean of values near x, each weighed by its distance. */
const near = (x: number, at: readonly number[], values: readonly number[], width: number): number => {
  let weights = 1e-9;
  let sum = 0;
  for (let i = 0; i < at.length; i++) {
    const w = gauss((x - at[i]!) / width);
    weights += w;
    sum += w * values[i]!;
  }
  return sum / weights;
};

/** For each tree of a stand, the stand without it; made when it is first asked for. */
export function leavingOneOut(stand: Stand): (tree: number) => HeightCurve {
  const made = new Map<number, HeightCurve>();
  return (tree) => {
    const found = made.get(tree) ?? new TrueStand(stand, tree);
    made.set(tree, found);
    return found;
  };
}

/** The stand as it is, in the place of the curve that a day's notes would give. */
class TrueStand extends HeightCurve {
  readonly #means = new Map<number | null, (logIn: number) => number>();
  readonly #spread: (logIn: number) => number;
  readonly #shape: (z: number) => number;

  /** The stand without the tree of this index, so that no tree is judged by itself. */
  constructor({ trees: all }: Stand, leftOut: number) {
    super();
    const trees = all.filter((_, i) => i !== leftOut);
    for (const tree of trees) this.observe(tree);
    const logOf = (tree: Pair): number => Math.log(tree.diameterIn);
    const at = trees.map(logOf);
    const [least, most] = [Math.min(...at) - 1.5, Math.max(...at) + 1.5];
    const fitted = (species: number | null, logIn: number) =>
      above(this.predict(species, Math.exp(logIn)).feet);
    for (const species of new Set(trees.map((tree) => tree.species))) {
      const own = trees.filter((tree) => tree.species === species);
      const ownAt = own.map(logOf);
      const left = own.map((tree, i) => above(tree.heightFt) - fitted(species, ownAt[i]!));
      this.#means.set(
        species,
        tabled(least, most, (x) => fitted(species, x) + near(x, ownAt, left, meanWidth)),
      );
    }
    const residuals = trees.map((tree, i) => above(tree.heightFt) - this.#mean(tree.species, at[i]!));
    const squares = residuals.map((residual) => residual * residual);
    const middle = squares.reduce((sum, square) => sum + square, 0) / squares.length;
    this.#spread = tabled(least, most, (x) => Math.sqrt(near(x, at, squares, spreadWidth) || middle));
    const scaled = residuals.map((residual, i) => residual / this.#spread(at[i]!));
    this.#shape = tabled(
      -12,
      12,
      (z) =>
        scaled.reduce((sum, one) => sum + gauss((z - one) / residualWidth), 0) /
        (scaled.length * residualWidth),
    );
    const mean = at.reduce((sum, x) => sum + x, 0) / at.length;
    const sd = Math.sqrt(at.reduce((sum, x) => sum + (x - mean) ** 2, 0) / at.length);
    const width = 1.06 * sd * at.length ** -0.2;
    const thickness = tabled(
      least,
      most,
      (x) => at.reduce((sum, one) => sum + gauss((x - one) / width), 0) / (at.length * width),
    );
    this.diameters.logDensity = (diameterIn) => Math.log(thickness(Math.log(diameterIn)) + 1e-9);
  }

  #mean(species: number | null, logIn: number): number {
    return (this.#means.get(species) ?? [...this.#means.values()][0]!)(logIn);
  }

  override logDensity(species: number | null, diameterIn: number, heightFt: number): number {
    const logIn = Math.log(diameterIn);
    const over = heightFt / Math.max(heightFt - breastHeightFt, 0.3);
    const spread = Math.hypot(this.#spread(logIn), toldSd * over);
    const z = (above(heightFt) - this.#mean(species, logIn)) / spread;
    return Math.log((this.#shape(z) + 1e-9) / spread) + Math.log(over);
  }
}
