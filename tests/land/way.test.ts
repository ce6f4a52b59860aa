/** The way between: paces, dead reckoning against simulation, obstacles, and back again. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import {
  covarianceOf,
  ellipseOf,
  feetBetween,
  type Located,
  type PlanePoint,
  pointAlong,
} from '../../shared/land/error-ellipse.ts';
import {
  aroundObstacle,
  knownPosition,
  reckoned,
  type Stretch,
  wayBack,
  wayTo,
} from '../../shared/land/way.ts';
import { normal, walker } from './support.ts';

const origin: PlanePoint = { eastFt: 0, northFt: 0 };
const where = { declination: -13 };
const stretches = fc.array(
  fc.record({
    azimuth: fc.double({ min: 0, max: 360, noNaN: true, maxExcluded: true }),
    feet: fc.double({ min: 1, max: 2000, noNaN: true }),
  }),
  { minLength: 1, maxLength: 12 },
);
const follow = (from: PlanePoint, of: readonly Stretch[]): PlanePoint =>
  of.reduce((point, { azimuth, feet }) => pointAlong(point, azimuth, feet), from);

describe('the way', () => {
  test('of 132 feet on bearing 85 is 25 paces, 27 uphill', () => {
    const target = pointAlong(origin, 85, 132);
    const way = wayTo(
      knownPosition(origin, 5),
      target,
      { ...walker, pace: { feet: 5.28, sdFeet: 0.1 } },
      where,
    );
    expect(way.azimuth).toBeCloseTo(85, 9);
    expect(way.feet).toBeCloseTo(132, 9);
    expect(way).toMatchObject({
      magnetic: expect.closeTo(98, 9),
      paces: 25,
      uphillPaces: 27,
      uphillSupposed: true,
    });
  });

  test('by what the person said of this ground, in the steps that the person counts, or without a pace', () => {
    const target = pointAlong(origin, 85, 132);
    const by = (more: object) => wayTo(knownPosition(origin, 5), target, { ...walker, ...more }, where);
    expect(by({ groundShorter: 20 })).toMatchObject({ paces: 25, uphillPaces: 31, uphillSupposed: false });
    expect(by({ counting: 'steps' })).toMatchObject({ paces: 50, uphillPaces: 54 });
    expect(by({ pace: null })).toMatchObject({ paces: null, uphillPaces: null });
    expect(wayTo(knownPosition(origin, 5), target, walker, { declination: null }).magnetic).toBeNull();
  });

  test('there, and from there back, is the same way on the back bearing', () => {
    fc.assert(
      fc.property(stretches, (of) => {
        const there = follow(origin, of);
        const back = follow(there, wayBack(of));
        expect(feetBetween(back, origin)).toBeLessThan(1e-6);
        const out = wayTo(knownPosition(origin, 3), there, walker, where);
        const home = wayTo(out.arrival, origin, walker, where);
        expect(home.feet).toBeCloseTo(out.feet, 6);
        if (out.feet > 1)
          expect(Math.abs(((home.azimuth - out.azimuth + 720) % 360) - 180)).toBeLessThan(1e-6);
        // The pace that was wrong there is wrong back: no part of it is left.
        const left = home.arrival.common.find(({ cause }) => cause.startsWith('pace'))!;
        expect(Math.hypot(left.eastFt, left.northFt)).toBeLessThan(1e-6);
      }),
    );
  });

  test('an obstacle is passed by three right-angled turns that lead on along the line', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.constantFrom('left' as const, 'right' as const),
        fc.double({ min: 1, max: 500, noNaN: true }),
        fc.double({ min: 1, max: 900, noNaN: true }),
        (azimuth, side, offsetFt, alongFt) => {
          const { turns, gainedFt } = aroundObstacle({ azimuth, side, offsetFt, alongFt });
          const on = pointAlong(origin, azimuth, gainedFt);
          expect(feetBetween(follow(origin, turns), on)).toBeLessThan(1e-6);
          const off = follow(origin, turns.slice(0, 1));
          // To the right of north is east.
          const right = azimuth + (side === 'right' ? 90 : -90);
          expect(feetBetween(off, pointAlong(origin, right, offsetFt))).toBeLessThan(1e-6);
        },
      ),
    );
  });
});

describe('dead reckoning', () => {
  const route: readonly Stretch[] = [
    { azimuth: 20, feet: 400 },
    { azimuth: 75, feet: 300 },
    { azimuth: 160, feet: 250 },
  ];

  test('grows less sure with every leg, until a known place is met', () => {
    let here: Located = knownPosition(origin, 2);
    let before = 0;
    for (const stretch of route) {
      here = reckoned(here, stretch, walker, where);
      const { majorFt } = ellipseOf(covarianceOf(here));
      expect(majorFt).toBeGreaterThan(before);
      before = majorFt;
    }
    expect(ellipseOf(covarianceOf(knownPosition(here.at, 6)))).toMatchObject({ majorFt: 6, minorFt: 6 });
  });

  test('its ellipse is that of 20 000 simulated walks, within five percent', () => {
    let here: Located = knownPosition(origin, 4);
    for (const stretch of route) here = reckoned(here, stretch, walker, where);
    const random = seeded(85);
    const ends: PlanePoint[] = [];
    for (let walk = 0; walk < 20_000; walk++) {
      let at: PlanePoint = { eastFt: 4 * normal(random), northFt: 4 * normal(random) };
      const pace = 1 + (walker.pace!.sdFeet / walker.pace!.feet) * normal(random);
      const needle = 0.5 * normal(random);
      for (const { azimuth, feet } of route) {
        const along = feet * (pace + 0.045 * normal(random));
        at = pointAlong(at, azimuth + needle + 1.5 * normal(random), along);
      }
      ends.push(at);
    }
    const mean = (of: (end: PlanePoint) => number): number =>
      ends.reduce((sum, end) => sum + of(end), 0) / ends.length;
    const [east, north] = [mean((end) => end.eastFt), mean((end) => end.northFt)];
    const simulated = ellipseOf({
      eastEast: mean((end) => (end.eastFt - east) ** 2),
      eastNorth: mean((end) => (end.eastFt - east) * (end.northFt - north)),
      northNorth: mean((end) => (end.northFt - north) ** 2),
    });
    const told = ellipseOf(covarianceOf(here));
    expect(Math.abs(told.majorFt / simulated.majorFt - 1)).toBeLessThan(0.05);
    expect(Math.abs(told.minorFt / simulated.minorFt - 1)).toBeLessThan(0.05);
    expect(Math.abs(told.azimuth - simulated.azimuth)).toBeLessThan(5);
  });
});
