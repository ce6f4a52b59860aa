/**
 * Edges from GeoJSON (RFC 7946): polygons in WGS 84 degrees, longitude first, brought to a local plane in feet. What had to
 * be put right, such as the order of a ring, is told; what cannot be an edge is refused with a sentence.
 */

import { type Place, type Plane, planeOf } from '../core/plane.ts';
import { lastOf, required } from '../core/required.ts';
import { err, ok, type Result } from '../core/result.ts';
import { plain } from '../core/units.ts';
import { sizes } from '../note/limits.ts';
import type { PlanePoint } from './error-ellipse.ts';
import {
  areaOfOutline,
  boundsOf,
  edgeDistance,
  isInside,
  isWithinRing,
  type Outline,
  type OutlinePart,
  pointAt,
  type Ring,
  turned,
} from './polygon.ts';
import { doubleArea, segmentsMeet } from './traverse.ts';

export interface ImportedOutline {
  readonly outline: Outline;
  readonly plane: Plane;
  readonly acres: number;
  /** By how much at most the plane shows areas too small, as a part; heights over the sea are not in it. */
  readonly errorPart: number;
  /** What was put right or left out, a sentence each. */
  readonly notes: readonly string[];
}

/** No edge of a wood has more corners; more would take too long to check. */
const mostCorners = sizes.cornersOfEdge;
/** A wood is not wider than this, feet (some 62 miles); the plane is good for it. */
const widestFt = 330_000;
/** Radius of the earth, feet, for the plane's error: mean radius R1 of WGS 84, 6 371 008.8 m. */
const earthFt = 6_371_008.8 / 0.3048;

type Degrees = readonly (readonly [longitude: number, latitude: number])[];

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Reads all polygons of a GeoJSON object. */
export function readGeoJson(value: unknown): Result<ImportedOutline, string> {
  const polygons: (readonly Degrees[])[] = [];
  const notes: string[] = [];
  const elsewhere = otherReference(value);
  if (elsewhere !== null) return err(elsewhere);
  const failed = collect(value, polygons, notes, 0);
  if (failed !== null) return err(failed);
  if (polygons.length === 0) {
    return err('Expected a GeoJSON polygon; found none. Points and lines alone have no inside.');
  }
  const corners = polygons.flatMap((rings) => rings.flat());
  if (corners.length > mostCorners) {
    return err(`Expected at most ${mostCorners} corners; found ${corners.length}. Draw the edge with fewer.`);
  }
  const plane = required(planeOf(corners.map(toPlace)), 'a corner');
  const parts: OutlinePart[] = [];
  for (const [i, rings] of polygons.entries()) {
    const which = polygons.length === 1 ? 'the polygon' : `polygon ${i + 1}`;
    const part = readPart(rings, plane, which, notes);
    if (!part.ok) return part;
    parts.push(part.value);
  }
  const outline: Outline = { parts };
  const bounds = required(boundsOf(outline), 'a corner');
  const reach = Math.hypot(bounds.east - bounds.west, bounds.north - bounds.south) / 2;
  if (2 * reach > widestFt) {
    return err(
      `Expected a wood of at most 62 miles across; found ${plain(Math.round((2 * reach) / 5280))} miles.`,
    );
  }
  const overlapping = partsThatOverlap(parts);
  if (overlapping !== null) return err(overlapping);
  return ok({ outline, plane, acres: areaOfOutline(outline), errorPart: (reach / earthFt) ** 2 / 2, notes });
}

/**
 * RFC 7946 knows WGS 84 alone; files of the older form of 2008 may name another reference, in which the numbers mean other
 * places.
 */
function otherReference(value: unknown): string | null {
  if (!isRecord(value) || !isRecord(value.crs)) return null;
  const { properties } = value.crs;
  const name = isRecord(properties) ? (properties.name ?? properties.href) : undefined;
  if (typeof name !== 'string' || /CRS84|EPSG:+4326$|EPSG\/0\/4326$/i.test(name)) return null;
  return `Expected degrees of WGS 84; the file names another reference, ${name.slice(0, 60)}. Export it again in WGS 84 (EPSG:4326).`;
}

const toPlace = ([longitude, latitude]: readonly [number, number]): Place => ({ latitude, longitude });

/** Puts the polygons of an object to the list; a sentence where it is no GeoJSON. */
function collect(
  value: unknown,
  into: (readonly Degrees[])[],
  notes: string[],
  depth: number,
): string | null {
  if (!isRecord(value) || depth > 8) return 'Expected GeoJSON with a polygon; found something else.';
  switch (value.type) {
    case 'Polygon':
      return readRings(value.coordinates, into);
    case 'MultiPolygon':
      if (!Array.isArray(value.coordinates)) return 'Expected the coordinates of a MultiPolygon; found none.';
      return firstFailure(value.coordinates, (rings) => readRings(rings, into));
    case 'Feature':
      return value.geometry === null ? null : collect(value.geometry, into, notes, depth + 1);
    case 'FeatureCollection':
    case 'GeometryCollection': {
      const members = value.type === 'FeatureCollection' ? value.features : value.geometries;
      if (!Array.isArray(members)) return `Expected the members of a ${value.type}; found none.`;
      return firstFailure(members, (member) => collect(member, into, notes, depth + 1));
    }
    case 'Point':
    case 'MultiPoint':
    case 'LineString':
    case 'MultiLineString':
      notes.push(`A ${value.type} was left out: it has no inside.`);
      return null;
    default:
      return 'Expected GeoJSON with a polygon; found something else.';
  }
}

function firstFailure(members: readonly unknown[], read: (member: unknown) => string | null): string | null {
  for (const member of members) {
    const failed = read(member);
    if (failed !== null) return failed;
  }
  return null;
}

function readRings(value: unknown, into: (readonly Degrees[])[]): string | null {
  if (!Array.isArray(value) || value.length === 0) return 'Expected the rings of a polygon; found none.';
  const rings: Degrees[] = [];
  for (const ring of value) {
    if (!Array.isArray(ring)) return 'Expected a ring of positions; found something else.';
    if (ring.length === 0) return 'Expected a ring of positions; found an empty one.';
    const read: (readonly [number, number])[] = [];
    for (const at of ring) {
      const [longitude, latitude]: readonly unknown[] = Array.isArray(at) ? at : [];
      if (typeof longitude !== 'number' || typeof latitude !== 'number')
        return 'Expected positions of two numbers, longitude first; found something else.';
      if (!(Math.abs(latitude) <= 89) || !(Math.abs(longitude) <= 180))
        return outOfRange(longitude, latitude);
      read.push([longitude, latitude]);
    }
    rings.push(read);
  }
  into.push(rings);
  return null;
}

function outOfRange(longitude: number, latitude: number): string {
  const swapped = Math.abs(longitude) <= 89 && Math.abs(latitude) <= 180;
  return `Expected degrees, longitude first, latitude from -89 to 89; found ${plain(longitude)}, ${plain(latitude)}.${
    swapped ? ' The two may be the wrong way round.' : ' These may be metres or feet of a map grid.'
  }`;
}

/** One polygon: its outer ring and its holes, each turned the way it should. */
function readPart(
  rings: readonly Degrees[],
  plane: Plane,
  which: string,
  notes: string[],
): Result<OutlinePart, string> {
  const read: Ring[] = [];
  for (const [i, degrees] of rings.entries()) {
    const of = i === 0 ? `the edge of ${which}` : `hole ${i} of ${which}`;
    const ring = readRing(degrees, plane, of, notes);
    if (!ring.ok) return ring;
    const way = i === 0 ? 'anticlockwise' : 'clockwise';
    const right = turned(ring.value, way);
    if (right !== ring.value) notes.push(`${capital(of)} ran the other way round; it was turned.`);
    read.push(right);
  }
  const [outer, ...holes] = read;
  if (outer === undefined) return err(`${capital(which)} has no edge.`);
  for (const [i, hole] of holes.entries()) {
    if (!hole.every((at) => isWithinRing(outer, at)) || ringsMeet(outer, hole))
      return err(`Hole ${i + 1} of ${which} reaches over its edge.`);
    for (let j = 0; j < i; j++) {
      if (
        ringsMeet(holes[j]!, hole) ||
        isWithinRing(holes[j]!, hole[0]!) ||
        isWithinRing(hole, holes[j]![0]!)
      )
        return err(`Holes ${j + 1} and ${i + 1} of ${which} overlap.`);
    }
  }
  if (holes.length > 0) {
    notes.push(
      `${capital(which)} has ${holes.length === 1 ? '1 hole' : `${holes.length} holes`}, left out of the area.`,
    );
  }
  return ok({ outer: outer, holes });
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function readRing(degrees: Degrees, plane: Plane, of: string, notes: string[]): Result<Ring, string> {
  const points: PlanePoint[] = [];
  for (const at of degrees) {
    const point = pointAt(plane, toPlace(at));
    const before = points.at(-1);
    // A corner told twice is one.
    if (before === undefined || !isSame(before, point)) points.push(point);
  }
  const closed = points.length > 1 && isSame(points[0]!, lastOf(points));
  if (closed) points.pop();
  if (points.length < 3) return err(`Expected at least three corners in ${of}; found ${points.length}.`);
  if (!closed) notes.push(`${capital(of)} did not end where it began; it was closed.`);
  const crossing = firstCrossing(points);
  if (crossing !== null) {
    return err(
      `${capital(of)} crosses itself: its sides from corners ${crossing[0]} and ${crossing[1]} meet.`,
    );
  }
  if (doubleArea(points) === 0) return err(`${capital(of)} encloses nothing.`);
  return ok(points);
}

/** Closer than this, feet, two positions are one: GeoJSON is rarely written finer. */
const samePlaceFt = 1e-6;
const isSame = (a: PlanePoint, b: PlanePoint): boolean =>
  Math.abs(a.eastFt - b.eastFt) < samePlaceFt && Math.abs(a.northFt - b.northFt) < samePlaceFt;

interface Edge {
  readonly i: number;
  readonly a: PlanePoint;
  readonly b: PlanePoint;
  readonly west: number;
  readonly east: number;
}

function edgesOf(ring: Ring): Edge[] {
  return ring
    .map((a, i): Edge => {
      const b = ring[(i + 1) % ring.length]!;
      return { i, a, b, west: Math.min(a.eastFt, b.eastFt), east: Math.max(a.eastFt, b.eastFt) };
    })
    .sort((a, b) => a.west - b.west);
}

/** The first two edges of a ring that meet and are no neighbours, numbered from 1; edges are taken from west to east. */
function firstCrossing(ring: Ring): readonly [number, number] | null {
  const open: Edge[] = [];
  for (const edge of edgesOf(ring)) {
    for (let k = open.length - 1; k >= 0; k--) {
      const other = open[k]!;
      if (other.east < edge.west) {
        open.splice(k, 1);
        continue;
      }
      const apart = Math.abs(edge.i - other.i);
      if (apart === 1 || apart === ring.length - 1) continue;
      if (segmentsMeet(edge.a, edge.b, other.a, other.b))
        return [Math.min(edge.i, other.i) + 1, Math.max(edge.i, other.i) + 1];
    }
    open.push(edge);
  }
  return null;
}

function ringsMeet(one: Ring, two: Ring): boolean {
  const others = edgesOf(two);
  for (const edge of edgesOf(one)) {
    for (const other of others) {
      if (other.west > edge.east) break;
      if (other.east >= edge.west && segmentsMeet(edge.a, edge.b, other.a, other.b)) return true;
    }
  }
  return false;
}

/** Deeper than this, feet, one polygon reaches into another; neighbours drawn by hand share a side only about. */
const overlapFt = 1;

function partsThatOverlap(parts: readonly OutlinePart[]): string | null {
  for (let i = 0; i < parts.length; i++) {
    for (let j = 0; j < i; j++) {
      if (reachesInto(parts[i]!, parts[j]!) || reachesInto(parts[j]!, parts[i]!))
        return `Polygons ${j + 1} and ${i + 1} overlap, so part of the area would count twice.`;
    }
  }
  return null;
}

/**
 * Whether some piece of one's edge lies inside the other: edges are cut where they cross, and the pieces' middles tried. Of
 * one polygon told twice no piece does, so a place inside it is tried too.
 */
function reachesInto({ outer, holes }: OutlinePart, other: OutlinePart): boolean {
  const around: Outline = { parts: [other] };
  const within = placeInside([outer, ...holes]);
  if (within !== null && isInside(around, within) && edgeDistance(around, within) > overlapFt) return true;
  const others = edgesOf(other.outer);
  for (const { a, b, west, east } of edgesOf(outer)) {
    const cuts = [0, 1];
    for (const edge of others) {
      if (edge.west > east) break;
      if (edge.east >= west) cuts.push(...crossingAt(a, b, edge.a, edge.b));
    }
    cuts.sort((one, two) => one - two);
    for (let k = 0; k + 1 < cuts.length; k++) {
      const part = (cuts[k]! + cuts[k + 1]!) / 2;
      const at = {
        eastFt: a.eastFt + part * (b.eastFt - a.eastFt),
        northFt: a.northFt + part * (b.northFt - a.northFt),
      };
      if (isInside(around, at) && edgeDistance(around, at) > overlapFt) return true;
    }
  }
  return false;
}

/** The middle of the widest stretch inside rings on the line halfway up; null where that line meets none. */
function placeInside(rings: readonly Ring[]): PlanePoint | null {
  const bounds = boundsOf({ parts: [{ outer: rings[0]!, holes: [] }] });
  if (bounds === null) return null;
  const northFt = (bounds.south + bounds.north) / 2;
  const cuts: number[] = [];
  for (const ring of rings) {
    for (const [i, a] of ring.entries()) {
      const b = ring[(i + 1) % ring.length]!;
      if (a.northFt > northFt === b.northFt > northFt) continue;
      cuts.push(a.eastFt + ((northFt - a.northFt) / (b.northFt - a.northFt)) * (b.eastFt - a.eastFt));
    }
  }
  cuts.sort((one, two) => one - two);
  let best: readonly [wide: number, eastFt: number] = [0, 0];
  for (let k = 0; k + 1 < cuts.length; k += 2) {
    const wide = cuts[k + 1]! - cuts[k]!;
    if (wide > best[0]) best = [wide, (cuts[k]! + cuts[k + 1]!) / 2];
  }
  return best[0] > 0 ? { eastFt: best[1], northFt } : null;
}

/** How far along the first segment, 0 to 1, the second crosses it; none where they do not or run side by side. */
function crossingAt(a: PlanePoint, b: PlanePoint, c: PlanePoint, d: PlanePoint): readonly number[] {
  const [east, north] = [b.eastFt - a.eastFt, b.northFt - a.northFt];
  const [otherEast, otherNorth] = [d.eastFt - c.eastFt, d.northFt - c.northFt];
  const cross = east * otherNorth - otherEast * north;
  if (cross === 0) return [];
  const [gapEast, gapNorth] = [c.eastFt - a.eastFt, c.northFt - a.northFt];
  const along = (gapEast * otherNorth - otherEast * gapNorth) / cross;
  const otherAlong = (gapEast * north - east * gapNorth) / cross;
  return along > 0 && along < 1 && otherAlong >= 0 && otherAlong <= 1 ? [along] : [];
}
