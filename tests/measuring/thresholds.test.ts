/**
 * Each threshold from both sides, so that none can move unseen. Limits by judgement have no value outside; what bounds them
 * from outside is named: felled trees, champion trees, the definition of a deviation.
 */
import { describe, expect, it } from 'vitest';
import { HeightCurve } from '../../shared/measuring/doubt/curve.ts';
import { askFrom, doubtsOf } from '../../shared/measuring/doubt/index.ts';
import { limitsPassed } from '../../shared/measuring/doubt/limits.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import { paceModel } from '../../shared/measuring/height/pace.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { species } from '../../shared/note/species.ts';
import { judgeBorder } from '../../shared/totals/plots.ts';
import { hasStand } from '../support/stands.ts';
import { number, readTable } from '../support/tables.ts';
import { settings } from './settings.ts';

const heightOf = (measurement: Measurement, using = settings) => {
  const found = measure(measurement, using);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
};
const ft = (value: number) => ({ by: 'length', length: { value, unit: 'ft' } }) as const;

const codesOf = (of: { species?: number; feet?: number; diameterIn?: number }) =>
  limitsPassed(
    { species: of.species ?? null, feet: of.feet ?? null, diameterIn: of.diameterIn ?? null, away: null },
    null,
    null,
    'feet',
  );
const strengthOf = (code: string, of: Parameters<typeof codesOf>[0]): number =>
  codesOf(of).find((limit) => limit.code === code)?.strength ?? 0;

/** What forty red oaks of 10 to 19 inches taught, scattered by 4 feet. */
function learntCurve(): HeightCurve {
  const curve = new HeightCurve();
  for (let i = 0; i < 40; i++)
    curve.observe({
      species: 833,
      diameterIn: 10 + (i % 10),
      heightFt: 60 + (i % 10) + 4 * Math.sin(7 * i),
    });
  return curve;
}

describe('limits of a tree', () => {
  it('slenderness warns above 120 and 170, from 4 inches on', () => {
    // Height over diameter in one unit: 10 inches and 100 feet are 120.
    expect(strengthOf('slender', { feet: 100, diameterIn: 10 })).toBe(0);
    expect(strengthOf('slender', { feet: 100.1, diameterIn: 10 })).toBe(0.3);
    expect(strengthOf('slender', { feet: 141.6, diameterIn: 10 })).toBe(0.3);
    expect(strengthOf('slender', { feet: 141.7, diameterIn: 10 })).toBe(0.45);
    expect(strengthOf('slender', { feet: 60, diameterIn: 4 })).toBe(0.45);
    expect(strengthOf('slender', { feet: 60, diameterIn: 3.9 })).toBe(0);
  });

  it.skipIf(!hasStand('trees_black_cherry'))(
    'slenderness leaves 31 felled black cherries alone, which reach 101',
    () => {
      for (const row of readTable('stands/trees_black_cherry.csv'))
        expect(
          strengthOf('slender', { feet: number(row, 'height_ft'), diameterIn: number(row, 'dbh_in') }),
        ).toBe(0);
    },
  );

  it('stoutness warns below 12', () => {
    expect(strengthOf('stout', { feet: 20, diameterIn: 20 })).toBe(0);
    expect(strengthOf('stout', { feet: 19.9, diameterIn: 20 })).toBe(0.4);
  });

  it('a diameter is a giant above 120 inches and no tree above 460', () => {
    expect(strengthOf('thick', { diameterIn: 120 })).toBe(0);
    expect(strengthOf('thick', { diameterIn: 120.1 })).toBe(0.6);
    expect(strengthOf('thick', { diameterIn: 460 })).toBe(0.6);
    expect(strengthOf('thick', { diameterIn: 460.1 })).toBe(1);
  });

  it('a species’ usual height is worth a word from 1.3 times on and a question from 1.7', () => {
    // Northern red oak, mature 59 to 79 feet (Preston 1976): 102.7 and 134.3.
    const at = (feet: number) => strengthOf('tallForSpecies', { species: 833, feet });
    expect([102.6, 102.8, 134.2, 134.4].map(at)).toEqual([0, 0.3, 0.3, 0.6]);
  });

  it('no tree that was measured is asked about for its height alone (Eastern Native Tree Society; champions of 2020)', () => {
    const champions: string[] = [];
    for (const row of readTable('seen/species.csv')) {
      const code = number(row, 'fia_code');
      if (row.tall_seen_ft !== '')
        expect(
          strengthOf('tallForSpecies', { species: code, feet: number(row, 'tall_seen_ft') }),
        ).toBeLessThan(askFrom);
      if (
        row.champion_ft !== '' &&
        strengthOf('tallForSpecies', { species: code, feet: number(row, 'champion_ft') }) >= askFrom
      )
        champions.push(row.common_name!);
    }
    // Where only a remembered usual height stands behind the limit, one champion passes it by two feet.
    expect(champions).toEqual(['balsam fir']);
  });

  it('at a limit itself nothing is passed: 170 times as tall as thick, 380 feet, breast height', () => {
    expect(strengthOf('slender', { feet: 170, diameterIn: 12 })).toBe(0.3);
    expect(strengthOf('slender', { feet: 380, diameterIn: 12 })).toBe(0.45);
    expect(strengthOf('belowBreastHeight', { feet: 4.5, diameterIn: 2 })).toBe(0);
    expect(strengthOf('belowBreastHeight', { feet: 4.4, diameterIn: 2 })).toBe(0.9);
    expect(strengthOf('belowBreastHeight', { feet: 4.4 })).toBe(0);
  });

  it('comes strongest first', () => {
    // 461 inches are no tree; 40 feet are stout for them.
    expect(codesOf({ feet: 40, diameterIn: 461 }).map(({ code }) => code)).toEqual(['thick', 'stout']);
  });

  it('tells a usual height in the units of the book: 59 to 79 feet are 18 to 24 metres', () => {
    const tall = { species: 833, feet: 120, diameterIn: null, away: null };
    const told = (units: 'feet' | 'metres') => limitsPassed(tall, null, null, units)[0]!.because;
    expect(told('feet')).toContain('59 to 79');
    expect(told('metres')).toContain('18 to 24');
  });

  it('of takes is told where one stands apart', () => {
    const takes = (...values: number[]) => {
      const measurement: Measurement = {
        method: 'reading',
        device: 'laser',
        takes: values.map((value) => ({ value, unit: 'ft' })),
      };
      const seen = { species: null, feet: 52, diameterIn: null, away: null };
      return limitsPassed(seen, measurement, heightOf(measurement), 'feet');
    };
    expect(takes(50, 55, 52)).toEqual([]);
    expect(takes(50, 55, 120, 52)).toMatchObject([{ code: 'takes', strength: 0.4, about: 'way' }]);
  });

  it('records are passed only above themselves', () => {
    for (const { code, tallest } of species) {
      if (tallest?.kind !== 'record') continue;
      expect(strengthOf('speciesRecord', { species: code, feet: tallest.feet })).toBe(0);
      expect(strengthOf('speciesRecord', { species: code, feet: tallest.feet + 0.1 })).toBe(0.95);
    }
    expect(strengthOf('record', { feet: 380 })).toBe(0);
    expect(strengthOf('record', { feet: 380.1 })).toBe(1);
  });
});

describe('limits of the way of measuring', () => {
  const warnings = (top: number, distance: number) => {
    const measurement: Measurement = { method: 'angles', scale: 'deg', top, distance: ft(distance) };
    return limitsPassed(
      { species: null, feet: 60, diameterIn: null, away: null },
      measurement,
      heightOf(measurement),
      'feet',
    ).filter(({ about }) => about === 'way');
  };

  it('a sight is steep above 60 degrees and too steep above 78', () => {
    expect(warnings(60, 60).some(({ code }) => code === 'steep')).toBe(false);
    expect(warnings(60.1, 60)[0]).toMatchObject({ code: 'steep', strength: 0.3 });
    expect(warnings(78, 20)[0]).toMatchObject({ code: 'steep', strength: 0.3 });
    expect(warnings(78.1, 20)[0]).toMatchObject({ code: 'steep', strength: 0.55 });
  });

  it('a stand is near below six tenths of the height', () => {
    // Top at 57 degrees: H = 1.5399 D + 5; nearer than 0.6 H where D (1 - 0.92394) < 3, which is D below 39.4.
    expect(warnings(57, 39)[0]).toMatchObject({ code: 'near', strength: 0.25 });
    expect(warnings(57, 40)).toEqual([]);
  });
});

describe('a height far from the curve', () => {
  it('is asked about from 2.8 standard deviations on, above and below', () => {
    const curve = learntCurve();
    const at = (sds: number): number => {
      // The height so far from the middle, by bisection on the curve itself.
      let [low, high] = [10, 400];
      for (let i = 0; i < 60; i++) {
        const middle = (low + high) / 2;
        if (curve.stray(833, 14, middle) < sds) low = middle;
        else high = middle;
      }
      return (low + high) / 2;
    };
    const asked = (sds: number): boolean => {
      const feet = at(sds);
      const measurement: Measurement = {
        method: 'reading',
        device: 'tape',
        takes: [{ value: feet, unit: 'ft' }],
      };
      return doubtsOf(
        {
          kind: 'height',
          note: { kind: 'height', height: measurement },
          measurement,
          height: heightOf(measurement),
        },
        {
          settings,
          curve,
          others: [],
          sureDiameter: true,
          tree: { species: 833, diameterIn: 14, heightFt: null, marks: [], status: 'live' },
        },
      ).some(({ strength }) => strength >= askFrom);
    };
    expect([2.85, -2.85].map(asked)).toEqual([true, true]);
    expect(asked(1.5)).toBe(false);
  });
});

describe('deviations as they are defined', () => {
  const sd = (measurement: Measurement, using = settings) => heightOf(measurement, using).sdFeet;

  it('a range errs by half a foot along the sight', () => {
    const at = (degrees: number): Measurement => ({
      method: 'ranges',
      topRange: { value: 60, unit: 'ft' },
      topAngle: degrees,
      baseRange: { value: 60, unit: 'ft' },
      baseAngle: 0,
    });
    // Straight up the angle counts for nothing of the top; 60 ft x 0.7 degrees of the base remain: 0.733.
    expect(sd(at(89.99))).toBeCloseTo(Math.hypot(0.5, 0.733), 2);
  });

  it('a stated pace errs by 3 percent, a paced distance by 4.5 percent of the ground besides', () => {
    expect(paceModel([], 5)!.sdFeet).toBeCloseTo(0.15, 12);
    const exact = { ...settings, pace: { feet: 5, sdFeet: 0 } };
    const shares = heightOf({ method: 'laid', distance: { by: 'paces', count: 20 } }, exact).shares;
    expect(shares.find(({ cause }) => cause === 'pace')!.sdFeet).toBeCloseTo(4.5, 6);
  });

  it('a lean sideways lengthens the way to the tip: 66 feet and 20 to the left are 69.0', () => {
    const at = (direction: 'left' | 'right' | 'toward' | 'away') =>
      heightOf({
        method: 'angles',
        scale: 'pct',
        top: 100,
        base: { by: 'angle', angle: { value: 0, unit: 'pct' } },
        distance: ft(66),
        lean: { length: { value: 20, unit: 'ft' }, direction },
      }).feet;
    expect(at('left')).toBeCloseTo(Math.hypot(66, 20), 6);
    expect(at('right')).toBe(at('left'));
    expect(at('toward')).toBeCloseTo(46, 6);
    expect(at('away')).toBeCloseTo(86, 6);
  });
});

describe('a tree exactly on the limit of a plot', () => {
  it('is in (BAF 10, 12 inches: 33.0 feet, Univ. of Kentucky notes)', () => {
    const design = { kind: 'factor', factor: 10 } as const;
    const at = (distanceFt: number) =>
      judgeBorder({
        design,
        distanceFt,
        to: 'centre',
        diameterIn: 12,
        slopePct: 0,
        slopeMethod: 'horizontal',
      });
    const limit = at(1)!.limitFt;
    expect(limit).toBeCloseTo(33, 2);
    expect(at(limit)!.inside).toBe(true);
    expect(at(limit + 1e-6)!.inside).toBe(false);
  });

  it('is close to call within a tenth of a foot of tape, on both sides (common practice, no source)', () => {
    const close = (distanceFt: number) =>
      judgeBorder({
        design: { kind: 'fixed', acres: 0.1, radiusFt: 37.25 },
        distanceFt,
        to: 'centre',
        diameterIn: null,
      })!.close;
    expect([37.14, 37.16, 37.25, 37.34, 37.36].map(close)).toEqual([false, true, true, true, false]);
  });
});
