/**
 * Outlines against geographiclib-geodesic (C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43-55, 2013), whose
 * polygons are areas on the ellipsoid itself.
 */
import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { pointAlong } from '../../shared/land/error-ellipse.ts';
import {
  areaOfOutline,
  edgeDistance,
  isInside,
  type Outline,
  outlineOf,
  perimeterOf,
  placeAt,
  pointAt,
} from '../../shared/land/polygon.ts';
import { type ImportedOutline, readGeoJson } from '../../shared/land/read-geojson.ts';

type LonLat = [longitude: number, latitude: number];

const earth = geodesic.Geodesic.WGS84;
/** Acres and feet round a ring on the ellipsoid. */
function onEllipsoid(ring: readonly LonLat[]): { acres: number; feet: number } {
  const polygon = earth.Polygon(false);
  for (const [longitude, latitude] of ring) polygon.AddPoint(latitude, longitude);
  const { area, perimeter } = polygon.Compute(false, true) as { area: number; perimeter: number };
  return { acres: Math.abs(area) / 0.3048 ** 2 / 43560, feet: perimeter / 0.3048 };
}

const imported = (value: unknown): ImportedOutline => {
  const read = readGeoJson(value);
  if (!read.ok) throw new Error(read.error);
  return read.value;
};
const polygon = (...rings: readonly (readonly LonLat[])[]) => ({
  type: 'Polygon',
  coordinates: rings.map((ring) => [...ring, ring[0]]),
});

/** A ring of so many corners round a place, so many degrees wide. */
const star = (middle: LonLat, reach: number, corners: readonly number[]): LonLat[] =>
  corners.map((far, i) => {
    const turn = (2 * Math.PI * i) / corners.length;
    const wide = reach * far;
    return [
      middle[0] + (wide * Math.cos(turn)) / Math.cos((middle[1] * Math.PI) / 180),
      middle[1] + wide * Math.sin(turn),
    ];
  });
const corners = fc.array(fc.double({ min: 0.3, max: 1, noNaN: true }), { minLength: 3, maxLength: 20 });
const middle = fc.tuple(
  fc.double({ min: -178, max: 178, noNaN: true }),
  fc.double({ min: -75, max: 75, noNaN: true }),
);

describe('areas and perimeters', () => {
  test('of stands up to two miles across, to a part of a million of those on the ellipsoid', () => {
    fc.assert(
      fc.property(middle, corners, (at, far) => {
        const ring = star(at, 0.015, far);
        const { acres, outline, errorPart } = imported(polygon(ring));
        const real = onEllipsoid(ring);
        expect(Math.abs(acres / real.acres - 1)).toBeLessThan(1e-6);
        expect(Math.abs(perimeterOf(outline) / real.feet - 1)).toBeLessThan(1e-6);
        expect(errorPart).toBeLessThan(1e-6);
      }),
    );
  });

  test('of a county the plane is too small by less than it says', () => {
    fc.assert(
      fc.property(middle, corners, (at, far) => {
        const ring = star(at, 0.3, far);
        const { acres, errorPart } = imported(polygon(ring));
        const short = 1 - acres / onEllipsoid(ring).acres;
        expect(short).toBeGreaterThan(-1e-7);
        // The ellipsoid's own curvature differs from the sphere's by up to a part in 150.
        expect(short).toBeLessThan(errorPart * 1.02 + 1e-9);
      }),
    );
  });

  test('holes are left out, in either order of their corners', () => {
    const edge = star([-72.5, 44.1], 0.01, [1, 1, 1, 1, 1, 1]);
    const hole = star([-72.5, 44.1], 0.003, [1, 1, 1, 1]);
    const left = onEllipsoid(edge).acres - onEllipsoid(hole).acres;
    for (const rings of [
      [edge, hole],
      [[...edge].reverse(), hole],
      [edge, [...hole].reverse()],
    ]) {
      const { acres, outline, notes } = imported(polygon(...rings));
      expect(acres / left).toBeCloseTo(1, 6);
      expect(notes.at(-1)).toBe('The polygon has 1 hole, left out of the area.');
      expect(isInside(outline, { eastFt: 0, northFt: 0 })).toBe(false);
    }
    expect(imported(polygon([...edge].reverse())).notes).toEqual([
      'The edge of the polygon ran the other way round; it was turned.',
    ]);
  });

  test('across the date line it is one stand', () => {
    const ring: LonLat[] = [
      [179.995, 65],
      [-179.995, 65],
      [-179.995, 65.005],
      [179.995, 65.005],
    ];
    expect(imported(polygon(ring)).acres / onEllipsoid(ring).acres).toBeCloseTo(1, 6);
  });
});

describe('places and points', () => {
  test('a point of the plane and back is the same', () => {
    fc.assert(
      fc.property(
        middle,
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 0, max: 100_000, noNaN: true }),
        (at, azimuth, feet) => {
          const { plane } = imported(polygon(star(at, 0.01, [1, 1, 1])));
          const point = pointAlong({ eastFt: 0, northFt: 0 }, azimuth, feet);
          const back = pointAt(plane, placeAt(plane, point));
          expect(Math.hypot(back.eastFt - point.eastFt, back.northFt - point.northFt)).toBeLessThan(1e-4);
        },
      ),
    );
  });

  test('inside by chance is as often as the area says, and the edge is as far as its nearest point', () => {
    const outline: Outline = {
      parts: [
        {
          ...outlineOf([
            { eastFt: 0, northFt: 0 },
            { eastFt: 900, northFt: 100 },
            { eastFt: 700, northFt: 800 },
            { eastFt: 350, northFt: 300 },
            { eastFt: 100, northFt: 700 },
          ]).parts[0]!,
          holes: [
            [
              { eastFt: 600, northFt: 300 },
              { eastFt: 600, northFt: 450 },
              { eastFt: 720, northFt: 450 },
            ],
          ],
        },
      ],
    };
    const random = seeded(3);
    let inside = 0;
    const draws = 40_000;
    for (let i = 0; i < draws; i++) {
      const at = { eastFt: 900 * random(), northFt: 800 * random() };
      if (isInside(outline, at)) inside++;
    }
    const part = (areaOfOutline(outline) * 43560) / (900 * 800);
    expect(Math.abs(inside / draws - part)).toBeLessThan(4 * Math.sqrt((part * (1 - part)) / draws));
    // Against a walk along the edges in steps of a hundredth of each.
    const rings = outline.parts.flatMap(({ outer, holes }) => [outer, ...holes]);
    for (let i = 0; i < 200; i++) {
      const at = { eastFt: 900 * random(), northFt: 800 * random() };
      let nearest = Number.POSITIVE_INFINITY;
      for (const ring of rings) {
        for (const [k, from] of ring.entries()) {
          const to = ring[(k + 1) % ring.length]!;
          for (let part = 0; part <= 1; part += 0.01) {
            nearest = Math.min(
              nearest,
              Math.hypot(
                from.eastFt + part * (to.eastFt - from.eastFt) - at.eastFt,
                from.northFt + part * (to.northFt - from.northFt) - at.northFt,
              ),
            );
          }
        }
      }
      expect(edgeDistance(outline, at)).toBeLessThanOrEqual(nearest + 1e-9);
      expect(edgeDistance(outline, at)).toBeGreaterThan(nearest - 5);
    }
  });
});

describe('what cannot be an edge is refused with a sentence', () => {
  const square = (east: number, size = 0.01): LonLat[] => [
    [east, 44],
    [east + size, 44],
    [east + size, 44 + size],
    [east, 44 + size],
  ];
  const refused: readonly (readonly [what: unknown, sentence: string])[] = [
    [null, 'Expected GeoJSON with a polygon; found something else.'],
    ['{}', 'Expected GeoJSON with a polygon; found something else.'],
    [{ type: 'Point', coordinates: [0, 0] }, 'Expected a GeoJSON polygon; found none.'],
    [{ type: 'FeatureCollection' }, 'Expected the members of a FeatureCollection; found none.'],
    [{ type: 'Polygon', coordinates: [] }, 'Expected the rings of a polygon; found none.'],
    [
      {
        type: 'Polygon',
        coordinates: [
          [
            [1, 2],
            ['a', 3],
          ],
        ],
      },
      'Expected positions of two numbers',
    ],
    [
      polygon([
        [-72, 44],
        [-72, 44.1],
      ]),
      'Expected at least three corners in the edge of the polygon; found 2.',
    ],
    [
      polygon([
        [44, -172],
        [44.1, -172],
        [44.1, -172.1],
      ]),
      'The two may be the wrong way round.',
    ],
    [
      polygon([
        [480000, 4880000],
        [480100, 4880000],
        [480100, 4880100],
      ]),
      'metres or feet of a map grid',
    ],
    [
      polygon([
        [-72, 44],
        [-71.99, 44.01],
        [-71.99, 44],
        [-72, 44.01],
      ]),
      'The edge of the polygon crosses itself: its sides from corners 1 and 3 meet.',
    ],
    [polygon(square(-72), square(-71.995)), 'Hole 1 of the polygon reaches over its edge.'],
    [
      {
        type: 'MultiPolygon',
        coordinates: [polygon(square(-72)).coordinates, polygon(square(-71.995)).coordinates],
      },
      'Polygons 1 and 2 overlap, so part of the area would count twice.',
    ],
    [{ type: 'Polygon', coordinates: [[]] }, 'found an empty one'],
    [polygon(square(-72, 2)), 'Expected a wood of at most 62 miles across'],
  ];
  test.each(refused)('%j', (what, sentence) => {
    expect(readGeoJson(what)).toEqual({ ok: false, error: expect.stringContaining(sentence) });
  });

  test('anything at all is read or refused, never thrown at', () => {
    fc.assert(
      fc.property(fc.anything(), (value) => {
        expect(typeof readGeoJson(value).ok).toBe('boolean');
        expect(typeof readGeoJson({ type: 'Polygon', coordinates: value }).ok).toBe('boolean');
        expect(typeof readGeoJson({ type: 'FeatureCollection', features: value }).ok).toBe('boolean');
      }),
    );
  });

  test('neighbours that share a side are two parts, and what was not closed is closed', () => {
    const two = {
      type: 'FeatureCollection',
      features: [square(-72), square(-71.99)].map((ring) => ({
        type: 'Feature',
        properties: {},
        geometry: polygon(ring),
      })),
    };
    const { outline, acres } = imported(two);
    expect(outline.parts).toHaveLength(2);
    expect(acres / (2 * onEllipsoid(square(-72)).acres)).toBeCloseTo(1, 6);
    const open = imported({ type: 'Polygon', coordinates: [square(-72)] });
    expect(open.notes).toEqual(['The edge of the polygon did not end where it began; it was closed.']);
  });
});
