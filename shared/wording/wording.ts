/**
 * How numbers are worded in replies: number first, as many digits as the error deserves, in the units of the book.
 * Wording only; nothing is computed here beyond rounding and conversion for display.
 */

import {
  acresToHectares,
  areaToAcres,
  feetToMetres,
  inchesToCentimetres,
  lengthToFeet,
  lengthUnitOf,
  type Units,
} from '../core/units.ts';
import { isCode, placeKey } from '../note/place-key.ts';
import { speciesByCode } from '../note/species.ts';
import { type PlotRecord, type SpeciesKey, speciesKey, type TreeRecord } from '../totals/types.ts';

/** Trims a fixed number: `12.0` is said as `12`. */
export function digits(value: number, decimals: number): string {
  return String(Number(value.toFixed(decimals)));
}

/** Thousands apart. Example: `thousands(12345.5) === '12,345.5'`. */
export function thousands(value: number): string {
  const [whole = '', decimals] = String(value).split('.');
  const apart = whole.replace(/\B(?=(\d{3})+$)/g, ',');
  return decimals === undefined ? apart : `${apart}.${decimals}`;
}

/**
 * A number of a thousand and more as its error deserves: to the second digit of half its interval, to three digits where
 * no error is known (null), and "about" before it; smaller ones whole, and those under ten to a tenth. An error of 0 leaves
 * it exact.
 * Examples: `rounded(65432, 32000) === 'about 65,000'`, `rounded(65432, null) === 'about 65,400'`,
 * `rounded(65432, 0) === '65,432'`, `rounded(8.25, 1) === '8.3'`.
 */
export function rounded(value: number, error: number | null): string {
  const size = Math.abs(value);
  if (size < 999.5) return digits(value, size < 9.95 ? 1 : 0);
  const place = (of: number): number => 10 ** Math.floor(Math.log10(of));
  const deserved = error === null ? place(size) / 100 : error > 0 ? place(error) / 10 : 1;
  const step = Math.max(1, Math.min(deserved, place(size) / 10));
  const text = thousands(Math.round(value / step) * step);
  return step > 1 ? `about ${text}` : text;
}

const plural = (count: string, one: string, many: string): string => `${count} ${count === '1' ? one : many}`;

/**
 * A length in feet or metres. With an error, as many decimals as it deserves: whole feet from an error of one foot
 * on, tenths below; metres always in tenths.
 */
export function length(feet: number, units: Units, sdFeet?: number): string {
  if (units === 'metres') return plural(digits(feetToMetres(feet), 1), 'metre', 'metres');
  return plural(digits(feet, sdFeet !== undefined && sdFeet >= 1 ? 0 : 1), 'foot', 'feet');
}

/** "48 feet, give or take 3". */
export function heightAndError(feet: number, sdFeet: number, units: Units): string {
  const error = units === 'metres' ? digits(feetToMetres(sdFeet), 1) : digits(sdFeet, sdFeet < 1.95 ? 1 : 0);
  return `${length(feet, units, sdFeet)}, give or take ${error}`;
}

/** A pace: hundredths of a foot, or centimetres. */
export function paceLength(feet: number, units: Units): string {
  return units === 'metres'
    ? `${digits(feetToMetres(feet) * 100, 0)} centimetres`
    : `${digits(feet, 2)} feet`;
}

/** An eye height: feet and inches where it is a whole number of inches, else feet; or metres. */
export function eyeHeight(feet: number, units: Units): string {
  if (units === 'metres') return `${feetToMetres(feet).toFixed(2)} metres`;
  const inches = feet * 12;
  if (Math.abs(inches - Math.round(inches)) < 0.02) {
    const rest = Math.round(inches) % 12;
    const whole = Math.floor(Math.round(inches) / 12);
    return rest === 0 ? `${whole} feet` : `${whole} feet ${rest}`;
  }
  return `${digits(feet, 2)} feet`;
}

export function diameter(inches: number, units: Units): string {
  return units === 'metres'
    ? `${digits(inchesToCentimetres(inches), 1)} centimetres`
    : plural(digits(inches, 1), 'inch', 'inches');
}

/** A short distance, for borderline trees: whole or half inches, or centimetres. */
export function smallLength(feet: number, units: Units): string {
  if (units === 'metres') return `${digits(100 * feetToMetres(Math.abs(feet)), 0)} centimetres`;
  const inches = Math.abs(feet) * 12;
  if (inches < 0.25) return 'less than half an inch';
  if (inches < 0.75) return 'half an inch';
  if (inches >= 23.5) return length(Math.abs(feet), units);
  return plural(digits(inches, 0), 'inch', 'inches');
}

export function area(acres: number, units: Units): string {
  if (units === 'metres') return plural(digits(acresToHectares(acres), 2), 'hectare', 'hectares');
  const part = new Map([
    [0.5, 'half an acre'],
    [0.25, 'a quarter acre'],
    [0.2, 'a fifth of an acre'],
    [0.1, 'a tenth of an acre'],
    [0.05, 'a twentieth of an acre'],
    [0.02, 'a fiftieth of an acre'],
    [0.01, 'a hundredth of an acre'],
  ]).get(acres);
  return part ?? plural(digits(acres, 2), 'acre', 'acres');
}

/** Name of a species, or what trees were called whose species is not known. */
export function speciesName(code: SpeciesKey): string {
  if (typeof code === 'string') return code;
  return code === null ? 'species not said' : (speciesByCode(code)?.commonName ?? `species ${code}`);
}

/** Capital at the front; names inside keep theirs. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A sentence behind a colon: "Kept; it waits" goes on small. */
export const lowered = (text: string): string =>
  text.replace(/^(Kept|That|The)\b/, (word) => word.toLowerCase());

/** A name of a place, as it is written: "Alder Hollow". */
export const placeName = (name: string): string => name.split(' ').map(sentence).join(' ');

/** A stand as it is told: "Alder Hollow", "stand 3". */
export const standName = (name: string): string =>
  isCode(name) ? `stand ${placeKey(name)}` : placeName(name);

export function logs(count: number): string {
  return plural(digits(count, 1), 'log', 'logs');
}

/** "red maple, 11.4 inches, dead". */
export function treeFacts(tree: TreeRecord, units: Units): string {
  const parts: string[] = [];
  if (tree.count > 1) parts.push(`${tree.count} alike`);
  parts.push(speciesName(speciesKey(tree)));
  if (tree.diameterIn !== null) parts.push(diameter(tree.diameterIn, units));
  if (tree.logs !== null) parts.push(logs(tree.logs));
  if (tree.merchFt !== null) parts.push(`${length(tree.merchFt, units)} merchantable`);
  if (tree.status !== 'live') parts.push(tree.status);
  parts.push(...tree.marks);
  if (tree.defectPct > 0) parts.push(`${digits(tree.defectPct, 0)} percent defect`);
  if (tree.formClass !== null) parts.push(`form class ${digits(tree.formClass, 0)}`);
  if (tree.half) parts.push('counted half');
  return parts.join(', ');
}

/** "a tenth of an acre", "factor 10", "factor 2 metric", "radius 37.2 feet", "every tree". */
export function plotSize(plot: Pick<PlotRecord, 'size'>, units: Units): string {
  const { size } = plot;
  switch (size?.by) {
    case undefined:
      return 'size not said';
    case 'area':
      return area(areaToAcres(size, units), units);
    case 'radius':
      return `radius ${length(lengthToFeet(size.length, lengthUnitOf(units)), units)}`;
    case 'factor':
      if (size.unit === 'm2/ha') return `factor ${digits(size.value, 2)} metric`;
      return `factor ${digits(size.value, 2)}${units === 'metres' ? ' in square feet an acre' : ''}`;
    case 'tally':
      return 'every tree';
  }
}

/** "3 trees", "1 tree", "no trees". */
export function treeCount(count: number): string {
  return count === 0 ? 'no trees' : plural(thousands(count), 'tree', 'trees');
}

/** "3 plots", "1 plot", "no plots". */
export function plotCount(count: number): string {
  return count === 0 ? 'no plots' : plural(thousands(count), 'plot', 'plots');
}

/** "a, b and c". */
export function list(items: readonly string[], last = 'and'): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} ${last} ${items.at(-1)}`;
}
