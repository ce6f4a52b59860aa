/** Edges, plans and plots as GeoJSON features, and the legs of walks as a table: what other programs can join on. */

import type { Book } from '../../book/book.ts';
import { required } from '../../core/required.ts';
import type { PlanePoint } from '../../land/error-ellipse.ts';
import { placeAt, type Ring, ringsOf } from '../../land/polygon.ts';
import { distanceWords, legWords } from '../../wording/ground.ts';
import { type Cell, type CsvColumn, writeCsv } from './csv.ts';
import type { LandFeature } from './geojson.ts';
import { type GroundShown, groundsOf } from './grounds.ts';

/**
 * The edge of every ground as a polygon and its planned plots as points. A walk without a position at its start has null
 * geometries (RFC 7946, 3.2), its plots then carry feet east and north of the start.
 */
export function landFeatures(book: Book): LandFeature[] {
  const source = book.settings.now.declination === null ? 'magnetic' : 'true';
  return groundsOf(book).flatMap((shown) => {
    const stand = { stand: shown.name };
    const features: LandFeature[] = [];
    const { ground, closed, placed } = shown;
    if (ground !== null) {
      features.push({
        type: 'Feature',
        id: shown.id,
        geometry: polygonOf(shown),
        properties: {
          record: 'edge',
          ...stand,
          from: shown.walk === null ? 'edge brought in' : 'walk by compass',
          acres: ground.acres,
          acresSd: ground.sdAcres,
          ...(closed === null
            ? {}
            : {
                misclosureFt: closed.misclosure.feet,
                perimeterFt: closed.perimeterFt,
                north: source,
              }),
          ...(placed === null || shown.walk === null
            ? {}
            : { positionAccuracyMetres: placed.accuracyMetres }),
          note: 'not a legal survey',
        },
      });
    }
    for (const plot of shown.plots) {
      features.push({
        type: 'Feature',
        id: `${shown.id}/${plot.number}`,
        geometry: placed === null ? null : { type: 'Point', coordinates: degrees(shown, plot.at) },
        properties: {
          record: 'planned plot',
          ...stand,
          number: plot.number,
          eastFt: rounded(plot.at.eastFt),
          northFt: rounded(plot.at.northFt),
          toEdgeFt: rounded(plot.toEdgeFt),
          crossesEdge: plot.crossesEdge,
          taken: plot.taken !== null,
          seed: shown.seed,
        },
      });
    }
    return features;
  });
}

const rounded = (feet: number): number => Math.round(feet * 10) / 10;

/** Six decimals are about 0.1 m (RFC 7946, 11.2). */
function degrees({ placed }: GroundShown, at: PlanePoint): [number, number] {
  const { latitude, longitude } = placeAt(required(placed, 'the place of a ground').plane, at);
  return [Number(longitude.toFixed(6)), Number(latitude.toFixed(6))];
}

function polygonOf(shown: GroundShown): LandFeature['geometry'] {
  const { ground, placed } = shown;
  if (ground === null || placed === null) return null;
  const closedRing = (ring: Ring): [number, number][] => {
    const points = ring.map((at) => degrees(shown, at));
    return [...points, points[0]!];
  };
  const parts = ground.outline.parts.map((part) => ringsOf({ parts: [part] }).map(closedRing));
  return parts.length === 1
    ? { type: 'Polygon', coordinates: parts[0]! }
    : { type: 'MultiPolygon', coordinates: parts };
}

/** The columns of the legs, in their order in the file. */
export const legColumns = [
  { name: 'stand', unit: 'name', meaning: 'stand or stratum' },
  { name: 'leg', unit: 'number', meaning: 'number of the leg in its walk' },
  { name: 'said', unit: 'words', meaning: 'bearing and distance as said' },
  { name: 'measured', unit: 'words', meaning: 'distance as said' },
  {
    name: 'azimuth_deg',
    unit: 'degrees',
    meaning: 'from true north; from magnetic north where no declination is known',
  },
  { name: 'level_ft', unit: 'feet', meaning: 'level distance' },
  { name: 'level_sd_ft', unit: 'feet', meaning: 'its standard deviation, without that of the pace' },
  { name: 'latitude_ft', unit: 'feet', meaning: 'how far it leads north' },
  { name: 'departure_ft', unit: 'feet', meaning: 'how far it leads east' },
  {
    name: 'latitude_correction_ft',
    unit: 'feet',
    meaning: 'its part of the misclosure, by the compass rule',
  },
  { name: 'departure_correction_ft', unit: 'feet', meaning: 'the same, east' },
  { name: 'adjusted_azimuth_deg', unit: 'degrees', meaning: 'bearing after adjustment' },
  { name: 'adjusted_ft', unit: 'feet', meaning: 'length after adjustment' },
  { name: 'east_ft', unit: 'feet', meaning: 'end of the leg, east of the start' },
  { name: 'north_ft', unit: 'feet', meaning: 'end of the leg, north of the start' },
] as const satisfies readonly CsvColumn[];

/** All closed walks, a row a leg. */
export function legsToCsv(book: Book): string {
  return writeCsv(legRows(book));
}

function* legRows(book: Book): Generator<Cell[]> {
  yield legColumns.map(({ name }) => name);
  for (const { name, walk, closed } of groundsOf(book)) {
    if (walk === null || closed === null) continue;
    for (const [i, row] of closed.rows.entries()) {
      const said = walk.legs[i]!;
      const cells = {
        stand: name,
        leg: said.number,
        said: legWords(said.said),
        measured: distanceWords(said.said.distance),
        azimuth_deg: hundredths(row.leg.azimuth),
        level_ft: hundredths(row.leg.feet),
        level_sd_ft: hundredths(row.leg.feetSd),
        latitude_ft: hundredths(row.latitude),
        departure_ft: hundredths(row.departure),
        latitude_correction_ft: hundredths(row.latitudeCorrection),
        departure_correction_ft: hundredths(row.departureCorrection),
        adjusted_azimuth_deg: hundredths(row.azimuth),
        adjusted_ft: hundredths(row.feet),
        east_ft: hundredths(row.at.eastFt),
        north_ft: hundredths(row.at.northFt),
      } satisfies Record<(typeof legColumns)[number]['name'], Cell>;
      yield legColumns.map((column) => cells[column.name]);
    }
  }
}

const hundredths = (value: number): number => Math.round(value * 100) / 100 + 0;
