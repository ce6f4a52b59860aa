/**
 * Above-ground biomass and carbon of a tree from its diameter, by the ten species groups of the national equations.
 * Nothing is computed for stems thicker than the data behind a group.
 */
import type { JenkinsGroup } from '../note/species.ts';

interface Equation {
  readonly b0: number;
  readonly b1: number;
  /** Thickest stem behind the equation, cm. */
  readonly mostCm: number;
  readonly kind: 'hardwood' | 'softwood' | 'woodland';
}

/**
 * kg oven-dry = exp(b0 + b1 ln(cm)), dbh >= 2.5 cm. Jenkins et al. 2003, Forest Science 49(1):12-35, Table 4: coefficients
 * seen digit by digit in the FIA database's reference table REF_SPECIES and in two transcriptions of the table, the largest
 * diameters in those.
 */
export const jenkinsEquations: Readonly<Record<JenkinsGroup, Equation>> = {
  'Aspen/alder/cottonwood/willow': { b0: -2.2094, b1: 2.3867, mostCm: 70, kind: 'hardwood' },
  'Soft maple/birch': { b0: -1.9123, b1: 2.3651, mostCm: 66, kind: 'hardwood' },
  'Mixed hardwood': { b0: -2.48, b1: 2.4835, mostCm: 56, kind: 'hardwood' },
  'Hard maple/oak/hickory/beech': { b0: -2.0127, b1: 2.4342, mostCm: 73, kind: 'hardwood' },
  'Cedar/larch': { b0: -2.0336, b1: 2.2592, mostCm: 250, kind: 'softwood' },
  'Douglas-fir': { b0: -2.2304, b1: 2.4435, mostCm: 210, kind: 'softwood' },
  'True fir/hemlock': { b0: -2.5384, b1: 2.4814, mostCm: 230, kind: 'softwood' },
  Pine: { b0: -2.5356, b1: 2.4349, mostCm: 180, kind: 'softwood' },
  Spruce: { b0: -2.0773, b1: 2.3323, mostCm: 250, kind: 'softwood' },
  'Juniper/oak/mesquite': { b0: -0.7152, b1: 1.7029, mostCm: 78, kind: 'woodland' },
};

/** Thinnest stem that the equations speak of, cm. */
const leastCm = 2.5;
export const cmPerInch = 2.54;
export const poundsPerKg = 1 / 0.45359237;

/**
 * Oven-dry biomass above ground, kg, from dbh in cm; null outside the diameters behind the group's equation.
 * Example: `jenkinsKg('Hard maple/oak/hickory/beech', 30)` is 526.6.
 */
export function jenkinsKg(group: JenkinsGroup, dbhCm: number): number | null {
  const { b0, b1, mostCm } = jenkinsEquations[group];
  if (!(dbhCm >= leastCm) || dbhCm > mostCm) return null;
  return Math.exp(b0 + b1 * Math.log(dbhCm));
}

/** Carbon in dry wood: the fractions that may be chosen, each with its source; `general` where none was. */
export const carbonFractions = {
  general: {
    value: 0.47,
    source: 'carbon 0.47 of dry mass, 0.44 to 0.49 (IPCC 2006 Vol. 4 Table 4.3, default; seen second-hand)',
  },
  half: { value: 0.5, source: 'carbon 0.50 of dry mass (from memory: usual in US work, IPCC 2003)' },
  broadleaf: { value: 0.48, source: 'carbon 0.48 of dry mass (from memory: IPCC 2006 Vol. 4 Table 4.3)' },
  conifer: { value: 0.51, source: 'carbon 0.51 of dry mass (from memory: IPCC 2006 Vol. 4 Table 4.3)' },
} as const;
export const biomassSource =
  'above-ground oven-dry biomass by species group (Jenkins et al. 2003, Forest Science 49(1):12-35, Table 4)';
