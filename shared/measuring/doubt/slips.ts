/**
 * Slips: the ways in which a note comes to say what was not meant. Each is one row: a prior weight, what it asks, and a
 * transformation that gives the note as it should have been, so that it can be offered and taken.
 */

import { misheard, type NumberSlip } from '../../core/misheard-numbers.ts';
import { required } from '../../core/required.ts';
import { keysOf } from '../../core/tables.ts';
import { feetToMetres, type LengthUnit, lengthUnitOf } from '../../core/units.ts';
import type { Measurement, Note, TreeFacts } from '../../note/note.ts';
import { methodOf } from '../height/methods.ts';

/** The diameter as said. */
export type SaidDiameter = NonNullable<TreeFacts['diameter']>;

/** What was said of a tree, as far as it can be doubted. */
export interface Claim {
  /** The note in question. */
  readonly note: Note;
  readonly measurement: Measurement | null;
  readonly diameter: SaidDiameter | null;
  readonly units: 'feet' | 'metres';
  /** Where paces and steps were not kept apart by the words, what the person counts. */
  readonly counting: 'paces' | 'steps';
  /** Eye height of the person, feet, where it is known. */
  readonly eyeFt: number | null;
  /** How the tree before was measured by the same person. */
  readonly earlier: Measurement | null;
}

interface SlipWords {
  /**
   * Weight before looking at the tree, relative to the other slips. Nothing published says how often people slip; set by
   * judgement from what each takes, and spread so that no bench result leans on them.
   */
  readonly weight: number;
}
/** A number was misheard: the value itself is asked. */
interface NumberRow extends SlipWords {
  readonly of: 'number';
}
interface AskedRow extends SlipWords {
  /** The question, and what it is called as the second of two. */
  readonly question: string;
  readonly short: string;
}
/** What was meant by a measurement, by a diameter; none where the slip cannot have been made. */
interface MeasurementRow extends AskedRow {
  readonly of: 'measurement';
  readonly meant: (m: Measurement, claim: Claim) => readonly Measurement[];
  /** Whether all that it may have been share the weight. */
  readonly shared?: true;
}
interface DiameterRow extends AskedRow {
  readonly of: 'diameter';
  readonly meant: (d: SaidDiameter, claim: Claim) => readonly SaidDiameter[];
}
type SlipRow = NumberRow | MeasurementRow | DiameterRow;

const table = {
  /** Single steps were counted and taken as paces of two steps; and the other way. */
  stepsForPaces: {
    of: 'measurement',
    weight: 1,
    question: 'Were those single steps?',
    short: 'single steps',
    meant: (m, claim) => {
      const counted = countOf(m);
      if (counted === null || isSteps(counted.by, claim)) return [];
      return [counted.as('steps', counted.count)];
    },
  },
  pacesForSteps: {
    of: 'measurement',
    weight: 0.6,
    question: 'Were those paces of two steps?',
    short: 'twice as many',
    meant: (m, claim) => {
      const counted = countOf(m);
      if (counted === null) return [];
      const { by, count, as } = counted;
      if (!isSteps(by, claim)) return count <= 30 ? [as('paces', 2 * count)] : [];
      // "Paces" of a person who counts single steps are steps already.
      return [by === 'steps' && claim.counting === 'paces' ? as('paces', count) : as('steps', 2 * count)];
    },
  },
  teenTy: { of: 'number', weight: 1 },
  tenfold: { of: 'number', weight: 0.5 },
  digit: { of: 'number', weight: 1 },
  swapped: { of: 'number', weight: 0.4 },
  /** A number of metres taken as feet; and the other way. */
  metresForFeet: {
    of: 'measurement',
    weight: 0.6,
    question: 'Was it metres?',
    short: 'metres',
    meant: (m, { units }) => inOtherUnit(m, units, 'ft', 'm'),
  },
  feetForMetres: {
    of: 'measurement',
    weight: 0.6,
    question: 'Was it feet?',
    short: 'feet',
    meant: (m, { units }) => inOtherUnit(m, units, 'm', 'ft'),
  },
  /** The scale's percents taken as degrees; and the other way; likewise the 66-foot scale. */
  percentForDegrees: {
    of: 'measurement',
    weight: 0.6,
    question: 'Was it percent?',
    short: 'percent',
    meant: (m) => (scaleOf(m) === 'deg' ? inScale(m, 'pct') : []),
  },
  degreesForPercent: {
    of: 'measurement',
    weight: 0.6,
    question: 'Was it degrees?',
    short: 'degrees',
    meant: (m) => (scaleOf(m) === 'pct' ? inScale(m, 'deg') : []),
  },
  scale: {
    of: 'measurement',
    weight: 0.2,
    question: 'Was it another scale?',
    short: 'another scale',
    meant: (m) => inScale(m, scaleOf(m) === 'topo' ? 'pct' : 'topo'),
  },
  baseSign: {
    of: 'measurement',
    weight: 0.3,
    question: 'Is the base on the other side of level?',
    short: 'the base on the other side',
    meant: withBaseOnOtherSide,
  },
  /** The stick spanned base to top and the eye height was added; sighted from the eye and it was not. */
  spannedEyeAdded: {
    of: 'measurement',
    weight: 0.4,
    question: 'Did the stick span the whole tree?',
    short: 'the stick spans',
    meant: (m) => {
      if (m.method !== 'stick') return [];
      const { eye: _, base: __, ...rest } = m;
      return [{ ...rest, method: 'spans' }];
    },
  },
  eyeForgotten: {
    of: 'measurement',
    weight: 0.5,
    question: 'Is the eye height still to add?',
    short: 'with the eye height',
    meant: (m, claim) => (m.method === 'spans' ? [sightedFromEye(m)] : withEye(m, claim, 1)),
  },
  eyeTwice: {
    of: 'measurement',
    weight: 0.3,
    question: 'Is the eye height in it twice?',
    short: 'less the eye height',
    meant: (m, claim) => withEye(m, claim, -1),
  },
  /** A plain tape round the stem, its girth taken as the diameter; and the other way. */
  girthForDiameter: {
    of: 'diameter',
    weight: 0.6,
    question: 'Was that the girth?',
    short: 'the girth',
    meant: (d) => (d.girth ? [] : [{ ...d, girth: true }]),
  },
  diameterForGirth: {
    of: 'diameter',
    weight: 0.3,
    question: 'Was that the diameter itself?',
    short: 'the diameter itself',
    meant: ({ girth, ...rest }) => (girth ? [rest] : []),
  },
  centimetresForInches: {
    of: 'diameter',
    weight: 0.6,
    question: 'Was it centimetres?',
    short: 'centimetres',
    meant: (d, { units }) => (diameterUnit(d, units) === 'in' ? [{ ...d, unit: 'cm' }] : []),
  },
  inchesForCentimetres: {
    of: 'diameter',
    weight: 0.6,
    question: 'Was it inches?',
    short: 'inches',
    meant: (d, { units }) => (diameterUnit(d, units) === 'cm' ? [{ ...d, unit: 'in' }] : []),
  },
  /** One take of several that stands apart. */
  strayTake: {
    of: 'measurement',
    weight: 0.5,
    question: 'Leave the stray take out?',
    short: 'without the stray take',
    shared: true,
    meant: (m) =>
      m.method === 'reading' && m.takes.length > 2
        ? m.takes.map((_, i) => ({ ...m, takes: m.takes.filter((__, j) => j !== i) }))
        : [],
  },
} as const satisfies Record<string, SlipRow> & Record<NumberSlip, NumberRow>;

/** A slip of the table, or another meaning of the same sound, from the recogniser. */
type SlipCode = keyof typeof table | 'heard';
export const slips: Readonly<Record<keyof typeof table, SlipRow>> = table;

/** What may have been meant instead. */
export interface Meant {
  readonly slip: SlipCode;
  /** Weight before looking at the tree, relative to the other slips of the table. */
  readonly weight: number;
  readonly measurement: Measurement | null;
  readonly diameter: SaidDiameter | null;
  readonly changes: 'height' | 'diameter';
  /** For number slips: the value that was meant and the one said; they are as likely as their rounding is coarse. */
  readonly value: number | null;
  readonly said: number | null;
}

/** All that may have been meant, for every field that the claim has. */
export function meanings(claim: Claim): readonly Meant[] {
  const { measurement, diameter } = claim;
  return [
    ...(measurement === null ? [] : ofMeasurement(measurement, claim)),
    ...(diameter === null ? [] : ofDiameter(diameter, claim)),
  ];
}

const unsaid = { value: null, said: null } as const;

function* ofMeasurement(measurement: Measurement, claim: Claim): Generator<Meant> {
  const changed = { diameter: claim.diameter, changes: 'height' } as const;
  for (const { said, put } of methodOf(measurement).numbers(measurement)) {
    for (const { slip, value, share } of misheard(said)) {
      const meant = put(value);
      const weight = slips[slip].weight * share;
      if (meant !== null) yield { ...changed, slip, weight, value, said, measurement: meant };
    }
  }
  for (const slip of slipKeys) {
    const row = slips[slip];
    if (row.of !== 'measurement') continue;
    const all = row.meant(measurement, claim);
    const weight = row.shared ? row.weight / all.length : row.weight;
    for (const meant of all) yield { ...changed, ...unsaid, slip, weight, measurement: meant };
  }
}

function* ofDiameter(diameter: SaidDiameter, claim: Claim): Generator<Meant> {
  const changed = { measurement: claim.measurement, changes: 'diameter' } as const;
  const said = diameter.value;
  for (const { slip, value, share } of misheard(said)) {
    const weight = slips[slip].weight * share;
    yield { ...changed, slip, weight, value, said, diameter: { ...diameter, value } };
  }
  for (const slip of slipKeys) {
    const row = slips[slip];
    if (row.of !== 'diameter') continue;
    for (const meant of row.meant(diameter, claim)) {
      yield { ...changed, ...unsaid, slip, weight: row.weight, diameter: meant };
    }
  }
}

const slipKeys = keysOf(table);

/** The count of a distance, and the measurement with another. */
function countOf(m: Measurement): {
  readonly by: 'paces' | 'steps';
  readonly count: number;
  readonly as: (by: 'paces' | 'steps', count: number) => Measurement;
} | null {
  if (!('distance' in m) || m.distance.by === 'length') return null;
  const { by, count } = m.distance;
  return { by, count, as: (by, count) => ({ ...m, distance: { by, count } }) };
}

const isSteps = (by: 'paces' | 'steps', { counting }: Claim): boolean =>
  by === 'steps' || counting === 'steps';

/** The distance, or all takes of a device, in another unit; none where they were said in a third. */
function inOtherUnit(
  m: Measurement,
  units: Claim['units'],
  from: LengthUnit,
  unit: LengthUnit,
): readonly Measurement[] {
  const isFrom = (said: { readonly unit?: LengthUnit | undefined }): boolean =>
    (said.unit ?? lengthUnitOf(units)) === from;
  if ('distance' in m) {
    const { distance } = m;
    if (distance.by !== 'length' || !isFrom(distance.length)) return [];
    return [{ ...m, distance: { ...distance, length: { value: distance.length.value, unit } } }];
  }
  if (m.method !== 'reading' || !m.takes.every(isFrom)) return [];
  return [{ ...m, takes: m.takes.map(({ value }) => ({ value, unit })) }];
}

type Angles = Extract<Measurement, { method: 'angles' }>;

/** The same numbers on another scale; a base sighted on the same scale goes along. */
function inScale(m: Measurement, scale: NonNullable<Angles['scale']>): readonly Angles[] {
  if (m.method !== 'angles') return [];
  const { base } = m;
  if (base?.by !== 'angle') return [{ ...m, scale }];
  return [{ ...m, scale, base: { ...base, angle: { ...base.angle, unit: scale } } }];
}

const scaleOf = (m: Measurement) => (m.method === 'angles' ? (m.scale ?? 'deg') : null);

function withBaseOnOtherSide(m: Measurement): readonly Measurement[] {
  if (m.method === 'ranges') return m.baseAngle === 0 ? [] : [{ ...m, baseAngle: -m.baseAngle }];
  if (!('base' in m) || m.base === undefined) return [];
  const { base } = m;
  if (base.by !== 'angle')
    return [{ ...m, base: { ...base, side: base.side === 'below' ? 'above' : 'below' } }];
  if (base.angle.value === 0) return [];
  return [{ ...m, base: { ...base, angle: { ...base.angle, value: -base.angle.value } } }];
}

/** A stick that was held at the eye instead of spanning the tree. */
function sightedFromEye({ stick, arm, ...rest }: Extract<Measurement, { method: 'spans' }>): Measurement {
  return stick === undefined || arm === undefined
    ? { ...rest, method: 'stick' }
    : { ...rest, stick, arm, method: 'ratio' };
}

/** A device's only take with the eye height put to it or taken off. */
function withEye(m: Measurement, { eyeFt, units }: Claim, sign: 1 | -1): readonly Measurement[] {
  if (m.method !== 'reading' || eyeFt === null) return [];
  const [only, ...others] = m.takes;
  if (only === undefined || others.length > 0) return [];
  const unit = only.unit ?? lengthUnitOf(units);
  if (unit !== 'ft' && unit !== 'm') return [];
  const eye = unit === 'm' ? feetToMetres(eyeFt) : eyeFt;
  if (sign < 0 && only.value <= eye) return [];
  return [{ ...m, takes: [{ ...only, value: tenths(only.value + sign * eye) }] }];
}

const tenths = (value: number): number => Math.round(value * 10) / 10;

const diameterUnit = (d: SaidDiameter, units: Claim['units']) => d.unit ?? (units === 'metres' ? 'cm' : 'in');

/** The note as it should have been said. */
export function mendedNote(claim: Claim, meant: Meant): Note {
  const { note } = claim;
  if (meant.changes === 'height') {
    const measurement = required(meant.measurement, 'the measurement that was meant');
    if (note.kind === 'tree') {
      return note.height === undefined
        ? { kind: 'height', height: measurement }
        : { ...note, height: measurement };
    }
    return { kind: 'height', height: measurement };
  }
  const diameter = required(meant.diameter, 'the diameter that was meant');
  if (note.kind === 'tree' && note.facts.diameter !== undefined) {
    return { ...note, facts: { ...note.facts, diameter } };
  }
  return { kind: 'change', facts: { diameter } };
}
