/**
 * What is supposed about errors, value by value. Those with a published figure are worked out from it here; the others are
 * common practice, no source: written out once more, so that none can move unseen. And each changes the height it is about.
 */
import { describe, expect, it } from 'vitest';
import { measure } from '../../shared/measuring/height/index.ts';
import { paceModel } from '../../shared/measuring/height/pace.ts';
import {
  asSaid,
  type DeviationName,
  deviationNames,
  deviations,
  deviationText,
  fromSaid,
  sourceOf,
  usualDeviations,
} from '../../shared/note/deviations.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { settings } from './settings.ts';

const ft = (value: number) => ({ value, unit: 'ft' as const });
const taped = (value: number) => ({ by: 'length', length: ft(value), taped: true }) as const;
const stated = (value: number) => ({ by: 'length', length: ft(value) }) as const;
const sdOf = (measurement: Measurement, deviations: Partial<Record<DeviationName, number>> = {}): number => {
  const found = measure(measurement, { ...settings, deviations });
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value.sdFeet;
};

describe('deviations with a published figure', () => {
  it('a sighted angle: 0.7 degrees give the 2.9 percent of the height that trained measurers had (Luoma et al. 2017)', () => {
    // 60 feet of tree from 60 feet: top at 42 degrees, base at 5 below; both sighted, distance taped.
    const at: Measurement = {
      method: 'angles',
      scale: 'deg',
      top: 42.6,
      base: { by: 'angle', angle: { value: -4.8, unit: 'deg' } },
      distance: taped(60),
    };
    const height = measure(at, settings);
    expect(height.ok && height.value.feet).toBeCloseTo(60.2, 0);
    expect((100 * sdOf(at)) / 60.2).toBeGreaterThan(2.3);
    expect((100 * sdOf(at)) / 60.2).toBeLessThan(3.2);
    expect(usualDeviations.sightDegrees).toBe(0.7);
  });

  it('paces on rough ground: the middle of five courses (3.4, 3.0, 7.0, 2.5, 3.2 percent) and of woods (2 to 5 percent)', () => {
    const courses = [3.4, 3.0, 7.0, 2.5, 3.2];
    const rootMeanSquare = Math.sqrt(courses.reduce((sum, one) => sum + one * one, 0) / courses.length);
    expect(rootMeanSquare).toBeCloseTo(4.15, 2);
    expect(usualDeviations.groundPart).toBe(0.045);
    expect(Math.abs(100 * usualDeviations.groundPart - rootMeanSquare)).toBeLessThan(0.5);
  });

  it('paces on open ground: 1 in 100 (Univ. of Washington FE345)', () => {
    expect(usualDeviations.walkPart).toBe(1 / 100);
  });

  it('a device: 2 feet in the open are two sd; three readings 7 to 10 feet apart at 80 feet are 5 feet each', () => {
    expect(usualDeviations.readingFeet).toBe(2 / 2);
    // The mean range of three normal values is 1.693 sd (Tippett 1925).
    const each = 8.5 / 1.693;
    expect(each / 80).toBeCloseTo(0.063, 3);
    expect(usualDeviations.readingPart).toBe(0.06);
    expect(Math.abs(Math.hypot(1, 0.06 * 80) - each)).toBeLessThan(0.2);
  });

  it('the edge of a shadow is half of the sun’s disc, 0.53 degrees wide', () => {
    expect(usualDeviations.shadowEdgeDegrees).toBe(0.27);
    expect(Math.abs(usualDeviations.shadowEdgeDegrees - 0.53 / 2)).toBeLessThan(0.01);
  });

  it('the reach behind another stick: as much as a stick of 27 inches at one degree (2 D radians)', () => {
    expect(2 * 27 * (Math.PI / 180)).toBeCloseTo(0.942, 3);
    expect(usualDeviations.armInches).toBe(0.95);
  });
});

describe('deviations that are common practice, no source', () => {
  it('are these', () => {
    const practice = deviationNames.filter((name) =>
      /^common practice, no source$/.test(deviations[name].source),
    );
    expect(Object.fromEntries(practice.map((name) => [name, usualDeviations[name]]))).toEqual({
      statedPacePart: 0.03,
      linePart: 0.002,
      tapedFeet: 0.25,
      tapedPart: 0.005,
      statedFeet: 0.5,
      statedPart: 0.01,
      stickDegrees: 1,
      stickInches: 0.1,
      eyeFeet: 0.15,
      eyeMeasuredFeet: 0.04,
      levelFeet: 0.5,
      baseFeet: 0.3,
      basePart: 0.1,
      shadowFeet: 0.5,
      slopeDegrees: 1,
      poleLeanDegrees: 1,
      poleShadowInches: 0.5,
      scaleUnits: 0.05,
      rangeFeet: 0.5,
      leanPart: 0.2,
      tapeDropFeet: 0.5,
      compassDegrees: 1.5,
      declinationDegrees: 0.5,
    });
  });
});

describe('a deviation that is set', () => {
  const angles: Measurement = { method: 'angles', scale: 'deg', top: 40, distance: stated(66) };
  const uses: Partial<Record<DeviationName, Measurement>> = {
    groundPart: { method: 'laid', distance: { by: 'paces', count: 12 } },
    tapedFeet: { method: 'spans', distance: taped(60) },
    tapedPart: { method: 'spans', distance: taped(60) },
    statedFeet: { method: 'spans', distance: stated(60) },
    statedPart: { method: 'spans', distance: stated(60) },
    sightDegrees: angles,
    stickDegrees: { method: 'stick', distance: taped(60) },
    armInches: {
      method: 'ratio',
      stick: { value: 24, unit: 'in' },
      arm: { value: 27, unit: 'in' },
      distance: taped(60),
    },
    stickInches: {
      method: 'ratio',
      stick: { value: 24, unit: 'in' },
      arm: { value: 27, unit: 'in' },
      distance: taped(60),
    },
    levelFeet: { method: 'stick', distance: taped(60) },
    shadowFeet: { method: 'shadow', shadow: ft(84), pole: ft(6), poleShadow: ft(7.5) },
    shadowEdgeDegrees: { method: 'shadow', shadow: ft(84), pole: ft(6), poleShadow: ft(7.5) },
    slopeDegrees: { method: 'shadow', shadow: ft(84), pole: ft(6), poleShadow: ft(7.5) },
    poleLeanDegrees: { method: 'shadow', shadow: ft(84), pole: ft(6), poleShadow: ft(7.5) },
    poleShadowInches: { method: 'shadow', shadow: ft(84), pole: ft(6), poleShadow: ft(7.5) },
    scaleUnits: { method: 'pole', pole: ft(6), poleReads: 2, treeReads: 19 },
    rangeFeet: { method: 'ranges', topRange: ft(80), topAngle: 45, baseRange: ft(60), baseAngle: -3 },
    readingFeet: { method: 'reading', device: 'laser', takes: [ft(80)] },
    readingPart: { method: 'reading', device: 'laser', takes: [ft(80)] },
    tapeDropFeet: { method: 'reading', device: 'tape', takes: [ft(80)] },
    baseFeet: { method: 'stick', distance: taped(60), base: { by: 'feet', length: ft(4), side: 'below' } },
    basePart: { method: 'stick', distance: taped(60), base: { by: 'feet', length: ft(4), side: 'below' } },
    leanPart: { ...angles, lean: { length: ft(6), direction: 'toward' } },
  };

  it.each(Object.entries(uses) as [DeviationName, Measurement][])(
    'as %s widens the height that it is about',
    (name, measurement) => {
      const usual = sdOf(measurement);
      const [half, twice] = [0.5, 2].map((times) =>
        sdOf(measurement, { [name]: times * usualDeviations[name] }),
      );
      expect(half!).toBeLessThan(usual);
      expect(twice!).toBeGreaterThan(usual);
      // Its own part of the variance grows with its square: a quarter, one, and four times.
      const own = (twice! ** 2 - usual ** 2) / 3;
      if (name !== 'sightDegrees' && name !== 'leanPart')
        expect((usual ** 2 - half! ** 2) / (0.75 * own)).toBeCloseTo(1, 1);
      const height = measure(measurement, settings);
      expect(height.ok && height.value.assumed.map(({ of }) => of)).toContain(name);
    },
  );

  it('of a pace that was only said is 3 percent of it', () => {
    expect(paceModel([], 5)!.sdFeet).toBeCloseTo(0.15, 12);
    expect(paceModel([], 5, 'paces', { ...usualDeviations, statedPacePart: 0.06 })!.sdFeet).toBeCloseTo(
      0.3,
      12,
    );
  });
});

describe('a deviation as it is said', () => {
  it('is a percent where it is kept as a part', () => {
    expect(asSaid('groundPart', 0.045)).toBeCloseTo(4.5, 12);
    expect(fromSaid('groundPart', 4.5)).toBeCloseTo(0.045, 12);
    expect(asSaid('sightDegrees', 0.7)).toBe(0.7);
    expect(fromSaid('sightDegrees', 0.7)).toBe(0.7);
  });

  it('names its source while it is the usual one, and says that it was set when it is not', () => {
    expect(sourceOf('stickDegrees', 1)).toBe('common practice, no source');
    expect(sourceOf('stickDegrees', 2)).toBe('as set');
    expect(deviationText('stickDegrees', 1)).toBe('the angle of a stick as long as the reach, 1 degree');
    expect(deviationText('groundPart', 0.045)).toBe('paces on rough ground, 4.5 percent');
  });
});
