/**
 * Bearings: azimuths and quadrant bearings, magnetic and true, back bearings, and how they are said. Inside, a bearing is an
 * azimuth from true north in degrees, 0 up to but not 360, clockwise. A declination is positive where the needle points east
 * of true north, so true = magnetic + declination (common practice, no source).
 */
import { err, ok, type Result } from '../core/result.ts';
import { plain } from '../core/units.ts';

/** Which north a bearing was read from. */
export type North = 'true' | 'magnetic';
type Compass = 'north' | 'east' | 'south' | 'west';

/** A bearing as said: "85", "north 40 east", "due south". */
export type SaidBearing =
  | { readonly by: 'azimuth'; readonly degrees: number }
  | {
      readonly by: 'quadrant';
      readonly from: 'north' | 'south';
      readonly degrees: number;
      readonly towards: 'east' | 'west';
    }
  | { readonly by: 'due'; readonly towards: Compass };

const dueDegrees = { north: 0, east: 90, south: 180, west: 270 } as const satisfies Record<Compass, number>;

/** Brings degrees to 0 up to but not 360. Example: `azimuthOf(-90) === 270`. */
export const azimuthOf = (degrees: number): number => {
  const turned = ((degrees % 360) + 360) % 360;
  return turned === 360 ? 0 : turned + 0;
};

/**
 * The azimuth of a bearing as said, from the same north. An azimuth runs from 0 to 360 (360 is north), a quadrant bearing
 * from 0 to 90; others are refused with a sentence.
 * Example: `quadrantDegrees('north', 40, 'west') === 320`.
 */
export function readBearing(said: SaidBearing): Result<number, string> {
  if (said.by === 'due') return ok(dueDegrees[said.towards]);
  const { degrees } = said;
  if (said.by === 'azimuth') {
    return degrees >= 0 && degrees <= 360
      ? ok(azimuthOf(degrees))
      : err(
          `Expected a bearing from 0 to 360 degrees; found ${plain(degrees)}. Say it again, such as bearing 85.`,
        );
  }
  return degrees >= 0 && degrees <= 90
    ? ok(quadrantDegrees(said.from, degrees, said.towards))
    : err(
        `Expected a quadrant bearing from 0 to 90 degrees, such as ${said.from} 40 ${said.towards}; found ${plain(degrees)}.`,
      );
}

/** Azimuth of a quadrant bearing. Example: `quadrantDegrees('south', 30, 'east') === 150`. */
export function quadrantDegrees(from: 'north' | 'south', degrees: number, towards: 'east' | 'west'): number {
  const turn = towards === 'east' ? degrees : -degrees;
  return azimuthOf(from === 'north' ? turn : 180 - turn);
}

/** The bearing back. Example: `backBearing(85) === 265`. */
export const backBearing = (azimuth: number): number => azimuthOf(azimuth + 180);

/** From the needle's north to true north; declination in degrees, east positive. Example: `toTrue(90, -12) === 78`. */
export const toTrue = (magnetic: number, declination: number): number => azimuthOf(magnetic + declination);
/** The other way. Example: `toMagnetic(78, -12) === 90`. */
export const toMagnetic = (azimuth: number, declination: number): number => azimuthOf(azimuth - declination);

/** The shorter turn from one bearing to another, above -180 to 180, clockwise positive. Example: `turnBetween(350, 10) === 20`. */
export function turnBetween(from: number, to: number): number {
  const turn = azimuthOf(to - from);
  return turn > 180 ? turn - 360 : turn;
}

/**
 * "85 degrees", "north"; whole degrees unless `decimals` says more. Example: `azimuthWords(84.7) === '85 degrees'`.
 * @internal tested, and asked for by nothing of the program yet
 */
export function azimuthWords(azimuth: number, decimals = 0): string {
  const degrees = Number(azimuthOf(azimuth).toFixed(decimals)) % 360;
  return `${degrees} ${degrees === 1 ? 'degree' : 'degrees'}`;
}

interface QuadrantParts {
  readonly from: 'north' | 'south';
  readonly degrees: number;
  readonly towards: 'east' | 'west';
}

function quadrantParts(azimuth: number, decimals: number): QuadrantParts {
  const whole = azimuthOf(Number(azimuthOf(azimuth).toFixed(decimals)));
  const south = whole > 90 && whole < 270;
  const apart = turnBetween(south ? 180 : 0, whole);
  return {
    from: south ? 'south' : 'north',
    degrees: Number(Math.abs(apart).toFixed(decimals)),
    towards: south ? (apart > 0 ? 'west' : 'east') : apart < 0 ? 'west' : 'east',
  };
}

/**
 * "north 40 east", "due south". Example: `quadrantWords(320) === 'north 40 west'`.
 * @internal tested, and asked for by nothing of the program yet
 */
export function quadrantWords(azimuth: number, decimals = 0): string {
  const { from, degrees, towards } = quadrantParts(azimuth, decimals);
  if (degrees === 0) return `due ${from}`;
  return degrees === 90 ? `due ${towards}` : `${from} ${degrees} ${towards}`;
}

/**
 * As it is written in a table. Example: `quadrantSymbol(150) === 'S30E'`.
 * @internal tested, and asked for by nothing of the program yet
 */
export function quadrantSymbol(azimuth: number, decimals = 0): string {
  const { from, degrees, towards } = quadrantParts(azimuth, decimals);
  return `${from === 'south' ? 'S' : 'N'}${degrees}${towards === 'east' ? 'E' : 'W'}`;
}

/** A bearing as it was said. Example: `bearingWords({ by: 'due', towards: 'south' }) === 'due south'`. */
export function bearingWords(said: SaidBearing): string {
  if (said.by === 'due') return `due ${said.towards}`;
  return said.by === 'azimuth'
    ? `bearing ${plain(said.degrees)}`
    : `${said.from} ${plain(said.degrees)} ${said.towards}`;
}
