/** Heights: worked examples (heights.json), the traps of each method, pace and takes. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { tangentOf } from '../../shared/core/units.ts';
import { type HeightSettings, measure } from '../../shared/measuring/height/index.ts';
import { paceModel } from '../../shared/measuring/height/pace.ts';
import { type Measurement, measurementSchema } from '../../shared/note/note.ts';

interface Reference {
  cases: { name: string; mark: string; measurement: unknown; pace?: number; feet: number; within: number }[];
  leaning: { heightFt: number; leanDegrees: number; lengthFt: number; offsetFt: number };
  pacesPerChain: { rows: [number, number][] };
}
const reference = JSON.parse(readFileSync(new URL('./heights.json', import.meta.url), 'utf8')) as Reference;

const nothingKnown: HeightSettings = {
  pace: null,
  eye: null,
  counting: 'paces',
  units: 'feet',
  groundShorter: 0,
  scatter: {},
};
const known: HeightSettings = {
  ...nothingKnown,
  pace: { feet: 5.3, sdFeet: 0.1 },
  eye: { feet: 5.5, sdFeet: 0.1 },
};

const height = (measurement: Measurement, settings: HeightSettings = known) => {
  const result = measure(measurement, settings);
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
};
const problem = (measurement: Measurement, settings: HeightSettings = known) => {
  const result = measure(measurement, settings);
  if (result.ok) throw new Error(`expected a problem, found ${result.value.feet} ft`);
  return result.error;
};
const sentence = (measurement: Measurement, settings: HeightSettings = known) => {
  const found = problem(measurement, settings);
  return found.kind === 'impossible' ? found.sentence : `needs ${found.what}`;
};
const feet = (value: number) => ({ by: 'length', length: { value, unit: 'ft' } }) as const;
const paces = (count: number) => ({ by: 'paces', count }) as const;
const degrees = (value: number) => ({ by: 'angle', angle: { value, unit: 'deg' } }) as const;

describe('worked examples', () => {
  it.each(reference.cases)('$name ($mark)', ({ measurement, pace, feet: expected, within }) => {
    const settings =
      pace === undefined ? nothingKnown : { ...nothingKnown, pace: { feet: pace, sdFeet: 0.1 } };
    const found = height(measurementSchema.parse(measurement), settings);
    expect(Math.abs(found.feet - expected)).toBeLessThanOrEqual(within);
  });
});

describe('the traps of each method', () => {
  it('a stick that spans the tree adds no eye height', () => {
    expect(height({ method: 'spans', distance: feet(70) }).feet).toBeCloseTo(70, 9);
    expect(height({ method: 'stick', distance: feet(70) }).feet).toBeCloseTo(75.5, 9);
  });

  it('a stick at 45 degrees gives the distance itself, so that 60.5 feet round as those of a device do', () => {
    expect(height({ method: 'spans', distance: feet(60.5) }).feet).toBe(60.5);
    expect(
      height({ method: 'angles', scale: 'deg', top: 45, base: degrees(0), distance: feet(60.5) }).feet,
    ).toBe(60.5);
  });

  it('a pace is two steps, unless the person counts single steps', () => {
    expect(height({ method: 'laid', distance: paces(8) }).feet).toBeCloseTo(42.4, 9);
    expect(height({ method: 'laid', distance: { by: 'steps', count: 16 } }).feet).toBeCloseTo(42.4, 9);
    expect(height({ method: 'laid', distance: paces(16) }, { ...known, counting: 'steps' }).feet).toBeCloseTo(
      42.4,
      9,
    );
  });

  it('paces on ground that shortens them by a tenth go nine tenths as far', () => {
    expect(height({ method: 'laid', distance: paces(10) }, { ...known, groundShorter: 10 }).feet).toBeCloseTo(
      47.7,
      9,
    );
  });

  it('a base below the feet is added to the eye height, one above them taken off', () => {
    const base = (side: 'below' | 'above') =>
      ({ by: 'feet', length: { value: 4, unit: 'ft' }, side }) as const;
    expect(height({ method: 'stick', distance: feet(60), base: base('below') }).feet).toBeCloseTo(69.5, 9);
    expect(height({ method: 'stick', distance: feet(60), base: base('above') }).feet).toBeCloseTo(61.5, 9);
  });

  it('a base told against the eye needs no eye height', () => {
    const base = { by: 'eye', length: { value: 4, unit: 'ft' }, side: 'below' } as const;
    expect(height({ method: 'stick', distance: feet(60), base }, nothingKnown).feet).toBeCloseTo(64, 9);
  });

  it('a slope distance runs from the eye to the base, unless the eye height is said with it', () => {
    const distance = {
      by: 'length',
      length: { value: 82, unit: 'ft' },
      slope: { value: -12, unit: 'deg' },
    } as const;
    const angles = { method: 'angles', scale: 'deg', top: 33, distance } as const;
    expect(height(angles, nothingKnown).feet).toBeCloseTo(69.14, 2);
    // Along the ground the base is D tan 12 = 17.05 ft below the feet: 52.09 + 17.05 + 5.5.
    expect(height({ ...angles, eye: { value: 5.5, unit: 'ft' } }).feet).toBeCloseTo(74.64, 2);
  });

  it('a tip toward the observer reads too high, and is put right by its length or its angle', () => {
    const eyeLevel = { by: 'eye', length: { value: 0, unit: 'ft' }, side: 'below' } as const;
    const stick = { method: 'stick', distance: feet(66), base: eyeLevel } as const;
    expect(height(stick).feet).toBeCloseTo(66, 9);
    const byLength = height({ ...stick, lean: { length: { value: 6, unit: 'ft' }, direction: 'toward' } });
    expect(byLength.feet).toBeCloseTo(60, 9);
    const angle = { value: (Math.atan(6 / 60) * 180) / Math.PI, unit: 'deg' } as const;
    expect(height({ ...stick, lean: { angle, direction: 'toward' } }).feet).toBeCloseTo(60, 9);
    expect(
      height({ ...stick, lean: { length: { value: 6, unit: 'ft' }, direction: 'away' } }).feet,
    ).toBeCloseTo(72, 9);
  });

  it('a tip to the side counts only in the second order', () => {
    const lean = { length: { value: 6, unit: 'ft' }, direction: 'left' } as const;
    // sqrt(66^2 + 6^2) = 66.272.
    expect(height({ method: 'stick', distance: feet(66), lean }).feet).toBeCloseTo(66.272 + 5.5, 3);
    // By its angle the tip's offset H tan(lean) is itself part of what is solved for: put it back by length.
    const byAngle = height({
      method: 'stick',
      distance: feet(66),
      lean: { angle: { value: 5, unit: 'deg' }, direction: 'right' },
    }).feet;
    const offset = byAngle * tangentOf(5);
    const byLength = height({
      method: 'stick',
      distance: feet(66),
      lean: { length: { value: offset, unit: 'ft' }, direction: 'right' },
    }).feet;
    expect(byLength).toBeCloseTo(byAngle, 9);
  });

  it('a lean without a direction does not move the height but widens its error', () => {
    const upright = height({ method: 'stick', distance: feet(66) });
    const leaning = height({
      method: 'stick',
      distance: feet(66),
      lean: { length: { value: 6, unit: 'ft' } },
    });
    expect(leaning.feet).toBeCloseTo(upright.feet, 9);
    expect(leaning.shares[0]?.cause).toBe('lean');
    expect(leaning.shares[0]?.sdFeet).toBeCloseTo(6 / Math.SQRT2, 6);
  });

  it('a lean without a size is not corrected, but its bias is told', () => {
    const said = { method: 'angles', scale: 'pct', top: 80, distance: feet(66) } as const;
    const leaning = height({ ...said, lean: { direction: 'toward' } });
    expect(leaning.feet).toBe(height(said).feet);
    expect(leaning.steps.find((step) => step.name === 'leanPerFoot')?.value).toBeCloseTo(0.8, 12);
    // Put to the proof: two feet nearer is 1.6 ft less.
    const nearer = height({ ...said, lean: { length: { value: 2, unit: 'ft' }, direction: 'toward' } });
    expect(leaning.feet - nearer.feet).toBeCloseTo(1.6, 9);
  });

  it('a spanning stick corrects a lean with the part over the eye only', () => {
    const lean = { length: { value: 7, unit: 'ft' }, direction: 'toward' } as const;
    // Span 70 over 70 ft, eye 5.5: tangent over the eye 64.5/70; (70 - 7) 64.5/70 + 5.5 = 63.55.
    expect(height({ method: 'spans', distance: feet(70), lean }).feet).toBeCloseTo(63.55, 9);
  });

  it('the top below the eye is fine when the base is sighted further down', () => {
    expect(
      height({
        method: 'angles',
        scale: 'pct',
        top: -10,
        base: { by: 'angle', angle: { value: -80 } },
        distance: feet(90),
      }).feet,
    ).toBeCloseTo(63, 9);
  });
});

describe('what is missing is asked for', () => {
  it('paces without a pace, an eye height, a scale', () => {
    expect(sentence({ method: 'stick', distance: paces(8) }, nothingKnown)).toBe('needs pace');
    expect(sentence({ method: 'stick', distance: feet(60) }, nothingKnown)).toBe('needs eye');
    expect(sentence({ method: 'angles', top: 42, distance: feet(66) })).toBe('needs scale');
    const base = { by: 'angle', angle: { value: -9 } } as const;
    expect(sentence({ method: 'stick', distance: feet(60), base })).toBe('needs scale');
  });

  it('a base sighted in degrees says the scale of the top too', () => {
    expect(height({ method: 'angles', top: 42, base: degrees(-4), distance: feet(66) }).feet).toBeCloseTo(
      64.04,
      2,
    );
  });
});

describe('what cannot be is refused with what was expected and found', () => {
  it.each<[string, Measurement, string]>([
    [
      'a top straight overhead',
      { method: 'angles', scale: 'deg', top: 90, distance: feet(66) },
      'Expected the top angle between -90 and 90 degrees; found 90',
    ],
    [
      'a base above the top',
      { method: 'angles', scale: 'deg', top: 10, base: degrees(20), distance: feet(66) },
      'Expected the top above the base; found a height of -12.38 feet',
    ],
    [
      'a top below the eye and no base',
      { method: 'angles', scale: 'deg', top: -3, distance: feet(66) },
      'Expected the top above the eye',
    ],
    ['no distance', { method: 'stick', distance: feet(0) }, 'Expected a distance above 0'],
    ['no paces', { method: 'stick', distance: paces(0) }, 'found 0 paces'],
    [
      'takes in two units',
      {
        method: 'reading',
        takes: [
          { value: 92, unit: 'ft' },
          { value: 28, unit: 'm' },
        ],
      },
      'Expected all takes in one unit; found ft and m',
    ],
    [
      'a tip behind the observer',
      {
        method: 'stick',
        distance: feet(40),
        lean: { length: { value: 50, unit: 'ft' }, direction: 'toward' },
      },
      'Expected the tip in front of you; found it 50 feet toward you, with the stem 40 feet away',
    ],
    [
      'a base far above the eye',
      { method: 'stick', distance: feet(10), base: { by: 'feet', length: { value: 40 }, side: 'above' } },
      'Expected the top above the base; found a height of -24.5 feet',
    ],
    [
      'a stick without its arm',
      { method: 'spans', distance: feet(70), stick: { value: 24 } },
      'found the stick without the arm',
    ],
    [
      'a tree that reads less than the pole beside it',
      { method: 'pole', pole: { value: 6 }, poleReads: 19, treeReads: 2 },
      'found tree 2, pole 19',
    ],
    [
      'an impossible eye',
      { method: 'stick', distance: feet(60), eye: { value: 20 } },
      'Expected an eye height',
    ],
    [
      'a number without end',
      { method: 'angles', scale: 'pct', top: 1e300, distance: feet(66) },
      'Expected the top angle',
    ],
  ])('%s', (_, measurement, part) => {
    expect(sentence(measurement)).toContain(part);
  });
});

describe('takes of a device', () => {
  const reading = (...values: number[]) =>
    height({ method: 'reading', device: 'laser', takes: values.map((value) => ({ value })) });

  it('one, two, and more: as it is, the mean, the mean of those that are near', () => {
    expect(reading(92).feet).toBe(92);
    expect(reading(92, 97).feet).toBe(94.5);
    expect(reading(92, 97, 90).feet).toBe(93);
    expect(reading(92, 97, 90, 93).takes?.rule).toBe('mean of 4 takes');
  });

  it('a take that is named as outlying does not pull: 50, 55, 120, 52 is 52.3', () => {
    const wild = reading(50, 55, 120, 52);
    expect(wild.takes).toMatchObject({
      outlying: [120],
      leftOut: [120],
      rule: 'mean of 3 takes, 1 left out',
    });
    expect(wild.feet).toBeCloseTo((50 + 55 + 52) / 3, 9);
    // How far off it is makes no difference, nor to the error.
    const wilder = reading(50, 55, 1200, 52);
    expect(wilder.feet).toBe(wild.feet);
    expect(wilder.sdFeet).toBeCloseTo(reading(50, 55, 52).sdFeet, 1);
    expect(reading(92, 97, 90, 93, 30).takes?.outlying).toEqual([30]);
    expect(reading(92, 97, 90).takes?.outlying).toEqual([]);
  });

  it('no more than half of the takes are left out: of three that are all apart the middle one stands', () => {
    const apart = reading(40, 80, 120);
    expect(apart.feet).toBe(80);
    expect(apart.takes).toMatchObject({ outlying: [40, 120], leftOut: [], rule: 'median of 3 takes' });
    expect(apart.sdFeet).toBeGreaterThan(10);
    expect(reading(50, 52, 90, 92).takes?.leftOut).toEqual([]);
    expect(reading(50, 52, 90, 92).feet).toBe(71);
  });

  it('two takes far apart are both named: no one can say which is wrong', () => {
    expect(reading(92, 60).takes?.outlying).toEqual([92, 60]);
    expect(reading(92, 86).takes?.outlying).toEqual([]);
  });

  it('takes that scatter more than the device should widen the error', () => {
    expect(reading(80, 92, 103).sdFeet).toBeGreaterThan(1.3 * reading(91, 92, 93).sdFeet);
    expect(reading(92).sdFeet).toBeCloseTo(Math.hypot(1, 0.06 * 92), 9);
    const own = measure(
      { method: 'reading', device: 'laser', takes: [{ value: 92 }] },
      { ...known, scatter: { laser: 2 } },
    );
    expect(own.ok && own.value.sdFeet).toBe(2);
  });

  it('the scatter of a laser grows with the height: 1.2 ft at 12 ft, 9.1 ft at 150 ft; of a tape drop it does not', () => {
    expect(reading(12).sdFeet).toBeCloseTo(1.232, 3);
    expect(reading(150).sdFeet).toBeCloseTo(9.055, 3);
    for (const value of [12, 60])
      expect(height({ method: 'reading', device: 'tape', takes: [{ value }] }).sdFeet).toBe(0.5);
  });

  it('takes in metres are metres, and a take without a unit follows the others', () => {
    const takes = [{ value: 28, unit: 'm' as const }, { value: 28 }];
    expect(height({ method: 'reading', takes }).feet).toBeCloseTo(91.8635, 4);
  });
});

describe('pace', () => {
  it.each(reference.pacesPerChain.rows)('%d paces a chain are %d ft each (S, FOR-47)', (count, printed) => {
    const pace = paceModel([{ count, of: 'paces', feet: 66 }]);
    // The chart cuts some of its values instead of rounding them.
    expect(Math.abs(pace!.feet - printed)).toBeLessThan(0.01);
  });

  it('nineteen paces in 100 ft, then twenty in 104: 5.26, then 5.23 from two walks, surer', () => {
    const first = paceModel([{ count: 19, of: 'paces', feet: 100 }])!;
    const both = paceModel([
      { count: 19, of: 'paces', feet: 100, time: 1 },
      { count: 20, of: 'paces', feet: 104, time: 2 },
    ])!;
    expect(first.feet).toBeCloseTo(5.26, 2);
    expect(both.feet).toBeCloseTo(5.23, 2);
    expect(both.walks).toBe(2);
    expect(both.sdFeet).toBeLessThan(0.75 * first.sdFeet);
    expect(both.drift).toBeNull();
  });

  it('single steps count half', () => {
    expect(paceModel([{ count: 38, of: 'steps', feet: 100 }])!.feet).toBeCloseTo(5.263, 3);
    expect(paceModel([{ count: 38, of: 'paces', feet: 100 }], null, 'steps')!.feet).toBeCloseTo(5.263, 3);
  });

  it('twenty-four "paces" a chain are single steps, and the person is asked (S, FOR-47)', () => {
    expect(paceModel([{ count: 24, of: 'paces', feet: 66 }])!.looksLikeSteps).toBe(true);
    expect(paceModel([{ count: 12.5, of: 'paces', feet: 66 }])!.looksLikeSteps).toBe(false);
  });

  it('a later walk that no longer agrees is told, and widens the error', () => {
    const morning = [
      { count: 19, of: 'paces', feet: 100, time: 1 },
      { count: 19, of: 'paces', feet: 101, time: 2 },
    ] as const;
    const tired = paceModel([...morning, { count: 23, of: 'paces', feet: 100, time: 3 }])!;
    expect(tired.drift?.earlierFeet).toBeCloseTo(5.289, 3);
    expect(tired.drift?.laterFeet).toBeCloseTo(4.348, 3);
    expect(tired.sdFeet).toBeGreaterThan(2 * paceModel(morning)!.sdFeet);
  });

  it('a stated pace serves until it is walked, then only steadies the first walk', () => {
    const walk = { count: 19, of: 'paces', feet: 100 } as const;
    expect(paceModel([], 5.5)).toMatchObject({ feet: 5.5, walks: 0 });
    const mixed = paceModel([walk], 5.5)!.feet;
    expect(mixed).toBeGreaterThan(5.263);
    expect(mixed).toBeLessThan(5.4);
    expect(paceModel([walk, walk], 5.5)!.feet).toBeCloseTo(5.263, 3);
    expect(paceModel([])).toBeNull();
  });
});

describe('the working and the drawing', () => {
  it('every method tells its steps, its formula and a drawing', () => {
    const methods = new Set<string>();
    for (const { measurement, pace } of reference.cases) {
      const settings =
        pace === undefined ? nothingKnown : { ...nothingKnown, pace: { feet: pace, sdFeet: 0.1 } };
      const found = height(measurementSchema.parse(measurement), settings);
      methods.add(found.method);
      expect(found.steps.at(-1)).toMatchObject({ name: 'height', unit: 'ft', value: found.feet });
      expect(found.steps.length).toBeGreaterThan(2);
      expect(found.formula.words.length).toBeGreaterThan(10);
      expect(found.formula.source.length).toBeGreaterThan(10);
      expect(found.sketch).toMatchObject({ method: found.method, heightFt: found.feet });
    }
    expect(methods.size).toBe(9);
  });

  it('the drawing puts the base where it was sighted', () => {
    const found = height({
      method: 'angles',
      scale: 'pct',
      top: 88,
      base: { by: 'angle', angle: { value: -10 } },
      distance: feet(80),
    });
    // Base 8 ft below the eye at 5.5 ft: 2.5 ft below the feet.
    expect(found.sketch).toMatchObject({ distanceFt: 80, eyeFt: 5.5 });
    expect(found.sketch.baseFt).toBeCloseTo(-2.5, 9);
    expect(found.sketch.topDegrees).toBeCloseTo(41.35, 2);
  });
});
