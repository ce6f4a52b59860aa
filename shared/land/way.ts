/**
 * The way from one place to the next by compass and paces: bearing, distance, how many paces, how sure one will be there;
 * round an obstacle by right angles; back again. A position by dead reckoning grows less sure with every leg
 * (`afterLeg` in `traverse.ts`) until a known one is met.
 */
import { radians } from '../core/units.ts';
import { type Deviations, usualDeviations } from '../note/deviations.ts';
import { azimuthOf, backBearing, toMagnetic } from './bearing.ts';
import {
  addCommon,
  addCovariance,
  alongAcross,
  azimuthTo,
  covarianceOf,
  type ErrorEllipse,
  ellipseOf,
  feetBetween,
  type Located,
  type PlanePoint,
  pointAlong,
  radialSd,
} from './error-ellipse.ts';
import type { Walker } from './leg.ts';

/** A stretch to walk: azimuth from true north, level feet. */
export interface Stretch {
  readonly azimuth: number;
  readonly feet: number;
}

export interface WaySettings {
  /** Degrees, east positive; null where it is not known: there is no magnetic bearing then. */
  readonly declination: number | null;
  readonly deviations?: Partial<Deviations>;
}

export interface Way extends Stretch {
  /** By the needle; null without a declination. */
  readonly magnetic: number | null;
  /** What the person counts, paces or single steps; null while the pace is not known. */
  readonly paces: number | null;
  /** The same uphill or in brush, where paces are shorter. */
  readonly uphillPaces: number | null;
  /** True where the person has not said by how much they are shorter, so that the usual part was taken. */
  readonly uphillSupposed: boolean;
  /** Root mean square error of where one is now, and of where one will stand, feet. */
  readonly fromSdFt: number;
  readonly arrivalSdFt: number;
  readonly ellipse: ErrorEllipse;
  /** The position at the end of the way, as sure as walking it leaves one. */
  readonly arrival: Located;
}

/** Percent by which paces uphill or in brush are shorter where a person has not said (common practice, no source). */
const usualUphillShorter = 8;

/** A position that is known: a peg, a corner, a plot that was found, with its error in feet in each direction. */
export const knownPosition = (at: PlanePoint, sdFt: number): Located => ({
  at,
  own: alongAcross(0, sdFt, sdFt),
  common: [],
});

/**
 * The way from where one thinks to be to a target. Its arrival takes the errors of walking it: a bearing held by a hand
 * compass, a declination that all bearings share, and paces.
 */
export function wayTo(from: Located, target: PlanePoint, walker: Walker, settings: WaySettings): Way {
  const azimuth = azimuthTo(from.at, target);
  const feet = feetBetween(from.at, target);
  const arrival = reckoned(from, { azimuth, feet }, walker, settings);
  const covariance = covarianceOf(arrival);
  const { declination } = settings;
  const supposed = walker.groundShorter === 0;
  return {
    azimuth,
    feet,
    magnetic: declination === null ? null : toMagnetic(azimuth, declination),
    paces: countFor(feet, walker, 0),
    uphillPaces: countFor(feet, walker, supposed ? usualUphillShorter : walker.groundShorter),
    uphillSupposed: supposed,
    fromSdFt: radialSd(covarianceOf(from)),
    arrivalSdFt: radialSd(covariance),
    ellipse: ellipseOf(covariance),
    arrival,
  };
}

/** Whole paces, or steps where the person counts those, for level feet; `shorter` percent. */
function countFor(feet: number, { pace, counting }: Walker, shorter: number): number | null {
  if (pace === null) return null;
  const each = pace.feet * (counting === 'steps' ? 0.5 : 1) * (1 - shorter / 100);
  return Math.round(feet / each);
}

/** A position after walking a stretch that was given, not measured: its error grows by that of compass and paces. */
export function reckoned(
  from: Located,
  { azimuth, feet }: Stretch,
  { name, pace }: Walker,
  { deviations }: WaySettings,
): Located {
  const sd = { ...usualDeviations, ...deviations };
  const shift = pointAlong(
    { eastFt: 0, northFt: 0 },
    azimuth,
    pace === null ? 0 : (feet * pace.sdFeet) / pace.feet,
  );
  const across = pointAlong({ eastFt: 0, northFt: 0 }, azimuth + 90, feet * radians(sd.declinationDegrees));
  return {
    at: pointAlong(from.at, azimuth, feet),
    own: addCovariance(
      from.own,
      alongAcross(azimuth, sd.groundPart * feet, feet * radians(sd.compassDegrees)),
    ),
    common: addCommon(from.common, [
      { cause: `pace:${name}`, ...shift },
      { cause: 'declination', ...across },
    ]),
  };
}

/** An offset round an obstacle: turn off by a right angle, pass it on the same bearing, turn back in. */
interface Detour {
  readonly turns: readonly [off: Stretch, past: Stretch, back: Stretch];
  /** How far it leads on along the line, feet. */
  readonly gainedFt: number;
}

/**
 * Round an obstacle by right angles. Example: on bearing 85, 30 feet to the right and 60 past: 175, 85, 355, and 60 feet of
 * the line are done.
 */
export function aroundObstacle(of: {
  readonly azimuth: number;
  readonly side: 'left' | 'right';
  readonly offsetFt: number;
  readonly alongFt: number;
}): Detour {
  const off = azimuthOf(of.azimuth + (of.side === 'right' ? 90 : -90));
  return {
    turns: [
      { azimuth: off, feet: of.offsetFt },
      { azimuth: azimuthOf(of.azimuth), feet: of.alongFt },
      { azimuth: backBearing(off), feet: of.offsetFt },
    ],
    gainedFt: of.alongFt,
  };
}

/**
 * The same stretches back to where they began: last first, each on its back bearing.
 * @internal tested, and asked for by nothing of the program yet
 */
export const wayBack = (stretches: readonly Stretch[]): readonly Stretch[] =>
  stretches.map(({ azimuth, feet }) => ({ azimuth: backBearing(azimuth), feet })).reverse();
