/**
 * Conversions at the edges. Inside, heights and distances are international feet, diameters inches, areas acres.
 * A unit that was not said comes from the book's units, except for an eye height, whose size tells.
 */
import { err, ok, type Result } from './result.ts';
import { keysWhere } from './tables.ts';

export type Units = 'feet' | 'metres';

interface UnitWords {
  /** The plural that is spoken, the singular that is spoken, then what is also read; empty where it has no word. */
  readonly words: readonly [many: string, one: string, ...also: string[]] | readonly [];
}
type UnitRow =
  | (UnitWords & { readonly of: 'length'; readonly metres: number })
  | (UnitWords & { readonly of: 'angle' | 'area' });

/** Metres in an international foot, exact (US and Commonwealth agreement of 1959; NIST SP 811, App. B.6). */
export const metresPerFoot = 0.3048;
/** Square feet in an acre, exact for the international foot: 10 square chains of 66 ft. */
export const squareFeetPerAcre = 43560;

/**
 * Every unit that can be said, by its symbol: schemas, words and conversions follow from this. Metres are whole decimal
 * fractions, so each conversion rounds only once or twice.
 */
export const unitTable = {
  ft: { of: 'length', metres: metresPerFoot, words: ['feet', 'foot'] },
  in: { of: 'length', metres: 0.0254, words: ['inches', 'inch'] },
  m: { of: 'length', metres: 1, words: ['metres', 'metre', 'meters', 'meter'] },
  cm: { of: 'length', metres: 0.01, words: ['centimetres', 'centimetre', 'centimeters', 'centimeter'] },
  chain: { of: 'length', metres: 20.1168, words: ['chains', 'chain'] },
  yd: { of: 'length', metres: 0.9144, words: ['yards', 'yard'] },
  deg: { of: 'angle', words: ['degrees', 'degree'] },
  pct: { of: 'angle', words: ['percent', 'percent', 'per cent'] },
  /** Feet in 66 feet. */
  topo: { of: 'angle', words: [] },
  acre: { of: 'area', words: ['acres', 'acre'] },
  ha: { of: 'area', words: ['hectares', 'hectare'] },
  m2: { of: 'area', words: ['square metres', 'square metre', 'square meters', 'square meter'] },
} as const satisfies Record<string, UnitRow>;

type Unit = keyof typeof unitTable;
type UnitOf<D extends UnitRow['of']> = {
  [U in Unit]: (typeof unitTable)[U]['of'] extends D ? U : never;
}[Unit];

export const lengthUnits = keysWhere(
  unitTable,
  (unit): unit is UnitOf<'length'> => unitTable[unit].of === 'length',
);
export type LengthUnit = UnitOf<'length'>;
export const angleUnits = keysWhere(
  unitTable,
  (unit): unit is UnitOf<'angle'> => unitTable[unit].of === 'angle',
);
export type AngleUnit = UnitOf<'angle'>;
export const areaUnits = keysWhere(
  unitTable,
  (unit): unit is UnitOf<'area'> => unitTable[unit].of === 'area',
);

/** A length as said; without a unit it is in the book's unit of that quantity. */
interface SaidLength {
  readonly value: number;
  readonly unit?: LengthUnit | undefined;
}

/** Hectares in an acre, exact: 43560 x 0.3048^2 / 10000. */
export const hectaresPerAcre = 0.40468564224;
export const centimetresPerInch = 2.54;
/** Exact: the international pound of 1959. */
export const kilogramsPerPound = 0.45359237;
/** Feet in a surveyor's (Gunter's) chain, exact. */
const feetPerChain = 66;

/** The unit of a distance or height that was said without one. */
export const lengthUnitOf = (units: Units): LengthUnit => (units === 'metres' ? 'm' : 'ft');

/**
 * A said length in feet; `unit` where it has none.
 * Example: `lengthToFeet({ value: 1, unit: 'chain' }, 'ft') === 66`.
 */
export function lengthToFeet(length: SaidLength, unit: LengthUnit): number {
  const said = length.unit ?? unit;
  return said === 'ft' ? length.value : (length.value * unitTable[said].metres) / metresPerFoot;
}

/** Example: `feetToMetres(100) === 30.48`. */
export const feetToMetres = (feet: number): number => feet * metresPerFoot;
/** Example: `inchesToCentimetres(10) === 25.4`. */
export const inchesToCentimetres = (inches: number): number => inches * centimetresPerInch;
/** Example: `acresToHectares(1)` is 0.40468564224. */
export const acresToHectares = (acres: number): number => acres * hectaresPerAcre;

/** Eye heights of people standing, kneeling or on a stump, feet; outside these it is a slip of the tongue. */
const eyeLimitsFeet = { least: 1, most: 10 } as const;

/**
 * An eye height in feet. Without a unit its size tells: below 3 metres, 3 to 8 feet, 40 to 90 inches, 100 to 230
 * centimetres; the gaps between are refused. The error is a sentence.
 * Examples: 5.5 is feet, 1.65 metres, 66 inches, 165 centimetres; 20 is refused: `eyeToFeet({ value: 5.5 })` is `{ ok: true, value: 5.5 }`.
 */
export function eyeToFeet(eye: SaidLength): Result<number, string> {
  const unit = eye.unit ?? eyeUnitBySize(eye.value);
  if (unit === null) {
    return err(
      `Expected an eye height such as 5.5 feet, 66 inches, 1.65 metres or 165 centimetres; found ${plain(eye.value)} without a unit.`,
    );
  }
  const feet = lengthToFeet({ value: eye.value, unit }, unit);
  if (!(feet >= eyeLimitsFeet.least && feet <= eyeLimitsFeet.most)) {
    return err(
      `Expected an eye height from ${eyeLimitsFeet.least} to ${eyeLimitsFeet.most} feet; found ${plain(feet)} feet.`,
    );
  }
  return ok(feet);
}

function eyeUnitBySize(value: number): LengthUnit | null {
  if (value > 0 && value < 3) return 'm';
  if (value >= 3 && value <= 8) return 'ft';
  if (value >= 40 && value <= 90) return 'in';
  if (value >= 100 && value <= 230) return 'cm';
  return null;
}

/** A number for a sentence: at most two decimals, no trailing noughts; the absurd is not spelt out. */
export function plain(value: number): string {
  if (!(Math.abs(value) < 1e9)) return value < 0 ? 'less than minus a billion' : 'more than a billion';
  return String(Math.round(value * 100) / 100 + 0);
}

/**
 * A diameter in inches; a girth is divided by pi (the stem taken as round, so never too small). Without a unit:
 * inches, or centimetres in a metric book.
 * Example: `diameterToInches({ value: 44, girth: true }, 'feet')` is 14.0056.
 */
export function diameterToInches(
  diameter: {
    readonly value: number;
    readonly unit?: 'in' | 'cm' | undefined;
    readonly girth?: true | undefined;
  },
  units: Units,
): number {
  const unit = diameter.unit ?? (units === 'metres' ? 'cm' : 'in');
  const inches = unit === 'cm' ? diameter.value / centimetresPerInch : diameter.value;
  return diameter.girth ? inches / Math.PI : inches;
}

/**
 * An area in acres. Without a unit: acres, or hectares in a metric book.
 * Example: `areaToAcres({ value: 1, unit: 'ha' }, 'feet')` is 2.47105.
 */
export function areaToAcres(
  area: { readonly value: number; readonly unit?: UnitOf<'area'> | undefined },
  units: Units,
): number {
  const unit = area.unit ?? (units === 'metres' ? 'ha' : 'acre');
  if (unit === 'm2') return area.value / 10_000 / hectaresPerAcre;
  return unit === 'ha' ? area.value / hectaresPerAcre : area.value;
}

/**
 * Tangent of an angle in degrees; of 45 degrees it is 1, not a hair less, so that sixty and a half feet by a stick and by a
 * device round alike.
 * Example: `tangentOf(45) === 1`.
 */
export function tangentOf(degrees: number): number {
  return Math.abs(degrees) === 45 ? Math.sign(degrees) : Math.tan(radians(degrees));
}

/**
 * Rise over run of an angle from horizontal. Degrees must lie strictly between -90 and 90; percent and the
 * 66-foot scale may be any finite number.
 * Example: `angleToTangent(88, 'pct') === 0.88`, `angleToTangent(45, 'deg')` is 1.
 */
export function angleToTangent(value: number, unit: AngleUnit): number {
  if (unit === 'deg') return tangentOf(value);
  return value / (unit === 'pct' ? 100 : feetPerChain);
}

/** Degrees as radians. Example: `radians(180) === Math.PI`. */
export const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** Degrees from horizontal. Example: `tangentToDegrees(1) === 45`. */
export const tangentToDegrees = (tangent: number): number => (Math.atan(tangent) * 180) / Math.PI;
