/** What a height computation takes and gives. Feet throughout; conversions happen at the edges. */

import type { DeviationName, Deviations } from '../../note/deviations.ts';
import type { Method } from '../../note/note.ts';

export type Device = 'laser' | 'sonic' | 'tape' | 'other';
export type Counting = 'paces' | 'steps';

/** A value with its standard deviation, feet. */
export interface KnownLength {
  readonly feet: number;
  readonly sdFeet: number;
}

/** What the book knows when a height is measured. */
export interface HeightSettings {
  /** Length of one pace (two steps), from `paceModel` or stated; null until it is known. */
  readonly pace: KnownLength | null;
  readonly eye: KnownLength | null;
  readonly counting: Counting;
  readonly units: 'feet' | 'metres';
  /** Percent by which paces are shorter on this ground (brush, slope), stated by the user; 0 when none. */
  readonly groundShorter: number;
  /** Standard deviation of one reading of a device, feet, where the user stated it. */
  readonly scatter: Partial<Record<Device, number>>;
  /** Standard deviations that differ from `usualDeviations`. */
  readonly deviations?: Partial<Deviations>;
}

/** Causes of error kept apart, because those common to all heights of a day do not average out. */
export const causes = [
  'count',
  'pace',
  'tape',
  'angle',
  'eye',
  'device',
  'scale',
  'lean',
  'base',
  'ground',
  'shadow',
] as const;
export type Cause = (typeof causes)[number];
/** Causes shared by all heights taken with the same pace, eye or device. */
export const commonCauses: readonly Cause[] = ['pace', 'eye'];

export interface Share {
  readonly cause: Cause;
  /** Standard deviation of the height from this cause alone, feet. */
  readonly sdFeet: number;
  /** Part of the variance, 0 to 1; all shares sum to 1. */
  readonly part: number;
}

/** The one thing that would lower the error most. */
export interface Advice {
  readonly cause: Cause;
  readonly action: 'tape' | 'walkAgain' | 'moreTakes' | 'standFurther' | 'measureEye' | 'clinometer';
  readonly sdFeet: number;
}

/** The picture of a measurement, for the drawing: feet and degrees, where the method has them. */
export interface SketchGeometry {
  readonly method: Method;
  readonly heightFt: number;
  readonly distanceFt: number | null;
  readonly eyeFt: number | null;
  /** Height of the tree's base against the observer's feet, feet; negative below. */
  readonly baseFt: number;
  readonly topDegrees: number | null;
}

/** One line of the working, for "why": a name, a value with its unit, and how it came about. */
export interface WorkingStep {
  readonly name: string;
  readonly value: number;
  readonly unit: 'ft' | 'deg' | 'pct' | 'paces' | 'steps' | 'ratio' | 'topo';
  readonly from?: string;
}

export interface Height {
  readonly feet: number;
  readonly sdFeet: number;
  readonly method: Method;
  readonly shares: readonly Share[];
  readonly advice: Advice | null;
  readonly steps: readonly WorkingStep[];
  readonly sketch: SketchGeometry;
  /** For several takes: each with its distance from the middle in expected scatters, and the outlying ones. */
  readonly takes?: {
    readonly feet: readonly number[];
    /** Distance of each from the middle in expected scatters. */
    readonly apart: readonly number[];
    /** The outlying ones, feet. Both of two takes that disagree: no one can say which. */
    readonly outlying: readonly number[];
    /** Those of the outlying ones that are not in the middle. */
    readonly leftOut: readonly number[];
    /** How the middle was found: "mean of 3 takes, 1 left out". */
    readonly rule: string;
    /** Standard deviation of one take: expected of the device, and found here (null for one take). */
    readonly expectedFeet: number;
    readonly foundFeet: number | null;
  };
  /** What was supposed about errors, as it was when this was measured; `deviations` says what each is and its source. */
  readonly assumed: readonly { readonly of: DeviationName; readonly value: number }[];
  /** The formula in words, with its source. */
  readonly formula: { readonly words: string; readonly source: string };
}

export type HeightProblem =
  /** A value is missing that the user can give. */
  | { readonly kind: 'needs'; readonly what: 'pace' | 'eye' | 'scale' | 'counting' }
  /** It cannot be: the sentence says what was expected, what was found. */
  | { readonly kind: 'impossible'; readonly sentence: string };
