/**
 * What is supposed about the errors of hand, eye and tool: every one a standard deviation with its unit, what it means and
 * where its size comes from. They are shown with each height that uses them ("why"), in the report and in Setup, where each
 * can be changed. `shared/docs/sources.md` holds the same table.
 */

/** Unit in which a deviation is said: parts are said in percent. */
export type DeviationUnit = 'degrees' | 'feet' | 'inches' | 'percent' | 'scale units';

export interface Deviation {
  /** In its unit; a percent as a part (0.045 is 4.5 percent). */
  readonly value: number;
  readonly unit: DeviationUnit;
  /** What it is the error of, as it is said: "sighted angle". */
  readonly words: string;
  /** A published figure, or "common practice, no source". */
  readonly source: string;
}

const practice = 'common practice, no source';

const table = {
  groundPart: {
    value: 0.045,
    unit: 'percent',
    words: 'paces on rough ground',
    source:
      'five courses paced several times differ by 2.5 to 7.0 percent (public survey labs and lessons); 1 in 100 on open ground (Univ. of Washington FE345)',
  },
  walkPart: {
    value: 0.01,
    unit: 'percent',
    words: 'paces from walk to walk',
    source: '1 in 100 on flat open ground (Univ. of Washington FE345 pacing notes)',
  },
  statedPacePart: { value: 0.03, unit: 'percent', words: 'stated pace', source: practice },
  linePart: { value: 0.002, unit: 'percent', words: 'calibration line', source: practice },
  tapedFeet: { value: 0.25, unit: 'feet', words: 'taped distance', source: practice },
  tapedPart: { value: 0.005, unit: 'percent', words: 'taped distance in percent', source: practice },
  statedFeet: { value: 0.5, unit: 'feet', words: 'stated distance', source: practice },
  statedPart: { value: 0.01, unit: 'percent', words: 'stated distance in percent', source: practice },
  sightDegrees: {
    value: 0.7,
    unit: 'degrees',
    words: 'sighted angle',
    source:
      'four trained measurers on 319 trees: 2.9 percent of the height (Luoma et al. 2017, Forests 8(2):38), which 0.7 degrees a sighting gives',
  },
  stickDegrees: { value: 1, unit: 'degrees', words: 'angle of the stick', source: practice },
  armInches: {
    value: 0.95,
    unit: 'inches',
    words: 'reach',
    source: `${practice}; as much as the stick at 27 inches`,
  },
  stickInches: { value: 0.1, unit: 'inches', words: 'length of a stick or pole', source: practice },
  eyeFeet: { value: 0.15, unit: 'feet', words: 'eye height', source: practice },
  eyeMeasuredFeet: { value: 0.04, unit: 'feet', words: 'measured eye height', source: practice },
  levelFeet: { value: 0.5, unit: 'feet', words: 'level ground', source: practice },
  baseFeet: { value: 0.3, unit: 'feet', words: 'base told by eye', source: practice },
  basePart: { value: 0.1, unit: 'percent', words: 'base told by eye in percent', source: practice },
  shadowFeet: { value: 0.5, unit: 'feet', words: "tree's shadow", source: practice },
  shadowEdgeDegrees: {
    value: 0.27,
    unit: 'degrees',
    words: 'edge of a shadow',
    source: 'half of the sun’s disc, which is 0.53 degrees wide, as the edge is blurred by the whole of it',
  },
  slopeDegrees: { value: 1, unit: 'degrees', words: 'slope under a shadow', source: practice },
  poleLeanDegrees: { value: 1, unit: 'degrees', words: 'lean of the pole', source: practice },
  poleShadowInches: { value: 0.5, unit: 'inches', words: "pole's shadow", source: practice },
  scaleUnits: { value: 0.05, unit: 'scale units', words: 'reading of the pole', source: practice },
  rangeFeet: { value: 0.5, unit: 'feet', words: 'range along the sight', source: practice },
  leanPart: { value: 0.2, unit: 'percent', words: 'lean told by eye', source: practice },
  readingFeet: {
    value: 1,
    unit: 'feet',
    words: 'reading of a device',
    source: 'within 2 feet in the open (Eastern Native Tree Society 1999), taken as two sd',
  },
  readingPart: {
    value: 0.06,
    unit: 'percent',
    words: 'reading of a device in percent',
    source:
      'three readings in closed woods lie 7 to 10 feet apart, taken at 80 feet: common practice, no source',
  },
  tapeDropFeet: { value: 0.5, unit: 'feet', words: 'tape drop', source: practice },
} as const satisfies Record<string, Deviation>;

export type DeviationName = keyof typeof table;
/** A standard deviation for each, in its unit; parts as parts. */
export type Deviations = Readonly<Record<DeviationName, number>>;

export const deviations: Readonly<Record<DeviationName, Deviation>> = table;
export const deviationNames = Object.keys(table) as [DeviationName, ...DeviationName[]];

/** The usual ones, which hold until others are set. */
export const usualDeviations: Deviations = Object.fromEntries(
  deviationNames.map((name) => [name, table[name].value]),
) as Record<DeviationName, number>;
