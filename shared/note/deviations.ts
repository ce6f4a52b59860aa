/**
 * What is supposed about the errors of hand, eye and tool: every one a standard deviation with its unit, what it means and
 * where its size comes from. They are shown with each height that uses them ("why"), in the report and in Setup, where each
 * can be changed. `shared/docs/sources.md` holds the same table.
 */

import { centimetresPerInch, metresPerFoot, type Units } from '../core/units.ts';

/** Unit in which a deviation is said: parts are said in percent. */
export const deviationUnits = ['degrees', 'feet', 'inches', 'percent', 'scale units'] as const;
type DeviationUnit = (typeof deviationUnits)[number];

interface Deviation {
  /** In its unit; a percent as a part (0.045 is 4.5 percent). */
  readonly value: number;
  readonly unit: DeviationUnit;
  /** How it is called where it is set by voice, "assume sight one degree"; the others are set in Setup. */
  readonly words?: string;
  /** What it is the error of. */
  readonly about: string;
  /** A published figure, or "common practice, no source". */
  readonly source: string;
}

const practice = 'common practice, no source';

const table = {
  groundPart: {
    value: 0.045,
    unit: 'percent',
    words: 'rough ground',
    about: 'paces on rough ground',
    source:
      'five courses paced several times differ by 2.5 to 7.0 percent (public survey labs and lessons); 1 in 100 on open ground (Univ. of Washington FE345)',
  },
  walkPart: {
    value: 0.01,
    unit: 'percent',
    about: 'paces from walk to walk on open ground',
    source: '1 in 100 on flat open ground (Univ. of Washington FE345 pacing notes)',
  },
  statedPacePart: {
    value: 0.03,
    unit: 'percent',
    about: 'a pace that was only said',
    source: practice,
  },
  linePart: {
    value: 0.002,
    unit: 'percent',
    about: 'the line that a pace was walked on',
    source: practice,
  },
  tapedFeet: { value: 0.25, unit: 'feet', about: 'a taped distance', source: practice },
  tapedPart: {
    value: 0.005,
    unit: 'percent',
    about: 'a taped distance, by its length',
    source: practice,
  },
  statedFeet: { value: 0.5, unit: 'feet', about: 'a stated distance', source: practice },
  statedPart: {
    value: 0.01,
    unit: 'percent',
    about: 'a stated distance, by its length',
    source: practice,
  },
  sightDegrees: {
    value: 0.7,
    unit: 'degrees',
    words: 'sight',
    about: 'a sighted angle',
    source:
      'four trained measurers on 319 trees: 2.9 percent of the height (Luoma et al. 2017, Forests 8(2):38), which 0.7 degrees a sighting gives',
  },
  stickDegrees: {
    value: 1,
    unit: 'degrees',
    words: 'stick angle',
    about: 'the angle of a stick as long as the reach',
    source: practice,
  },
  armInches: {
    value: 0.95,
    unit: 'inches',
    words: 'reach',
    about: 'the reach behind another stick',
    source: `${practice}; as much as the stick at 27 inches`,
  },
  stickInches: {
    value: 0.1,
    unit: 'inches',
    about: 'the length of a stick or pole',
    source: practice,
  },
  eyeFeet: { value: 0.15, unit: 'feet', about: 'an eye height', source: practice },
  eyeMeasuredFeet: {
    value: 0.04,
    unit: 'feet',
    about: 'an eye height measured with care',
    source: practice,
  },
  levelFeet: {
    value: 0.5,
    unit: 'feet',
    words: 'level ground',
    about: 'ground said by silence to be level',
    source: practice,
  },
  baseFeet: { value: 0.3, unit: 'feet', about: 'a base told by eye', source: practice },
  basePart: {
    value: 0.1,
    unit: 'percent',
    about: 'a base told by eye, by its height',
    source: practice,
  },
  shadowFeet: {
    value: 0.5,
    unit: 'feet',
    about: "the end of a tree's shadow",
    source: practice,
  },
  shadowEdgeDegrees: {
    value: 0.27,
    unit: 'degrees',
    about: 'the blurred edge of a shadow',
    source: 'half of the sun’s disc, which is 0.53 degrees wide, as the edge is blurred by the whole of it',
  },
  slopeDegrees: {
    value: 1,
    unit: 'degrees',
    about: "the ground under a tree's shadow against that under the pole's",
    source: practice,
  },
  poleLeanDegrees: {
    value: 1,
    unit: 'degrees',
    about: 'a pole stood up by eye',
    source: practice,
  },
  poleShadowInches: {
    value: 0.5,
    unit: 'inches',
    about: "the end of a pole's shadow",
    source: practice,
  },
  scaleUnits: {
    value: 0.05,
    unit: 'scale units',
    about: 'bringing a pole to its reading',
    source: practice,
  },
  rangeFeet: { value: 0.5, unit: 'feet', about: 'a range along the sight', source: practice },
  leanPart: { value: 0.2, unit: 'percent', about: 'a lean told by eye', source: practice },
  readingFeet: {
    value: 1,
    unit: 'feet',
    about: 'a reading of a laser or sonic device',
    source: 'within 2 feet in the open (Eastern Native Tree Society 1999), taken as two sd',
  },
  readingPart: {
    value: 0.06,
    unit: 'percent',
    about: 'the same, by the height',
    source:
      'three readings in closed woods lie 7 to 10 feet apart, taken at 80 feet: common practice, no source',
  },
  tapeDropFeet: {
    value: 0.5,
    unit: 'feet',
    about: 'a height pole read against the tree',
    source: practice,
  },
  compassDegrees: {
    value: 1.5,
    unit: 'degrees',
    about: 'a bearing by a hand compass',
    source: practice,
  },
  declinationDegrees: {
    value: 0.5,
    unit: 'degrees',
    about: 'a declination, which all magnetic bearings share',
    source: practice,
  },
} as const satisfies Record<string, Deviation>;

export type DeviationName = keyof typeof table;
/** A standard deviation for each, in its unit; parts as parts. */
export type Deviations = Readonly<Record<DeviationName, number>>;

export const deviations: Readonly<Record<DeviationName, Deviation>> = table;
export const deviationNames = Object.keys(table) as [DeviationName, ...DeviationName[]];

/** A deviation as it is said: 4.5 percent, not 0.045. */
export const asSaid = (name: DeviationName, value: number): number =>
  deviations[name].unit === 'percent' ? 100 * value : value;

/** The other way. */
export const fromSaid = (name: DeviationName, said: number): number =>
  deviations[name].unit === 'percent' ? said / 100 : said;

/** The unit of one, and of any other number. */
const singular: Readonly<Record<string, string>> = {
  inches: 'inch',
  feet: 'foot',
  degrees: 'degree',
  'scale units': 'scale unit',
};
/** What a metric book shows in place of feet and inches. */
const metric: Readonly<Partial<Record<DeviationUnit, readonly [factor: number, unit: string]>>> = {
  feet: [metresPerFoot, 'metres'],
  inches: [centimetresPerInch, 'centimetres'],
};

/** "0.7 degrees", "1 foot"; in a metric book "0.3 metres". */
export function deviationSize(name: DeviationName, value: number, units: Units = 'feet'): string {
  const { unit } = deviations[name];
  const [factor, shown] = (units === 'metres' ? metric[unit] : undefined) ?? [1, unit];
  const said = Number((factor * asSaid(name, value)).toFixed(2));
  return `${said} ${said === 1 ? (singular[shown] ?? shown) : shown}`;
}

/** "a sighted angle, 0.7 degrees" */
export const deviationText = (name: DeviationName, value: number, units: Units = 'feet'): string =>
  `${deviations[name].about}, ${deviationSize(name, value, units)}`;

/** Where a value comes from: that of the table, or who set another. */
export const sourceOf = (name: DeviationName, value: number): string =>
  value === deviations[name].value ? deviations[name].source : 'as set';

/** The usual ones, which hold until others are set. */
export const usualDeviations: Deviations = Object.fromEntries(
  deviationNames.map((name) => [name, table[name].value]),
) as Record<DeviationName, number>;
