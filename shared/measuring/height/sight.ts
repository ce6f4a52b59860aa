/**
 * Reads the parts that methods share: distance, eye, base and lean. Each becomes a quantity over uncertain inputs,
 * with its working steps and what would make it surer. A part that is missing or cannot be is a `HeightProblem`.
 */

import { err, ok, type Result } from '../../core/result.ts';
import type { AngleUnit } from '../../core/units.ts';
import {
  angleToTangent,
  eyeToFeet,
  lengthToFeet,
  lengthUnitOf,
  plain,
  radians,
  tangentOf,
  tangentToDegrees,
} from '../../core/units.ts';
import { type DeviationName, type Deviations, usualDeviations } from '../../note/deviations.ts';
import type { Base, Distance, Lean } from '../../note/note.ts';
import type { Angle, Length } from '../../note/quantities.ts';
import type { Input, Remedy, UncertainQuantity } from './budget.ts';
import { horizontalDistance } from './formulas.ts';
import type { Cause, Height, HeightProblem, HeightSettings, WorkingStep } from './types.ts';

export type Read<T> = Result<T, HeightProblem>;

export const impossible = (sentence: string) => err({ kind: 'impossible', sentence } as const);
const needs = (what: 'pace' | 'eye' | 'scale') => err({ kind: 'needs', what } as const);

/** No distance and no tree reaches this, feet; beyond it a number is a slip, and sums could overflow. */
export const beyondFeet = 100_000;

/** What a measurement is made of while it is being read. */
export class Working {
  readonly inputs: Input[] = [];
  readonly steps: WorkingStep[] = [];
  readonly remedies: Remedy[] = [];
  /** The deviations in force; what is read of them is told with the height. */
  readonly sd: Deviations;
  /** The same, to reckon what could be done better: not part of this height's error. */
  readonly better: Deviations;
  readonly #used = new Set<DeviationName>();
  readonly #values: number[] = [];

  constructor(readonly settings: HeightSettings) {
    const { deviations } = settings;
    this.better = deviations === undefined ? usualDeviations : { ...usualDeviations, ...deviations };
    this.sd = new Proxy(this.better, {
      get: (all, name) => {
        this.#used.add(name as DeviationName);
        return all[name as DeviationName];
      },
    });
  }

  /** Adds an uncertain input; gives the quantity that picks it. */
  input(name: string, cause: Cause, value: number, sd: number): UncertainQuantity {
    const index = this.inputs.push({ name, cause, value, sd }) - 1;
    this.#values.push(value);
    return (x) => x[index]!;
  }

  /** What this height supposes about errors. */
  get assumed(): Height['assumed'] {
    return [...this.#used].map((of) => ({ of, value: this.better[of] }));
  }

  /** Value of a quantity at the inputs as said. */
  now(quantity: UncertainQuantity): number {
    return quantity(this.#values);
  }

  step(name: string, value: number, unit: WorkingStep['unit'], from?: string): void {
    this.steps.push(from === undefined ? { name, value, unit } : { name, value, unit, from });
  }

  /** Feet of a length said; `what` names it in the sentence when it is not above 0. */
  length(length: Length, what: string): Read<number> {
    const feet = lengthToFeet(length, lengthUnitOf(this.settings.units));
    if (feet > 0 && feet < beyondFeet) return ok(feet);
    return impossible(`Expected ${what} above 0 and below ${beyondFeet} feet; found ${plain(feet)} feet.`);
  }

  /** Standard deviation of a length on the ground, feet; `by` are `sd` or `better`. */
  lengthSd(feet: number, taped: boolean, by: Deviations = this.sd): number {
    return taped
      ? Math.hypot(by.tapedFeet, by.tapedPart * feet)
      : Math.hypot(by.statedFeet, by.statedPart * feet);
  }
}

/**
 * What a number as said can tell, its sd: a whole number is right to a half either way, a half to a quarter; sd of a
 * uniform rounding error is its width / sqrt(12).
 * Examples: `saidSd(8)` is 0.289, `saidSd(10.5)` is 0.144.
 */
export function saidSd(value: number): number {
  const width = [1, 0.5, 0.25, 0.1].find(
    (grain) => Math.abs(value / grain - Math.round(value / grain)) < 1e-6,
  );
  return (width ?? 0.01) / Math.sqrt(12);
}

/** Tangent of an angle said, in `unit`; degrees must lie strictly between -90 and 90. */
export function readTangent(
  working: Working,
  angle: {
    readonly name: string;
    readonly value: number;
    readonly unit: AngleUnit;
    readonly sdDegrees: number;
  },
): Read<UncertainQuantity> {
  const { name, value, unit, sdDegrees } = angle;
  if (unit === 'deg' && !(Math.abs(value) < 90)) {
    return impossible(
      `Expected the ${name} angle between -90 and 90 degrees; found ${plain(value)} degrees.`,
    );
  }
  const tangent = angleToTangent(value, unit);
  // Kept as degrees whatever the scale: a sight errs by an angle, not by a percent.
  const degrees = tangentToDegrees(tangent);
  if (!(Math.abs(tangent) < 1e4)) {
    return impossible(
      `Expected the ${name} angle well below the vertical; found ${plain(value)} ${unit === 'deg' ? 'degrees' : unit === 'pct' ? 'percent' : 'on the 66-foot scale'}.`,
    );
  }
  const at = working.input(name, 'angle', degrees, sdDegrees);
  working.step(name, value, unit);
  return ok((x) => tangentOf(at(x)));
}

const unitOf = (angle: Angle, scale: AngleUnit | undefined): AngleUnit | undefined => angle.unit ?? scale;

export interface Stand {
  /** Horizontal distance from the eye to the stem's base, feet. */
  readonly distance: UncertainQuantity;
  /** Tangent of the slope along which the distance was measured, where one was said. */
  readonly slope: UncertainQuantity | null;
  /** Whose slope that is, where it was said. */
  readonly slopeOf?: 'ground' | 'sight' | undefined;
}

/**
 * Horizontal distance: paces and steps times their length, a length, or a length along a slope. Paces are already
 * horizontal. `scale` is the angle scale of the measurement, for a slope said without one.
 */
export function readDistance(working: Working, distance: Distance, scale?: AngleUnit): Read<Stand> {
  if (distance.by === 'length') return readLength(working, distance, scale);
  const { counting, groundShorter } = working.settings;
  const pace = distance.pace ?? working.settings.pace;
  if (!(distance.count > 0)) {
    return impossible(
      `Expected at least half a pace from the tree; found ${plain(distance.count)} ${distance.by}.`,
    );
  }
  if (pace === null) return needs('pace');
  const single = distance.by === 'steps' || counting === 'steps';
  const perCount = (single ? 0.5 : 1) * (1 - groundShorter / 100);
  const feet = distance.count * perCount * pace.feet;
  if (!(feet > 0 && feet < beyondFeet)) {
    return impossible(`Expected a distance above 0 and below ${beyondFeet} feet; found ${plain(feet)} feet.`);
  }
  const count = working.input('count', 'count', distance.count, saidSd(distance.count));
  const length = working.input('pace', 'pace', pace.feet, pace.sdFeet);
  const ground = working.input('ground', 'pace', 1, working.sd.groundPart);
  working.step('count', distance.count, single ? 'steps' : 'paces');
  working.step('pace', pace.feet, 'ft');
  if (groundShorter > 0) working.step('ground', groundShorter, 'pct', 'paces shorter on this ground');
  working.step('distance', feet, 'ft', single ? 'steps times half the pace' : 'paces times the pace');
  working.remedies.push(
    {
      action: 'tape',
      sds: {
        count: working.lengthSd(feet, true, working.better) / (perCount * pace.feet),
        pace: 0,
        ground: 0,
      },
    },
    { action: 'walkAgain', sds: { pace: pace.sdFeet / Math.SQRT2 } },
  );
  return ok({ distance: (x) => count(x) * perCount * length(x) * ground(x), slope: null });
}

function readLength(
  working: Working,
  distance: Extract<Distance, { by: 'length' }>,
  scale: AngleUnit | undefined,
): Read<Stand> {
  const feet = working.length(distance.length, 'a distance');
  if (!feet.ok) return feet;
  const taped = distance.taped === true;
  const along = working.input('distance', 'tape', feet.value, working.lengthSd(feet.value, taped));
  if (!taped) {
    const sds = { distance: working.lengthSd(feet.value, true, working.better) };
    working.remedies.push({ action: 'tape', sds });
  }
  if (distance.slope === undefined) {
    working.step('distance', feet.value, 'ft', taped ? 'taped' : 'stated');
    return ok({ distance: along, slope: null });
  }
  const unit = unitOf(distance.slope, scale);
  if (unit === undefined) return needs('scale');
  working.step('slopeDistance', feet.value, 'ft', taped ? 'taped' : 'stated');
  const slope = readTangent(working, {
    name: 'slope',
    value: distance.slope.value,
    unit,
    sdDegrees: working.sd.sightDegrees,
  });
  if (!slope.ok) return slope;
  const level: UncertainQuantity = (x) => horizontalDistance(along(x), slope.value(x));
  if (!(working.now(level) > 0)) {
    return impossible('Expected a slope that leaves some level distance; found none.');
  }
  working.step('distance', working.now(level), 'ft', 'slope distance brought to the level');
  return ok({ distance: level, slope: slope.value, slopeOf: distance.slopeOf });
}

/** Eye height over the feet: said in the note, else the book's. */
function readEye(working: Working, said: Length | undefined): Read<UncertainQuantity> {
  let feet = working.settings.eye?.feet;
  let sd = working.settings.eye?.sdFeet;
  if (said !== undefined) {
    const eye = eyeToFeet(said);
    if (!eye.ok) return impossible(eye.error);
    feet = eye.value;
    sd = working.sd.eyeFeet;
  }
  if (feet === undefined) return needs('eye');
  sd ??= working.sd.eyeFeet;
  working.step('eye', feet, 'ft');
  const remedy: Remedy = { action: 'measureEye', sds: { eye: working.better.eyeMeasuredFeet } };
  working.remedies.push(remedy);
  return ok(working.input('eye', 'eye', feet, sd));
}

/**
 * Height of the eye over the tree's base, feet (negative: the base is above the eye). Without a base: the line of a
 * slope distance goes from the eye to the base, unless an eye height was said with it, when it is the ground's slope;
 * else the ground is level.
 */
export function readDrop(
  working: Working,
  stand: Stand,
  said: { readonly eye?: Length | undefined; readonly base?: Base | undefined },
  scale?: AngleUnit,
): Read<UncertainQuantity> {
  const { base } = said;
  const { distance, slope } = stand;
  if (base?.by === 'angle') {
    const unit = unitOf(base.angle, scale);
    if (unit === undefined) return needs('scale');
    const sdDegrees = working.sd.sightDegrees;
    const tangent = readTangent(working, { name: 'base', value: base.angle.value, unit, sdDegrees });
    if (!tangent.ok) return tangent;
    return ok((x) => -distance(x) * tangent.value(x));
  }
  const sighted = (stand.slopeOf ?? (said.eye === undefined ? 'sight' : 'ground')) === 'sight';
  if (base === undefined && slope !== null && sighted) {
    working.step('base', tangentToDegrees(working.now(slope)), 'deg', 'the line of the slope distance');
    return ok((x) => -distance(x) * slope(x));
  }
  if (base?.by === 'eye') {
    const length = baseLength(working, base);
    if (!length.ok) return length;
    return ok(working.input('base', 'base', length.value.below, length.value.sd));
  }
  const eye = readEye(working, said.eye);
  if (!eye.ok) return eye;
  if (base === undefined && slope !== null) {
    return ok((x) => eye.value(x) - distance(x) * slope(x));
  }
  if (base === undefined) {
    const level = working.input('level', 'base', 0, working.sd.levelFeet);
    const sds = { level: levelBySight(working, distance) };
    working.remedies.push({ action: 'clinometer', sds });
    return ok((x) => eye.value(x) + level(x));
  }
  const length = baseLength(working, base);
  if (!length.ok) return length;
  const below = working.input('base', 'base', length.value.below, length.value.sd);
  return ok((x) => eye.value(x) + below(x));
}

/** Error of the base's height if it were sighted, feet: the distance times the angle's error. */
export const levelBySight = (working: Working, distance: UncertainQuantity): number =>
  working.now(distance) * radians(working.better.sightDegrees);

function baseLength(
  working: Working,
  base: Exclude<Base, { by: 'angle' }>,
): Read<{ readonly below: number; readonly sd: number }> {
  const feet = lengthToFeet(base.length, lengthUnitOf(working.settings.units));
  if (!(feet < beyondFeet)) {
    return impossible(`Expected the base within ${beyondFeet} feet; found ${plain(feet)} feet.`);
  }
  const against = base.by === 'eye' ? 'the eye' : 'the feet';
  const below = base.side === 'below' ? feet : -feet;
  working.step('base', -below, 'ft', `against ${against}`);
  return ok({ below, sd: Math.hypot(working.sd.baseFeet, working.sd.basePart * feet) });
}

/** A lean as said: a length on the ground or the tangent of its angle from vertical, and where it goes. */
export type Leaning =
  | { readonly by: 'length'; readonly offset: UncertainQuantity; readonly direction: Lean['direction'] }
  | { readonly by: 'angle'; readonly tangent: UncertainQuantity; readonly direction: Lean['direction'] }
  /** Only that it leans: nothing can be corrected, but the bias can be told. */
  | { readonly by: 'word'; readonly direction: Lean['direction'] };

/** Null when no lean was said. */
export function readLean(working: Working, lean: Lean | undefined): Read<Leaning | null> {
  if (lean === undefined) return ok(null);
  const { direction } = lean;
  if (lean.length !== undefined) {
    const feet = lengthToFeet(lean.length, lengthUnitOf(working.settings.units));
    if (!(feet < beyondFeet)) {
      return impossible(`Expected a lean below ${beyondFeet} feet; found ${plain(feet)} feet.`);
    }
    working.step('lean', feet, 'ft', direction);
    const offset = working.input('lean', 'lean', feet, working.sd.leanPart * feet);
    return ok({ by: 'length', offset, direction });
  }
  if (lean.angle !== undefined) {
    const unit = lean.angle.unit ?? 'deg';
    const { value } = lean.angle;
    if (value < 0 || (unit === 'deg' && value >= 90)) {
      return impossible(
        `Expected a lean from 0 to below 90 degrees off the vertical; found ${plain(value)}.`,
      );
    }
    const tangent = angleToTangent(value, unit);
    if (!(tangent < 1e4))
      return impossible(`Expected a lean off the vertical; found ${plain(value)}, level.`);
    working.step('lean', value, unit, direction);
    const at = working.input('lean', 'lean', tangent, working.sd.leanPart * tangent);
    return ok({ by: 'angle', tangent: at, direction });
  }
  return ok({ by: 'word', direction });
}
