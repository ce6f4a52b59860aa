/**
 * Slips: the ways in which a note comes to say what was not meant. Each is a transformation of the note with a prior
 * weight, and gives the note as it should have been, so that it can be offered and taken.
 */
import type { Measurement, Note, TreeFacts } from '../../note/note.ts';
import { misheard, type NumberSlip } from './misheard-numbers.ts';

export type SlipCode =
  | NumberSlip
  /** Single steps were counted and taken as paces of two steps; and the other way. */
  | 'stepsForPaces'
  | 'pacesForSteps'
  /** A number of metres taken as feet; and the other way. */
  | 'metresForFeet'
  | 'feetForMetres'
  /** The scale's percents taken as degrees; and the other way; likewise the 66-foot scale. */
  | 'percentForDegrees'
  | 'degreesForPercent'
  | 'scale'
  | 'baseSign'
  /** The stick spanned base to top and the eye height was added; sighted from the eye and it was not. */
  | 'spannedEyeAdded'
  | 'eyeForgotten'
  | 'eyeTwice'
  /** A plain tape round the stem, its girth taken as the diameter; and the other way. */
  | 'girthForDiameter'
  | 'diameterForGirth'
  | 'centimetresForInches'
  | 'inchesForCentimetres'
  /** One take of several that stands apart. */
  | 'strayTake'
  /** Another meaning of the same sound, from the recogniser. */
  | 'heard';

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
}

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

/**
 * Relative weights of the slips. Nothing published says how often people slip; set by judgement from what each takes,
 * and spread so that no bench result leans on them.
 */
export const slipWeights: Record<Exclude<SlipCode, 'heard'>, number> = {
  stepsForPaces: 1,
  pacesForSteps: 0.6,
  teenTy: 1,
  tenfold: 0.5,
  digit: 1,
  swapped: 0.4,
  metresForFeet: 0.6,
  feetForMetres: 0.6,
  percentForDegrees: 0.6,
  degreesForPercent: 0.6,
  scale: 0.2,
  baseSign: 0.3,
  spannedEyeAdded: 0.4,
  eyeForgotten: 0.5,
  eyeTwice: 0.3,
  girthForDiameter: 0.6,
  diameterForGirth: 0.3,
  centimetresForInches: 0.6,
  inchesForCentimetres: 0.6,
  strayTake: 0.5,
};

/** All that may have been meant, for every field that the claim has. */
export function meanings(claim: Claim): readonly Meant[] {
  const found: Meant[] = [];
  const { measurement, diameter } = claim;
  if (measurement !== null) {
    for (const part of heightSlips(measurement, claim)) {
      found.push({ value: null, said: null, ...part, diameter, changes: 'height' });
    }
  }
  if (diameter !== null) {
    for (const part of diameterSlips(diameter, claim.units)) {
      found.push({ value: null, said: null, ...part, measurement, changes: 'diameter' });
    }
  }
  return found;
}

type HeightPart = Pick<Meant, 'slip' | 'weight'> & { measurement: Measurement } & Partial<
    Pick<Meant, 'value' | 'said'>
  >;
type DiameterPart = Pick<Meant, 'slip' | 'weight'> & { diameter: SaidDiameter } & Partial<
    Pick<Meant, 'value' | 'said'>
  >;

/** The slips of one number, each put back into its place by `put`. */
function numbers<T>(said: number, put: (value: number) => T) {
  return misheard(said).map(({ slip, value, share }) => ({
    slip,
    weight: slipWeights[slip] * share,
    value,
    said,
    part: put(value),
  }));
}

function heightSlips(m: Measurement, claim: Claim): HeightPart[] {
  const found: HeightPart[] = [];
  const number = (said: number, put: (value: number) => Measurement | null) => {
    for (const { part, ...rest } of numbers(said, put))
      if (part !== null) found.push({ ...rest, measurement: part });
  };
  const other = (slip: Exclude<SlipCode, 'heard'>, measurement: Measurement, weight = slipWeights[slip]) =>
    found.push({ slip, weight, measurement });

  if ('distance' in m) {
    const d = m.distance;
    const withDistance = (distance: typeof d): Measurement => ({ ...m, distance });
    if (d.by === 'length') {
      number(d.length.value, (value) => withDistance({ ...d, length: { ...d.length, value } }));
      for (const [slip, length] of unitSlips(d.length, claim.units))
        other(slip, withDistance({ ...d, length }));
    } else {
      number(d.count, (count) => (count >= 1 ? withDistance({ ...d, count }) : null));
      // "Paces" of a person who counts single steps are steps already.
      const steps = d.by === 'steps' || claim.counting === 'steps';
      if (!steps) other('stepsForPaces', withDistance({ by: 'steps', count: d.count }));
      else if (d.by === 'steps' && claim.counting === 'paces') {
        other('pacesForSteps', withDistance({ by: 'paces', count: d.count }));
      } else other('pacesForSteps', withDistance({ by: 'steps', count: 2 * d.count }));
      if (!steps && d.count <= 30) other('pacesForSteps', withDistance({ by: 'paces', count: 2 * d.count }));
    }
  }
  switch (m.method) {
    case 'stick': {
      const { eye: _, base: __, ...rest } = m;
      other('spannedEyeAdded', { ...rest, method: 'spans' });
      break;
    }
    case 'spans':
      if (m.stick === undefined || m.arm === undefined) {
        const { stick: _, arm: __, ...rest } = m;
        other('eyeForgotten', { ...rest, method: 'stick' });
      } else {
        const { stick, arm, ...rest } = m;
        other('eyeForgotten', { ...rest, stick, arm, method: 'ratio' });
      }
      break;
    case 'angles': {
      number(Math.abs(m.top), (value) => ({ ...m, top: m.top < 0 ? -value : value }));
      const scale = m.scale ?? 'deg';
      if (scale === 'deg') other('percentForDegrees', inScale(m, 'pct'));
      else if (scale === 'pct') other('degreesForPercent', inScale(m, 'deg'));
      if (scale !== 'topo') other('scale', inScale(m, 'topo'));
      else other('scale', inScale(m, 'pct'));
      break;
    }
    case 'reading': {
      const only = m.takes.length === 1 ? m.takes[0]! : null;
      if (only !== null) {
        number(only.value, (value) => ({ ...m, takes: [{ ...only, value }] }));
        for (const [slip, length] of unitSlips(only, claim.units)) other(slip, { ...m, takes: [length] });
        if (claim.eyeFt !== null) {
          const unit = only.unit ?? (claim.units === 'metres' ? 'm' : 'ft');
          const eye = claim.eyeFt * (unit === 'm' ? 0.3048 : 1);
          if (unit === 'ft' || unit === 'm') {
            other('eyeForgotten', { ...m, takes: [{ ...only, value: tenths(only.value + eye) }] });
            if (only.value > eye)
              other('eyeTwice', { ...m, takes: [{ ...only, value: tenths(only.value - eye) }] });
          }
        }
      } else {
        m.takes.forEach((_, i) => {
          if (m.takes.length > 2)
            other(
              'strayTake',
              { ...m, takes: m.takes.filter((__, j) => j !== i) },
              slipWeights.strayTake / m.takes.length,
            );
        });
        for (const [slip] of unitSlips(m.takes[0]!, claim.units)) {
          const takes = m.takes.map(
            (take) => unitSlips(take, claim.units).find(([code]) => code === slip)?.[1],
          );
          if (takes.every((take) => take !== undefined)) other(slip, { ...m, takes });
        }
      }
      break;
    }
    case 'pole':
      number(m.treeReads, (treeReads) => ({ ...m, treeReads }));
      number(m.poleReads, (poleReads) => ({ ...m, poleReads }));
      break;
    case 'shadow':
      number(m.shadow.value, (value) => ({ ...m, shadow: { ...m.shadow, value } }));
      number(m.poleShadow.value, (value) => ({ ...m, poleShadow: { ...m.poleShadow, value } }));
      break;
    case 'ranges':
      number(m.topRange.value, (value) => ({ ...m, topRange: { ...m.topRange, value } }));
      number(m.topAngle, (topAngle) => ({ ...m, topAngle }));
      if (m.baseAngle !== 0) other('baseSign', { ...m, baseAngle: -m.baseAngle });
      break;
    case 'ratio':
    case 'laid':
      break;
  }
  if ('base' in m && m.base !== undefined) {
    const { base } = m;
    if (base.by === 'angle') {
      if (base.angle.value !== 0) {
        other('baseSign', { ...m, base: { ...base, angle: { ...base.angle, value: -base.angle.value } } });
      }
    } else {
      other('baseSign', { ...m, base: { ...base, side: base.side === 'below' ? 'above' : 'below' } });
    }
  }
  return found;
}

const tenths = (value: number): number => Math.round(value * 10) / 10;

type Angles = Extract<Measurement, { method: 'angles' }>;

/** The same numbers on another scale; a base sighted on the same scale goes along. */
function inScale(m: Angles, scale: NonNullable<Angles['scale']>): Angles {
  const { base } = m;
  if (base?.by !== 'angle') return { ...m, scale };
  return { ...m, scale, base: { ...base, angle: { ...base.angle, unit: scale } } };
}

type Said = { readonly value: number; readonly unit?: string | undefined };

function unitSlips<T extends Said>(
  length: T,
  units: Claim['units'],
): readonly (readonly ['metresForFeet' | 'feetForMetres', { value: number; unit: 'm' | 'ft' }])[] {
  const unit = length.unit ?? (units === 'metres' ? 'm' : 'ft');
  if (unit === 'ft') return [['metresForFeet', { value: length.value, unit: 'm' }]];
  if (unit === 'm') return [['feetForMetres', { value: length.value, unit: 'ft' }]];
  return [];
}

function diameterSlips(d: SaidDiameter, units: Claim['units']): DiameterPart[] {
  const found: DiameterPart[] = [];
  for (const { part, ...rest } of numbers(d.value, (value) => ({ ...d, value })))
    found.push({ ...rest, diameter: part });
  const unit = d.unit ?? (units === 'metres' ? 'cm' : 'in');
  if (d.girth) {
    const { girth: _, ...rest } = d;
    found.push({ slip: 'diameterForGirth', weight: slipWeights.diameterForGirth, diameter: rest });
  } else {
    found.push({
      slip: 'girthForDiameter',
      weight: slipWeights.girthForDiameter,
      diameter: { ...d, girth: true },
    });
  }
  const slip = unit === 'in' ? 'centimetresForInches' : 'inchesForCentimetres';
  found.push({ slip, weight: slipWeights[slip], diameter: { ...d, unit: unit === 'in' ? 'cm' : 'in' } });
  return found;
}

/** The note as it should have been said. */
export function mendedNote(claim: Claim, meant: Meant): Note {
  const { note } = claim;
  if (meant.changes === 'height') {
    const measurement = meant.measurement!;
    if (note.kind === 'tree') {
      return note.height === undefined
        ? { kind: 'height', height: measurement }
        : { ...note, height: measurement };
    }
    return { kind: 'height', height: measurement };
  }
  const diameter = meant.diameter!;
  if (note.kind === 'tree' && note.facts.diameter !== undefined) {
    return { ...note, facts: { ...note.facts, diameter } };
  }
  return { kind: 'change', facts: { diameter } };
}
