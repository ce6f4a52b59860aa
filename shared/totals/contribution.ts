/** What one tree adds to the sums of its cells: counts, basal area, board feet, biomass, heights. */
import { required } from '../core/required.ts';
import { type LogRule, logRuleKeys } from '../note/log-rules.ts';
import type { Status } from '../note/note.ts';
import { groupOfName, type JenkinsGroup, speciesByCode } from '../note/species.ts';
import { cmPerInch, jenkinsKg } from './biomass.ts';
import { areaStep, columnCount, gaugeStep, sumColumns } from './cells.ts';
import { basalAreaFt2 } from './cubic.ts';
import { logsOfMerchantable, treeBoardFeet } from './tree-volume.ts';
import { type TreeRecord, treesIn } from './types.ts';

/** Cells are kept by what was said; sums of the live have the culls in them, as a cull is a standing live tree. */
export const statusNumber: Readonly<Record<Status, number>> = { live: 0, dead: 1, cull: 2 };

/** Height in feet that a stand's curve gives for a species and a diameter in inches; null where it cannot say. */
export type FillingCurve = (species: number | null, diameterIn: number) => number | null;

/**
 * Writes the contribution of one tree into `out` (see `sumColumns`), without the columns that the curve fills. `gauge` is
 * true on a plot of a basal area factor. Cull trees hold no board feet; a count multiplies everything, and so does the half of a tree on the border.
 */
export function contribute(tree: TreeRecord, gauge: boolean, formClass: number, out: Float64Array): void {
  for (let i = 0; i < columnCount; i++) out[i] = 0;
  const count = treesIn(tree);
  const step = gauge ? gaugeStep : areaStep;
  out[sumColumns.n] = count;
  const d = tree.diameterIn;
  const h = tree.heightFt;
  if (d === null || !(d > 0)) {
    if (h !== null) {
      out[sumColumns.heighted] = count;
      if (!gauge) {
        out[sumColumns.wh] = count;
        out[sumColumns.h] = rounded(h, step) * count;
        out[sumColumns.hh] = rounded(h * h, step) * count;
      }
    }
    return;
  }
  const weight = gauge ? 1 / basalAreaFt2(d) : 1;
  const area = gauge ? 1 : d * d;
  const w = rounded(weight, step) * count;
  out[sumColumns.sized] = count;
  out[sumColumns.w] = w;
  out[sumColumns.d] = rounded(weight * d, step) * count;
  out[sumColumns.dd] = rounded(area, step) * count;
  addBoardFeet(tree, weight, formClass, step, out);
  const group = massGroupOf(tree);
  if (group !== undefined) {
    const kg = jenkinsKg(group, d * cmPerInch);
    if (kg === null) out[sumColumns.beyond] = count;
    else {
      out[sumColumns.massed] = count;
      out[sumColumns.kg] = rounded(weight * kg, step) * count;
    }
  }
  if (h !== null) {
    out[sumColumns.heighted] = count;
    out[sumColumns.wh] = w;
    out[sumColumns.h] = rounded(weight * h, step) * count;
    out[sumColumns.hh] = rounded(weight * h * h, step) * count;
    out[sumColumns.stemmed] = count;
    out[sumColumns.bh] = out[sumColumns.dd]!;
    out[sumColumns.hb] = rounded(area * h, step) * count;
  }
}

/** Board feet by every rule of a tree with a diameter, weighted. */
function addBoardFeet(
  tree: TreeRecord,
  weight: number,
  formClass: number,
  step: number,
  out: Float64Array,
): void {
  const logs = tree.status === 'cull' ? 0 : logsOf(tree);
  if (logs === null) return;
  const count = treesIn(tree);
  out[sumColumns.volumed] = count;
  if (!(logs > 0)) return;
  if (tree.formClass === null) out[sumColumns.formAssumed] = count;
  for (const rule of logRuleKeys)
    out[sumColumns[rule]] =
      rounded(weight * required(netBoardFeet(tree, rule, formClass), 'the board feet'), step) * count;
}

/** Sixteen-foot logs as said, or in the merchantable height that was said; null where neither was. */
const logsOf = (tree: TreeRecord): number | null =>
  tree.logs ?? (tree.merchFt === null ? null : logsOfMerchantable(tree.merchFt));

/**
 * Board feet of one stem net of its defect, none in a cull; null where its logs or its diameter were not said. `formClass`
 * holds where the tree has none of its own.
 */
export function netBoardFeet(tree: TreeRecord, rule: LogRule, formClass: number): number | null {
  if (tree.status === 'cull') return 0;
  const logs = logsOf(tree);
  if (logs === null || tree.diameterIn === null || !(tree.diameterIn > 0)) return null;
  const feet = treeBoardFeet(rule, tree.diameterIn, logs, tree.formClass ?? formClass);
  return feet * (1 - tree.defectPct / 100);
}

/** Group of the biomass equations: of the species, else the one that all species share which bear the name. */
export function massGroupOf(tree: TreeRecord): JenkinsGroup | undefined {
  if (tree.species !== null) return speciesByCode(tree.species)?.jenkinsGroup;
  return tree.called == null ? undefined : groupOfName(tree.called);
}

/** True when the curve may stand in for the height: a live tree with a diameter. Dead tops are not guessed. */
export const fillable = (tree: TreeRecord): boolean =>
  tree.heightFt === null && tree.status !== 'dead' && tree.diameterIn !== null && tree.diameterIn > 0;

/** Writes the filled columns of a fillable tree for the height `f` in feet. */
export function contributeFilled(tree: TreeRecord, gauge: boolean, f: number, out: Float64Array): void {
  const step = gauge ? gaugeStep : areaStep;
  const d = required(tree.diameterIn, 'the diameter');
  const weight = gauge ? 1 / basalAreaFt2(d) : 1;
  const area = gauge ? 1 : d * d;
  const count = treesIn(tree);
  out[sumColumns.filled] = count;
  out[sumColumns.wf] = rounded(weight, step) * count;
  out[sumColumns.f] = rounded(weight * f, step) * count;
  out[sumColumns.bf] = rounded(area, step) * count;
  out[sumColumns.fb] = rounded(area * f, step) * count;
}

/** To the nearest step; Math.round would clip nothing here, but numbers past 2^53 steps keep their own precision. */
const rounded = (value: number, step: number): number => Math.round(value * step) / step;
