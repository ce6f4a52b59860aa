/**
 * Traverses against worked ones in print, and their errors against simulation. Where a page prints no year this is said.
 * All are taped in the test, as how a leg was measured does not change what it comes to.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { azimuthOf, backBearing } from '../../shared/land/bearing.ts';
import { covarianceOf, type PlanePoint, radialSd } from '../../shared/land/error-ellipse.ts';
import { type Leg, readLeg } from '../../shared/land/leg.ts';
import {
  type ClosedTraverse,
  closeTraverse,
  crossingLegs,
  doubleArea,
  explainedSds,
  followLegs,
  misclosureOf,
} from '../../shared/land/traverse.ts';
import { simulatedErrors, walks } from './simulated-walks.ts';
import { azimuth, normal, paced, quadrant, read, settings, taped, walker } from './support.ts';

const closed = (legs: readonly Leg[]): ClosedTraverse => {
  const traverse = closeTraverse(legs);
  if (!traverse.ok) throw new Error(traverse.error);
  return traverse.value;
};
const round = (value: number, decimals: number): number => Number(value.toFixed(decimals)) + 0;
const squareFeet = (acres: number): number => acres * 43560;

describe('worked traverses in print', () => {
  // J. Mahun, Open Access Surveying Library, Traverse Computations, chapters G and I, "bearing traverse example" (seen; the
  // pages print no year).
  test('four bearings: latitudes, departures, closing, adjusted coordinates and area', () => {
    const traverse = closed([
      read(taped(quadrant('S 68 5 35 W'), 472.68)),
      read(taped(quadrant('N 19 46 0 W'), 216.13)),
      read(taped(quadrant('N 45 55 20 E'), 276.52)),
      read(taped(quadrant('S 54 59 15 E'), 382.24)),
    ]);
    expect(traverse.rows.map((row) => [round(row.latitude, 3), round(row.departure, 3)])).toEqual([
      [-176.357, -438.548],
      [203.395, -73.093],
      [192.357, 198.651],
      [-219.312, 313.065],
    ]);
    expect(round(traverse.perimeterFt, 2)).toBe(1347.57);
    // Printed 0.083 and 0.075, sums of four values rounded to 0.001.
    expect(Math.abs(traverse.misclosure.northFt - 0.083)).toBeLessThan(0.002);
    expect(Math.abs(traverse.misclosure.eastFt - 0.075)).toBeLessThan(0.002);
    const coordinates = traverse.corners.map(({ eastFt, northFt }) => [
      round(500 + northFt, 3),
      round(2000 + eastFt, 3),
    ]);
    expect(coordinates).toEqual([
      [500, 2000],
      [323.614, 1561.426],
      [526.996, 1488.321],
      [719.336, 1686.956],
    ]);
    // Its printed cross products add up to 3,384,174.1 and 3,590,045.6: half the difference, to the products' rounding.
    expect(Math.abs(squareFeet(traverse.area.acres) - (3590045.6 - 3384174.1) / 2)).toBeLessThan(1);
  });

  // "Sample Traverse Computations", a sheet of six courses that closes to 1/200 (seen, document 279716815 of a document
  // library; no author or year printed).
  test('six courses that close badly: corrections, adjusted courses and area', () => {
    const traverse = closed([
      read(taped(quadrant('N 5 30 0 E'), 495.85)),
      read(taped(quadrant('N 46 2 0 E'), 850.62)),
      read(taped(quadrant('S 67 38 0 E'), 855.45)),
      read(taped(quadrant('S 12 25 0 E'), 1020.87)),
      read(taped(quadrant('S 83 44 0 W'), 1117.26)),
      read(taped(quadrant('N 55 9 0 W'), 660.08)),
    ]);
    const { misclosure } = traverse;
    expect(round(traverse.perimeterFt, 2)).toBe(5000.13);
    expect(round(misclosure.northFt, 3)).toBe(16.817);
    expect(round(misclosure.eastFt, 3)).toBe(18.074);
    expect(round(misclosure.feet, 3)).toBe(24.688);
    expect(Math.round(misclosure.oneIn! / 100) * 100).toBe(200);
    expect(traverse.rows.map((row) => round(row.latitudeCorrection, 4))).toEqual([
      -1.6677, -2.8609, -2.8772, -3.4335, -3.7577, -2.2201,
    ]);
    expect(traverse.rows.map((row) => round(row.departureCorrection, 4))).toEqual([
      -1.7923, -3.0747, -3.0922, -3.6901, -4.0385, -2.386,
    ]);
    expect(traverse.rows.map((row) => round(row.feet, 3))).toEqual([
      494.021, 846.421, 853.694, 1023.439, 1121.689, 660.777,
    ]);
    // Printed in degrees and minutes: N5-18.6974E, N46-01.6936E, S67-22.5472E, S12-10.4149E, S83-33.9032W, N55-25.5719W.
    const minutes = [
      60 * 5 + 18.6974,
      60 * 46 + 1.6936,
      10800 - (60 * 67 + 22.5472),
      10800 - (60 * 12 + 10.4149),
      10800 + (60 * 83 + 33.9032),
      21600 - (60 * 55 + 25.5719),
    ];
    traverse.rows.forEach((row, i) => {
      expect(Math.abs(60 * row.azimuth - minutes[i]!)).toBeLessThan(0.001);
    });
    expect(round(squareFeet(traverse.area.acres), 0)).toBe(1715250);
  });

  // "Compass rule: adjustment of bearing and distance of a closed traverse", illustration (seen, document 493615208 of a
  // document library; no author or year printed). It prints corrections to the fourth decimal.
  test('four courses in metres: corrections of the compass rule', () => {
    const traverse = closed([
      read(taped(quadrant('N 76 0 0 E'), 80.4)),
      read(taped(quadrant('S 36 0 0 E'), 46.3)),
      read(taped(quadrant('S 61 0 0 W'), 72.8)),
      read(taped(quadrant('N 38 0 0 W'), 68.0)),
    ]);
    const { rows, misclosure } = traverse;
    // Printed 0.285 and -0.311, sums of four values rounded to 0.001.
    expect(Math.abs(misclosure.northFt - 0.285)).toBeLessThan(0.002);
    expect(Math.abs(misclosure.eastFt + 0.311)).toBeLessThan(0.002);
    rows.forEach((row, i) => {
      expect(Math.abs(row.latitudeCorrection + [0.0857, 0.0493, 0.0776, 0.0724][i]!)).toBeLessThan(0.0006);
      expect(Math.abs(row.departureCorrection - [0.0935, 0.0538, 0.0846, 0.0791][i]!)).toBeLessThan(0.0006);
      expect(
        Math.abs(row.latitude + row.latitudeCorrection - [19.3653, -37.5063, -35.3716, 53.5126][i]!),
      ).toBeLessThan(0.002);
    });
  });

  // J. Mahun, as above, chapter H, example (seen): sums of cross products 2,190,612 and 1,909,624; and the solution "Traverse
  // area", problem 2 (seen): 250,550 square feet.
  test('areas by coordinates', () => {
    const ring = (pairs: readonly (readonly [north: number, east: number])[]): PlanePoint[] =>
      pairs.map(([northFt, eastFt]) => ({ northFt, eastFt }));
    const loop = ring([
      [406.31, 1259.97],
      [235.12, 1489.47],
      [65.81, 1126.4],
      [317.89, 942.04],
      [675.32, 1282.54],
    ]);
    // Each of its ten products is rounded to a square foot.
    expect(Math.abs(Math.abs(doubleArea(loop)) - (2190612 - 1909624))).toBeLessThan(5);
    const parcel = ring([
      [600, 1000],
      [254.542, 1209.288],
      [97.543, 566.876],
      [470.303, 397.969],
    ]);
    expect(Math.round(Math.abs(doubleArea(parcel)) / 20) * 10).toBe(250550);
    // Balanced departures and latitudes of Ghilani and Wolf, Elementary Surveying, chapter 10 (from memory, not seen): 272,600
    // square feet, 6.258 acres.
    const corners = ring([
      [0, 0],
      [-388.835, 517.444],
      [-591.785, 523.405],
      [102.234, 716.286],
      [255.921, 125.715],
    ]);
    expect(Math.round(Math.abs(doubleArea(corners)) / 200) * 100).toBe(272600);
    expect(round(Math.abs(doubleArea(corners)) / 2 / 43560, 3)).toBe(6.258);
  });

  test('a square mile of 80 chains a side is 640 acres (public land survey, common knowledge of the trade)', () => {
    const chains = [0, 90, 180, 270].map((degrees) =>
      read({ bearing: azimuth(degrees), distance: { by: 'length', length: { value: 80, unit: 'chain' } } }),
    );
    const { area, misclosure } = closed(chains);
    expect(area.acres).toBeCloseTo(640, 9);
    expect(misclosure).toMatchObject({ feet: expect.closeTo(0, 6), oneIn: null, explained: true });
  });
});

describe('errors against simulation', () => {
  test.each(Object.keys(walks))('%s: area and closing within five percent of 20 000 walks', (name) => {
    const { acres, saidAreaSd, areaSd, saidClosingFt, closingFt } = simulatedErrors(walks[name]!, 19);
    expect(Math.abs(saidAreaSd / areaSd - 1)).toBeLessThan(0.05);
    expect(Math.abs(saidClosingFt / closingFt - 1)).toBeLessThan(0.05);
    console.log(
      `${name}: area ${acres.toFixed(3)} acres, sd ${saidAreaSd.toFixed(4)} (simulated ${areaSd.toFixed(4)}); closing ${saidClosingFt.toFixed(1)} ft (simulated ${closingFt.toFixed(1)})`,
    );
  });

  test('a pace that is 3 percent long makes the area 6 percent large, whatever the shape', () => {
    const unsure = { ...walker, pace: { feet: 5.28, sdFeet: 5.28 * 0.03 } };
    for (const degrees of [
      [20, 75, 130, 195, 255, 310],
      [0, 100, 230],
    ]) {
      const { area } = closed(degrees.map((each) => read(paced(azimuth(each), 80), unsure)));
      expect(area.paceSdAcres / area.acres).toBeCloseTo(0.06, 9);
      expect(area.sdAcres).toBeCloseTo(Math.hypot(area.ownSdAcres, area.paceSdAcres), 12);
    }
  });

  test('closing by chance is explained in 95 of 100 walks', () => {
    const random = seeded(4);
    const legs = walks['six paced legs']!;
    // The walk closed exactly, then walked again and again.
    const { rows } = closed(legs);
    const exact = legs.map((leg, i): Leg => ({ ...leg, azimuth: rows[i]!.azimuth, feet: rows[i]!.feet }));
    let explained = 0;
    for (let walk = 0; walk < 4000; walk++) {
      const pace = normal(random);
      const walked = exact.map(
        (leg): Leg => ({
          ...leg,
          feet: leg.feet + leg.feetSd * normal(random) + leg.paceFt * pace,
          azimuth: leg.azimuth + leg.azimuthSd * normal(random),
        }),
      );
      if (misclosureOf(walked).explained) explained++;
    }
    // Three standard deviations of a count of 4000 at 0.9545.
    expect(Math.abs(explained / 4000 - 0.9545)).toBeLessThan(0.01);
    expect(explainedSds).toBeCloseTo(2.486, 3);
  });
});

describe('laws', () => {
  const star = fc
    .array(
      fc.record({
        feet: fc.double({ min: 100, max: 900, noNaN: true }),
        wild: fc.double({ min: -3, max: 3, noNaN: true }),
      }),
      {
        minLength: 3,
        maxLength: 9,
      },
    )
    .map((corners) => {
      // Corners round a middle, in order: their edges do not cross. Legs between them, read with small errors.
      const points = corners.map(({ feet }, i) => {
        const turn = (2 * Math.PI * i) / corners.length;
        return { eastFt: feet * Math.sin(turn), northFt: feet * Math.cos(turn) };
      });
      return points.map((from, i) => {
        const to = points[(i + 1) % points.length]!;
        const [east, north] = [to.eastFt - from.eastFt, to.northFt - from.northFt];
        const degrees = azimuthOf((Math.atan2(east, north) * 180) / Math.PI + corners[i]!.wild / 3);
        return read(taped(azimuth(degrees), Math.hypot(east, north) + corners[i]!.wild));
      });
    });

  test('area and closing do not depend on the corner where the walk begins', () => {
    fc.assert(
      fc.property(star, fc.nat(8), (legs, turn) => {
        const by = turn % legs.length;
        const one = closed(legs);
        const two = closed([...legs.slice(by), ...legs.slice(0, by)]);
        expect(two.area.acres).toBeCloseTo(one.area.acres, 8);
        expect(two.area.sdAcres).toBeCloseTo(one.area.sdAcres, 8);
        expect(two.misclosure.feet).toBeCloseTo(one.misclosure.feet, 8);
        expect(two.misclosure.expectedFt).toBeCloseTo(one.misclosure.expectedFt, 8);
      }),
    );
  });

  test('nor on the direction of the walk', () => {
    fc.assert(
      fc.property(star, (legs) => {
        const one = closed(legs);
        const two = closed(
          [...legs].reverse().map((leg): Leg => ({ ...leg, azimuth: backBearing(leg.azimuth) })),
        );
        expect(two.area.acres).toBeCloseTo(one.area.acres, 8);
        expect(two.area.sdAcres).toBeCloseTo(one.area.sdAcres, 8);
        expect(two.misclosure.feet).toBeCloseTo(one.misclosure.feet, 8);
        expect(two.clockwise).toBe(!one.clockwise);
      }),
    );
  });

  test('nor on where north is', () => {
    fc.assert(
      fc.property(star, fc.double({ min: 0, max: 360, noNaN: true }), (legs, turn) => {
        const one = closed(legs);
        const two = closed(legs.map((leg): Leg => ({ ...leg, azimuth: azimuthOf(leg.azimuth + turn) })));
        expect(two.area.acres).toBeCloseTo(one.area.acres, 7);
        expect(two.area.sdAcres).toBeCloseTo(one.area.sdAcres, 7);
        expect(two.misclosure.feet).toBeCloseTo(one.misclosure.feet, 7);
      }),
    );
  });

  test('adjusting closes the walk, and adjusting it again changes nothing', () => {
    fc.assert(
      fc.property(star, (legs) => {
        const { rows } = closed(legs);
        const again = closed(
          rows.map(({ leg, azimuth: degrees, feet }): Leg => ({ ...leg, azimuth: degrees, feet })),
        );
        expect(again.misclosure.feet).toBeLessThan(1e-8);
        expect(again.misclosure.oneIn).toBeNull();
        again.rows.forEach((row, i) => {
          expect(row.feet).toBeCloseTo(rows[i]!.feet, 8);
          expect(Math.abs(row.latitudeCorrection) + Math.abs(row.departureCorrection)).toBeLessThan(1e-8);
        });
        expect(again.area.acres).toBeCloseTo(again.acresBefore, 9);
      }),
    );
  });

  test('a walk there and back ends where it began, and its pace has cancelled', () => {
    fc.assert(
      fc.property(star, (legs) => {
        const walked = legs.map((leg): Leg => ({ ...leg, paceFt: leg.feet / 50 }));
        const back = [...walked].reverse().map((leg): Leg => ({ ...leg, azimuth: backBearing(leg.azimuth) }));
        const { end } = followLegs([...walked, ...back]);
        expect(Math.hypot(end.at.eastFt, end.at.northFt)).toBeLessThan(1e-6);
        for (const { eastFt, northFt } of end.common) expect(Math.hypot(eastFt, northFt)).toBeLessThan(1e-6);
        expect(radialSd(covarianceOf(end))).toBeGreaterThan(0);
      }),
    );
  });
});

describe('what cannot be', () => {
  test('fewer than three legs, and a bearing over 360, are told in a sentence', () => {
    expect(closeTraverse([])).toEqual({
      ok: false,
      error: 'An area needs at least three legs round it; there are no legs.',
    });
    expect(closeTraverse([read(paced(azimuth(5), 10))])).toMatchObject({
      error: 'An area needs at least three legs round it; there is 1 leg.',
    });
    expect(readLeg(paced(azimuth(400), 10), walker, settings)).toMatchObject({
      error: { kind: 'impossible', sentence: expect.stringContaining('from 0 to 360 degrees; found 400') },
    });
    expect(readLeg(paced(azimuth(40), 10), { ...walker, pace: null }, settings)).toMatchObject({
      error: { kind: 'needs', what: 'pace' },
    });
    expect(readLeg({ ...paced(azimuth(40), 10), slope: { value: 12 } }, walker, settings)).toMatchObject({
      error: { kind: 'needs', what: 'scale' },
    });
    for (const count of [0, -3, Number.NaN])
      expect(readLeg(paced(azimuth(40), count), walker, settings).ok).toBe(false);
  });

  test('legs that cross are told by their numbers', () => {
    const bowtie = [
      { eastFt: 0, northFt: 0 },
      { eastFt: 100, northFt: 100 },
      { eastFt: 100, northFt: 0 },
      { eastFt: 0, northFt: 100 },
    ];
    expect(crossingLegs(bowtie)).toEqual([[1, 3]]);
    const walk = [45, 180, 315, 180].map((degrees, i) =>
      read(taped(azimuth(degrees), i % 2 === 0 ? 141.42 : 100)),
    );
    expect(closed(walk).crossings).toEqual([[1, 3]]);
  });

  test('a slope brings a leg to the level', () => {
    // 30 feet at 35 percent need 31.78 feet along the slope (trade reference, computed).
    const leg = read({ ...taped(azimuth(0), 31.78), slope: { value: 35, unit: 'pct' } });
    expect(leg.feet).toBeCloseTo(30, 2);
    expect(read({ ...paced(azimuth(0), 60), slope: { value: 60, unit: 'deg' } }).feet).toBeCloseTo(
      60 * 5.28 * 0.5,
      9,
    );
  });
});
