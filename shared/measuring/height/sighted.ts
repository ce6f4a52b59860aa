/**
 * The methods that sight the top: a stick as long as the reach, a stick of another length, two angles, and a stick
 * that spans base to top. One formula, H = T x tip + drop, with the lean's correction in it.
 */

import { required } from '../../core/required.ts';
import { ok } from '../../core/result.ts';
import { angleToTangent, lengthToFeet, plain, radians, tangentOf } from '../../core/units.ts';
import type { Length } from '../../note/quantities.ts';
import type { UncertainQuantity } from './budget.ts';
import { heightBySight, heightBySpan, heightOfLeaning, tipDistance } from './formulas.ts';
import type { Found, Of } from './found.ts';
import {
  beyondFeet,
  impossible,
  type Leaning,
  levelBySight,
  type Read,
  readDistance,
  readDrop,
  readLean,
  readTangent,
  type Working,
} from './sight.ts';

/** The tangent of a stick as long as the reach: 1, uncertain by the angle at which it is held. */
export function stickTangent(working: Working): UncertainQuantity {
  working.step('stick', 45, 'deg', 'stick as long as the reach');
  const at = working.input('stick', 'angle', 45, working.sd.stickDegrees);
  return (x) => tangentOf(at(x));
}

/** Stick over arm. Lengths without units are taken in one and the same unit. */
function stickRatio(working: Working, stick: Length, arm: Length): Read<UncertainQuantity> {
  const usual = stick.unit ?? arm.unit ?? (working.settings.units === 'metres' ? 'cm' : 'in');
  const lengths = [
    { name: 'stick', said: stick, sdFeet: working.sd.stickInches / 12 },
    { name: 'arm', said: arm, sdFeet: working.sd.armInches / 12 },
  ];
  const quantities: UncertainQuantity[] = [];
  for (const { name, said, sdFeet } of lengths) {
    const feet = lengthToFeet(said, usual);
    if (!(feet > 0 && feet < beyondFeet)) {
      return impossible(`Expected the length of the ${name} above 0; found ${plain(said.value)}.`);
    }
    working.step(name, feet, 'ft');
    quantities.push(working.input(name, 'scale', feet, sdFeet));
  }
  const [stickFeet, armFeet] = quantities as [UncertainQuantity, UncertainQuantity];
  const ratio = working.now(stickFeet) / working.now(armFeet);
  if (!(ratio < 1e4 && ratio > 1e-4)) {
    return impossible('Expected a stick and an arm of like lengths; found one ten thousand times the other.');
  }
  return ok((x) => stickFeet(x) / armFeet(x));
}

/** A clinometer in place of a held stick: what the inputs' sds would be. */
function instead(working: Working, tangent: UncertainQuantity, distance: UncertainQuantity): void {
  const slope = working.now(tangent);
  const arm = working.inputs.find((input) => input.name === 'arm');
  const sightRadians = radians(working.better.sightDegrees);
  const sds: Record<string, number> = { level: levelBySight(working, distance) };
  if (arm === undefined) sds.stick = working.better.sightDegrees;
  else {
    sds.stick = 0;
    sds.arm = (arm.value * (1 + slope * slope) * sightRadians) / slope;
  }
  working.remedies.push({ action: 'clinometer', sds });
}

/** Stick at the eye, unequal stick at the eye, two angles: one formula, H = T x tip + drop. */
export function findSighted(
  measurement: Of<'stick'> | Of<'ratio'> | Of<'angles'>,
  working: Working,
): Read<Found> {
  const base = measurement.base;
  const scale =
    measurement.method === 'angles'
      ? (measurement.scale ?? (base?.by === 'angle' ? base.angle.unit : undefined))
      : undefined;
  if (measurement.method === 'angles' && scale === undefined) {
    return { ok: false, error: { kind: 'needs', what: 'scale' } };
  }
  const stand = readDistance(working, measurement.distance, scale);
  if (!stand.ok) return stand;
  const { distance, slope } = stand.value;

  let top: UncertainQuantity;
  if (measurement.method === 'stick') top = stickTangent(working);
  else if (measurement.method === 'ratio') {
    const ratio = stickRatio(working, measurement.stick, measurement.arm);
    if (!ratio.ok) return ratio;
    top = ratio.value;
  } else {
    const unit = required(scale, 'the scale');
    const sdDegrees = working.sd.sightDegrees;
    const tangent = readTangent(working, { name: 'top', value: measurement.top, unit, sdDegrees });
    if (!tangent.ok) return tangent;
    if (angleToTangent(measurement.top, unit) <= 0 && base === undefined && slope === null) {
      return impossible(
        `Expected the top above the eye, or a sight to the base of a tree that stands below you; found the top at ${plain(measurement.top)} and no base.`,
      );
    }
    top = tangent.value;
  }
  const drop = readDrop(working, stand.value, measurement, scale);
  if (!drop.ok) return drop;
  const leaning = readLean(working, measurement.lean);
  if (!leaning.ok) return leaning;
  const height = withLean(working, { distance, top, drop: drop.value }, leaning.value);
  if (!height.ok) return height;
  if (measurement.method === 'angles') adviseFurther(working, { distance, top, drop: drop.value });
  else instead(working, top, distance);
  return ok({ height: height.value, distance, drop: drop.value, topTangent: top, eye: measurement.eye });
}

interface Sighted {
  readonly distance: UncertainQuantity;
  readonly top: UncertainQuantity;
  readonly drop: UncertainQuantity;
}

/** H = T x tip + drop with the lean's correction; without a direction the lean only widens the error. */
function withLean(working: Working, sighted: Sighted, leaning: Leaning | null): Read<UncertainQuantity> {
  const { distance, top, drop } = sighted;
  const upright: UncertainQuantity = (x) => heightBySight(distance(x), top(x), drop(x));
  if (leaning === null) return ok(upright);
  const direction = leaning.direction;
  if (leaning.by === 'word') {
    const bias =
      direction === 'toward'
        ? 'too high by this for each foot that the tip is nearer'
        : direction === 'away'
          ? 'too low by this for each foot that the tip is further'
          : 'for each foot the tip is nearer or further; sideways hardly counts';
    working.step('leanPerFoot', working.now(top), 'ft', bias);
    return ok(upright);
  }
  if (direction === undefined) {
    // Any direction alike: the part of the lean along the sight has sd lean / sqrt(2).
    const lean = working.now(leaning.by === 'length' ? leaning.offset : leaning.tangent);
    const offset = leaning.by === 'length' ? lean : lean * Math.max(0, working.now(upright));
    const side = working.input('leanSide', 'lean', 0, offset / Math.SQRT2);
    working.step('leanPerFoot', working.now(top), 'ft', 'for each foot the tip is nearer or further');
    return ok((x) => heightBySight(distance(x) - side(x), top(x), drop(x)));
  }
  if (leaning.by === 'length') {
    const tip: UncertainQuantity = (x) => tipDistance(distance(x), leaning.offset(x), direction);
    if (!(working.now(tip) > 0)) {
      return impossible(
        `Expected the tip in front of you; found it ${plain(working.now(leaning.offset))} feet toward you, with the stem ${plain(working.now(distance))} feet away.`,
      );
    }
    working.step('tipDistance', working.now(tip), 'ft', 'to the point under the tip');
    return ok((x) => heightBySight(tip(x), top(x), drop(x)));
  }
  return ok((x) => heightOfLeaning(distance(x), top(x), drop(x), leaning.tangent(x), direction));
}

/** Standing as far off as the tree is high over the eye: the angle's error is then least, 2 h per radian. */
function adviseFurther(working: Working, { distance, top, drop }: Sighted): void {
  const d = working.now(distance);
  const h = d * working.now(top);
  const below = working.now(drop);
  const remedySd = (name: string, factor: number) => {
    const input = working.inputs.find((each) => each.name === name);
    return input === undefined ? {} : { [name]: input.sd * factor };
  };
  if (h > 1.2 * d) {
    const topFactor = (2 * h * d) / (d * d + h * h);
    const baseFactor = (h + (below * below) / h) / (d + (below * below) / d);
    working.remedies.push({
      action: 'standFurther',
      sds: { ...remedySd('top', topFactor), ...remedySd('base', baseFactor) },
    });
  }
}

/** The stick spans base to top, so neither the eye nor the ground's level enters, save through a lean. */
export function findSpan(measurement: Of<'spans'>, working: Working): Read<Found> {
  const { stick, arm } = measurement;
  if ((stick === undefined) !== (arm === undefined)) {
    const [given, missing] = stick === undefined ? ['arm', 'stick'] : ['stick', 'arm'];
    return impossible(
      `Expected the lengths of both stick and arm, or neither when they are equal; found the ${given} without the ${missing}.`,
    );
  }
  const stand = readDistance(working, measurement.distance);
  if (!stand.ok) return stand;
  const { distance } = stand.value;
  let span: UncertainQuantity;
  if (stick === undefined || arm === undefined) span = stickTangent(working);
  else {
    const ratio = stickRatio(working, stick, arm);
    if (!ratio.ok) return ratio;
    span = ratio.value;
  }
  const leaning = readLean(working, measurement.lean);
  if (!leaning.ok) return leaning;
  instead(working, span, distance);
  const upright: UncertainQuantity = (x) => heightBySpan(distance(x), span(x), 1);
  if (leaning.value === null) return ok({ height: upright, distance });
  // A lean moves the tip only, so the part of the span over the eye is needed: the eye enters a little after all.
  const eye = working.settings.eye ?? { feet: 5.3, sdFeet: 0.5 };
  working.step(
    'eye',
    eye.feet,
    'ft',
    working.settings.eye === null ? 'usual; enters by the lean alone' : undefined,
  );
  const drop = working.input('eye', 'eye', eye.feet, eye.sdFeet);
  const top: UncertainQuantity = (x) => span(x) - drop(x) / distance(x);
  const height = withLean(working, { distance, top, drop }, leaning.value);
  return height.ok ? ok({ height: height.value, distance, drop, topTangent: top }) : height;
}
