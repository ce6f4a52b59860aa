/**
 * Geometry of sample plots: radii, slope, basal area factors, limiting distances, what one tallied tree stands for on
 * an acre, and whether a tree at the border is in. Feet, inches, acres; conversions are at the edges.
 */

import { areaToAcres, lengthToFeet, squareFeetPerAcre } from '../core/units.ts';
import type { PlotSize } from '../note/quantities.ts';
import { basalAreaFactor } from './cubic.ts';

/** One square metre a hectare in square feet an acre: 43560 / 10000. */
export const squareFeetPerAcrePerMetric = 4.356;

/** Radius of a circular plot in feet from its acres. Example: `radiusOfAcres(0.1)` is 37.237. */
export const radiusOfAcres = (acres: number): number => Math.sqrt((squareFeetPerAcre * acres) / Math.PI);
/** Acres of a circle from its radius in feet. */
export const acresOfRadius = (radiusFt: number): number =>
  (Math.PI * radiusFt * radiusFt) / squareFeetPerAcre;

type SlopeMethod = 'onSlope' | 'horizontal';

/**
 * How much longer a distance on the slope may be than the level radius.
 * `onSlope`: one circle laid on the slope with the same true area, (1 + p^2)^(1/4): the USDA Forest Service, Common Stand
 * Exam User Guide, Appendix I, Table 1 (seen; it corrects above 9 percent). `horizontal`: level distance in every
 * direction, sqrt(1 + p^2), p along the line of the tape. The two are not interchangeable.
 */
export function slopeStretch(slopePct: number, method: SlopeMethod): number {
  const p = slopePct / 100;
  return method === 'onSlope' ? (1 + p * p) ** 0.25 : Math.sqrt(1 + p * p);
}

/** What a plot's size means: acres, or a basal area factor in square feet an acre, or every tree of the stand. */
type Design =
  | { readonly kind: 'fixed'; readonly acres: number; readonly radiusFt: number }
  | { readonly kind: 'factor'; readonly factor: number }
  | { readonly kind: 'tally' };

/** Reads a plot's size. A radius is level; a circular plot of a stated area keeps that area on a slope. */
export function designOf(size: PlotSize): Design {
  switch (size.by) {
    case 'area': {
      const acres = areaToAcres(size, 'feet');
      return { kind: 'fixed', acres, radiusFt: radiusOfAcres(acres) };
    }
    case 'radius': {
      const radiusFt = lengthToFeet(size.length, 'ft');
      return { kind: 'fixed', acres: acresOfRadius(radiusFt), radiusFt };
    }
    case 'factor':
      return {
        kind: 'factor',
        factor: size.unit === 'm2/ha' ? size.value * squareFeetPerAcrePerMetric : size.value,
      };
    case 'tally':
      return { kind: 'tally' };
  }
}

/**
 * Plot radius factor: feet of limiting distance for an inch of diameter, to the stem's centre; the factor in square feet
 * an acre. Source: 8.696 / sqrt(BAF) (Univ. of Kentucky point-sampling notes). Example: `plotRadiusFactor(10)` is 2.75.
 */
export const plotRadiusFactor = (factor: number): number =>
  Math.sqrt((squareFeetPerAcre * basalAreaFactor) / (factor * Math.PI));

/** Limiting level distance of an angle gauge in feet, to the stem's centre or its near face (half a diameter less). */
export function limitingDistance(
  factor: number,
  diameterIn: number,
  to: 'centre' | 'face' = 'centre',
): number {
  return plotRadiusFactor(factor) * diameterIn - (to === 'face' ? diameterIn / 24 : 0);
}

/** What a tape held by one person may be off, feet (common practice, no source). */
const tapeAllowanceFt = 0.1;

interface Border {
  /** Level distance from the plot's centre to the middle of the stem, feet. */
  readonly centreFt: number;
  /** Level distance up to which a tree is in, feet, to the middle of the stem. */
  readonly limitFt: number;
  readonly inside: boolean;
  /** Inches inside (positive) or outside (negative) the limit. */
  readonly marginIn: number;
  /** True when the margin is smaller than the tape may be off: measure again. */
  readonly close: boolean;
}

interface BorderCase {
  readonly design: Design;
  /** Needed for an angle gauge, and for a distance to the face. */
  readonly diameterIn: number | null;
  readonly distanceFt: number;
  readonly to: 'centre' | 'face';
  /** Set when the distance was taken along this slope, percent. */
  readonly slopePct?: number | null;
  readonly slopeMethod?: SlopeMethod;
  readonly allowanceFt?: number;
}

/**
 * Whether a tree at the border is in; null when a needed diameter is missing or every tree counts anyway. A tree exactly
 * on the limit is in (common practice, no source).
 * Example: a tenth of an acre, centre at 36.9 ft: in by 4 inches.
 */
export function judgeBorder(of: BorderCase): Border | null {
  if (of.design.kind === 'tally') return null;
  const { diameterIn } = of;
  if (diameterIn === null && (of.to === 'face' || of.design.kind === 'factor')) return null;
  // Where it is not known, neither the face nor a factor asks for it.
  const inches = diameterIn ?? 0;
  const slope = of.slopePct ?? 0;
  // On-slope circles are drawn larger instead of the distance being levelled; gauges always level the distance.
  const method: SlopeMethod = of.design.kind === 'fixed' ? (of.slopeMethod ?? 'horizontal') : 'horizontal';
  const level = of.distanceFt / slopeStretch(slope, method);
  const centreFt = level + (of.to === 'face' ? inches / 24 : 0);
  const limitFt =
    of.design.kind === 'fixed' ? of.design.radiusFt : limitingDistance(of.design.factor, inches);
  const margin = limitFt - centreFt;
  return {
    centreFt,
    limitFt,
    inside: margin >= 0,
    marginIn: margin * 12,
    close: Math.abs(margin) <= (of.allowanceFt ?? tapeAllowanceFt),
  };
}
