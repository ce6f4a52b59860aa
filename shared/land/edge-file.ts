/** The text of a GeoJSON file as the rings that the book keeps, or a sentence why it is none. Nothing is taken in part. */
import { err, ok, type Result } from '../core/result.ts';
import { plain } from '../core/units.ts';
import { sizes } from '../note/limits.ts';
import { type Outline, placeAt } from './polygon.ts';
import { type ImportedOutline, readGeoJson } from './read-geojson.ts';

/** Larger files are no edge of a wood, bytes; read whole, they would take the memory of a phone. */
export const mostEdgeBytes = 16 * 1024 * 1024;

/** Rings of WGS 84 longitude and latitude, the outer one of each part first. */
type EdgeRings = [number, number][][][];

export interface EdgeFile {
  readonly parts: EdgeRings;
  readonly acres: number;
  /** What was put right or left out, a sentence each. */
  readonly notes: readonly string[];
}

/**
 * Reads a file. Errors: not JSON, not GeoJSON, no polygon, edges that cross, holes that reach out, another coordinate order
 * or reference, more than the book can hold.
 */
export function readEdgeFile(text: string): Result<EdgeFile, string> {
  if (text.length > mostEdgeBytes) return err(tooLarge);
  let value: unknown;
  try {
    // A byte order mark is no part of JSON, but many programs write one.
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    return err('Expected GeoJSON, a text of JSON with a polygon; this is none.');
  }
  const read = readGeoJson(value);
  if (!read.ok) return read;
  const { outline, acres, notes } = read.value;
  const many = tooMany(outline);
  if (many !== null) return err(many);
  const parts = ringsAsDegrees(read.value);
  const beyond = beyondTrees(parts);
  return beyond === null ? ok({ parts, acres, notes }) : err(beyond);
}

/** No tree grows nearer to the poles: larches at 72.5 degrees north, southern beeches at 56 degrees south (from memory). */
const northernmost = 74;
const southernmost = -57;

function beyondTrees(parts: EdgeRings): string | null {
  for (const [longitude, latitude] of parts.flat(2)) {
    if (latitude > northernmost || latitude < southernmost)
      return `Expected degrees, longitude first; found ${plain(longitude)}, ${plain(latitude)}, and no tree grows at latitude ${plain(latitude)}. The two may be the wrong way round.`;
  }
  return null;
}

export const tooLarge = `Expected a file of at most ${mostEdgeBytes / 1024 / 1024} megabytes for an edge. Export the one stand, with fewer corners.`;

function tooMany({ parts }: Outline): string | null {
  if (parts.length > sizes.rings) return `Expected at most ${sizes.rings} polygons; found ${parts.length}.`;
  for (const { outer, holes } of parts) {
    if (holes.length + 1 > sizes.rings)
      return `Expected at most ${sizes.rings - 1} holes in a polygon; found ${holes.length}.`;
    for (const ring of [outer, ...holes]) {
      if (ring.length > sizes.corners)
        return `Expected at most ${sizes.corners} corners in a ring; found ${ring.length}. Draw the edge with fewer.`;
    }
  }
  return null;
}

/** Seven decimals of a degree are about a centimetre. */
const ringsAsDegrees = ({ outline, plane }: ImportedOutline): EdgeRings =>
  outline.parts.map(({ outer, holes }) =>
    [outer, ...holes].map((ring) =>
      ring.map((at): [number, number] => {
        const { latitude, longitude } = placeAt(plane, at);
        return [Number(longitude.toFixed(7)), Number(latitude.toFixed(7))];
      }),
    ),
  );
