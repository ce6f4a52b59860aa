/**
 * Measurements as said, each with the truths that could lie behind it, drawn in plain trigonometry: the yardstick of
 * the error budget, for tests and the bench. Known to the book: pace 5.23 +- 0.07 ft, eye 5.33 +- 0.1 ft.
 */
import { usualDeviations as sd } from '../../shared/note/deviations.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { settingsWith } from './settings.ts';

export const settings = settingsWith({ feet: 5.23, sdFeet: 0.07 }, { feet: 5.33, sdFeet: 0.1 });

export const feet = (value: number) => ({ by: 'length', length: { value, unit: 'ft' } }) as const;
export const taped = (value: number) => ({ ...feet(value), taped: true }) as const;
export const paces = (count: number) => ({ by: 'paces', count }) as const;
export const percent = (value: number) => ({ by: 'angle', angle: { value, unit: 'pct' } }) as const;

/** Seeded uniform (mulberry32) and normal (Box & Muller 1958) numbers. */
export class Chance {
  #state: number;
  constructor(seed: number) {
    this.#state = seed;
  }
  /** In (0, 1). */
  uniform(): number {
    this.#state = (this.#state + 0x6d2b79f5) | 0;
    let t = Math.imul(this.#state ^ (this.#state >>> 15), 1 | this.#state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  }
  normal(mean: number, spread: number): number {
    const radius = Math.sqrt(-2 * Math.log(this.uniform()));
    return mean + spread * radius * Math.cos(2 * Math.PI * this.uniform());
  }
  /** A number that was rounded to `grain` before it was said. */
  rounded(said: number, grain: number): number {
    return said + (this.uniform() - 0.5) * grain;
  }
}

const radians = (value: number) => (value * Math.PI) / 180;
export const tan = (value: number) => Math.tan(radians(value));
export const degreesOf = (tangent: number) => (Math.atan(tangent) * 180) / Math.PI;
const tapeSd = (d: number) => Math.hypot(sd.tapedFeet, sd.tapedPart * d);
const statedSd = (d: number) => Math.hypot(sd.statedFeet, sd.statedPart * d);
const paced = (c: Chance, count: number, grain: number) =>
  c.rounded(count, grain) * c.normal(5.23, 0.07) * c.normal(1, sd.groundPart);
const level = (c: Chance) => c.normal(0, sd.levelFeet);
const eye = (c: Chance) => c.normal(5.33, 0.1);
const stick = (c: Chance) => tan(c.normal(45, sd.stickDegrees));
const sight = (c: Chance, degrees: number) => tan(c.normal(degrees, sd.sightDegrees));
const inches = (c: Chance, length: number, spread: number) => c.normal(length, spread) / 12;

/** What was said, and the truths that could lie behind it. */
export const stories: readonly (readonly [
  name: string,
  measurement: Measurement,
  truth: (c: Chance) => number,
])[] = [
  [
    'stick, thirteen paces',
    { method: 'stick', distance: paces(13) },
    (c) => paced(c, 13, 1) * stick(c) + eye(c) + level(c),
  ],
  [
    'stick, ten and a half paces, base four feet below the feet',
    {
      method: 'stick',
      distance: paces(10.5),
      base: { by: 'feet', length: { value: 4, unit: 'ft' }, side: 'below' },
    },
    (c) => paced(c, 10.5, 0.5) * stick(c) + eye(c) + c.normal(4, Math.hypot(sd.baseFeet, sd.basePart * 4)),
  ],
  [
    'stick, stated feet, base sighted',
    { method: 'stick', distance: feet(60), base: percent(-9) },
    (c) => {
      const d = c.normal(60, statedSd(60));
      return d * (stick(c) - sight(c, degreesOf(-0.09)));
    },
  ],
  [
    'spans, unequal',
    {
      method: 'spans',
      distance: taped(70),
      stick: { value: 24, unit: 'in' },
      arm: { value: 27, unit: 'in' },
    },
    (c) => (c.normal(70, tapeSd(70)) * inches(c, 24, sd.stickInches)) / inches(c, 27, sd.armInches),
  ],
  ['spans, equal, paced', { method: 'spans', distance: paces(12) }, (c) => paced(c, 12, 1) * stick(c)],
  [
    'ratio from the eye',
    {
      method: 'ratio',
      distance: taped(70),
      stick: { value: 30, unit: 'in' },
      arm: { value: 27, unit: 'in' },
    },
    (c) =>
      (c.normal(70, tapeSd(70)) * inches(c, 30, sd.stickInches)) / inches(c, 27, sd.armInches) +
      eye(c) +
      level(c),
  ],
  ['laid down', { method: 'laid', distance: taped(61) }, (c) => c.normal(61, tapeSd(61)) * stick(c)],
  [
    'pole',
    { method: 'pole', pole: { value: 6, unit: 'ft' }, poleReads: 2, treeReads: 19 },
    (c) => (inches(c, 72, sd.stickInches) * c.rounded(19, 1)) / c.normal(2, sd.scaleUnits),
  ],
  [
    'shadow',
    {
      method: 'shadow',
      shadow: { value: 84, unit: 'ft' },
      pole: { value: 6, unit: 'ft' },
      poleShadow: { value: 7.5, unit: 'ft' },
    },
    (c) => {
      // The sun's height by the pole, as it leans; then the tree by its shadow, taken somewhere in its blurred end, on
      // ground that is not quite that of the pole.
      const pole = inches(c, 72, sd.stickInches);
      const upright = inches(c, 90, sd.poleShadowInches) - pole * tan(c.normal(0, sd.poleLeanDegrees));
      const sun = degreesOf(pole / upright);
      const shadow = c.normal(84, sd.shadowFeet);
      return shadow * tan(c.normal(sun, sd.shadowEdgeDegrees)) + shadow * tan(c.normal(0, sd.slopeDegrees));
    },
  ],
  [
    'two angles, taped',
    {
      method: 'angles',
      scale: 'deg',
      top: 42,
      distance: taped(66),
      base: { by: 'angle', angle: { value: -4 } },
    },
    (c) => c.normal(66, tapeSd(66)) * (sight(c, 42) - sight(c, -4)),
  ],
  [
    'two steep angles in percent, paced',
    {
      method: 'angles',
      scale: 'pct',
      top: 210,
      distance: paces(8),
      base: { by: 'angle', angle: { value: -12 } },
    },
    (c) => paced(c, 8, 1) * (sight(c, degreesOf(2.1)) - sight(c, degreesOf(-0.12))),
  ],
  [
    'a slope distance from eye to base',
    {
      method: 'angles',
      scale: 'deg',
      top: 33,
      distance: { ...taped(82), slope: { value: -12, unit: 'deg' } },
    },
    (c) => {
      const slope = c.normal(-12, sd.sightDegrees);
      return c.normal(82, tapeSd(82)) * Math.cos(radians(slope)) * (sight(c, 33) - tan(slope));
    },
  ],
  [
    'a lean toward, by its length',
    {
      method: 'angles',
      scale: 'deg',
      top: 45,
      distance: taped(66),
      lean: { length: { value: 6, unit: 'ft' }, direction: 'toward' },
    },
    (c) => (c.normal(66, tapeSd(66)) - c.normal(6, sd.leanPart * 6)) * sight(c, 45) + eye(c) + level(c),
  ],
  [
    'a lean away, by its angle',
    {
      method: 'angles',
      scale: 'deg',
      top: 45,
      distance: taped(66),
      lean: { angle: { value: 8, unit: 'deg' }, direction: 'away' },
    },
    (c) => {
      const top = sight(c, 45);
      const lean = c.normal(tan(8), sd.leanPart * tan(8));
      return (c.normal(66, tapeSd(66)) * top + eye(c) + level(c)) / (1 - lean * top);
    },
  ],
  [
    'line-of-sight ranges',
    {
      method: 'ranges',
      topRange: { value: 105, unit: 'ft' },
      topAngle: 47,
      baseRange: { value: 70, unit: 'ft' },
      baseAngle: -3,
    },
    (c) =>
      c.normal(105, sd.rangeFeet) * Math.sin(radians(c.normal(47, sd.sightDegrees))) -
      c.normal(70, sd.rangeFeet) * Math.sin(radians(c.normal(-3, sd.sightDegrees))),
  ],
];

/** Spread of the truths behind a story, and their mean distance from `middle`, feet. */
export function spreadOf(
  truth: (c: Chance) => number,
  middle: number,
  runs: number,
  seed: number,
): { readonly spread: number; readonly bias: number } {
  const chance = new Chance(seed);
  let total = 0;
  let squares = 0;
  for (let i = 0; i < runs; i++) {
    const off = truth(chance) - middle;
    total += off;
    squares += off * off;
  }
  return { spread: Math.sqrt((squares - (total * total) / runs) / (runs - 1)), bias: total / runs };
}
