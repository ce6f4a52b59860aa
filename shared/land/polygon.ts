/**
 * Outlines: the edge of a stand on the local plane, with holes, in any number of parts. Area, perimeter, what lies inside and
 * how far the edge is, in feet and acres.
 */
import { type Place, type Plane, placeFrom } from '../core/plane.ts';
import { metresPerFoot, squareFeetPerAcre } from '../core/units.ts';
import { feetBetween, type PlanePoint } from './error-ellipse.ts';
import { doubleArea } from './traverse.ts';

/** Corners in order; the last is joined to the first, which is not repeated. */
export type Ring = readonly PlanePoint[];

export interface OutlinePart {
  /** Anticlockwise. */
  readonly outer: Ring;
  /** Clockwise. */
  readonly holes: readonly Ring[];
}

export interface Outline {
  readonly parts: readonly OutlinePart[];
}

/** Corners as a ring that turns the wanted way. */
export const turned = (ring: Ring, way: 'clockwise' | 'anticlockwise'): Ring =>
  doubleArea(ring) > 0 === (way === 'anticlockwise') ? ring : [...ring].reverse();

/** The outline inside corners, such as a closed traverse's. */
export const outlineOf = (corners: Ring): Outline => ({
  parts: [{ outer: turned(corners, 'anticlockwise'), holes: [] }],
});

export const ringsOf = ({ parts }: Outline): readonly Ring[] =>
  parts.flatMap(({ outer, holes }) => [outer, ...holes]);

/** Acres inside, holes left out. */
export function areaOfOutline(outline: Outline): number {
  let twice = 0;
  for (const { outer, holes } of outline.parts) {
    twice += Math.abs(doubleArea(outer));
    for (const hole of holes) twice -= Math.abs(doubleArea(hole));
  }
  return twice / 2 / squareFeetPerAcre;
}

/** Feet of edge, that of holes too. */
export const perimeterOf = (outline: Outline): number =>
  ringsOf(outline).reduce(
    (sum, ring) =>
      sum + ring.reduce((length, at, i) => length + feetBetween(at, ring[(i + 1) % ring.length]!), 0),
    0,
  );

/** Whether a ring goes round a point: an odd number of its edges lies east of it. */
export function isWithinRing(ring: Ring, { eastFt, northFt }: PlanePoint): boolean {
  let inside = false;
  for (let i = 0, before = ring.length - 1; i < ring.length; before = i++) {
    const [a, b] = [ring[i]!, ring[before]!];
    if (a.northFt > northFt === b.northFt > northFt) continue;
    const east = a.eastFt + ((northFt - a.northFt) / (b.northFt - a.northFt)) * (b.eastFt - a.eastFt);
    if (eastFt < east) inside = !inside;
  }
  return inside;
}

/** Whether a point lies in a part and in none of its holes. A point on the edge may be told either way. */
export const isInside = ({ parts }: Outline, point: PlanePoint): boolean =>
  parts.some(
    ({ outer, holes }) => isWithinRing(outer, point) && !holes.some((hole) => isWithinRing(hole, point)),
  );

/** Feet to the nearest edge, from inside or outside; Infinity where there is no edge. */
export function edgeDistance(outline: Outline, point: PlanePoint): number {
  let nearest = Number.POSITIVE_INFINITY;
  for (const ring of ringsOf(outline)) {
    for (let i = 0; i < ring.length; i++) {
      nearest = Math.min(nearest, segmentDistance(point, ring[i]!, ring[(i + 1) % ring.length]!));
    }
  }
  return nearest;
}

function segmentDistance(point: PlanePoint, a: PlanePoint, b: PlanePoint): number {
  const [east, north] = [b.eastFt - a.eastFt, b.northFt - a.northFt];
  const square = east * east + north * north;
  const along =
    square === 0 ? 0 : ((point.eastFt - a.eastFt) * east + (point.northFt - a.northFt) * north) / square;
  const part = Math.min(1, Math.max(0, along));
  return feetBetween(point, { eastFt: a.eastFt + part * east, northFt: a.northFt + part * north });
}

/** West, south, east and north of all corners, feet; null for an outline without any. */
export function boundsOf(
  outline: Outline,
): { readonly west: number; readonly south: number; readonly east: number; readonly north: number } | null {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const ring of ringsOf(outline)) {
    for (const { eastFt, northFt } of ring) {
      west = Math.min(west, eastFt);
      east = Math.max(east, eastFt);
      south = Math.min(south, northFt);
      north = Math.max(north, northFt);
    }
  }
  return west > east ? null : { west, south, east, north };
}

/** Where a position lies on the plane. */
export function pointAt(plane: Plane, place: Place): PlanePoint {
  const { east, north } = plane.at(place);
  return { eastFt: east / metresPerFoot, northFt: north / metresPerFoot };
}

/** The position of a point of the plane. */
export const placeAt = (plane: Plane, { eastFt, northFt }: PlanePoint): Place =>
  placeFrom(plane, { east: eastFt * metresPerFoot, north: northFt * metresPerFoot });
