/**
 * Cells: sums over the trees of one plot that share a species and a status. Every contribution is rounded once to a fixed
 * binary fraction, so a sum is a whole number of steps: taking a tree out gives back exactly the sum before it, and the
 * order of the trees does not matter.
 */
import { columnsOf } from '../core/tables.ts';
import { logRuleKeys } from '../note/log-rules.ts';
import { wider } from './tree-store.ts';

/**
 * The sums of a cell, in the order in which they lie. A weight is that of a tree: 1 on plots of an area, 1 / basal area at
 * an angle gauge. Those of heights come after all others, those that the curve fills at the end.
 */
const sumsOfTrees = [
  /** Trees. */
  'n',
  /** Trees with a diameter; their weight; weight x diameter; weight x diameter squared (gauge: just trees). */
  'sized',
  'w',
  'd',
  'dd',
  /** Net board feet by rule, and the trees that have them. */
  ...logRuleKeys,
  'volumed',
  /** Trees whose form class was not said. */
  'formAssumed',
  /** Oven-dry kg, trees that have it, trees thicker or thinner than their equation. */
  'kg',
  'massed',
  'beyond',
] as const;
const sumsOfHeights = [
  /** Trees with a measured height; weight of those; weight x height; weight x height squared. */
  'heighted',
  'wh',
  'h',
  'hh',
  /** Of trees with height and diameter: their number, weight x basal area (as in `dd`), and that x height. */
  'stemmed',
  'bh',
  'hb',
] as const;
/** The same of trees whose height the curve fills. */
const sumsOfFilled = ['filled', 'wf', 'f', 'bf', 'fb'] as const;

const columnNames = [...sumsOfTrees, ...sumsOfHeights, ...sumsOfFilled] as const;
export type SumColumn = (typeof columnNames)[number];
/** Where each sum lies. */
export const sumColumns = columnsOf<SumColumn>(columnNames);
export const columnCount = columnNames.length;
/** Columns from here on are of heights: what filled measures are made of. */
export const firstOfHeights = sumsOfTrees.length;
/** Columns from here on depend on the height curve. */
export const firstFilled = firstOfHeights + sumsOfHeights.length;

/** Steps of the sums: one millionth for plots of an area, finer at a gauge, where weights are small. */
export const areaStep = 2 ** 20;
export const gaugeStep = 2 ** 32;

const none = -1;
/** Statuses by number, as `statusNumber` has them. */
const [live, cull] = [0, 2];
/** Growing table of cells. A cell is a number; its sums lie together; cells of one plot are linked. */
export class Cells {
  count = 0;
  plot = new Int32Array(64);
  /** Species by the ledger's own numbering, from 1. */
  species = new Int32Array(64);
  status = new Uint8Array(64);
  next = new Int32Array(64);
  /** Handles of the tallest and the thickest tree; see `extremes.ts`. */
  tallest = new Int32Array(64);
  thickest = new Int32Array(64);
  /** `columnCount` numbers a cell. */
  sums = new Float64Array(64 * columnCount);
  #head = new Int32Array(64).fill(none);

  #grow(): void {
    const size = this.plot.length * 2;
    this.plot = wider(this.plot, new Int32Array(size));
    this.species = wider(this.species, new Int32Array(size));
    this.status = wider(this.status, new Uint8Array(size));
    this.next = wider(this.next, new Int32Array(size));
    this.tallest = wider(this.tallest, new Int32Array(size));
    this.thickest = wider(this.thickest, new Int32Array(size));
    this.sums = wider(this.sums, new Float64Array(size * columnCount));
  }

  /** The first cell of a plot, -1 when it has none; go on by `next`. */
  head(plot: number): number {
    return plot < this.#head.length ? this.#head[plot]! : none;
  }

  /** The cell of these keys, made when it is not there. */
  at(plot: number, species: number, status: number): number {
    let cell = this.head(plot);
    while (cell !== none) {
      if (this.species[cell] === species && this.status[cell] === status) return cell;
      cell = this.next[cell]!;
    }
    if (this.count === this.plot.length) this.#grow();
    if (plot >= this.#head.length) {
      this.#head = wider(this.#head, new Int32Array(Math.max(this.#head.length * 2, plot + 1)).fill(none));
    }
    cell = this.count++;
    this.plot[cell] = plot;
    this.species[cell] = species;
    this.status[cell] = status;
    this.next[cell] = this.#head[plot]!;
    this.tallest[cell] = none;
    this.thickest[cell] = none;
    this.#head[plot] = cell;
    return cell;
  }

  /** Adds (`sign` 1) or takes out (-1) one tree's contribution, columns `from` up to `to`. */
  add(cell: number, contribution: Float64Array, sign: 1 | -1, from: number, to: number): void {
    const sums = this.sums;
    const at = cell * columnCount;
    for (let i = from; i < to; i++) sums[at + i]! += sign * contribution[i]!;
  }

  clearFilled(cell: number): void {
    const at = cell * columnCount;
    this.sums.fill(0, at + firstFilled, at + columnCount);
  }

  /** Sum of one column over a plot's cells, of one status or of all; the live have the culls in them. */
  sumOn(plot: number, column: SumColumn, status: number | null): number {
    let sum = 0;
    for (let cell = this.head(plot); cell !== none; cell = this.next[cell]!) {
      if (status === null || this.status[cell] === status || (status === live && this.status[cell] === cull))
        sum += this.sums[cell * columnCount + sumColumns[column]]!;
    }
    return sum;
  }

  /** What `sumByKey` found: keys (species x 4 + status; 0 and 3 stand for all) and their sums. */
  readonly keys: number[] = [];
  readonly sumsOf: Float64Array[] = [];

  /**
   * Sums a plot's cells, columns `from` on, by species and status, and over all of each; a cull is a live tree, so those of
   * the live hold the culls. Returns how many sums there are.
   */
  sumByKey(plot: number, from = 0): number {
    let n = 0;
    for (let cell = this.head(plot); cell !== none; cell = this.next[cell]!) {
      const species = this.species[cell]!;
      const status = this.status[cell]!;
      n = this.#addTo(species * 4 + status, cell, n, from);
      n = this.#addTo(species * 4 + 3, cell, n, from);
      n = this.#addTo(status, cell, n, from);
      n = this.#addTo(3, cell, n, from);
      if (status !== cull) continue;
      n = this.#addTo(species * 4 + live, cell, n, from);
      n = this.#addTo(live, cell, n, from);
    }
    return n;
  }

  #addTo(key: number, cell: number, n: number, from: number): number {
    let i = 0;
    while (i < n && this.keys[i] !== key) i++;
    if (i === n) {
      this.keys[i] = key;
      this.sumsOf[i] ??= new Float64Array(columnCount);
      this.sumsOf[i]!.fill(0);
    }
    const sums = this.sumsOf[i]!;
    const at = cell * columnCount;
    for (let c = from; c < columnCount; c++) sums[c]! += this.sums[at + c]!;
    return Math.max(n, i + 1);
  }
}
