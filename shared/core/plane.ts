/**
 * A flat plane that touches the ellipsoid in the middle of a wood: where a position lies east and north of there, and
 * how far and which way one lies from another. Good to a millionth of the distance within 10 km of the middle.
 */
import { radians } from './units.ts';

export interface Place {
  /** WGS 84 degrees, north and east positive. */
  readonly latitude: number;
  readonly longitude: number;
}

/** Metres from the middle of the plane. North is true north there. */
interface Point {
  readonly east: number;
  readonly north: number;
}

export interface Plane {
  readonly middle: Place;
  at(place: Place): Point;
}

/** WGS 84: equatorial radius, metres, and flattening (NIMA TR8350.2, third edition, table 3.1). */
const equator = 6_378_137;
const flattening = 1 / 298.257223563;
const eccentricitySquared = flattening * (2 - flattening);

type Vector = readonly [x: number, y: number, z: number];

/** Earth-centred coordinates of a place on the ellipsoid, metres (TR8350.2, equation 4-14 with height 0). */
function earthCentred({ latitude, longitude }: Place): Vector {
  const [phi, lambda] = [radians(latitude), radians(longitude)];
  const normal = equator / Math.sqrt(1 - eccentricitySquared * Math.sin(phi) ** 2);
  return [
    normal * Math.cos(phi) * Math.cos(lambda),
    normal * Math.cos(phi) * Math.sin(lambda),
    normal * (1 - eccentricitySquared) * Math.sin(phi),
  ];
}

/** The plane that touches at a place: the first two of the usual east, north, up coordinates. */
export function planeAt(middle: Place): Plane {
  const [x0, y0, z0] = earthCentred(middle);
  const [phi, lambda] = [radians(middle.latitude), radians(middle.longitude)];
  const [sinPhi, cosPhi, sinLambda, cosLambda] = [
    Math.sin(phi),
    Math.cos(phi),
    Math.sin(lambda),
    Math.cos(lambda),
  ];
  return {
    middle,
    at(place) {
      const [x, y, z] = earthCentred(place);
      const [dx, dy, dz] = [x - x0, y - y0, z - z0];
      return {
        east: cosLambda * dy - sinLambda * dx,
        north: cosPhi * dz - sinPhi * (cosLambda * dx + sinLambda * dy),
      };
    },
  };
}

/**
 * The place over a point of a plane: the other way of `Plane.at`, by correcting what a guess is off. Good to a tenth of a
 * millimetre within 100 km of the middle.
 */
export function placeFrom(plane: Plane, point: Point): Place {
  const { middle } = plane;
  let [latitude, longitude] = [middle.latitude, middle.longitude];
  for (let round = 0; round < 8; round++) {
    const found = plane.at({ latitude, longitude });
    const [north, east] = [point.north - found.north, point.east - found.east];
    latitude += (north / equator) * (180 / Math.PI);
    longitude += (east / (equator * Math.cos(radians(latitude)))) * (180 / Math.PI);
  }
  return { latitude, longitude: ((((longitude + 180) % 360) + 360) % 360) - 180 };
}

/**
 * The plane in the middle of these places; null for none. The middle is that of the space they take up, so that ten
 * notes from one spot do not pull it there; it is right across the date line.
 */
export function planeOf(places: readonly Place[]): Plane | null {
  const first = places[0];
  if (first === undefined) return null;
  const east = (place: Place): number =>
    ((((place.longitude - first.longitude + 180) % 360) + 360) % 360) - 180;
  const latitudes = places.map((place) => place.latitude);
  const longitudes = places.map(east);
  const longitude = first.longitude + (Math.min(...longitudes) + Math.max(...longitudes)) / 2;
  return planeAt({
    latitude: (Math.min(...latitudes) + Math.max(...latitudes)) / 2,
    longitude: ((((longitude + 180) % 360) + 360) % 360) - 180,
  });
}

/** Metres between two points. `distance({ east: 0, north: 0 }, { east: 3, north: 4 }) === 5`. */
export const distance = (a: Point, b: Point): number => Math.hypot(b.east - a.east, b.north - a.north);

/** Degrees clockwise from north, 0 up to 360, from one point to another. */
export function bearing(from: Point, to: Point): number {
  const degrees = (Math.atan2(to.east - from.east, to.north - from.north) * 180) / Math.PI;
  return (degrees + 360) % 360;
}
