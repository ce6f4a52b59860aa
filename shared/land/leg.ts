/**
 * A leg of a walk: a bearing and a distance as said, read into a true azimuth and level feet with the error of each. A pace
 * of somebody is one length for all of that person's legs, so its error is kept apart from what differs from leg to leg.
 */
import { err, ok, type Result } from '../core/result.ts';
import {
  angleToTangent,
  lengthToFeet,
  lengthUnitOf,
  plain,
  radians,
  tangentToDegrees,
  type Units,
} from '../core/units.ts';
import { beyondFeet, saidSd } from '../measuring/height/sight.ts';
import type { Counting, HeightProblem, KnownLength } from '../measuring/height/types.ts';
import { type Deviations, usualDeviations } from '../note/deviations.ts';
import type { Distance } from '../note/note.ts';
import type { Angle } from '../note/quantities.ts';
import { type North, readBearing, type SaidBearing, toTrue } from './bearing.ts';
import {
  alongAcross,
  type CommonShift,
  type Covariance,
  originPoint,
  type PlanePoint,
  pointAlong,
} from './error-ellipse.ts';

/** A leg as said. A slope may stand in the distance or beside it; it is that along which the distance was measured. */
export interface SaidLeg {
  readonly bearing: SaidBearing;
  /** Where it differs from the traverse's. */
  readonly north?: North | undefined;
  readonly distance: Distance;
  readonly slope?: Angle | undefined;
  /** True when a range finder measured it. */
  readonly device?: true | undefined;
}

/** Whose paces they are. */
export interface Walker {
  /** Tells walkers apart: legs of the same name share the error of their pace. */
  readonly name: string;
  readonly pace: KnownLength | null;
  readonly counting: Counting;
  /** Percent by which paces are shorter on this ground. */
  readonly groundShorter: number;
}

export interface LegSettings {
  readonly units: Units;
  /** Which north bearings are from where a leg does not say. */
  readonly north: North;
  /** Degrees, east positive; null when it is not known: magnetic bearings then stay as they are. */
  readonly declination: number | null;
  readonly deviations?: Partial<Deviations>;
}

type LegMeasuring = 'paced' | 'taped' | 'device' | 'stated';

export interface Leg {
  readonly said: SaidLeg;
  readonly walker: Walker;
  readonly by: LegMeasuring;
  /** From true north, degrees; from magnetic north where no declination is known. */
  readonly azimuth: number;
  /** Level feet. */
  readonly feet: number;
  /** Errors of this leg alone: feet along it, degrees. */
  readonly feetSd: number;
  readonly azimuthSd: number;
  /** Degrees of the declination's error, which turns all legs alike. */
  readonly declinationSd: number;
  /** Feet of one standard deviation of the walker's pace; 0 where it was not paced. */
  readonly paceFt: number;
}

const impossible = (sentence: string) => err({ kind: 'impossible', sentence } as const);

/**
 * Reads a leg. A distance along a slope is brought to the level, feet x cos(slope); paces too where a slope is said, since
 * then they were walked along it. Errors: what is missing (a pace, a scale), or a sentence.
 */
export function readLeg(said: SaidLeg, walker: Walker, settings: LegSettings): Result<Leg, HeightProblem> {
  const sd = { ...usualDeviations, ...settings.deviations };
  const bearing = readBearing(said.bearing);
  if (!bearing.ok) return impossible(bearing.error);
  const magnetic = (said.north ?? settings.north) === 'magnetic';
  const azimuth = magnetic ? toTrue(bearing.value, settings.declination ?? 0) : bearing.value;
  const along = readAlong(said, walker, settings, sd);
  if (!along.ok) return along;
  const level = readSlope(said, sd.sightDegrees);
  if (!level.ok) return level;
  const { feet, ownFt, paceFt, by } = along.value;
  const { cos, cosSd } = level.value;
  return ok({
    said,
    walker,
    by,
    azimuth,
    feet: feet * cos,
    feetSd: Math.hypot(ownFt * cos, feet * cosSd),
    azimuthSd: sd.compassDegrees,
    declinationSd: sd.declinationDegrees,
    paceFt: paceFt * cos,
  });
}

interface Along {
  readonly by: LegMeasuring;
  /** Along the ground. */
  readonly feet: number;
  readonly ownFt: number;
  readonly paceFt: number;
}

function readAlong(
  { distance, device }: SaidLeg,
  { pace, counting, groundShorter }: Walker,
  { units }: LegSettings,
  sd: Deviations,
): Result<Along, HeightProblem> {
  if (distance.by === 'length') {
    const feet = lengthToFeet(distance.length, lengthUnitOf(units));
    if (!(feet > 0 && feet < beyondFeet)) return notALength(feet);
    const by = distance.taped ? 'taped' : device ? 'device' : 'stated';
    return ok({ by, feet, ownFt: lengthErrors[by](feet, sd), paceFt: 0 });
  }
  if (!(distance.count > 0)) {
    return impossible(`Expected at least half a pace; found ${plain(distance.count)} ${distance.by}.`);
  }
  if (pace === null) return err({ kind: 'needs', what: 'pace' });
  const each =
    pace.feet * (distance.by === 'steps' || counting === 'steps' ? 0.5 : 1) * (1 - groundShorter / 100);
  const feet = distance.count * each;
  if (!(feet > 0 && feet < beyondFeet)) return notALength(feet);
  return ok({
    by: 'paced',
    feet,
    ownFt: Math.hypot(saidSd(distance.count) * each, sd.groundPart * feet),
    paceFt: feet * (pace.sdFeet / pace.feet),
  });
}

const notALength = (feet: number) =>
  impossible(`Expected a leg above 0 and below ${beyondFeet} feet; found ${plain(feet)} feet.`);

const lengthErrors = {
  taped: (feet, sd) => Math.hypot(sd.tapedFeet, sd.tapedPart * feet),
  device: (_, sd) => sd.rangeFeet,
  stated: (feet, sd) => Math.hypot(sd.statedFeet, sd.statedPart * feet),
} as const satisfies Record<Exclude<LegMeasuring, 'paced'>, (feet: number, sd: Deviations) => number>;

/** Cosine of the slope and the error that sighting it adds. */
function readSlope(
  { distance, slope: beside }: SaidLeg,
  sightDegrees: number,
): Result<{ readonly cos: number; readonly cosSd: number }, HeightProblem> {
  const slope = beside ?? (distance.by === 'length' ? distance.slope : undefined);
  if (slope === undefined) return ok({ cos: 1, cosSd: 0 });
  if (slope.unit === undefined) return err({ kind: 'needs', what: 'scale' });
  const steep =
    slope.unit === 'deg' ? slope.value : tangentToDegrees(angleToTangent(slope.value, slope.unit));
  if (!(Math.abs(steep) <= steepestDegrees)) {
    return impossible(
      `Expected a slope of at most ${steepestDegrees} degrees, which is 275 percent; found ${plain(slope.value)} ${slope.unit === 'deg' ? 'degrees' : 'percent'}.`,
    );
  }
  return ok({
    cos: Math.cos(radians(steep)),
    cosSd: Math.abs(Math.sin(radians(steep))) * radians(sightDegrees),
  });
}

/** Nobody walks a steeper one, degrees. */
const steepestDegrees = 70;

/** How far east and north a leg leads, feet: its departure and its latitude. */
export const stepOf = ({ azimuth, feet }: Pick<Leg, 'azimuth' | 'feet'>): PlanePoint =>
  pointAlong(originPoint, azimuth, feet);

/** The error of where a leg leads to: its own. */
export const stepCovariance = ({ azimuth, feet, feetSd, azimuthSd }: Leg): Covariance =>
  alongAcross(azimuth, feetSd, feet * radians(azimuthSd));

/** The errors that it shares with other legs: of its walker's pace, and of the declination. */
export function stepCommon({ azimuth, feet, paceFt, declinationSd, walker }: Leg): readonly CommonShift[] {
  const across = pointAlong(originPoint, azimuth + 90, feet * radians(declinationSd));
  const turned: CommonShift = { cause: 'declination', ...across };
  if (paceFt === 0) return [turned];
  return [turned, { cause: `pace:${walker.name}`, ...pointAlong(originPoint, azimuth, paceFt) }];
}
