/**
 * Positions that are known to some error. Errors of one walk that do not average out (the length of a pace, the declination)
 * are kept apart as shifts by their cause, so that they cancel where a way leads back and grow where it leads on.
 */
import { radians } from '../core/units.ts';

/** A place on the local plane, feet east and north of its origin; north is true north. */
export interface PlanePoint {
  readonly eastFt: number;
  readonly northFt: number;
}

/** Square feet. */
export interface Covariance {
  readonly eastEast: number;
  readonly eastNorth: number;
  readonly northNorth: number;
}

/** One standard deviation's shift by a cause that all legs share: "pace:Ann", "declination". */
export interface CommonShift extends PlanePoint {
  readonly cause: string;
}

/** A position with its error: what is its own, and what it shares with other positions. */
export interface Located {
  readonly at: PlanePoint;
  readonly own: Covariance;
  readonly common: readonly CommonShift[];
}

/** The one-sigma ellipse: half axes in feet, the longer axis' azimuth, 0 up to 180. */
export interface ErrorEllipse {
  readonly majorFt: number;
  readonly minorFt: number;
  readonly azimuth: number;
}

export const noCovariance: Covariance = { eastEast: 0, eastNorth: 0, northNorth: 0 };
export const originPoint: PlanePoint = { eastFt: 0, northFt: 0 };

/** Example: `feetBetween({ eastFt: 0, northFt: 0 }, { eastFt: 3, northFt: 4 }) === 5`. */
export const feetBetween = (a: PlanePoint, b: PlanePoint): number =>
  Math.hypot(b.eastFt - a.eastFt, b.northFt - a.northFt);

/** Azimuth from one place to another, 0 up to 360; 0 where they are the same. */
export function azimuthTo(from: PlanePoint, to: PlanePoint): number {
  const degrees = (Math.atan2(to.eastFt - from.eastFt, to.northFt - from.northFt) * 180) / Math.PI;
  return ((degrees % 360) + 360) % 360;
}

/** The place so many feet along an azimuth. */
export function pointAlong(from: PlanePoint, azimuth: number, feet: number): PlanePoint {
  const turn = radians(azimuth);
  return { eastFt: from.eastFt + feet * Math.sin(turn), northFt: from.northFt + feet * Math.cos(turn) };
}

export const addCovariance = (a: Covariance, b: Covariance): Covariance => ({
  eastEast: a.eastEast + b.eastEast,
  eastNorth: a.eastNorth + b.eastNorth,
  northNorth: a.northNorth + b.northNorth,
});

/** Covariance of a shift of so many feet, one standard deviation. */
const shiftCovariance = ({ eastFt, northFt }: PlanePoint): Covariance => ({
  eastEast: eastFt * eastFt,
  eastNorth: eastFt * northFt,
  northNorth: northFt * northFt,
});

/** Covariance of an error along an azimuth and one across it, feet. */
export function alongAcross(azimuth: number, alongFt: number, acrossFt: number): Covariance {
  const turn = radians(azimuth);
  return addCovariance(
    shiftCovariance({ eastFt: alongFt * Math.sin(turn), northFt: alongFt * Math.cos(turn) }),
    shiftCovariance({ eastFt: acrossFt * Math.cos(turn), northFt: -acrossFt * Math.sin(turn) }),
  );
}

/** Adds up shifts of the same cause, which are whole correlated. */
export function addCommon(a: readonly CommonShift[], b: readonly CommonShift[]): readonly CommonShift[] {
  const sums = new Map<string, CommonShift>();
  for (const shift of [...a, ...b]) {
    const before = sums.get(shift.cause);
    sums.set(shift.cause, {
      cause: shift.cause,
      eastFt: (before?.eastFt ?? 0) + shift.eastFt,
      northFt: (before?.northFt ?? 0) + shift.northFt,
    });
  }
  return [...sums.values()];
}

/** The whole error of a position. */
export const covarianceOf = ({ own, common }: Pick<Located, 'own' | 'common'>): Covariance =>
  common.reduce((sum, shift) => addCovariance(sum, shiftCovariance(shift)), own);

/** Root mean square distance from where one thinks to be, feet. */
export const radialSd = ({ eastEast, northNorth }: Covariance): number => Math.sqrt(eastEast + northNorth);

/** The one-sigma ellipse of a covariance: its eigenvalues and the longer axis. */
export function ellipseOf({ eastEast, eastNorth, northNorth }: Covariance): ErrorEllipse {
  const middle = (eastEast + northNorth) / 2;
  const apart = Math.hypot((northNorth - eastEast) / 2, eastNorth);
  const degrees = (Math.atan2(2 * eastNorth, northNorth - eastEast) * 90) / Math.PI;
  return {
    majorFt: Math.sqrt(Math.max(0, middle + apart)),
    minorFt: Math.sqrt(Math.max(0, middle - apart)),
    azimuth: ((degrees % 180) + 180) % 180,
  };
}

/** How far a shift lies from nothing, in standard deviations of its own direction (Mahalanobis distance). */
export function sdsAway({ eastFt, northFt }: PlanePoint, of: Covariance): number {
  const determinant = of.eastEast * of.northNorth - of.eastNorth * of.eastNorth;
  if (!(determinant > 0)) return eastFt === 0 && northFt === 0 ? 0 : Number.POSITIVE_INFINITY;
  const square =
    (of.northNorth * eastFt * eastFt -
      2 * of.eastNorth * eastFt * northFt +
      of.eastEast * northFt * northFt) /
    determinant;
  return Math.sqrt(Math.max(0, square));
}
