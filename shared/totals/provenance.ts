/** What goes into a value and what does not: counts of trees that lack something, as sentences, with units and sources. */
import type { LogRule } from '../note/log-rules.ts';
import { biomassSource, carbonFractions } from './biomass.ts';
import type { SumColumn } from './cells.ts';
import { compositeFormFactor } from './cubic.ts';
import type { Group } from './plot-sums.ts';
import { treeVolumeSources } from './tree-volume.ts';
import type { Estimate } from './types.ts';

/** What adds up over trees. Board feet are net of defect; `biomass` is oven-dry and above ground. */
export type TotalsQuantity = 'basalArea' | 'density' | LogRule | 'cubic' | 'biomass' | 'carbon';

export interface Missing {
  /** Trees of the scope, and those that are in the value. */
  readonly all: number;
  readonly used: number;
  readonly filled: number;
  /** Trees that lack what the quantity needs. */
  readonly lacking: number;
  /** Trees outside the diameters of the biomass equations. */
  readonly beyond: number;
  readonly formAssumed: number;
}

/** Counts what a quantity can use of the trees of these groups. */
export function missingFrom(quantity: TotalsQuantity, groups: readonly Group[], key: number): Missing {
  const sum = (column: SumColumn, gauge?: boolean): number => {
    let total = 0;
    for (const group of groups) {
      if (gauge === undefined || group.gauge === gauge) total += group.sum(key, column);
    }
    return total;
  };
  const all = sum('n');
  let used = all;
  let filled = 0;
  let beyond = 0;
  let formAssumed = 0;
  // At a gauge every tree counts for the factor, whatever its diameter; on a plot of an area every tree is a tree.
  if (quantity === 'basalArea') used = sum('sized', false) + sum('n', true);
  else if (quantity === 'density') used = sum('n', false) + sum('sized', true);
  else if (quantity === 'cubic') {
    filled = sum('filled');
    used = sum('stemmed') + filled;
  } else if (quantity === 'biomass' || quantity === 'carbon') {
    used = sum('massed');
    beyond = sum('beyond');
  } else {
    used = sum('volumed');
    formAssumed = sum('formAssumed');
  }
  return { all, used, filled, lacking: all - used - beyond, beyond, formAssumed };
}

const trees = (n: number): string => (n === 1 ? '1 tree' : `${n} trees`);
const are = (n: number): string => (n === 1 ? 'is' : 'are');

/** What a tree needs to be in a quantity. */
function needed(quantity: TotalsQuantity, curve: boolean): string {
  switch (quantity) {
    case 'basalArea':
    case 'density':
      return 'diameter';
    case 'cubic':
      return curve ? 'diameter, or no height that the curve could fill,' : 'height or diameter';
    case 'biomass':
    case 'carbon':
      return 'diameter or no known species';
    default:
      return 'logs or diameter';
  }
}

/** What was left out and taken for granted. `off`: trees on no plot of known size. */
export function sentences(
  quantity: TotalsQuantity,
  missing: Missing,
  off: number,
  settings: { formClass: number; carbon: keyof typeof carbonFractions; curve: boolean },
): { leftOut: string[]; assumed: string[] } {
  const leftOut: string[] = [];
  const assumed: string[] = [];
  const { lacking, beyond, filled, formAssumed } = missing;
  if (off > 0) leftOut.push(`${trees(off)} on no plot of known size ${are(off)} left out.`);
  if (lacking > 0) {
    leftOut.push(
      `${trees(lacking)} ${lacking === 1 ? 'has' : 'have'} no ${needed(quantity, settings.curve)} and ${are(lacking)} left out.`,
    );
  }
  if (beyond > 0)
    leftOut.push(
      `${trees(beyond)} outside the diameters behind the biomass equations ${are(beyond)} left out.`,
    );
  if (filled > 0)
    assumed.push(`${filled === 1 ? '1 height was' : `${filled} heights were`} filled from the curve.`);
  if (formAssumed > 0) assumed.push(`Form class ${settings.formClass} for ${trees(formAssumed)}.`);
  if (quantity === 'carbon') assumed.push(`${carbonFractions[settings.carbon].source}.`);
  return { leftOut, assumed };
}

export function unitOf(quantity: TotalsQuantity, whole: boolean): Estimate['unit'] {
  switch (quantity) {
    case 'basalArea':
      return whole ? 'ft2' : 'ft2/acre';
    case 'density':
      return whole ? 'trees' : 'trees/acre';
    case 'cubic':
      return whole ? 'ft3' : 'ft3/acre';
    case 'biomass':
    case 'carbon':
      return whole ? 'lb' : 'lb/acre';
    default:
      return whole ? 'bf' : 'bf/acre';
  }
}

export function sourcesOf(
  quantity: TotalsQuantity,
  formFactor: number,
  carbon: keyof typeof carbonFractions,
): readonly string[] {
  switch (quantity) {
    case 'basalArea':
      return ['basal area 0.005454 times the diameter squared; at a gauge the factor for each tree'];
    case 'density':
      return ['trees over the plot area; at a gauge the factor over the basal area of each tree'];
    case 'cubic':
      return [
        formFactor === compositeFormFactor
          ? 'whole stem 0.42 x basal area x height (from memory: Gevorkiantz & Olsen 1955, USDA Tech. Bull. 1104)'
          : `whole stem ${formFactor} x basal area x height, form factor as set`,
      ];
    case 'biomass':
      return [biomassSource];
    case 'carbon':
      return [biomassSource, carbonFractions[carbon].source];
    default:
      return treeVolumeSources(quantity);
  }
}
