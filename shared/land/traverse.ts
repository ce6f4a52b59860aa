/**
 * Traverses: a walk round a stand or along a line, leg by leg. Latitudes and departures, misclosure, the compass rule, area
 * by coordinates, and the error of each. Feet, degrees, acres.
 *
 * Sources, from memory: the compass rule is Bowditch's (1808): each leg takes of the misclosure what its length is of the
 * perimeter; area by coordinates is half the sum of the cross products (surveyors' handbooks).
 */
import { lastOf } from '../core/required.ts';
import { err, ok, type Result } from '../core/result.ts';
import { radians, squareFeetPerAcre } from '../core/units.ts';
import { azimuthOf } from './bearing.ts';
import {
  addCommon,
  addCovariance,
  azimuthTo,
  covarianceOf,
  type Located,
  noCovariance,
  originPoint,
  type PlanePoint,
  radialSd,
  sdsAway,
} from './error-ellipse.ts';
import { type Leg, stepCommon, stepCovariance, stepOf } from './leg.ts';

/** Misclosures within the two-sigma ellipse are explained: 95.45 in 100 of two normal values; -2 ln 0.0455 = 6.18. */
export const explainedSds = Math.sqrt(-2 * Math.log(0.0455002638963584));
/** A misclosure below this is none, feet. */
const closesExactly = 0.005;

/** Where a walk leads. */
interface OpenTraverse {
  readonly legs: readonly Leg[];
  /** Start and the end of each leg. */
  readonly stations: readonly Located[];
  readonly end: Located;
  readonly lengthFt: number;
}

export interface Misclosure extends PlanePoint {
  readonly feet: number;
  /** From the start to where the walk ended, degrees. */
  readonly azimuth: number;
  /** Perimeter over misclosure; null where it closes to nothing. */
  readonly oneIn: number | null;
  /** What the errors of paces and bearings let expect, root mean square, feet. */
  readonly expectedFt: number;
  /** Standard deviations from closing. */
  readonly sds: number;
  /** Whether paces and bearings explain it: within two sigma. */
  readonly explained: boolean;
}

/** A line of the traverse table, feet. */
interface TraverseRow {
  readonly leg: Leg;
  readonly latitude: number;
  readonly departure: number;
  readonly latitudeCorrection: number;
  readonly departureCorrection: number;
  /** Azimuth and length after adjustment. */
  readonly azimuth: number;
  readonly feet: number;
  /** Its end after adjustment. */
  readonly at: PlanePoint;
}

interface AreaWithError {
  readonly acres: number;
  readonly sdAcres: number;
  /** The part that differs from leg to leg, and the part of paces, which does not average out. */
  readonly ownSdAcres: number;
  readonly paceSdAcres: number;
}

export interface ClosedTraverse {
  readonly rows: readonly TraverseRow[];
  readonly perimeterFt: number;
  readonly misclosure: Misclosure;
  /** Corners from the start on, before and after adjustment. */
  readonly cornersBefore: readonly PlanePoint[];
  readonly corners: readonly PlanePoint[];
  readonly acresBefore: number;
  readonly area: AreaWithError;
  readonly clockwise: boolean;
  /** Pairs of legs, numbered from 1, whose lines cross after adjustment; the area then means nothing. */
  readonly crossings: readonly (readonly [number, number])[];
}

/** A start without an error. */
const startAt = (at: PlanePoint): Located => ({ at, own: noCovariance, common: [] });

/** Follows the legs from a start; no closing, no adjustment. No legs: the end is the start. */
export function followLegs(legs: readonly Leg[], from: Located = startAt(originPoint)): OpenTraverse {
  const stations: Located[] = [from];
  for (const leg of legs) stations.push(afterLeg(lastOf(stations), leg));
  return { legs, stations, end: lastOf(stations), lengthFt: lengthOf(legs) };
}

/** A position after one more leg, with its error grown by it. */
function afterLeg({ at, own, common }: Located, leg: Leg): Located {
  const step = stepOf(leg);
  return {
    at: { eastFt: at.eastFt + step.eastFt, northFt: at.northFt + step.northFt },
    own: addCovariance(own, stepCovariance(leg)),
    common: addCommon(common, stepCommon(leg)),
  };
}

/** The end of a walk of which one leg was another. */
export function endWith(end: Located, leg: Leg, instead: Leg): Located {
  const [was, is] = [stepOf(leg), stepOf(instead)];
  const less = stepCovariance(leg);
  return {
    at: {
      eastFt: end.at.eastFt - was.eastFt + is.eastFt,
      northFt: end.at.northFt - was.northFt + is.northFt,
    },
    own: addCovariance(addCovariance(end.own, stepCovariance(instead)), {
      eastEast: -less.eastEast,
      eastNorth: -less.eastNorth,
      northNorth: -less.northNorth,
    }),
    common: addCommon(
      addCommon(
        end.common,
        stepCommon(leg).map(({ cause, eastFt, northFt }) => ({ cause, eastFt: -eastFt, northFt: -northFt })),
      ),
      stepCommon(instead),
    ),
  };
}

export const lengthOf = (legs: readonly Leg[]): number => legs.reduce((sum, { feet }) => sum + feet, 0);

/** Twice the area inside corners in order, positive anticlockwise, square feet. */
export function doubleArea(corners: readonly PlanePoint[]): number {
  let sum = 0;
  const [first] = corners;
  if (first === undefined) return 0;
  // Against the first corner, so that a far origin costs no digits.
  for (let i = 1; i + 1 < corners.length; i++) {
    const [a, b] = [corners[i]!, corners[i + 1]!];
    sum +=
      (a.eastFt - first.eastFt) * (b.northFt - first.northFt) -
      (b.eastFt - first.eastFt) * (a.northFt - first.northFt);
  }
  return sum;
}

/** The misclosure of legs that should lead back to where they began. */
export function misclosureOf(legs: readonly Leg[]): Misclosure {
  const { end } = followLegs(legs);
  return misclosureAt(end, lengthOf(legs));
}

/** The misclosure of a walk from the origin that ended there. */
export function misclosureAt(end: Located, perimeterFt: number): Misclosure {
  const { eastFt, northFt } = end.at;
  const feet = Math.hypot(eastFt, northFt);
  const covariance = covarianceOf(end);
  const sds = feet < closesExactly ? 0 : sdsAway(end.at, covariance);
  return {
    eastFt,
    northFt,
    feet,
    azimuth: azimuthTo(originPoint, end.at),
    oneIn: feet < closesExactly ? null : perimeterFt / feet,
    expectedFt: radialSd(covariance),
    sds,
    explained: sds <= explainedSds,
  };
}

/**
 * Closes a traverse by the compass rule. The walk must lead back to its start; what is missing is the misclosure. Fewer than
 * three legs enclose nothing and are refused with a sentence; crossing legs are told in `crossings`.
 */
export function closeTraverse(
  legs: readonly Leg[],
  start: PlanePoint = originPoint,
): Result<ClosedTraverse, string> {
  if (legs.length < 3) {
    const found = legs.length === 1 ? '1 leg' : `${legs.length === 0 ? 'no' : legs.length} legs`;
    return err(
      `An area needs at least three legs round it; there ${legs.length === 1 ? 'is' : 'are'} ${found}.`,
    );
  }
  const { end } = followLegs(legs);
  const perimeterFt = lengthOf(legs);
  const steps = legs.map(stepOf);
  const rows: TraverseRow[] = [];
  const cornersBefore: PlanePoint[] = [];
  const corners: PlanePoint[] = [];
  let before = start;
  let at = start;
  legs.forEach((leg, i) => {
    const step = steps[i]!;
    const share = leg.feet / perimeterFt;
    const latitudeCorrection = -end.at.northFt * share;
    const departureCorrection = -end.at.eastFt * share;
    const mended = {
      eastFt: step.eastFt + departureCorrection,
      northFt: step.northFt + latitudeCorrection,
    };
    cornersBefore.push(before);
    corners.push(at);
    before = { eastFt: before.eastFt + step.eastFt, northFt: before.northFt + step.northFt };
    at = { eastFt: at.eastFt + mended.eastFt, northFt: at.northFt + mended.northFt };
    rows.push({
      leg,
      latitude: step.northFt,
      departure: step.eastFt,
      latitudeCorrection,
      departureCorrection,
      azimuth: azimuthOf(azimuthTo(originPoint, mended)),
      feet: Math.hypot(mended.eastFt, mended.northFt),
      at,
    });
  });
  const twice = doubleArea(corners);
  return ok({
    rows,
    perimeterFt,
    misclosure: misclosureAt(end, perimeterFt),
    cornersBefore,
    corners,
    acresBefore: Math.abs(doubleArea(cornersBefore)) / 2 / squareFeetPerAcre,
    area: areaError(legs, end.at, perimeterFt, twice),
    clockwise: twice < 0,
    crossings: crossingLegs(corners),
  });
}

/**
 * First-order error of the adjusted area. The area is a quadratic form of the adjusted steps d' = d - E L/P; with g_k its
 * gradient by d'_k, the gradient by a measured step d_i is g_i - sum(L_k g_k)/P, and by a leg's length as a weight
 * (E . sum(L_k g_k)/P - g_i . E)/P. A pace's common error lengthens all paced legs alike: of a stand paced by one person
 * it takes twice its part of the area.
 */
function areaError(
  legs: readonly Leg[],
  misclosed: PlanePoint,
  perimeterFt: number,
  twice: number,
): AreaWithError {
  const share = legs.map(({ feet }) => feet / perimeterFt);
  const steps = legs.map(stepOf);
  const mended = steps.map((step, i) => ({
    eastFt: step.eastFt - misclosed.eastFt * share[i]!,
    northFt: step.northFt - misclosed.northFt * share[i]!,
  }));
  // Gradient of the signed area by each adjusted step: half of what comes after less what came before, turned.
  const gradients: PlanePoint[] = [];
  let [east, north] = [0, 0];
  for (const { eastFt, northFt } of mended) {
    const afterEast = -east - eastFt;
    const afterNorth = -north - northFt;
    gradients.push({ eastFt: (afterNorth - north) / 2, northFt: (east - afterEast) / 2 });
    east += eastFt;
    north += northFt;
  }
  const mean = {
    eastFt: gradients.reduce((sum, g, i) => sum + g.eastFt * share[i]!, 0),
    northFt: gradients.reduce((sum, g, i) => sum + g.northFt * share[i]!, 0),
  };
  const dot = (a: PlanePoint, b: PlanePoint): number => a.eastFt * b.eastFt + a.northFt * b.northFt;
  const sign = twice < 0 ? -1 : 1;
  let own = 0;
  const common = new Map<string, number>();
  legs.forEach((leg, i) => {
    const step = steps[i]!;
    const g = gradients[i]!;
    const h = { eastFt: g.eastFt - mean.eastFt, northFt: g.northFt - mean.northFt };
    const byFeet = dot(h, step) / leg.feet + (dot(mean, misclosed) - dot(g, misclosed)) / perimeterFt;
    // Clockwise by a radian: east grows by the latitude, north falls by the departure.
    const byRadian = dot(h, { eastFt: step.northFt, northFt: -step.eastFt });
    own += (byFeet * leg.feetSd) ** 2 + (byRadian * radians(leg.azimuthSd)) ** 2;
    const { name } = leg.walker;
    if (leg.paceFt > 0) common.set(name, (common.get(name) ?? 0) + sign * byFeet * leg.paceFt);
  });
  let pace = 0;
  for (const shift of common.values()) pace += shift * shift;
  return {
    acres: Math.abs(twice) / 2 / squareFeetPerAcre,
    sdAcres: Math.sqrt(own + pace) / squareFeetPerAcre,
    ownSdAcres: Math.sqrt(own) / squareFeetPerAcre,
    paceSdAcres: Math.sqrt(pace) / squareFeetPerAcre,
  };
}

/** Pairs of edges, numbered from 1, that cross or touch though they are not neighbours. */
export function crossingLegs(corners: readonly PlanePoint[]): readonly (readonly [number, number])[] {
  const n = corners.length;
  const found: (readonly [number, number])[] = [];
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const [a, b] = [corners[i]!, corners[i + 1]!];
      const [c, d] = [corners[j]!, corners[(j + 1) % n]!];
      if (segmentsMeet(a, b, c, d)) found.push([i + 1, j + 1]);
    }
  }
  return found;
}

/** Whether two segments have a point in common. */
export function segmentsMeet(a: PlanePoint, b: PlanePoint, c: PlanePoint, d: PlanePoint): boolean {
  const side = (p: PlanePoint, q: PlanePoint, r: PlanePoint): number =>
    Math.sign(
      (q.eastFt - p.eastFt) * (r.northFt - p.northFt) - (r.eastFt - p.eastFt) * (q.northFt - p.northFt),
    );
  const within = (p: PlanePoint, q: PlanePoint, r: PlanePoint): boolean =>
    Math.min(p.eastFt, q.eastFt) <= r.eastFt &&
    r.eastFt <= Math.max(p.eastFt, q.eastFt) &&
    Math.min(p.northFt, q.northFt) <= r.northFt &&
    r.northFt <= Math.max(p.northFt, q.northFt);
  const [c1, d1, a1, b1] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
  if (c1 !== d1 && a1 !== b1 && c1 * d1 <= 0 && a1 * b1 <= 0) return true;
  return (
    (c1 === 0 && within(a, b, c)) ||
    (d1 === 0 && within(a, b, d)) ||
    (a1 === 0 && within(c, d, a)) ||
    (b1 === 0 && within(c, d, b))
  );
}

/**
 * The misclosure with the declination as said and of the other sign. `telling` is false where all legs are from one north:
 * then the whole figure only turns, and neither closing nor area can say which sign is right.
 */
export function bothDeclinations(
  legs: readonly Leg[],
  reversed: readonly Leg[],
): { readonly asSaid: Misclosure; readonly otherSign: Misclosure; readonly telling: boolean } {
  const turns = legs.map((leg, i) => azimuthOf(reversed[i]!.azimuth - leg.azimuth));
  const telling = turns.some((turn) => Math.abs(turn - turns[0]!) > 1e-9);
  return { asSaid: misclosureOf(legs), otherSign: misclosureOf(reversed), telling };
}
