/**
 * Moments over plots: for plots that expand alike, the sums, squares and products of their values by species and status.
 * A plot is lifted out before its trees change and set back after, so a mean and its error cost the same at any size.
 * Squares are kept in double-double, so lifting out and setting back leaves no drift.
 */
import { centimetresPerInch } from '../core/units.ts';
import { byLogRule, logRuleKeys } from '../note/log-rules.ts';
import { columnCount, firstFilled, type SumColumn, sumColumns } from './cells.ts';

/** How a plot expands to an acre: not at all (no size, no plot), by area, by a factor, or as part of a full tally. */
export const expandsBy = { nothing: 0, area: 1, factor: 2, tally: 3 } as const;

/** Something that adds up over trees: its column on plots of an area, and at a gauge; the curve's part; scales to its unit. */
interface Measure {
  readonly area: SumColumn;
  readonly gauge: SumColumn;
  readonly filled?: SumColumn;
}

const measures = {
  basalArea: { area: 'dd', gauge: 'n' },
  density: { area: 'n', gauge: 'w' },
  ...byLogRule((rule): Measure => ({ area: rule, gauge: rule })),
  kg: { area: 'kg', gauge: 'kg' },
  height: { area: 'h', gauge: 'h' },
  heightWeight: { area: 'wh', gauge: 'wh' },
  diameter: { area: 'd', gauge: 'd' },
  diameterWeight: { area: 'w', gauge: 'w' },
  square: { area: 'dd', gauge: 'sized' },
  areaHeight: { area: 'hb', gauge: 'hb', filled: 'fb' },
  areaOfHeight: { area: 'bh', gauge: 'bh', filled: 'bf' },
  allHeight: { area: 'h', gauge: 'h', filled: 'f' },
  allHeightWeight: { area: 'wh', gauge: 'wh', filled: 'wf' },
} as const satisfies Record<string, Measure>;
export type MeasureName = keyof typeof measures;

/** Ratios that are asked: top and bottom. */
export const pairs = {
  meanHeight: ['height', 'heightWeight'],
  meanDiameter: ['diameter', 'diameterWeight'],
  squareDiameter: ['square', 'diameterWeight'],
  lorey: ['areaHeight', 'areaOfHeight'],
  filledHeight: ['allHeight', 'allHeightWeight'],
} as const satisfies Record<string, readonly [MeasureName, MeasureName]>;
export type PairName = keyof typeof pairs;

const measureNames = Object.keys(measures) as MeasureName[];
const pairNames = Object.keys(pairs) as PairName[];
/** Measures and pairs from these positions on need the curve. */
const firstFilledMeasure = measureNames.indexOf('areaHeight');
const firstFilledPair = pairNames.indexOf('lorey');

/** Layout of a block: sums of columns; squares (high, low) by measure; products (high, low, telling plots) by pair. */
const squaresAt = columnCount;
const productsAt = squaresAt + 2 * measureNames.length;
const blockSize = productsAt + 3 * pairNames.length;

const areaColumns = measureNames.map((name) => sumColumns[measures[name].area]);
const gaugeColumns = measureNames.map((name) => sumColumns[measures[name].gauge]);
const filledColumns = measureNames.map((name) => {
  const measure: Measure = measures[name];
  return measure.filled === undefined ? -1 : sumColumns[measure.filled];
});
const tops = pairNames.map((name) => measureNames.indexOf(pairs[name][0]));
const bottoms = pairNames.map((name) => measureNames.indexOf(pairs[name][1]));

/** Adds x to a double-double at `at`, `at + 1` (two-sum, Knuth 1969). */
function addDouble(block: Float64Array, at: number, x: number): void {
  const high = block[at]!;
  const sum = high + x;
  const part = sum - high;
  block[at + 1]! += high - (sum - part) + (x - part);
  block[at] = sum;
}

const values = new Float64Array(measureNames.length);

/** Adds or takes out one plot's sums; `filled` says which half: what the curve fills, or all the rest. */
function addPlot(
  block: Float64Array,
  plot: Float64Array,
  gauge: boolean,
  sign: 1 | -1,
  filled: boolean,
): void {
  const from = filled ? firstFilled : 0;
  const to = filled ? columnCount : firstFilled;
  for (let i = from; i < to; i++) block[i]! += sign * plot[i]!;
  const own = gauge ? gaugeColumns : areaColumns;
  const first = filled ? firstFilledMeasure : 0;
  const last = filled ? measureNames.length : firstFilledMeasure;
  for (let i = first; i < last; i++) {
    const extra = filledColumns[i]!;
    const value = plot[own[i]!]! + (extra < 0 ? 0 : plot[extra]!);
    values[i] = value;
    if (value !== 0) addDouble(block, squaresAt + 2 * i, sign * value * value);
  }
  const lastPair = filled ? pairNames.length : firstFilledPair;
  for (let i = filled ? firstFilledPair : 0; i < lastPair; i++) {
    const bottom = values[bottoms[i]!]!;
    if (bottom <= 0) continue;
    const at = productsAt + 3 * i;
    addDouble(block, at, sign * values[tops[i]!]! * bottom);
    block[at + 2]! += sign;
  }
}

/** Rows of the stock table are half inches or half centimetres, so that classes of odd widths are centred, too. */
export const halfInch = 0.5;
export const halfCentimetre = 0.5 / centimetresPerInch;
/** Rows of half inches; the last holds everything from 80 inches on, and of half centimetres from 160 centimetres on. */
export const halfInches = 161;
const halfCentimetres = 321;
export const stockColumns = [
  'n',
  'w',
  'dd',
  ...logRuleKeys,
  'wh',
  'h',
] as const satisfies readonly SumColumn[];
const stockAt = stockColumns.map((name) => sumColumns[name]);

/** What a stand or stratum keeps for plots that expand alike, whatever their day: classes of diameter, foremost trees. */
export class Sheet {
  /** By species x 4 + status: rows of `stockColumns`. */
  readonly stock: (Float64Array | undefined)[] = [];
  /** Handles of the foremost trees, by species x 4 + status. */
  readonly tallest: number[] = [];
  readonly thickest: number[] = [];
  readonly rows: number;

  /** `stepIn`: width of its rows, inches. */
  constructor(readonly stepIn = halfInch) {
    this.rows = stepIn === halfInch ? halfInches : halfCentimetres;
  }

  put(key: number, diameterIn: number, tree: Float64Array, sign: 1 | -1): void {
    let table = this.stock[key];
    if (table === undefined) {
      table = new Float64Array(this.rows * stockColumns.length);
      this.stock[key] = table;
    }
    // 30 centimetres in inches are a hair less than 30 centimetres.
    const step = Math.floor(diameterIn / this.stepIn + (this.stepIn === halfInch ? 0 : 1e-9));
    const row = Math.min(this.rows - 1, step) * stockColumns.length;
    for (let i = 0; i < stockAt.length; i++) table[row + i]! += sign * tree[stockAt[i]!]!;
  }
}

/** What the plots of a group have in common, by numbers of the interning. */
export interface PlotGroupKey {
  readonly place: number;
  /** One of `expandsBy`. */
  readonly kind: number;
  /** 1 / acres, or the factor in square feet an acre; 1 where neither holds. */
  readonly expansion: number;
  readonly day: number;
  readonly person: number;
}

/** Sums over the plots of one place, day and person that expand alike. */
export class Group implements PlotGroupKey {
  /** Plots that count: with trees, closed or empty. */
  plots = 0;
  /** Opened plots without a tree yet. */
  waiting = 0;
  /** By species x 4 + status; species 0 is all of them, status 3 is all of them. */
  readonly blocks: (Float64Array | undefined)[] = [];

  readonly place: number;
  readonly kind: number;
  readonly expansion: number;
  readonly day: number;
  readonly person: number;

  constructor(
    of: PlotGroupKey,
    readonly sheet: Sheet,
  ) {
    this.place = of.place;
    this.kind = of.kind;
    this.expansion = of.expansion;
    this.day = of.day;
    this.person = of.person;
  }

  /** The same plots with an empty sheet. */
  withOwnSheet(stepIn?: number): Group {
    const own = new Group(this, new Sheet(stepIn));
    own.plots = this.plots;
    own.waiting = this.waiting;
    return own;
  }

  get gauge(): boolean {
    return this.kind === expandsBy.factor;
  }

  /** Adds or takes out a plot's sums of one species and status. */
  put(key: number, plot: Float64Array, sign: 1 | -1, filled: boolean): void {
    let block = this.blocks[key];
    if (block === undefined) {
      block = new Float64Array(blockSize);
      this.blocks[key] = block;
    }
    addPlot(block, plot, this.gauge, sign, filled);
  }

  /** Forgets what the curve filled. */
  forgetFilled(): void {
    for (const block of this.blocks) {
      if (block === undefined) continue;
      block.fill(0, firstFilled, columnCount);
      block.fill(0, squaresAt + 2 * firstFilledMeasure, productsAt);
      block.fill(0, productsAt + 3 * firstFilledPair);
    }
  }

  /** Sum of a column over the plots. */
  sum(key: number, column: SumColumn): number {
    return this.blocks[key]?.[sumColumns[column]] ?? 0;
  }

  /** Sum of a measure over the plots, in the columns' own units. */
  first(key: number, name: MeasureName): number {
    const measure: Measure = measures[name];
    const own = this.sum(key, this.gauge ? measure.gauge : measure.area);
    return own + (measure.filled === undefined ? 0 : this.sum(key, measure.filled));
  }

  /** Sum of the squares of a measure over the plots. */
  second(key: number, name: MeasureName): number {
    const block = this.blocks[key];
    if (block === undefined) return 0;
    const at = squaresAt + 2 * measureNames.indexOf(name);
    return block[at]! + block[at + 1]!;
  }

  /** Sum of top x bottom of a pair, and the number of plots where the bottom is above 0. */
  product(key: number, name: PairName): { sum: number; telling: number } {
    const block = this.blocks[key];
    if (block === undefined) return { sum: 0, telling: 0 };
    const at = productsAt + 3 * pairNames.indexOf(name);
    return { sum: block[at]! + block[at + 1]!, telling: block[at + 2]! };
  }
}
