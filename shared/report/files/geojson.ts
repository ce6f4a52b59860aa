/**
 * Trees and plots as GeoJSON (RFC 7946): a point where the device was when each was begun, a null geometry where
 * that is not known. Species carry their FIA code and PLANTS symbol, so that other programs can join on them.
 */
import { fiaCode, speciesByCode } from '../../note/species.ts';
import type { PlotRecord } from '../../totals/types.ts';
import { type Position, positionsOf } from './tables.ts';
import { type KeptSetting, volumeWords, type Wood } from './wood.ts';

interface Feature {
  type: 'Feature';
  id: string;
  /** Longitude first, WGS 84 degrees (RFC 7946, 3.1.1 and 4). */
  geometry: { type: 'Point'; coordinates: LonLat } | null;
  properties: Record<string, string | number | boolean | null | readonly string[]>;
}

type LonLat = [longitude: number, latitude: number];

/** An edge, or a planned plot. */
export interface LandFeature extends Omit<Feature, 'geometry'> {
  geometry:
    | Feature['geometry']
    | { type: 'Polygon'; coordinates: LonLat[][] }
    | { type: 'MultiPolygon'; coordinates: LonLat[][][] };
}

interface FeatureCollection {
  type: 'FeatureCollection';
  /** West, south, east, north; missing where nothing has a position (RFC 7946, 5). */
  bbox?: [number, number, number, number];
  /** How the board feet were reckoned, and what was set: members of our own (RFC 7946, 6.1). */
  boardFeetBy: string;
  settings: readonly { readonly person: string | null; readonly set: KeptSetting['set'] }[];
  features: (Feature | LandFeature)[];
}

/** Plots and trees, then what stands beside them: edges and planned plots. */
export function toGeoJson(wood: Wood, land: readonly LandFeature[] = []): FeatureCollection {
  const positions = positionsOf(wood.entries);
  const plots = new Map(wood.plots.map((plot) => [plot.id, plot]));
  const nameOf = (areas: Wood['stands']) => {
    const names = new Map(areas.map((area) => [area.id, area.name]));
    return (id: string | null | undefined) => (id == null ? null : (names.get(id) ?? null));
  };
  const [stand, stratum] = [nameOf(wood.stands), nameOf(wood.strata)];
  const features: (Feature | LandFeature)[] = [];
  for (const plot of wood.plots) {
    features.push(
      feature(plot.id, positions.get(plot.id), {
        record: 'plot',
        number: plot.number,
        stand: stand(plot.stand),
        stratum: stratum(plot.stratum),
        ...sizeProperties(plot),
        slopePct: plot.slopePct,
        closed: plot.closed,
        empty: plot.empty,
        remarks: wood.besides.get(plot.id)?.remarks ?? [],
        time: new Date(plot.time).toISOString(),
        person: plot.person,
      }),
    );
  }
  for (const tree of wood.trees) {
    const species = tree.species === null ? undefined : speciesByCode(tree.species);
    const plot = tree.plot === null ? undefined : plots.get(tree.plot);
    features.push(
      feature(tree.id, positions.get(tree.id), {
        record: 'tree',
        number: tree.number,
        stand: stand(tree.stand),
        stratum: stratum(plot?.stratum),
        plot: plot?.number ?? null,
        species: species?.commonName ?? null,
        scientificName: species?.scientificName ?? null,
        fia: fiaCode(tree.species),
        plants: species?.symbol ?? null,
        status: tree.status,
        count: tree.count,
        dbhIn: tree.diameterIn,
        heightFt: tree.heightFt,
        heightSdFt: tree.heightSdFt,
        logs16Ft: tree.logs,
        merchFt: tree.merchFt,
        defectPct: tree.defectPct,
        formClassPct: tree.formClass,
        marks: tree.marks,
        counted: tree.counted,
        half: tree.half ?? false,
        ...besidesOf(wood, tree.id),
        time: new Date(tree.time).toISOString(),
        person: tree.person,
      }),
    );
  }
  features.push(...land);
  const points = features.flatMap(({ geometry }) => pointsOf(geometry));
  const settings = wood.settings.map(({ person, set }) => ({ person, set }));
  const how = { boardFeetBy: volumeWords(wood), settings };
  if (points.length === 0) return { type: 'FeatureCollection', ...how, features };
  let [west, south, east, north] = [180, 90, -180, -90];
  for (const [longitude, latitude] of points) {
    west = Math.min(west, longitude);
    east = Math.max(east, longitude);
    south = Math.min(south, latitude);
    north = Math.max(north, latitude);
  }
  return { type: 'FeatureCollection', bbox: [west, south, east, north], ...how, features };
}

/** What a tree comes to, rounded as it is known. */
function besidesOf(wood: Wood, id: string): Feature['properties'] {
  const { remarks = [], methods = [], values = null } = wood.besides.get(id) ?? {};
  const to = (value: number | null | undefined, decimals: number): number | null =>
    value == null ? null : Number(value.toFixed(decimals));
  return {
    method: methods.join('; ') || null,
    remarks,
    perAcre: to(values?.perAcre, 3),
    basalAreaFt2: to(values?.basalAreaFt2, 4),
    boardFeet: to(values?.boardFeet, 0),
    stemFt3: to(values?.cubicFt, 2),
    biomassLb: to(values?.pounds, 0),
  };
}

function pointsOf(geometry: LandFeature['geometry']): readonly LonLat[] {
  switch (geometry?.type) {
    case undefined:
      return [];
    case 'Point':
      return [geometry.coordinates];
    case 'Polygon':
      return geometry.coordinates.flat();
    case 'MultiPolygon':
      return geometry.coordinates.flat(2);
  }
}

function feature(id: string, at: Position | undefined, properties: Feature['properties']): Feature {
  if (at === undefined) return { type: 'Feature', id, geometry: null, properties };
  // Six decimals are about 0.1 m: more claims what no handheld receiver knows (RFC 7946, 11.2).
  const coordinates: LonLat = [Number(at.longitude.toFixed(6)), Number(at.latitude.toFixed(6))];
  return {
    type: 'Feature',
    id,
    geometry: { type: 'Point', coordinates },
    properties: { ...properties, positionAccuracyMetres: at.accuracyMetres },
  };
}

function sizeProperties({ size }: PlotRecord): Feature['properties'] {
  if (size === null) return { plotBy: null };
  if (size.by === 'tally') return { plotBy: 'tally' };
  const unit = size.by === 'radius' ? size.length.unit : size.unit;
  return {
    plotBy: size.by,
    plotSize: size.by === 'radius' ? size.length.value : size.value,
    plotUnit: unit ?? null,
  };
}
