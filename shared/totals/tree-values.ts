/** What one tree comes to by itself: its basal area, volumes and biomass, how many trees an acre it stands for, what it lacks and why. */
import type { LogRule } from '../note/log-rules.ts';
import { cmPerInch, jenkinsEquations, jenkinsKg, poundsPerKg } from './biomass.ts';
import { massGroupOf, netBoardFeet } from './contribution.ts';
import { basalAreaFt2 } from './cubic.ts';
import { designOf } from './plots.ts';
import type { PlotRecord, TreeRecord } from './types.ts';

/** Values of one stem (of `count` alike); null where they cannot be reckoned. */
export interface TreeValues {
  /** Trees an acre that one stem stands for: 1 / acres on a plot of an area, factor / basal area at a gauge; null without either. */
  readonly perAcre: number | null;
  readonly basalAreaFt2: number | null;
  /** Net of defect, by the rule that was asked for; 0 for a cull. */
  readonly boardFeet: number | null;
  /** Whole stem, from the measured height or the one that the curve gives. */
  readonly cubicFt: number | null;
  /** True where the height behind the cubic feet is the curve's. */
  readonly filled: boolean;
  /** Oven-dry, above ground. */
  readonly pounds: number | null;
  /** Why there are no pounds though species and diameter are known: the diameters behind the equation, inches. */
  readonly beyond: 'thick' | 'thin' | null;
}

export interface TreeValuing {
  readonly rule: LogRule;
  /** Girard form class where the tree has none of its own, percent. */
  readonly formClass: number;
  /** Cubic volume as a share of basal area times height. */
  readonly formFactor: number;
  /** Height that the stand's curve gives; null where it cannot say. */
  readonly curveFt: (tree: TreeRecord) => number | null;
}

/**
 * Values of one stem of a tree.
 * Example: a 12 inch tree on a tenth of an acre stands for 10 trees an acre and has 0.7854 square feet of basal area; asked of `Totals.valuesOf`.
 */
export function valuesOfTree(tree: TreeRecord, plot: PlotRecord | null, how: TreeValuing): TreeValues {
  const d = tree.diameterIn;
  const sized = d !== null && d > 0;
  const area = sized ? basalAreaFt2(d) : null;
  const height = tree.heightFt ?? (sized && tree.status !== 'dead' ? how.curveFt(tree) : null);
  const group = massGroupOf(tree);
  const kg = sized && group !== undefined ? jenkinsKg(group, d * cmPerInch) : null;
  return {
    perAcre: halved(tree, expansionOf(plot, area)),
    basalAreaFt2: area,
    boardFeet: netBoardFeet(tree, how.rule, how.formClass),
    cubicFt: area === null || height === null ? null : how.formFactor * area * height,
    filled: tree.heightFt === null && height !== null,
    pounds: kg === null ? null : kg * poundsPerKg,
    beyond:
      sized && group !== undefined && kg === null
        ? d * cmPerInch > jenkinsEquations[group].mostCm
          ? 'thick'
          : 'thin'
        : null,
  };
}

/** A tree on the border that counts half stands for half as many. */
const halved = ({ half }: TreeRecord, perAcre: number | null): number | null =>
  perAcre !== null && half ? perAcre / 2 : perAcre;

function expansionOf(plot: PlotRecord | null, basalArea: number | null): number | null {
  if (plot === null || plot.size === null) return null;
  const design = designOf(plot.size);
  if (design.kind === 'fixed') return 1 / design.acres;
  return design.kind === 'factor' && basalArea !== null ? design.factor / basalArea : null;
}
