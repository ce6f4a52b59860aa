/**
 * The map: its plane against geodesics of geographiclib-geodesic (C. F. F. Karney, Algorithms for geodesics, J. Geodesy
 * 87, 43-55, 2013) on WGS 84, and the layout's promises.
 */
import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, test } from 'vitest';
import { bearing, distance, planeAt, planeOf } from '../../shared/core/plane.ts';
import { layOut, type MapSize, mapLength, type Spot } from '../../shared/report/charts/map-layout.ts';

const earth = geodesic.Geodesic.WGS84;
const origin = { east: 0, north: 0 };
const size: MapSize = { width: 420, height: 360, margin: 36, units: 'metres' };

const spot = (number: number, latitude: number, longitude: number, more: Partial<Spot> = {}): Spot => ({
  id: `plot ${number}`,
  record: 'plot',
  number,
  stand: null,
  latitude,
  longitude,
  accuracyMetres: 5,
  ...more,
});

const drawn = (spots: readonly Spot[], as = size) => {
  const map = layOut(spots, as);
  if (!map.ok) throw new Error(map.error);
  return map.value;
};

describe('the plane', () => {
  const place = fc.record({
    latitude: fc.double({ min: -80, max: 80, noNaN: true }),
    longitude: fc.double({ min: -180, max: 180, noNaN: true }),
  });

  test('law: within 10 km, distance and bearing from the middle are those of the geodesic', () => {
    fc.assert(
      fc.property(
        place,
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 1, max: 10_000, noNaN: true }),
        (middle, azimuth, metres) => {
          const there = earth.Direct(middle.latitude, middle.longitude, azimuth, metres);
          const point = planeAt(middle).at({ latitude: there.lat2!, longitude: there.lon2! });
          expect(Math.abs(distance(origin, point) / metres - 1)).toBeLessThan(1e-6);
          const off = Math.abs(bearing(origin, point) - azimuth);
          expect(Math.min(off, 360 - off)).toBeLessThan(0.001);
        },
      ),
    );
  });

  test('law: two places of one wood are as far apart as the geodesic says, to a millimetre in a kilometre', () => {
    fc.assert(
      fc.property(
        place,
        fc.array(
          fc.tuple(
            fc.double({ min: 0, max: 360, noNaN: true }),
            fc.double({ min: 0, max: 2000, noNaN: true }),
          ),
          { minLength: 2, maxLength: 5 },
        ),
        (middle, steps) => {
          const places = steps.map(([azimuth, metres]) => {
            const there = earth.Direct(middle.latitude, middle.longitude, azimuth, metres);
            return { latitude: there.lat2!, longitude: there.lon2! };
          });
          const plane = planeOf(places)!;
          for (const a of places)
            for (const b of places) {
              const { s12 } = earth.Inverse(a.latitude, a.longitude, b.latitude, b.longitude);
              expect(Math.abs(distance(plane.at(a), plane.at(b)) - s12!)).toBeLessThan(1e-4 + s12! * 1e-6);
            }
        },
      ),
    );
  });

  test('a degree of latitude and of longitude at 45 north are as long as in the tables', () => {
    // 111 131.7 m and 78 846.8 m on WGS 84 (NGA, length of a degree; from memory: to the metre), here by a hundredth of each.
    const plane = planeAt({ latitude: 45, longitude: 0 });
    expect(plane.at({ latitude: 45.005, longitude: 0 }).north * 2).toBeCloseTo(1111.32, 1);
    expect(plane.at({ latitude: 45, longitude: 0.005 }).east * 2).toBeCloseTo(788.47, 1);
  });

  test('a wood on the date line is as wide as it is', () => {
    const plane = planeOf([
      { latitude: 52, longitude: 179.999 },
      { latitude: 52, longitude: -179.999 },
    ])!;
    const [a, b] = [
      plane.at({ latitude: 52, longitude: 179.999 }),
      plane.at({ latitude: 52, longitude: -179.999 }),
    ];
    expect(distance(a, b)).toBeCloseTo(earth.Inverse(52, 179.999, 52, -179.999).s12!, 3);
    expect(bearing(a, b)).toBeCloseTo(90, 2);
  });
});

describe('the map', () => {
  test('north is up, east is right, and both have one scale', () => {
    const { plots, metresPerUnit } = drawn([spot(1, 44, -71), spot(2, 44.002, -71), spot(3, 44, -70.998)]);
    const [a, b, c] = plots;
    expect(b!.x).toBeCloseTo(a!.x, 0);
    expect(b!.y).toBeLessThan(a!.y);
    expect(c!.x).toBeGreaterThan(a!.x);
    expect((a!.y - b!.y) * metresPerUnit).toBeCloseTo(earth.Inverse(44, -71, 44.002, -71).s12!, 1);
    expect((c!.x - a!.x) * metresPerUnit).toBeCloseTo(earth.Inverse(44, -71, 44, -70.998).s12!, 1);
  });

  test('law: every point is inside the margin, and nothing is not a number', () => {
    const wood = fc.array(
      fc.tuple(
        fc.double({ min: -0.01, max: 0.01, noNaN: true }),
        fc.double({ min: -0.01, max: 0.01, noNaN: true }),
        fc.double({ min: 0, max: 3000, noNaN: true }),
      ),
      { minLength: 1, maxLength: 12 },
    );
    fc.assert(
      fc.property(wood, fc.constantFrom('feet' as const, 'metres' as const), (places, units) => {
        const spots = places.map(([n, e, accuracyMetres], at) =>
          spot(at + 1, 44 + n, -71 + e, { accuracyMetres }),
        );
        const map = drawn(spots, { ...size, units });
        for (const { x, y, radius } of map.plots) {
          expect(x).toBeGreaterThanOrEqual(size.margin - 1e-6);
          expect(x).toBeLessThanOrEqual(size.width - size.margin + 1e-6);
          expect(y).toBeGreaterThanOrEqual(size.margin - 1e-6);
          expect(y).toBeLessThanOrEqual(size.height - size.margin + 1e-6);
          expect(Number.isFinite(radius)).toBe(true);
        }
        expect(map.legs.length).toBe(spots.length - 1);
        expect(map.scaleBar.length).toBeGreaterThan(size.width / 10);
        expect(map.scaleBar.length).toBeLessThan(size.width / 3);
        expect(map.scaleBar.length * map.metresPerUnit).toBeCloseTo(map.scaleBar.metres, 6);
        expect(JSON.stringify(map)).not.toMatch(/null,"y|NaN/);
      }),
    );
  });

  test('the way from plot to plot follows their numbers, with its length, bearing and doubt', () => {
    const { legs } = drawn([
      spot(2, 44.001, -71, { accuracyMetres: 3 }),
      spot(1, 44, -71, { accuracyMetres: 4 }),
    ]);
    expect(legs).toHaveLength(1);
    expect([legs[0]!.from.number, legs[0]!.to.number]).toEqual([1, 2]);
    expect(legs[0]!.metres).toBeCloseTo(earth.Inverse(44, -71, 44.001, -71).s12!, 3);
    expect(legs[0]!.bearingDegrees).toBeCloseTo(0, 6);
    // Independent errors: the root of the sum of squares, 3-4-5.
    expect(legs[0]!.giveOrTakeMetres).toBeCloseTo(5, 9);
    expect(legs[0]!.label?.text).toBe('110 m');
  });

  test('there is no way from a plot of one stand to a plot of another', () => {
    const { legs } = drawn([
      spot(1, 44, -71, { stand: 'mill lot', id: 'a' }),
      spot(2, 44.001, -71, { stand: 'mill lot', id: 'b' }),
      spot(1, 44.01, -71, { stand: 'alder hollow', id: 'c' }),
    ]);
    expect(legs.map(({ from, to }) => [from.id, to.id])).toEqual([['a', 'b']]);
  });

  test('labels of plots that stand close together do not lie on each other or on a plot', () => {
    const { plots } = drawn([
      spot(1, 44, -71),
      spot(2, 44.00005, -71.00005),
      spot(3, 44.002, -71.002),
      spot(4, 43.99995, -70.99995),
    ]);
    const boxes = plots.map(({ label }) => {
      const wide = label!.text.length * 13 * 0.62;
      const left = label!.x - { start: 0, middle: wide / 2, end: wide }[label!.anchor];
      return { left, right: left + wide, top: label!.y - 10, bottom: label!.y + 2 };
    });
    for (const [i, a] of boxes.entries())
      for (const b of boxes.slice(i + 1))
        expect(a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom).toBe(false);
  });

  test('one plot alone is drawn in the middle of at least forty metres', () => {
    const map = drawn([spot(1, 44, -71)]);
    expect([map.plots[0]!.x, map.plots[0]!.y]).toEqual([210, 180]);
    expect(map.metresPerUnit * (size.height - 2 * size.margin)).toBeGreaterThanOrEqual(40);
  });

  test('nothing with a position, and places too far apart, are sentences', () => {
    expect(layOut([], size)).toEqual({ ok: false, error: expect.stringMatching(/No plot has a position/) });
    expect(layOut([spot(1, 44, -71), spot(2, 48, -71)], size)).toEqual({
      ok: false,
      error: expect.stringMatching(/200 kilometres/),
    });
  });

  test('lengths have two figures in the units of the book', () => {
    expect([0.4, 67.04, 448, 1432].map((metres) => mapLength(metres, 'metres'))).toEqual([
      '0.4 m',
      '67 m',
      '450 m',
      '1.4 km',
    ]);
    // 67.04 m / 0.3048 = 219.9 ft; 3701 m / 1609.344 = 2.30 mi
    expect([67.04, 3701].map((metres) => mapLength(metres, 'feet'))).toEqual(['220 ft', '2.3 mi']);
  });
});
