/**
 * The formulas of height measuring, each a pure function of feet and tangents. Nothing here checks its arguments or
 * knows what was said: `measure.ts` does. D is always the horizontal distance from the eye to the stem's base.
 *
 * The geometry is common practice (similar triangles and plane trigonometry); a source is named where one was seen.
 */
import { radians } from '../../core/units.ts';

/**
 * Horizontal distance from a distance along the slope: SD cos s = SD / sqrt(1 + tan^2 s).
 * `slopeFeet` > 0; `slopeTangent` rise over run, any sign. Result: feet, above 0. Source: common practice, no source.
 * Example, 82 ft at -12 degrees: `horizontalDistance(82, Math.tan((-12 * Math.PI) / 180))` is 80.21.
 */
export function horizontalDistance(slopeFeet: number, slopeTangent: number): number {
  return slopeFeet / Math.hypot(1, slopeTangent);
}

/**
 * Height from a sighted top: H = T x tip + drop.
 * `tipFeet` horizontal distance to the point under the tip; `topTangent` rise over run to the top (1 for a stick as
 * long as the reach), any; `dropFeet` height of the eye over the tree's base, negative when the base is above the eye.
 * Result: feet, not above 0 where the top is below the base.
 * Source: worked example with top 17 degrees, 50 ft, eye 5.5 ft: 20.8 ft, in K-12 teaching material.
 * Example: `heightBySight(60, 1, 5.5) === 65.5`.
 */
export function heightBySight(tipFeet: number, topTangent: number, dropFeet: number): number {
  return tipFeet * topTangent + dropFeet;
}

/**
 * Height from a stick that spans base to top: H = (stick / arm) D. No eye height is added: the stick already spans
 * from the base. Stick upright; variant: the arm measured level, D horizontal. Where the arm was measured along the
 * line to the stick's lower end, D is the distance along the line from eye to base instead.
 * `distanceFeet`, `stick` and `arm` > 0, the last two in one unit. Result: feet. Source, equal stick: "The distance from your eye to the base of the tree is equal to
 * the height of the tree" (an arboretum's page on measuring trees, 2021).
 * Example, stick 24 in, arm 27 in, 70 ft: `heightBySpan(70, 24, 27)` is 62.22.
 */
export function heightBySpan(distanceFeet: number, stick: number, arm: number): number {
  return (stick / arm) * distanceFeet;
}

/**
 * Height by a stick turned down to the ground: the distance walked from the stem to where its tip points. Stem,
 * walking line and line of sight at right angles, the walk at the base's level. `walkedFeet` > 0; result: feet.
 * Source: described in scouting pages. Example: `heightByLaid(61) === 61`.
 */
export function heightByLaid(walkedFeet: number): number {
  return walkedFeet;
}

/**
 * Height from a pole of known length beside the stem: H = pole x (tree reading / pole reading), both read on one held
 * scale, both above 0. Result: feet. Source: described as "grand tree method 2" by a city's tree programme.
 * Example, pole 6 ft reads 2, tree reads 19: `heightByPole(6, 2, 19) === 57`.
 */
export function heightByPole(poleFeet: number, poleReads: number, treeReads: number): number {
  return poleFeet * (treeReads / poleReads);
}

/**
 * Height from shadows on level ground: H = pole x shadow / pole shadow, the shadow measured to the point under the
 * tip. All lengths above 0; result: feet. Source: scout handbook example, shadows 40 and 10, staff 1.73: 6.92.
 * Example, shadow 84 ft, pole 6 ft with shadow 7.5 ft: `heightByShadow(84, 6, 7.5)` is 67.2.
 */
export function heightByShadow(shadowFeet: number, poleFeet: number, poleShadowFeet: number): number {
  return poleFeet * (shadowFeet / poleShadowFeet);
}

/**
 * Height from two line-of-sight ranges (sine method): H = Rt sin t - Rb sin b, angles in degrees. It needs no
 * horizontal distance, so a lean or a broad crown does not bias it. Ranges above 0, angles within 90; result: feet. Source: a native tree society's measurement
 * page, 105 ft at 47 degrees: 76.8 ft over the eye.
 * Example, 105 ft at 47 and 70 ft at -3 degrees: `heightByRanges(105, 47, 70, -3)` is 80.46.
 */
export function heightByRanges(
  topRangeFeet: number,
  topDegrees: number,
  baseRangeFeet: number,
  baseDegrees: number,
): number {
  return topRangeFeet * sine(topDegrees) - baseRangeFeet * sine(baseDegrees);
}

const sine = (degrees: number): number => Math.sin(radians(degrees));

type LeanDirection = 'toward' | 'away' | 'left' | 'right';

/**
 * Horizontal distance from the eye to the point under a leaning tip: the lean's length is taken off (toward) or added
 * (away); sideways it counts in the second order only, sqrt(D^2 + l^2). Feet, `distanceFeet` > 0, `leanFeet` >= 0; not above
 * 0 where the tip is overhead. Source: common practice, no source.
 * Example, so that a top at 45 degrees is 60 ft over the eye, not 66: `tipDistance(66, 6, 'toward') === 60`.
 */
export function tipDistance(distanceFeet: number, leanFeet: number, direction: LeanDirection): number {
  if (direction === 'toward') return distanceFeet - leanFeet;
  if (direction === 'away') return distanceFeet + leanFeet;
  return Math.hypot(distanceFeet, leanFeet);
}

/**
 * Height from a sighted top when the lean is an angle from vertical, so that the tip's offset H tan(lean) grows with
 * the height sought. Solves H = T (D -+ H k) + drop, sideways H = T sqrt(D^2 + (H k)^2) + drop; the vertical height
 * of the tip, not the length of the stem. `distanceFeet` > 0, `leanTangent` >= 0; result: feet. NaN when no tree fits (the tip
 * would be overhead or never reached). Source: common practice, no source (plane trigonometry).
 * Example, 5.71 degrees toward: `heightOfLeaning(66, 1, 0, 0.1, 'toward')` is 60.
 */
export function heightOfLeaning(
  distanceFeet: number,
  topTangent: number,
  dropFeet: number,
  leanTangent: number,
  direction: LeanDirection,
): number {
  if (direction === 'toward' || direction === 'away') {
    const divisor = 1 + (direction === 'toward' ? 1 : -1) * leanTangent * topTangent;
    return divisor > 0 ? (distanceFeet * topTangent + dropFeet) / divisor : Number.NaN;
  }
  const divisor = 1 - (topTangent * leanTangent) ** 2;
  if (!(divisor > 0)) return Number.NaN;
  const reach = topTangent * distanceFeet;
  const root = Math.sqrt(dropFeet * dropFeet - divisor * (dropFeet * dropFeet - reach * reach));
  return (dropFeet + Math.sign(topTangent) * root) / divisor;
}
