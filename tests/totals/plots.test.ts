/** Plot geometry against published radii, slope tables, plot radius factors and worked borderline trees. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hectaresPerAcre } from '../../shared/core/units.ts';
import { basalAreaFt2 } from '../../shared/totals/cubic.ts';
import {
  acresOfRadius,
  designOf,
  judgeBorder,
  limitingDistance,
  plotRadiusFactor,
  radiusOfAcres,
  slopeStretch,
} from '../../shared/totals/plots.ts';
import { number, readTable } from '../support/tables.ts';

describe('plot radii', () => {
  it('every usual size has the radius of its circle, in feet and metres, and its expansion', () => {
    const rows = readTable('trade/plot_radii.csv');
    expect(rows.length).toBe(17);
    for (const row of rows) {
      const [size, unit] = row.plot!.split(' ') as [string, string];
      const [top, bottom] = size.split('/').map(Number) as [number, number | undefined];
      const value = top / (bottom ?? 1);
      const radius = unit === 'acre' ? radiusOfAcres(value) : 0.3048 * radiusOfAcres(value / hectaresPerAcre);
      expect(radius, row.plot).toBeCloseTo(number(row, 'radius'), 2);
      expect(1 / value, row.plot).toBeCloseTo(number(row, 'expansion_per_acre_or_ha'), 1);
      const design = designOf({ by: 'area', value, unit: unit as 'acre' | 'ha' });
      expect(design.kind === 'fixed' ? design.radiusFt * 0.3048 : 0, row.plot).toBeCloseTo(
        number(row, 'radius_m'),
        2,
      );
    }
  });

  it('1/100 to 1/5 acre as the Common Stand Exam guide prints them (App. I, Table 1): 11.8 16.7 26.3 37.2 52.7 feet', () => {
    expect([100, 50, 20, 10, 5].map((part) => radiusOfAcres(1 / part).toFixed(1))).toEqual([
      '11.8',
      '16.7',
      '26.3',
      '37.2',
      '52.7',
    ]);
  });

  it('a four-subplot cluster of 24-foot plots expands by 6.018 (Woudenberg et al. 2010, RMRS-GTR-245)', () => {
    expect(1 / (4 * acresOfRadius(24))).toBeCloseTo(6.018, 3);
  });

  it('a circle laid on the slope agrees with every cell of the guide within 0.06 feet', () => {
    const rows = readTable('trade/plot_radii_slope_usfs.csv');
    const sizes = [300, 100, 50, 20, 10, 5];
    expect(rows.length).toBe(13);
    for (const row of rows) {
      const [from, to] = row.slope_pct_class!.split('-').map(Number) as [number, number];
      // The guide corrects above nine percent only.
      const slope = from === 0 ? 0 : (from + to) / 2;
      for (const part of sizes) {
        const radius = radiusOfAcres(1 / part) * slopeStretch(slope, 'onSlope');
        expect(
          Math.abs(radius - number(row, `r_1_${part}ac_ft`)),
          `1/${part} acre at ${row.slope_pct_class}`,
        ).toBeLessThanOrEqual(0.06);
      }
    }
  });

  it('the two slope methods are not interchangeable: 39.4 against 41.6 feet for a tenth of an acre at 50 percent', () => {
    const r = radiusOfAcres(0.1);
    expect(r * slopeStretch(50, 'onSlope')).toBeCloseTo(39.4, 1);
    expect(r * slopeStretch(50, 'horizontal')).toBeCloseTo(41.6, 1);
    expect(slopeStretch(0, 'onSlope')).toBe(1);
    expect(30 * slopeStretch(35, 'horizontal')).toBeCloseTo(31.78, 2);
  });

  it('a circle on the slope, seen from above, keeps its area (geometry)', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 150, noNaN: true }), (slope) => {
        const stretched = slopeStretch(slope, 'onSlope');
        const seen = stretched * stretched * Math.cos(Math.atan(slope / 100));
        return Math.abs(seen - 1) < 1e-12;
      }),
    );
  });
});

describe('angle gauge', () => {
  it('plot radius factors to the centre and to the near face, English and metric', () => {
    const rows = readTable('trade/plot_radius_factors.csv');
    expect(rows.length).toBe(10);
    for (const row of rows) {
      const factor = number(row, 'BAF');
      if (row.system === 'english') {
        expect(plotRadiusFactor(factor), row.BAF).toBeCloseTo(number(row, 'PRF'), 4);
        expect(limitingDistance(factor, 1, 'face'), row.BAF).toBeCloseTo(number(row, 'PRF_to_near_face'), 4);
      } else {
        const design = designOf({ by: 'factor', value: factor, unit: 'm2/ha' });
        const english = design.kind === 'factor' ? design.factor : Number.NaN;
        // Metres for a centimetre: feet for an inch, times 0.3048 / 2.54.
        const metres = (to: 'centre' | 'face') => (limitingDistance(english, 1, to) * 0.3048) / 2.54;
        expect(metres('centre'), row.BAF).toBeCloseTo(number(row, 'PRF'), 5);
        expect(metres('face'), row.BAF).toBeCloseTo(number(row, 'PRF_to_near_face'), 5);
      }
    }
  });

  it('12 inches: 33 feet at factor 10, 23.3 at 20 (point-sampling notes, pp. 10, 12); 8.696 over the root (Univ. of Kentucky)', () => {
    expect(limitingDistance(10, 12)).toBeCloseTo(33, 2);
    expect(limitingDistance(20, 12)).toBeCloseTo(23.3, 1);
    expect(plotRadiusFactor(1)).toBeCloseTo(8.696, 3);
  });

  it('one tree of 12 inches at factor 20 stands for 25.479 an acre on 0.039248 acre (same notes, to 0.1 percent)', () => {
    const each = 20 / basalAreaFt2(12);
    expect(Math.abs(acresOfRadius(limitingDistance(20, 12)) / 0.039248 - 1)).toBeLessThan(0.001);
    expect(Math.abs(each / 25.479 - 1)).toBeLessThan(0.001);
    expect(basalAreaFt2(12)).toBeCloseTo(0.785376, 4);
  });

  it("basal area and trees an acre at factor 10 by the inch (Service Forester's Handbook)", () => {
    const rows = readTable('trade/basal_area_baf10.csv');
    expect(rows.length).toBe(27);
    for (const row of rows) {
      const d = number(row, 'dbh_in');
      const printed = number(row, 'published_BA_ft2');
      expect(Math.abs(basalAreaFt2(d) - printed), `${d} in`).toBeLessThanOrEqual(d < 24 ? 0.0011 : 0.006);
      // The handbook divided by its rounded basal area, so its trees an acre carry that rounding.
      const slack = (0.006 / printed) * number(row, 'published_trees_per_acre_BAF10') + 0.006;
      const each = 10 / basalAreaFt2(d);
      expect(Math.abs(each - number(row, 'published_trees_per_acre_BAF10')), `${d} in`).toBeLessThanOrEqual(
        slack,
      );
      expect(each).toBeCloseTo(number(row, 'computed_TPA'), 2);
    }
  });

  it('a metric factor is 4.356 English ones, and its limiting distance is the same tree by tree', () => {
    const design = designOf({ by: 'factor', value: 4, unit: 'm2/ha' });
    expect(design).toEqual({ kind: 'factor', factor: 17.424 });
    // 0.5 over the root of the factor, metres for a centimetre.
    const metres = (0.5 / Math.sqrt(4)) * 30;
    expect(limitingDistance(17.424, 30 / 2.54) * 0.3048).toBeCloseTo(metres, 9);
  });

  it('a tree in at the limit is one whose own circle holds the plot centre: factor x area of that circle is its basal area', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 80, noNaN: true }),
        fc.double({ min: 1, max: 80, noNaN: true }),
        (factor, d) => {
          const acres = acresOfRadius(limitingDistance(factor, d));
          return Math.abs((factor * acres) / basalAreaFt2(d) - 1) < 1e-9;
        },
      ),
    );
  });
});

describe('trees at the border', () => {
  const tenth = designOf({ by: 'area', value: 0.1, unit: 'acre' });

  it('a tenth of an acre: centre at 36.9 feet is in by four inches, at 37.6 out by four (worked by hand)', () => {
    const near = judgeBorder({ design: tenth, diameterIn: null, distanceFt: 36.9, to: 'centre' })!;
    const far = judgeBorder({ design: tenth, diameterIn: null, distanceFt: 37.6, to: 'centre' })!;
    expect(near.inside).toBe(true);
    expect(far.inside).toBe(false);
    expect(Math.round(near.marginIn)).toBe(4);
    expect(Math.round(far.marginIn)).toBe(-4);
    expect(near.close || far.close).toBe(false);
  });

  it('a nine-inch stem whose face is at 36.9 feet is out by half an inch: too close to call without measuring again', () => {
    const border = judgeBorder({ design: tenth, diameterIn: 9, distanceFt: 36.9, to: 'face' })!;
    expect(border.centreFt).toBeCloseTo(37.275, 6);
    expect(border.inside).toBe(false);
    expect(border.marginIn).toBeCloseTo(-0.46, 2);
    expect(border.close).toBe(true);
  });

  it('needs a diameter where the face was taped or a gauge is used, and says nothing on a full tally', () => {
    expect(judgeBorder({ design: tenth, diameterIn: null, distanceFt: 36, to: 'face' })).toBeNull();
    expect(
      judgeBorder({ design: { kind: 'factor', factor: 10 }, diameterIn: null, distanceFt: 36, to: 'centre' }),
    ).toBeNull();
    expect(
      judgeBorder({ design: { kind: 'tally' }, diameterIn: 12, distanceFt: 36, to: 'centre' }),
    ).toBeNull();
  });

  it('14 inches at 38.6 feet is out at factor 10 by the centre (38.5) and in by the face were it taped there', () => {
    const gauge = designOf({ by: 'factor', value: 10 });
    expect(judgeBorder({ design: gauge, diameterIn: 14, distanceFt: 38.6, to: 'centre' })!.inside).toBe(
      false,
    );
    expect(judgeBorder({ design: gauge, diameterIn: 14, distanceFt: 37.9, to: 'face' })!.inside).toBe(true);
    expect(judgeBorder({ design: gauge, diameterIn: 14, distanceFt: 38, to: 'face' })!.inside).toBe(false);
  });

  it('a distance along the slope is levelled: 31.78 feet at 35 percent is 30 level', () => {
    const gauge = designOf({ by: 'factor', value: 10 });
    const border = judgeBorder({
      design: gauge,
      diameterIn: 12,
      distanceFt: 31.784,
      to: 'centre',
      slopePct: 35,
    })!;
    expect(border.centreFt).toBeCloseTo(30, 3);
    const onSlope = judgeBorder({
      design: tenth,
      diameterIn: null,
      distanceFt: 39.3,
      to: 'centre',
      slopePct: 50,
      slopeMethod: 'onSlope',
    })!;
    expect(onSlope.inside).toBe(true);
    expect(
      judgeBorder({
        design: tenth,
        diameterIn: null,
        distanceFt: 39.5,
        to: 'centre',
        slopePct: 50,
        slopeMethod: 'onSlope',
      })!.inside,
    ).toBe(false);
    expect(
      judgeBorder({
        design: tenth,
        diameterIn: null,
        distanceFt: 41.5,
        to: 'centre',
        slopePct: 50,
        slopeMethod: 'horizontal',
      })!.inside,
    ).toBe(true);
  });

  it('units entered do not matter: a radius in metres judges as the same radius in feet', () => {
    const feet = designOf({ by: 'radius', length: { value: 37.2, unit: 'ft' } });
    const metres = designOf({ by: 'radius', length: { value: 37.2 * 0.3048, unit: 'm' } });
    expect(feet.kind === 'fixed' && metres.kind === 'fixed' ? feet.acres / metres.acres : 0).toBeCloseTo(
      1,
      12,
    );
  });
});
