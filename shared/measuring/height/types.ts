/** What a height computation takes and gives. Feet throughout; conversions happen at the edges. */
import type { Measurement, Method } from '../../note/note.ts';

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

/** What is supposed about the errors of hand, eye and tool; every one a standard deviation. */
export interface Deviations {
  /** How far a pace on rough ground is from the calibrated one, as a part of it. */
  readonly groundPart: number;
  /** A taped distance: so many feet, and a part of the distance. */
  readonly tapedFeet: number;
  readonly tapedPart: number;
  /** A distance stated without saying how it was got. */
  readonly statedFeet: number;
  readonly statedPart: number;
  /** A sighted angle, degrees. */
  readonly sightDegrees: number;
  /** The angle of a stick held as long as the reach, degrees. */
  readonly stickDegrees: number;
  /** The reach behind an unequal stick, and the length of a stick or pole, inches. */
  readonly armInches: number;
  readonly stickInches: number;
  /** An eye height stated, and one measured with care, feet. */
  readonly eyeFeet: number;
  readonly eyeMeasuredFeet: number;
  /** The base against the feet on ground that was said, by silence, to be level, feet. */
  readonly levelFeet: number;
  /** A base difference told by eye: so many feet, and a part of it. */
  readonly baseFeet: number;
  readonly basePart: number;
  /** The end of a tree's shadow, feet and part; of a pole's shadow, inches. */
  readonly shadowFeet: number;
  readonly shadowPart: number;
  readonly poleShadowInches: number;
  /** Bringing a pole to its reading on a held scale, in units of the scale. */
  readonly scaleUnits: number;
  /** A range along the line of sight, feet. */
  readonly rangeFeet: number;
  /** A lean told by eye, as a part of it. */
  readonly leanPart: number;
}

/** Causes of error kept apart, because those common to all heights of a day do not average out. */
export type Cause = 'count' | 'pace' | 'tape' | 'angle' | 'eye' | 'device' | 'scale' | 'lean' | 'base';
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
    /** How the middle was found: "median of 3 takes". */
    readonly rule: string;
    /** Standard deviation of one take: expected of the device, and found here (null for one take). */
    readonly expectedFeet: number;
    readonly foundFeet: number | null;
  };
  /** The formula in words, with its source. */
  readonly formula: { readonly words: string; readonly source: string };
}

export type HeightProblem =
  /** A value is missing that the user can give. */
  | { readonly kind: 'needs'; readonly what: 'pace' | 'eye' | 'scale' | 'counting' }
  /** It cannot be: the sentence says what was expected, what was found. */
  | { readonly kind: 'impossible'; readonly sentence: string };

export type { Measurement };
