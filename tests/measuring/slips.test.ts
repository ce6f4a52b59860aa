/**
 * The slips one by one, and what each is believed: the weights are by judgement, so they are written out here once more and
 * none can move unseen; what they come to is reckoned by hand.
 */
import { describe, expect, it } from 'vitest';
import { HeightCurve } from '../../shared/measuring/doubt/curve.ts';
import { awayOf, logLikelihood, weigh } from '../../shared/measuring/doubt/slip-posterior.ts';
import { type Claim, meanings, slips } from '../../shared/measuring/doubt/slips.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { settings } from './settings.ts';

const oak = 833;
const claimOf = (measurement: Measurement | null, more: Partial<Claim> = {}): Claim => ({
  note: { kind: 'height', height: measurement ?? { method: 'reading', takes: [{ value: 50 }] } },
  measurement,
  diameter: null,
  units: 'feet',
  counting: 'paces',
  eyeFt: 5,
  earlier: null,
  ...more,
});
const paced = (count: number, by: 'paces' | 'steps' = 'paces'): Measurement => ({
  method: 'stick',
  distance: { by, count },
});
const read = (...values: number[]): Measurement => ({
  method: 'reading',
  takes: values.map((value) => ({ value })),
});
const meant = (slip: string, measurement: Measurement, more: Partial<Claim> = {}) =>
  meanings(claimOf(measurement, more)).filter((one) => one.slip === slip);
const countsOf = (...of: Parameters<typeof meant>) =>
  meant(...of).map(({ measurement }) =>
    measurement !== null && 'distance' in measurement && measurement.distance.by !== 'length'
      ? [measurement.distance.by, measurement.distance.count]
      : null,
  );
const takesOf = (...of: Parameters<typeof meant>) =>
  meant(...of).map(({ measurement }) =>
    measurement?.method === 'reading' ? measurement.takes.map(({ value }) => value) : null,
  );

describe('slips', () => {
  it('have the weights of the table', () => {
    expect(Object.fromEntries(Object.entries(slips).map(([name, { weight }]) => [name, weight]))).toEqual({
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
    });
  });

  it('of paces: single steps, or twice as many up to thirty', () => {
    expect(countsOf('stepsForPaces', paced(9))).toEqual([['steps', 9]]);
    expect(countsOf('pacesForSteps', paced(30))).toEqual([['paces', 60]]);
    expect(countsOf('pacesForSteps', paced(30.5))).toEqual([]);
    expect(countsOf('stepsForPaces', paced(9, 'steps'))).toEqual([]);
    expect(countsOf('pacesForSteps', paced(9, 'steps'))).toEqual([['paces', 9]]);
    expect(countsOf('stepsForPaces', paced(9), { counting: 'steps' })).toEqual([]);
    expect(countsOf('pacesForSteps', paced(9), { counting: 'steps' })).toEqual([['steps', 18]]);
  });

  it('of a reading: the eye height forgotten or in it twice, to a tenth, where it is known and there is one take', () => {
    expect(takesOf('eyeForgotten', read(50), { eyeFt: 5.26 })).toEqual([[55.3]]);
    expect(takesOf('eyeTwice', read(50), { eyeFt: 5.26 })).toEqual([[44.7]]);
    expect(takesOf('eyeForgotten', read(15), { eyeFt: 5.25, units: 'metres' })).toEqual([[16.6]]);
    expect(takesOf('eyeTwice', read(5))).toEqual([]);
    expect(takesOf('eyeTwice', read(5.1))).toEqual([[0.1]]);
    expect(takesOf('eyeForgotten', read(50, 52))).toEqual([]);
    expect(takesOf('eyeForgotten', read(50), { eyeFt: null })).toEqual([]);
    const chains: Measurement = { method: 'reading', takes: [{ value: 1, unit: 'chain' }] };
    expect(takesOf('eyeForgotten', chains)).toEqual([]);
    const metres: Measurement = { method: 'reading', takes: [{ value: 15, unit: 'm' }] };
    expect(takesOf('eyeForgotten', metres, { eyeFt: 5.25 })).toEqual([[16.6]]);
  });

  it('of takes: one of three and more stands apart, and they share the weight', () => {
    expect(takesOf('strayTake', read(50, 52))).toEqual([]);
    expect(takesOf('strayTake', read(50, 52, 90))).toEqual([
      [52, 90],
      [50, 90],
      [50, 52],
    ]);
    expect(meant('strayTake', read(50, 52, 90, 51)).map(({ weight }) => weight)).toEqual([
      0.125, 0.125, 0.125, 0.125,
    ]);
  });
});

/** Thirty oaks about 65 feet. */
const stand = new HeightCurve();
for (let i = 0; i < 30; i++)
  stand.observe({ species: oak, diameterIn: 10 + (i % 10), heightFt: 60 + (i % 10) + 3 * Math.sin(7 * i) });

describe('how likely a tree is', () => {
  const seen = { species: oak, diameterIn: 14, feet: 64, away: null };

  it('is its diameter times its height there', () => {
    expect(logLikelihood(seen, stand)).toBeCloseTo(
      stand.diameters.logDensity(14) + stand.logDensity(oak, 14, 64),
      12,
    );
    expect(logLikelihood({ ...seen, diameterIn: null }, stand)).toBeCloseTo(stand.logHeight(oak, 64), 12);
    expect(logLikelihood({ ...seen, feet: null }, stand)).toBeCloseTo(stand.diameters.logDensity(14), 12);
  });

  it('falls with the distance that an angle was sighted from: Student’s t of four about 1.1 times the height', () => {
    const by = (away: number) => logLikelihood({ ...seen, away }, stand) - logLikelihood(seen, stand);
    expect(by(1.1)).toBeCloseTo(0, 12);
    const z = Math.log(2.2 / 1.1) / 0.45;
    expect(by(2.2)).toBeCloseTo(-2.5 * Math.log(1 + z ** 2 / 4), 12);
    expect(by(0.55)).toBeCloseTo(by(2.2), 12);
  });

  it('is nothing where it cannot be: below breast height, above all records, no size at all', () => {
    const curve = new HeightCurve();
    for (const of of [
      { ...seen, feet: 4.4 },
      { ...seen, feet: 381, species: null },
      { ...seen, feet: 0 },
      { ...seen, diameterIn: 0 },
    ])
      expect(logLikelihood(of, curve)).toBe(-60);
    expect(logLikelihood({ ...seen, diameterIn: null, feet: 4.4 }, curve)).toBeGreaterThan(-60);
    expect(logLikelihood({ ...seen, feet: 4.5 }, curve)).toBeGreaterThan(-60);
    expect(logLikelihood({ ...seen, feet: 380, diameterIn: null, species: null }, curve)).toBeGreaterThan(
      -60,
    );
  });

  it('asks how far off only of angles', () => {
    const of = (measurement: Measurement) => {
      const height = measure(measurement, settings);
      return height.ok ? awayOf(measurement, height.value) : Number.NaN;
    };
    expect(of(paced(12))).toBeNull();
    const angles: Measurement = {
      method: 'angles',
      scale: 'pct',
      top: 100,
      base: { by: 'angle', angle: { value: 0, unit: 'pct' } },
      distance: { by: 'length', length: { value: 66, unit: 'ft' } },
    };
    expect(of(angles)).toBeCloseTo(1, 6);
    expect(of({ ...angles, top: 50 })).toBeCloseTo(2, 6);
  });
});

describe('what was meant', () => {
  const measurement = read(64);
  const seen = { species: oak, diameterIn: 14, feet: 64, away: null };
  const belief = weigh(claimOf(measurement), seen, settings, stand, []);

  it('sums to one', () => {
    const all =
      belief.asSaid + belief.other + belief.causes.reduce((sum, { posterior }) => sum + posterior, 0);
    expect(all).toBeCloseTo(1, 12);
  });

  it('is something else six times in a thousand: height or diameter anything, a quarter a unit of the logarithm', () => {
    const anything =
      0.5 * 0.25 * Math.exp(stand.diameters.logDensity(14)) + 0.5 * 0.25 * Math.exp(stand.logHeight(oak, 64));
    const asSaid = Math.exp(logLikelihood(seen, stand));
    expect(belief.other / belief.asSaid).toBeCloseTo((0.006 * anything) / asSaid, 12);
    const alone = { ...seen, diameterIn: null };
    const bare = weigh(claimOf(measurement), alone, settings, stand, []);
    expect(bare.other / bare.asSaid).toBeCloseTo((0.006 * 0.25) / Math.exp(stand.logHeight(oak, 64)), 12);
  });

  it('is a slip 4.3 times in a thousand for a weight of one, by how the tree that it gives fits', () => {
    const forgotten = belief.causes.find(({ meant: { slip } }) => slip === 'eyeForgotten')!;
    expect(forgotten.feet).toBe(69);
    const odds = (0.5 * 0.0043 * densityOf(69)) / densityOf(64);
    expect(forgotten.posterior / belief.asSaid).toBeCloseTo(odds, 12);
  });

  it('is another number by how much coarser it is rounded, too', () => {
    const tenfold = weigh(claimOf(read(640)), { ...seen, feet: 640 }, settings, stand, []).causes.find(
      ({ meant: { slip, value } }) => slip === 'tenfold' && value === 64,
    )!;
    const digit = belief.causes.find(({ meant: { value } }) => value === 54)!;
    const [weight, coarse] = [digit.meant.weight, Math.log(64 / 54)];
    expect(Math.log(digit.posterior / belief.asSaid)).toBeCloseTo(
      Math.log(weight * 0.0043) + coarse + Math.log(densityOf(54) / densityOf(64)),
      9,
    );
    expect(tenfold.feet).toBe(64);
  });

  it('was carried over from the tree before where it is the same: half a slip, as dense as its last digit', () => {
    const belief = (value: number, earlier: Measurement | null, diameterIn: number | null = 14) =>
      weigh(claimOf(read(value), { earlier }), { ...seen, feet: value, diameterIn }, settings, stand, []);
    for (const [value, step] of [
      [64, 0.5],
      [64.5, 0.5],
      [63.7, 0.1],
    ] as const) {
      const [same, none] = [belief(value, read(value)), belief(value, null)];
      const more = same.other / same.asSaid - none.other / none.asSaid;
      expect(more).toBeCloseTo((0.5 * 0.0043 * (value / step)) / densityOf(value), 9);
      expect(belief(value, read(value + 1))).toEqual(none);
      // Without a diameter nothing tells that it does not fit this tree.
      expect(belief(value, read(value), null)).toEqual(belief(value, null, null));
    }
  });

  it('of a tree in words of its own is a height or a diameter, whichever is in question', () => {
    const diameter = { value: 41 };
    const note = { kind: 'tree', facts: { diameter } } as const;
    const other = [{ note, words: 'forty one', posterior: 0.3 }];
    const ofHeight = weigh(claimOf(measurement), seen, settings, stand, other);
    expect(ofHeight.causes.some(({ words }) => words === 'forty one')).toBe(false);
    const thick = { ...seen, diameterIn: 14, feet: null };
    const ofDiameter = weigh(claimOf(null, { diameter: { value: 14 } }), thick, settings, stand, other);
    expect(ofDiameter.causes.find(({ words }) => words === 'forty one')?.diameterIn).toBe(41);
  });

  it('is what the ear heard else by its share of the sound', () => {
    const note = { kind: 'height', height: read(68.5) } as const;
    const heard = weigh(claimOf(measurement), seen, settings, stand, [
      { note, words: 'another', posterior: 0.3 },
    ]);
    const cause = heard.causes.find(({ words }) => words === 'another')!;
    expect(cause.posterior / heard.asSaid).toBeCloseTo((0.3 * densityOf(68.5)) / (0.7 * densityOf(64)), 9);
    const most = weigh(claimOf(measurement), seen, settings, stand, [
      { note, words: 'another', posterior: 0.999 },
    ]);
    const taken = most.causes.find(({ words }) => words === 'another')!;
    // However sure the ear is, a fiftieth is left to what was taken.
    expect(taken.posterior / most.asSaid).toBeCloseTo((0.999 * densityOf(68.5)) / (0.02 * densityOf(64)), 6);
  });
});

/** Density of a height of a fourteen-inch oak there. */
function densityOf(feet: number): number {
  return Math.exp(stand.logDensity(oak, 14, feet));
}
