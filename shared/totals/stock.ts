/** Stock tables and top height, from the sums by half-inch class that every group of plots keeps. */
import { columnsOf } from '../core/tables.ts';
import { byLogRule, type LogRule } from '../note/log-rules.ts';
import { basalAreaFactor } from './cubic.ts';
import { type Group, halfInches, type Sheet, stockColumns } from './plot-sums.ts';
import type { SamplingFrame } from './sampling-frame.ts';
import type { SpeciesKey } from './types.ts';

/** Net board feet by rule. */
type BoardFeet = Readonly<Record<LogRule, number>>;

/** One line of a stock table: values of an acre, or of all trees told when no plot has a size. */
export interface StockRow extends BoardFeet {
  readonly species: SpeciesKey;
  /** Middle of the diameter class, inches: 12 stands for 11.0 up to 13.0 in classes of two inches. */
  readonly classIn: number;
  /** Trees told. */
  readonly trees: number;
  readonly density: number;
  readonly basalArea: number;
  /** Mean of the measured heights, feet; null where none was measured. */
  readonly meanHeightFt: number | null;
}

const width = stockColumns.length;
const at = columnsOf(stockColumns);
/** Columns that a weight turns into the value of an acre as they are; basal area is told apart below. */
const weighted = stockColumns.filter((name) => name !== 'n' && name !== 'dd').map((name) => at[name]);

/** What a sheet's sums count for in a value: its weight, and whether its trees were told at a gauge. */
type Weights = ReadonlyMap<Sheet, { readonly weight: number; readonly gauge: boolean }>;

/** Weights for the value of an acre. */
export function weightsOf(frame: SamplingFrame): Weights {
  const weights = new Map<Sheet, { weight: number; gauge: boolean }>();
  let all = 0;
  let pooled = 0;
  for (const domain of frame.domains) {
    all += domain.acres ?? 1;
    if (!domain.census) pooled += domain.plots;
  }
  for (const domain of frame.domains) {
    for (const { sheet, gauge, expansion } of domain.groups) {
      if (domain.census) weights.set(sheet, { weight: frame.weighted || pooled === 0 ? 1 / all : 0, gauge });
      else if (frame.weighted) {
        weights.set(sheet, { weight: (expansion * (domain.acres ?? 1)) / all / domain.plots, gauge });
      } else weights.set(sheet, { weight: expansion / pooled, gauge });
    }
  }
  return weights;
}

/** Every tree for itself: sums of the trees told. */
export const unweighted = (groups: readonly Group[]): Weights =>
  new Map(groups.map(({ sheet, gauge }) => [sheet, { weight: 1, gauge }]));

/** Inches: the width of a class, and of the rows of the sheets that it is made of. */
interface ClassWidth {
  readonly widthIn: number;
  readonly stepIn: number;
}

/**
 * Rows by species, those of most trees first, and class, thin to thick. `widthIn` is the class width in inches, a multiple of the rows' `stepIn`; classes
 * are centred on its multiples, as is usual (common practice, no source).
 */
export function stockRows(
  weights: Weights,
  species: Iterable<readonly [SpeciesKey, number]>,
  statuses: readonly number[],
  width: ClassWidth,
): StockRow[] {
  const blocks: { trees: number; rows: StockRow[] }[] = [];
  for (const [code, number] of species) {
    const rows: StockRow[] = [];
    const byClass = new Map<number, Float64Array>();
    for (const [sheet, { weight, gauge }] of weights) {
      for (const one of statuses) {
        const table = sheet.stock[number * 4 + one];
        if (table !== undefined) addTable(byClass, table, gauge, weight, width);
      }
    }
    for (const [classIn, sums] of [...byClass].sort(([a], [b]) => a - b)) {
      if (sums[at.n] === 0) continue;
      const wh = sums[at.wh]!;
      rows.push({
        species: code,
        classIn,
        trees: sums[at.n]!,
        density: sums[at.w]!,
        basalArea: sums[at.dd]!,
        ...byLogRule((rule) => sums[at[rule]]!),
        meanHeightFt: wh > 0 ? sums[at.h]! / wh : null,
      });
    }
    blocks.push({ trees: rows.reduce((sum, row) => sum + row.trees, 0), rows });
  }
  return blocks.sort((a, b) => b.trees - a.trees).flatMap(({ rows }) => rows);
}

/** Adds a sheet's classes to those of `widthIn`; what lies in `dd` is then basal area in square feet. */
function addTable(
  byClass: Map<number, Float64Array>,
  table: Float64Array,
  gauge: boolean,
  weight: number,
  { widthIn, stepIn }: ClassWidth,
): void {
  const rows = Math.round(widthIn / stepIn);
  for (let i = 0; i < table.length / width; i++) {
    const from = i * width;
    if (table[from] === 0) continue;
    const classIn = widthIn * Math.floor((i + rows / 2) / rows);
    let sums = byClass.get(classIn);
    if (sums === undefined) {
      sums = new Float64Array(width);
      byClass.set(classIn, sums);
    }
    const area = gauge ? table[from + at.n]! : table[from + at.dd]! * basalAreaFactor;
    sums[at.n]! += table[from + at.n]!;
    sums[at.dd]! += area * weight;
    for (const c of weighted) sums[c]! += table[from + c]! * weight;
  }
}

/** Trees an acre whose mean height is the top height: 100 a hectare are 40.47 an acre (common practice, no source). */
const topTreesPerAcre = 40.4685642;

/**
 * Top height: mean height of the measured trees among the `topTreesPerAcre` thickest, thickest half-inch class first,
 * the last class in part. Null when none of those was measured.
 */
export function topHeightOf(
  weights: Weights,
  keys: readonly number[],
): { feet: number | null; reached: boolean; trees: number } {
  let left = topTreesPerAcre;
  let heights = 0;
  let weighed = 0;
  let trees = 0;
  for (let i = halfInches - 1; i >= 0 && left > 0; i--) {
    let density = 0;
    let h = 0;
    let wh = 0;
    let n = 0;
    for (const [sheet, { weight }] of weights) {
      for (const key of keys) {
        const table = sheet.stock[key];
        if (table === undefined || table[i * width] === 0) continue;
        density += table[i * width + at.w]! * weight;
        wh += table[i * width + at.wh]! * weight;
        h += table[i * width + at.h]! * weight;
        n += table[i * width + at.n]!;
      }
    }
    if (density === 0) continue;
    const share = Math.min(1, left / density);
    left -= density * share;
    heights += h * share;
    weighed += wh * share;
    trees += n;
  }
  return { feet: weighed > 0 ? heights / weighed : null, reached: left <= 1e-9, trees };
}
