/**
 * Cells: sums over the trees of one plot that share a status, a day, a person and (in the second store) a species.
 * Every contribution is rounded once to a fixed binary fraction, so a sum is a whole number of steps: taking a tree out
 * gives back exactly the sum before it, and the order of the trees does not matter.
 */

/** The sums of a cell. `w` is the weight of a tree: 1 on plots of an area, 1 / basal area at an angle gauge. */
export const columns = {
  /** Trees. */
  n: 0,
  /** Trees with a diameter; their weight; weight x diameter; weight x diameter squared (gauge: just trees). */
  sized: 1,
  w: 2,
  d: 3,
  dd: 4,
  /** Net board feet by rule, and the trees that have them. */
  international: 5,
  scribner: 6,
  doyle: 7,
  volumed: 8,
  /** Trees whose form class was not said. */
  formAssumed: 9,
  /** Oven-dry kg, trees that have it, trees thicker or thinner than their equation. */
  kg: 10,
  massed: 11,
  beyond: 12,
  /** Trees with a measured height; weight of those; weight x height; weight x height squared. */
  heighted: 13,
  wh: 14,
  h: 15,
  hh: 16,
  /** Of trees with height and diameter: weight x basal area (as in `dd`), and that x height. */
  bh: 17,
  hb: 18,
  /** The same of trees whose height the curve fills. */
  filled: 19,
  wf: 20,
  f: 21,
  bf: 22,
  fb: 23,
} as const;
export type Column = keyof typeof columns;
export const columnCount = 24;
/** Columns from here on depend on the height curve. */
export const firstFilled = columns.filled;

/** Steps of the sums: one millionth for plots of an area, finer at a gauge, where weights are small. */
export const areaStep = 2 ** 20;
export const gaugeStep = 2 ** 32;

const none = -1;
export const stale = -2;

/** Growing columns of sums. A cell is a number; cells of one plot are linked. */
export class Cells {
  count = 0;
  plot = new Int32Array(64);
  species = new Int32Array(64);
  day = new Int32Array(64);
  person = new Int32Array(64);
  status = new Uint8Array(64);
  next = new Int32Array(64);
  /** Version of the curve that the filled columns belong to. */
  version = new Float64Array(64);
  /** Handles of the tallest and the thickest tree; -1 none, -2 to be looked up. */
  tallest = new Int32Array(64);
  thickest = new Int32Array(64);
  readonly sums: Float64Array[] = Array.from({ length: columnCount }, () => new Float64Array(64));
  /** First cell of each plot. */
  #head = new Int32Array(64).fill(none);
  /** Cells of each species. */
  readonly bySpecies = new Map<number, number[]>();

  #grow(): void {
    const size = this.plot.length * 2;
    const wider = <T extends Int32Array | Uint8Array | Float64Array>(from: T, to: T): T => {
      to.set(from);
      return to;
    };
    this.plot = wider(this.plot, new Int32Array(size));
    this.species = wider(this.species, new Int32Array(size));
    this.day = wider(this.day, new Int32Array(size));
    this.person = wider(this.person, new Int32Array(size));
    this.status = wider(this.status, new Uint8Array(size));
    this.next = wider(this.next, new Int32Array(size));
    this.version = wider(this.version, new Float64Array(size));
    this.tallest = wider(this.tallest, new Int32Array(size));
    this.thickest = wider(this.thickest, new Int32Array(size));
    for (let i = 0; i < columnCount; i++) this.sums[i] = wider(this.sums[i]!, new Float64Array(size));
  }

  /** The first cell of a plot, -1 when it has none; go on by `next`. */
  head(plot: number): number {
    return plot < this.#head.length ? this.#head[plot]! : none;
  }

  /** The cell for these keys, made when it is not there. */
  at(plot: number, species: number, status: number, day: number, person: number): number {
    let cell = this.head(plot);
    while (cell !== none) {
      if (
        this.species[cell] === species &&
        this.status[cell] === status &&
        this.day[cell] === day &&
        this.person[cell] === person
      ) {
        return cell;
      }
      cell = this.next[cell]!;
    }
    if (this.count === this.plot.length) this.#grow();
    if (plot >= this.#head.length) {
      const wider = new Int32Array(Math.max(this.#head.length * 2, plot + 1)).fill(none);
      wider.set(this.#head);
      this.#head = wider;
    }
    cell = this.count++;
    this.plot[cell] = plot;
    this.species[cell] = species;
    this.status[cell] = status;
    this.day[cell] = day;
    this.person[cell] = person;
    this.next[cell] = this.#head[plot]!;
    this.tallest[cell] = none;
    this.thickest[cell] = none;
    this.#head[plot] = cell;
    const cells = this.bySpecies.get(species);
    if (cells) cells.push(cell);
    else this.bySpecies.set(species, [cell]);
    return cell;
  }

  /** Adds (`sign` 1) or takes out (-1) one tree's contribution, columns `from` up to `to`. */
  add(cell: number, contribution: Float64Array, sign: 1 | -1, from: number, to: number): void {
    const sums = this.sums;
    for (let i = from; i < to; i++) {
      const value = contribution[i]!;
      if (value !== 0) sums[i]![cell]! += sign * value;
    }
  }

  clearFilled(cell: number): void {
    for (let i = firstFilled; i < columnCount; i++) this.sums[i]![cell] = 0;
  }
}
