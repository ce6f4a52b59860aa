/**
 * The error budget against Monte Carlo written out here in plain trigonometry, the laws of measuring over the whole
 * schema, and several heights together.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { combine, type Height, type HeightSettings, measure } from '../../shared/measuring/height/index.ts';
import { paceModel } from '../../shared/measuring/height/pace.ts';
import { usualScatter } from '../../shared/measuring/height/takes.ts';
import { usualDeviations } from '../../shared/note/deviations.ts';
import { type Measurement, measurementSchema } from '../../shared/note/note.ts';
import {
  Chance,
  degreesOf,
  feet,
  paces,
  percent,
  settings,
  spreadOf,
  stories,
  tan,
  taped,
} from './height-stories.ts';

const height = (measurement: Measurement, using = settings): Height => {
  const result = measure(measurement, using);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};
describe('the first-order error against Monte Carlo', () => {
  it.each(stories.map(([name, measurement, truth]) => ({ name, measurement, truth })))(
    '$name: within 5 %',
    ({ measurement, truth }) => {
      const { feet: middle, sdFeet } = height(measurement);
      const { spread, bias } = spreadOf(truth, middle, 20000, 20261125);
      expect(sdFeet / spread).toBeGreaterThan(0.95);
      expect(sdFeet / spread).toBeLessThan(1.05);
      // No bias worth a tenth of the error either.
      expect(Math.abs(bias) / spread).toBeLessThan(0.1);
    },
  );

  it.each([1, 2, 3, 4, 5, 9])(
    '%i takes of a laser: the stated error is the one that occurs, within 5 %%',
    (n) => {
      const chance = new Chance(7 + n);
      const runs = 8000;
      let squares = 0;
      let stated = 0;
      for (let i = 0; i < runs; i++) {
        const scatter = usualScatter('laser', 90, usualDeviations);
        const takes = Array.from({ length: n }, () => ({ value: chance.normal(90, scatter) }));
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

  it('more heights than have their covariances written out are combined as a few are', () => {
    // Of k copies of some heights the shares of pace and eye stay, by hand, and what each errs by itself is a k-th part.
    const few = [height({ method: 'stick', distance: paces(13) }), reading(68, 3), reading(71, 4)];
    const many = Array.from({ length: 20 }, () => few).flat();
    const parts = (heights: readonly Height[]) => {
      const { feet, sdFeet, weights, agree } = combine(heights);
      const shared = (cause: string) =>
        heights.reduce(
          (sum, { shares }, at) =>
            sum + weights[at]! * (shares.find((share) => share.cause === cause)?.sdFeet ?? 0),
          0,
        );
      const [pace, eye] = [shared('pace'), shared('eye')];
      return { feet, pace, eye, own: sdFeet ** 2 - pace ** 2 - eye ** 2, agree };
    };
    const [a, b] = [parts(few), parts(many)];
    expect(a.agree && b.agree).toBe(true);
    expect(b.feet).toBeCloseTo(a.feet, 9);
    expect(b.pace).toBeCloseTo(a.pace, 9);
    expect(b.eye).toBeCloseTo(a.eye, 9);
    expect(b.own).toBeCloseTo(a.own / 20, 9);
  });

  it('of many heights that share a pace one in twenty is doubted, as of a few', () => {
    // Forty paced heights drawn by their own errors and one pace: by the definition of the limit, 5 percent are doubted.
    const chance = new Chance(12);
    const made = Array.from({ length: 40 }, (_, n) =>
      height({ method: 'stick', distance: paces(12 + (n % 4)) }),
    );
    let doubted = 0;
    const runs = 2000;
    for (let run = 0; run < runs; run++) {
      const [pace, eye] = [chance.normal(0, 1), chance.normal(0, 1)];
      const drawn = made.map((each) => ({
        ...each,
        feet: each.shares.reduce(
          (feet, { cause, sdFeet }) =>
            feet + sdFeet * (cause === 'pace' ? pace : cause === 'eye' ? eye : chance.normal(0, 1)),
          70,
        ),
      }));
      if (!combine(drawn).agree) doubted++;
    }
    expect(doubted / runs).toBeGreaterThan(0.035);
    expect(doubted / runs).toBeLessThan(0.065);
  });

  it('two paced heights share the pace: no surer than the pace, and close ones may still disagree', () => {
    const a = height({ method: 'stick', distance: paces(13) });
    const b = height({ method: 'spans', distance: paces(14) });
    const both = combine([a, b]);
    const pace = Math.min(...[a, b].map((h) => h.shares.find((share) => share.cause === 'pace')!.sdFeet));
    expect(both.sdFeet).toBeGreaterThan(pace);
  });
});

describe('errors that several values share, against Monte Carlo', () => {
  it('one tree by two paced methods and a laser: the error is the one that occurs, agreement fails one time in twenty', () => {
    const chance = new Chance(11);
    const made = [
      height({ method: 'stick', distance: paces(13) }),
      height({ method: 'spans', distance: paces(14) }),
      height({ method: 'reading', device: 'laser', takes: [{ value: 73 }] }),
    ];
    const runs = 6000;
    let squares = 0;
    let refused = 0;
    const { sdFeet } = combine(made.map((each) => ({ ...each, feet: 73 })));
    for (let run = 0; run < runs; run++) {
      const pace = chance.normal(0, 1);
      const eyeOff = chance.normal(0, 1);
      const drawn = made.map((each) => {
        const off = each.shares.map(({ cause, sdFeet: part }) => {
          return part * (cause === 'pace' ? pace : cause === 'eye' ? eyeOff : chance.normal(0, 1));
        });
        return { ...each, feet: 73 + off.reduce((a, b) => a + b, 0) };
      });
      const together = combine(drawn);
      squares += (together.feet - 73) ** 2;
      if (!together.agree) refused++;
    }
    expect(sdFeet / Math.sqrt(squares / runs)).toBeGreaterThan(0.95);
    expect(sdFeet / Math.sqrt(squares / runs)).toBeLessThan(1.05);
    expect(refused / runs).toBeGreaterThan(0.04);
    expect(refused / runs).toBeLessThan(0.06);
  });

  it.each([1, 2, 4])('a pace from %i walks errs as much as it says', (walks) => {
    const chance = new Chance(5 + walks);
    const runs = 4000;
    let squares = 0;
    let stated = 0;
    for (let run = 0; run < runs; run++) {
      const truth = chance.normal(5.2, 0.3);
      const told = Array.from({ length: walks }, () => {
        const line = 90 + 40 * chance.uniform();
        return {
          count: Math.round(line / (truth * chance.normal(1, 0.01))),
          of: 'paces' as const,
          feet: line,
        };
      });
      const pace = paceModel(told)!;
      squares += (pace.feet - truth) ** 2;
      stated += pace.sdFeet ** 2;
    }
    expect(Math.sqrt(stated / squares)).toBeGreaterThan(0.93);
    expect(Math.sqrt(stated / squares)).toBeLessThan(1.07);
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
    { weight: 1, arbitrary: fc.double({ min: 0, max: 1e5, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(0, 5e-324, 1e-300, 1e-9, 90, 45, 89.999999999, 1e5) },
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
