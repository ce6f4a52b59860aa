/**
 * The formulas of height measuring, each a pure function of feet and tangents. Nothing here checks its arguments or
 * knows what was said: `measure.ts` does. D is always the horizontal distance from the eye to the stem's base.
 *
 * The geometry is common practice (similar triangles and plane trigonometry); a source is named where one was seen.
 */

/**
 * Horizontal distance from a distance along the slope: SD cos s = SD / sqrt(1 + tan^2 s).
 * `slopeFeet` > 0; `slopeTangent` rise over run, any sign. Source: common practice, no source.
 * Example: 82 ft at -12 degrees is 80.21 ft.
 */
export function horizontalDistance(slopeFeet: number, slopeTangent: number): number {
  return slopeFeet / Math.hypot(1, slopeTangent);
}

/**
 * Height from a sighted top: H = T x tip + drop.
 * `tipFeet` horizontal distance to the point under the tip; `topTangent` rise over run to the top (1 for a stick as
 * long as the reach); `dropFeet` height of the eye over the tree's base, negative when the base is above the eye.
 * Source: worked example with top 17 degrees, 50 ft, eye 5.5 ft: 20.8 ft, in K-12 teaching material.
 * Example: 60 ft, tangent 1, eye 5.5 ft over the base: 65.5 ft.
 */
export function heightBySight(tipFeet: number, topTangent: number, dropFeet: number): number {
  return tipFeet * topTangent + dropFeet;
}

/**
 * Height from a stick that spans base to top: H = (stick / arm) D. No eye height is added: the stick already spans
 * from the base. Stick upright; variant: the arm measured level, D horizontal. Where the arm was measured along the
 * line to the stick's lower end, D is the distance along the line from eye to base instead.
 * `stick` and `arm` in one unit. Source, equal stick: "The distance from your eye to the base of the tree is equal to
 * the height of the tree" (an arboretum's page on measuring trees, 2021).
 * Example: stick 24 in, arm 27 in, 70 ft: 62.2 ft.
 */
export function heightBySpan(distanceFeet: number, stick: number, arm: number): number {
  return (stick / arm) * distanceFeet;
}

/**
 * Height by a stick turned down to the ground: the distance walked from the stem to where its tip points. Stem,
 * walking line and line of sight at right angles, the walk at the base's level. Source: described in scouting pages.
 * Example: 61 ft walked: 61 ft.
 */
export function heightByLaid(walkedFeet: number): number {
  return walkedFeet;
}

/**
 * Height from a pole of known length beside the stem: H = pole x (tree reading / pole reading), both read on one held
 * scale. Source: described as "grand tree method 2" by a city's tree programme.
 * Example: pole 6 ft reads 2, tree reads 19: 57 ft.
 */
export function heightByPole(poleFeet: number, poleReads: number, treeReads: number): number {
  return poleFeet * (treeReads / poleReads);
}

/**
 * Height from shadows on level ground: H = pole x shadow / pole shadow, the shadow measured to the point under the
 * tip. Source: scout handbook example, shadows 40 and 10, staff 1.73: 6.92.
 * Example: shadow 84 ft, pole 6 ft with shadow 7.5 ft: 67.2 ft.
 */
export function heightByShadow(shadowFeet: number, poleFeet: number, poleShadowFeet: number): number {
  return poleFeet * (shadowFeet / poleShadowFeet);
}

/**
 * Height from two line-of-sight ranges (sine method): H = Rt sin t - Rb sin b, angles in degrees. It needs no
 * horizontal distance, so a lean or a broad crown does not bias it. Source: a native tree society's measurement
 * page, 105 ft at 47 degrees: 76.8 ft over the eye.
 * Example: 105 ft at 47 and 70 ft at -3 degrees: 76.79 + 3.66 = 80.46 ft.
 */
export function heightByRanges(
  topRangeFeet: number,
  topDegrees: number,
  baseRangeFeet: number,
  baseDegrees: number,
): number {
  return topRangeFeet * sine(topDegrees) - baseRangeFeet * sine(baseDegrees);
}

const sine = (degrees: number): number => Math.sin((degrees * Math.PI) / 180);

export type LeanDirection = 'toward' | 'away' | 'left' | 'right';

/**
 * Horizontal distance from the eye to the point under a leaning tip: the lean's length is taken off (toward) or added
 * (away); sideways it counts in the second order only, sqrt(D^2 + l^2). Source: common practice, no source.
 * Example: 66 ft, 6 ft toward: 60 ft, so a top at 45 degrees is 60 ft over the eye, not 66.
 */
export function tipDistance(distanceFeet: number, leanFeet: number, direction: LeanDirection): number {
  if (direction === 'toward') return distanceFeet - leanFeet;
  if (direction === 'away') return distanceFeet + leanFeet;
  return Math.hypot(distanceFeet, leanFeet);
}

/**
 * Height from a sighted top when the lean is an angle from vertical, so that the tip's offset H tan(lean) grows with
 * the height sought. Solves H = T (D -+ H k) + drop, sideways H = T sqrt(D^2 + (H k)^2) + drop; the vertical height
 * of the tip, not the length of the stem. NaN when no tree fits (the tip would be overhead or never reached).
 * Example: D 66 ft, T 1, drop 0, 5.71 degrees (k 0.1) toward: 60 ft.
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
