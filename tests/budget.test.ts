/**
 * The error budget against Monte Carlo written out here in plain trigonometry, the laws of measuring over the whole
 * schema, and several heights together.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  combine,
  type Height,
  type HeightSettings,
  meanOf,
  measure,
  usualDeviations as sd,
  usualScatter,
} from '../shared/height/index.ts';
import { type Measurement, measurementSchema } from '../shared/note.ts';

const settings: HeightSettings = {
  pace: { feet: 5.23, sdFeet: 0.07 },
  eye: { feet: 5.33, sdFeet: 0.1 },
  counting: 'paces',
  units: 'feet',
  groundShorter: 0,
  scatter: {},
};
const height = (measurement: Measurement, using = settings): Height => {
  const result = measure(measurement, using);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};
const feet = (value: number) => ({ by: 'length', length: { value, unit: 'ft' } }) as const;
const taped = (value: number) => ({ ...feet(value), taped: true }) as const;
const paces = (count: number) => ({ by: 'paces', count }) as const;
const percent = (value: number) => ({ by: 'angle', angle: { value, unit: 'pct' } }) as const;

/** Seeded uniform (mulberry32) and normal (Box & Muller 1958) numbers. */
class Chance {
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
const tan = (value: number) => Math.tan(radians(value));
const degreesOf = (tangent: number) => (Math.atan(tangent) * 180) / Math.PI;
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
const stories: readonly [string, Measurement, (c: Chance) => number][] = [
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
    (c) =>
      (inches(c, 72, sd.stickInches) * c.normal(84, Math.hypot(sd.shadowFeet, sd.shadowPart * 84))) /
        inches(c, 90, sd.poleShadowInches) +
      level(c),
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

describe('the first-order error against Monte Carlo', () => {
  it.each(stories)('%s: within 5 %%', (_, measurement, truth) => {
    const runs = 20000;
    const chance = new Chance(20261125);
    let total = 0;
    let squares = 0;
    const middle = height(measurement).feet;
    for (let i = 0; i < runs; i++) {
      const off = truth(chance) - middle;
      total += off;
      squares += off * off;
    }
    const spread = Math.sqrt((squares - (total * total) / runs) / (runs - 1));
    expect(height(measurement).sdFeet / spread).toBeGreaterThan(0.95);
    expect(height(measurement).sdFeet / spread).toBeLessThan(1.05);
    // No bias worth a tenth of the error either.
    expect(Math.abs(total / runs) / spread).toBeLessThan(0.1);
  });

  it.each([1, 2, 3, 4, 5, 9])(
    '%i takes of a laser: the stated error is the one that occurs, within 5 %%',
    (n) => {
      const chance = new Chance(7 + n);
      const runs = 8000;
      let squares = 0;
      let stated = 0;
      for (let i = 0; i < runs; i++) {
        const takes = Array.from({ length: n }, () => ({ value: chance.normal(90, usualScatter.laser) }));
        const found = height({ method: 'reading', device: 'laser', takes });
        squares += (found.feet - 90) ** 2;
        stated += found.sdFeet ** 2;
      }
      const ratio = Math.sqrt(stated / squares);
      expect(ratio).toBeGreaterThan(0.95);
      expect(ratio).toBeLessThan(1.05);
    },
  );
});

describe('shares and advice', () => {
  it('most of a paced height is the pace, then the angle of the stick, then the count', () => {
    const { shares, advice, sdFeet } = height({ method: 'stick', distance: paces(13) });
    expect(shares.slice(0, 3).map((share) => share.cause)).toEqual(['pace', 'angle', 'count']);
    expect(shares.reduce((total, share) => total + share.part, 0)).toBeCloseTo(1, 12);
    expect(advice?.action).toBe('tape');
    expect(advice!.sdFeet / sdFeet).toBeLessThan(0.6);
  });

  it('taking the advice gives the error that it promised', () => {
    const pacedHeight = height({ method: 'stick', distance: paces(13) });
    const tapedHeight = height({ method: 'stick', distance: taped(13 * 5.23) });
    expect(pacedHeight.advice!.sdFeet).toBeCloseTo(tapedHeight.sdFeet, 6);
    const steep = height({
      method: 'angles',
      scale: 'deg',
      top: 72,
      base: { by: 'angle', angle: { value: -9 } },
      distance: taped(33),
    });
    expect(steep.advice?.action).toBe('standFurther');
    const far = 33 * tan(72);
    const base = { by: 'angle', angle: { value: degreesOf((33 * tan(-9)) / far) } } as const;
    const further = height({ method: 'angles', scale: 'deg', top: 45, base, distance: taped(far) });
    expect(steep.advice!.sdFeet / further.sdFeet).toBeGreaterThan(0.9);
    expect(steep.advice!.sdFeet / further.sdFeet).toBeLessThan(1.1);
  });

  it('a deviation that the person sets replaces the usual one', () => {
    const careful = { ...settings, deviations: { stickDegrees: 0.2, groundPart: 0.01 } };
    const { sdFeet } = height({ method: 'stick', distance: paces(13) }, careful);
    expect(sdFeet).toBeLessThan(0.6 * height({ method: 'stick', distance: paces(13) }).sdFeet);
  });
});

describe('several heights together', () => {
  it('the error of the pace does not average out over many trees', () => {
    const one = height({ method: 'stick', distance: paces(13) });
    const many = meanOf(Array.from({ length: 400 }, () => one));
    const pace = one.shares.find((share) => share.cause === 'pace')!.sdFeet;
    expect(many.feet).toBeCloseTo(one.feet, 9);
    expect(many.sdFeet).toBeGreaterThan(pace);
    expect(many.sdFeet).toBeLessThan(1.01 * pace);
  });

  const reading = (value: number, scatter: number) =>
    height(
      { method: 'reading', device: 'laser', takes: [{ value }] },
      { ...settings, scatter: { laser: scatter } },
    );

  it('independent heights of one tree: weights, error and agreement as by hand', () => {
    // 60 +- 3 and 66 +- 4: weights 16/25 and 9/25, sd 12/5, chi-square 36/25 with 1 df: p 0.2301 (R pchisq).
    const both = combine([reading(60, 3), reading(66, 4)]);
    expect(both.weights[0]).toBeCloseTo(0.64, 12);
    expect(both.feet).toBeCloseTo(62.16, 9);
    expect(both.sdFeet).toBeCloseTo(2.4, 9);
    expect(both.agreement).toBeCloseTo(0.2301, 4);
    expect(both.agree).toBe(true);
  });

  it('heights that cannot both be right are named and widen the error', () => {
    const apart = combine([reading(60, 2), reading(62, 2), reading(90, 2)]);
    expect(apart.agree).toBe(false);
    expect(apart.furthest).toMatchObject({ first: 0, second: 2, apartFeet: 30 });
    expect(apart.sdFeet).toBeGreaterThan(5);
  });

  it('two paced heights share the pace: no surer than the pace, and close ones may still disagree', () => {
    const a = height({ method: 'stick', distance: paces(13) });
    const b = height({ method: 'spans', distance: paces(14) });
    const both = combine([a, b]);
    const pace = Math.min(...[a, b].map((h) => h.shares.find((share) => share.cause === 'pace')!.sdFeet));
    expect(both.sdFeet).toBeGreaterThan(pace);
  });
});

describe('laws', () => {
  const lengthUnits = { ft: 0.3048, in: 0.0254, m: 1, cm: 0.01, chain: 20.1168, yd: 0.9144 } as const;
  /** The same measurement with every length told in another unit. */
  const retold = (value: unknown, unit: keyof typeof lengthUnits): unknown => {
    if (Array.isArray(value)) return value.map((each) => retold(each, unit));
    if (value === null || typeof value !== 'object') return value;
    const object = value as Record<string, unknown>;
    if (typeof object.value === 'number' && typeof object.unit === 'string' && object.unit in lengthUnits) {
      const metres = object.value * lengthUnits[object.unit as keyof typeof lengthUnits];
      return { value: metres / lengthUnits[unit], unit };
    }
    return Object.fromEntries(Object.entries(object).map(([key, each]) => [key, retold(each, unit)]));
  };

  it('the units that a measurement is told in do not matter', () => {
    for (const [, measurement] of stories) {
      for (const unit of Object.keys(lengthUnits) as (keyof typeof lengthUnits)[]) {
        const other = height(measurementSchema.parse(retold(measurement, unit)));
        expect(other.feet).toBeCloseTo(height(measurement).feet, 9);
        expect(other.sdFeet).toBeCloseTo(height(measurement).sdFeet, 6);
        const metric = height(measurementSchema.parse(retold(measurement, unit)), {
          ...settings,
          units: 'metres',
        });
        expect(metric.feet).toBeCloseTo(height(measurement).feet, 9);
      }
    }
  });

  it('a tree read the same from further off is taller', () => {
    const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    const methods = [
      (d: number): Measurement => ({ method: 'stick', distance: feet(d) }),
      (d: number): Measurement => ({ method: 'spans', distance: feet(d) }),
      (d: number): Measurement => ({ method: 'laid', distance: feet(d) }),
      (d: number): Measurement => ({ method: 'stick', distance: paces(d / 5) }),
      (d: number): Measurement => ({
        method: 'angles',
        scale: 'pct',
        top: 40,
        distance: feet(d),
        base: percent(-8),
      }),
      (d: number): Measurement => ({
        method: 'ratio',
        distance: feet(d),
        stick: { value: 30 },
        arm: { value: 25 },
        lean: { angle: { value: 5 }, direction: 'toward' },
      }),
    ];
    fc.assert(
      fc.property(fc.constantFrom(...methods), between(5, 300), between(1.01, 3), (method, d, times) => {
        expect(height(method(d * times)).feet).toBeGreaterThan(height(method(d)).feet);
      }),
    );
  });

  it('a stick at 45 degrees with its base sighted is two angles, one of them 45', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 300, noNaN: true }),
        fc.double({ min: -60, max: 40, noNaN: true }),
        (d, b) => {
          const base = { by: 'angle', angle: { value: b, unit: 'deg' } } as const;
          const byStick = height({ method: 'stick', distance: feet(d), base });
          const byAngles = height({ method: 'angles', scale: 'deg', top: 45, distance: feet(d), base });
          expect(byStick.feet).toBeCloseTo(byAngles.feet, 8);
        },
      ),
    );
  });

  // Everything that the schema lets through, the absurd included.
  const odd = fc.oneof(
    { weight: 6, arbitrary: fc.double({ min: 0, max: 200, noNaN: true }) },
    { weight: 2, arbitrary: fc.integer({ min: 0, max: 200 }) },
    { weight: 1, arbitrary: fc.double({ min: 0, max: 1.7e308, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(0, 5e-324, 1e-300, 1e-9, 90, 45, 89.999999999, 1e6, 1.7e308) },
  );
  const optional = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined, freq: 2 });
  const shape = (fields: Record<string, fc.Arbitrary<unknown>>) =>
    fc
      .record(fields)
      .map((object) => Object.fromEntries(Object.entries(object).filter(([, each]) => each !== undefined)));
  const scale = fc.constantFrom('deg', 'pct', 'topo');
  const measurementOf = (odd: fc.Arbitrary<number>, eye: fc.Arbitrary<unknown>) => {
    const signed = fc.oneof(
      odd,
      odd.map((value) => -value),
    );
    const length = shape({
      value: odd,
      unit: optional(fc.constantFrom('ft', 'in', 'm', 'cm', 'chain', 'yd')),
    });
    const angle = shape({ value: signed, unit: optional(scale) });
    const distance = fc.oneof(
      shape({ by: fc.constantFrom('paces', 'steps'), count: odd }),
      shape({
        by: fc.constant('length'),
        length,
        taped: optional(fc.constant(true)),
        slope: optional(angle),
      }),
    );
    const base = fc.oneof(
      shape({ by: fc.constantFrom('feet', 'eye'), length, side: fc.constantFrom('below', 'above') }),
      shape({ by: fc.constant('angle'), angle }),
    );
    const lean = shape({
      length: optional(length),
      angle: optional(angle),
      direction: optional(fc.constantFrom('toward', 'away', 'left', 'right')),
    });
    const sighted = { distance, eye: optional(eye), base: optional(base), lean: optional(lean) };
    return fc.oneof(
      shape({ method: fc.constant('stick'), ...sighted }),
      shape({
        method: fc.constant('spans'),
        distance,
        stick: optional(length),
        arm: optional(length),
        lean: optional(lean),
      }),
      shape({ method: fc.constant('ratio'), stick: length, arm: length, ...sighted }),
      shape({ method: fc.constant('laid'), distance }),
      shape({ method: fc.constant('pole'), pole: length, poleReads: odd, treeReads: odd }),
      shape({ method: fc.constant('shadow'), shadow: length, pole: length, poleShadow: length }),
      shape({ method: fc.constant('angles'), scale: optional(scale), top: signed, ...sighted }),
      shape({
        method: fc.constant('ranges'),
        topRange: length,
        topAngle: signed,
        baseRange: length,
        baseAngle: signed,
      }),
      shape({
        method: fc.constant('reading'),
        device: optional(fc.constantFrom('laser', 'sonic', 'tape', 'other')),
        takes: fc.array(length, { minLength: 1, maxLength: 12 }),
      }),
    );
  };
  const anyEye = shape({ value: odd, unit: optional(fc.constantFrom('ft', 'in', 'm', 'cm', 'chain', 'yd')) });
  const measurement = fc.oneof(
    measurementOf(odd, anyEye),
    measurementOf(fc.double({ min: 1, max: 80, noNaN: true }), shape({ value: fc.constant(5.5) })),
  );

  it('whatever the schema lets through gives finite numbers or a reason, never NaN', () => {
    let heights = 0;
    fc.assert(
      fc.property(measurement, fc.boolean(), fc.integer({ min: 0, max: 60 }), (said, bare, ground) => {
        const using: HeightSettings = bare
          ? { ...settings, pace: null, eye: null, units: 'metres' }
          : { ...settings, groundShorter: ground };
        const result = measure(measurementSchema.parse(said), using);
        if (!result.ok) {
          if (result.error.kind === 'impossible') {
            expect(result.error.sentence).toMatch(/^Expected .*; found .*\.$/);
            expect(result.error.sentence).not.toMatch(/NaN|undefined|Infinity|null/);
          }
          return;
        }
        heights++;
        const found = result.value;
        expect(found.feet > 0 && found.feet <= 100_000).toBe(true);
        expect(found.sdFeet > 0 && Number.isFinite(found.sdFeet)).toBe(true);
        expect(found.shares.reduce((total, share) => total + share.part, 0)).toBeCloseTo(1, 9);
        JSON.stringify(found, (key, value) => {
          if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${key} is ${value}`);
          return value;
        });
      }),
      { numRuns: 20000, seed: 1 },
    );
    // Enough of them are heights, else the law would be empty.
    expect(heights).toBeGreaterThan(3000);
  });
});
