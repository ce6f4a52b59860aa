/**
 * The height methods, one row each: how it is named, its formula, how it is measured, which of its lengths take the book's
 * units, which of its numbers may have been misheard. What may be said of a method is its member of `measurementSchema`;
 * its part of the drawing is in the sketch. A method without a row does not compile, nor one that leaves a length without
 * a unit.
 */
import { keysOf } from '../../core/tables.ts';
import {
  angleToTangent,
  type LengthUnit,
  lengthUnitOf,
  tangentToDegrees,
  type Units,
} from '../../core/units.ts';
import type { Base, Distance, Lean, Measurement, Method } from '../../note/note.ts';
import type { Length } from '../../note/quantities.ts';
import { findLaid, findPole, findShadow } from './comparing.ts';
import { type Measured, type Of, propagated } from './found.ts';
import { findRanges, measureTakes } from './readings.ts';
import type { Read, Working } from './sight.ts';
import { findSighted, findSpan } from './sighted.ts';

/** A number as it was said, and the measurement with another in its place; null where that cannot be. */
interface SaidNumber {
  readonly said: number;
  readonly put: (value: number) => Measurement | null;
}

/** The same with a unit at every length, save an eye height, whose size tells its unit. */
export type WithUnits<T> = T extends Length
  ? Omit<T, 'unit'> & { readonly unit: LengthUnit }
  : T extends readonly (infer E)[]
    ? WithUnits<E>[]
    : T extends object
      ? { [K in keyof T]: K extends 'eye' | 'angle' | 'slope' ? T[K] : WithUnits<T[K]> }
      : T;

interface MethodWords {
  /** In a column of a report, and in full. */
  readonly short: string;
  readonly name: string;
  /** In words, with its source, for the answer to "why". */
  readonly formula: { readonly words: string; readonly source: string };
}

interface HeightMethod<M extends Method> extends MethodWords {
  /** The height and its error; or a value that is missing, or why it cannot be. */
  measure(measurement: Of<M>, working: Working): Read<Measured>;
  /** The measurement with the units that its bare lengths have in a book of these units. */
  withUnits(measurement: Of<M>, units: Units): WithUnits<Of<M>>;
  /** The numbers that may have been misheard. */
  numbers(measurement: Of<M>): readonly SaidNumber[];
  /** Degrees over level at which the top was sighted; null where it was not by an angle. */
  topDegrees(measurement: Of<M>): number | null;
  /** Whether a base, or a lean, may be told of it: as its member of the schema has it. */
  readonly takesBase: 'base' extends keyof Of<M> ? true : false;
  readonly takesLean: 'lean' extends keyof Of<M> ? true : false;
}

/** A row for who holds a measurement of any method; it fits that method alone (`methodOf`). */
interface AnyHeightMethod extends MethodWords {
  measure(measurement: Measurement, working: Working): Read<Measured>;
  withUnits(measurement: Measurement, units: Units): Measurement;
  numbers(measurement: Measurement): readonly SaidNumber[];
  topDegrees(measurement: Measurement): number | null;
  readonly takesBase: boolean;
  readonly takesLean: boolean;
}

export const heightMethods: { readonly [M in Method]: HeightMethod<M> } = {
  stick: {
    short: 'stick',
    name: 'stick as long as the reach',
    formula: {
      words:
        'Distance plus eye height: a stick as long as the reach, upright at eye level, sights the top at 45 degrees.',
      source: 'common practice, no source (similar triangles)',
    },
    takesBase: true,
    takesLean: true,
    measure: (m, working) => propagated(findSighted(m, working), working),
    withUnits: ({ distance, base, lean, ...m }, units) => ({
      ...m,
      ...sightedWithUnits({ distance, base, lean }, units),
    }),
    numbers: numbersOfDistance,
    topDegrees: () => null,
  },
  spans: {
    short: 'stick spans',
    name: 'stick that spans the tree',
    formula: {
      words: 'Stick over arm times distance; no eye height, because the stick spans from the base.',
      source: "an arboretum's page on measuring trees, 2021 (equal stick); similar triangles",
    },
    takesBase: false,
    takesLean: true,
    measure: (m, working) => propagated(findSpan(m, working), working),
    withUnits: ({ stick, arm, lean, distance, ...m }, units) => {
      const unit = unitOfBoth(stick, arm, units);
      return {
        ...m,
        distance: distanceWithUnits(distance, units),
        ...(stick === undefined ? {} : { stick: inUnit(stick, unit) }),
        ...(arm === undefined ? {} : { arm: inUnit(arm, unit) }),
        ...leanWithUnits({ lean }, units),
      };
    },
    numbers: numbersOfDistance,
    topDegrees: () => null,
  },
  ratio: {
    short: 'stick, arm',
    name: 'stick of another length than the reach',
    formula: {
      words: 'Eye height plus stick over arm times distance.',
      source: 'common practice, no source (similar triangles)',
    },
    takesBase: true,
    takesLean: true,
    measure: (m, working) => propagated(findSighted(m, working), working),
    withUnits: ({ distance, base, lean, stick, arm, ...m }, units) => {
      const unit = unitOfBoth(stick, arm, units);
      return {
        ...m,
        ...sightedWithUnits({ distance, base, lean }, units),
        stick: inUnit(stick, unit),
        arm: inUnit(arm, unit),
      };
    },
    numbers: numbersOfDistance,
    topDegrees: () => null,
  },
  laid: {
    short: 'laid down',
    name: 'stick laid down',
    formula: {
      words: 'The distance from the stem to where the laid-down stick points.',
      source: 'described in scouting pages',
    },
    takesBase: false,
    takesLean: false,
    measure: (m, working) => propagated(findLaid(m, working), working),
    withUnits: (m, units) => ({ ...m, distance: distanceWithUnits(m.distance, units) }),
    numbers: numbersOfDistance,
    topDegrees: () => null,
  },
  pole: {
    short: 'pole',
    name: 'pole beside the stem',
    formula: {
      words: 'Pole length times tree reading over pole reading.',
      source: "described by a city's tree programme",
    },
    takesBase: false,
    takesLean: false,
    measure: (m, working) => propagated(findPole(m, working), working),
    withUnits: (m, units) => ({ ...m, pole: inUnit(m.pole, lengthUnitOf(units)) }),
    numbers: (m) => [
      { said: m.treeReads, put: (treeReads) => ({ ...m, treeReads }) },
      { said: m.poleReads, put: (poleReads) => ({ ...m, poleReads }) },
    ],
    topDegrees: () => null,
  },
  shadow: {
    short: 'shadow',
    name: 'shadow',
    formula: {
      words: 'Pole length times tree shadow over pole shadow.',
      source: 'scout handbook example: shadows 40 and 10, staff 1.73, height 6.92',
    },
    takesBase: false,
    takesLean: false,
    measure: (m, working) => propagated(findShadow(m, working), working),
    withUnits: (m, units) => ({
      ...m,
      shadow: inUnit(m.shadow, lengthUnitOf(units)),
      pole: inUnit(m.pole, lengthUnitOf(units)),
      poleShadow: inUnit(m.poleShadow, lengthUnitOf(units)),
    }),
    numbers: (m) => [
      { said: m.shadow.value, put: (value) => ({ ...m, shadow: { ...m.shadow, value } }) },
      { said: m.poleShadow.value, put: (value) => ({ ...m, poleShadow: { ...m.poleShadow, value } }) },
    ],
    topDegrees: () => null,
  },
  angles: {
    short: 'angles',
    name: 'angles',
    formula: {
      words: 'Distance times the tangent of the top less the tangent of the base.',
      source: 'tree height notes, University of the South (Sewanee)',
    },
    takesBase: true,
    takesLean: true,
    measure: (m, working) => propagated(findSighted(m, working), working),
    withUnits: ({ distance, base, lean, ...m }, units) => ({
      ...m,
      ...sightedWithUnits({ distance, base, lean }, units),
    }),
    numbers: (m) => [
      ...numbersOfDistance(m),
      { said: Math.abs(m.top), put: (value) => ({ ...m, top: m.top < 0 ? -value : value }) },
    ],
    topDegrees: (m) => tangentToDegrees(angleToTangent(m.top, m.scale ?? 'deg')),
  },
  ranges: {
    short: 'ranges',
    name: 'ranges along the line of sight',
    formula: {
      words: 'Top range times the sine of its angle less base range times the sine of its angle.',
      source: "a native tree society's measurement page: 105 ft at 47 degrees is 76.8 ft",
    },
    takesBase: false,
    takesLean: false,
    measure: (m, working) => propagated(findRanges(m, working), working),
    withUnits: (m, units) => ({
      ...m,
      topRange: inUnit(m.topRange, lengthUnitOf(units)),
      baseRange: inUnit(m.baseRange, lengthUnitOf(units)),
    }),
    numbers: (m) => [
      { said: m.topRange.value, put: (value) => ({ ...m, topRange: { ...m.topRange, value } }) },
      { said: m.topAngle, put: (topAngle) => ({ ...m, topAngle }) },
    ],
    topDegrees: (m) => m.topAngle,
  },
  reading: {
    short: 'device',
    name: "a device's own reading",
    formula: {
      words: 'The mean of the readings, without any more than 3 standard deviations from their middle.',
      source: 'common practice, no source (compared with other ways in a simulation)',
    },
    takesBase: false,
    takesLean: false,
    measure: measureTakes,
    withUnits: (m, units) => {
      const unit = m.takes.find((take) => take.unit)?.unit ?? lengthUnitOf(units);
      return { ...m, takes: m.takes.map((take) => inUnit(take, unit)) };
    },
    numbers: (m) => {
      const [only, ...others] = m.takes;
      if (only === undefined || others.length > 0) return [];
      return [{ said: only.value, put: (value) => ({ ...m, takes: [{ ...only, value }] }) }];
    },
    topDegrees: () => null,
  },
};

export const heightMethodKeys = keysOf(heightMethods);

/** The row of a measurement's method. */
export const methodOf = (measurement: Measurement): AnyHeightMethod => heightMethods[measurement.method];

type Named = WithUnits<Length>;

const inUnit = (length: Length, unit: LengthUnit): Named => ({ ...length, unit: length.unit ?? unit });

function distanceWithUnits(distance: Distance, units: Units): WithUnits<Distance> {
  if (distance.by !== 'length') return distance;
  return { ...distance, length: inUnit(distance.length, lengthUnitOf(units)) };
}

/** The lean, where one was said. */
function leanWithUnits({ lean }: { lean?: Lean | undefined }, units: Units): { lean?: WithUnits<Lean> } {
  if (lean === undefined) return {};
  const { length, ...rest } = lean;
  return { lean: length === undefined ? rest : { ...rest, length: inUnit(length, lengthUnitOf(units)) } };
}

/** What a sighted method has: the distance, the base, the lean. */
function sightedWithUnits(
  m: { distance: Distance; base?: Base | undefined; lean?: Lean | undefined },
  units: Units,
): { distance: WithUnits<Distance>; base?: WithUnits<Base>; lean?: WithUnits<Lean> } {
  const { base } = m;
  return {
    distance: distanceWithUnits(m.distance, units),
    ...(base === undefined
      ? {}
      : { base: base.by === 'angle' ? base : { ...base, length: inUnit(base.length, lengthUnitOf(units)) } }),
    ...leanWithUnits(m, units),
  };
}

/** Stick and arm are in one unit: only their ratio counts. */
const unitOfBoth = (stick: Length | undefined, arm: Length | undefined, units: Units): LengthUnit =>
  stick?.unit ?? arm?.unit ?? (units === 'metres' ? 'cm' : 'in');

/** The number of a distance: its length, or its count of at least one. */
function numbersOfDistance(m: Extract<Measurement, { distance: Distance }>): SaidNumber[] {
  const { distance } = m;
  return distance.by === 'length'
    ? [
        {
          said: distance.length.value,
          put: (value) => ({ ...m, distance: { ...distance, length: { ...distance.length, value } } }),
        },
      ]
    : [
        {
          said: distance.count,
          put: (count) => (count >= 1 ? { ...m, distance: { ...distance, count } } : null),
        },
      ];
}
