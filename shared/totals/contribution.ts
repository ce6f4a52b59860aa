/** What one tree adds to the sums of its cells: counts, basal area, board feet, biomass, heights. */
import { required } from '../core/required.ts';
import { logRuleKeys } from '../note/log-rules.ts';
import type { Status } from '../note/note.ts';
import { groupOfName, type JenkinsGroup, speciesByCode } from '../note/species.ts';
import { cmPerInch, jenkinsKg } from './biomass.ts';
import { areaStep, columnCount, gaugeStep, sumColumns } from './cells.ts';
import { basalAreaFt2 } from './cubic.ts';
import { logsOfMerchantable, treeBoardFeet } from './tree-volume.ts';
import { type TreeRecord, treesIn } from './types.ts';

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
  const diameterIn = required(tree.diameterIn, 'the diameter');
  const logs = tree.logs ?? (tree.merchFt === null ? null : logsOfMerchantable(tree.merchFt));
  if (logs === null) return;
  const count = treesIn(tree);
  out[sumColumns.volumed] = count;
  if (tree.status === 'cull' || !(logs > 0)) return;
  const net = weight * (1 - tree.defectPct / 100);
  if (tree.formClass === null) out[sumColumns.formAssumed] = count;
  for (const rule of logRuleKeys) {
    const feet = treeBoardFeet(rule, diameterIn, logs, tree.formClass ?? formClass);
    out[sumColumns[rule]] = rounded(net * feet, step) * count;
  }
}

/** Group of the biomass equations: of the species, else the one that all species share which bear the name. */
function massGroupOf(tree: TreeRecord): JenkinsGroup | undefined {
  if (tree.species !== null) return speciesByCode(tree.species)?.jenkinsGroup;
  return tree.called == null ? undefined : groupOfName(tree.called);
}

/** True when the curve may stand in for the height: a live tree with a diameter. Dead tops are not guessed. */
export const fillable = (tree: TreeRecord): boolean =>
  tree.heightFt === null && tree.status === 'live' && tree.diameterIn !== null && tree.diameterIn > 0;

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
