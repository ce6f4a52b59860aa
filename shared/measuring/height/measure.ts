/**
 * A measurement as said becomes a height with an honest error, its working and its drawing; or the reason why not.
 * Names of the working steps: count, pace, ground, slopeDistance, slope, distance, eye, base, top, stick, arm, lean,
 * leanPerFoot, pole, poleReads, treeReads, shadow, poleShadow, topRange, baseRange, tipOffset, take, middle, height.
 */

import { assertNever, ok, type Result } from '../../core/result.ts';
import { median } from '../../core/statistics.ts';
import { eyeToFeet, lengthUnitOf, plain, tangentToDegrees } from '../../core/units.ts';
import type { Measurement } from '../../note/note.ts';
import { bestAdvice, budget, type UncertainQuantity } from './budget.ts';
import { formulaOf, heightByLaid, heightByPole, heightByRanges, heightByShadow } from './formulas.ts';
import { beyondFeet, impossible, type Read, readDistance, saidSd, Working } from './sight.ts';
import { type Found, findSighted, findSpan, type Of, stickTangent } from './sighted.ts';
import { efficiency, middleOf, usualScatter } from './takes.ts';
import type { Height, HeightProblem, HeightSettings, SketchGeometry } from './types.ts';

/**
 * The height that a measurement gives, feet.
 *
 * Every measurement that satisfies the schema gives a finite height above 0 with a finite error, or a problem: a
 * value that the user can give (pace, eye, scale), or a sentence saying what was expected and what was found.
 * Units that were not said come from the settings. Example: 8 paces of 5.3 ft, eye 5.5 ft: 47.9 ft.
 */
export function measure(measurement: Measurement, settings: HeightSettings): Result<Height, HeightProblem> {
  if (measurement.method === 'reading') return measureReading(measurement, settings);
  const working = new Working(settings);
  const found = find(measurement, working);
  if (!found.ok) return found;
  const { height } = found.value;
  const { feet, sdFeet, shares, advice } = budget(working.inputs, height, working.remedies);
  if (!Number.isFinite(feet) || !Number.isFinite(sdFeet) || feet > beyondFeet) {
    return impossible(
      `Expected a tree below ${beyondFeet} feet; found ${Number.isFinite(feet) ? `${plain(feet)} feet` : 'none that fits these numbers'}.`,
    );
  }
  if (feet < 0.01) {
    return impossible(`Expected the top above the base; found a height of ${plain(feet)} feet.`);
  }
  working.step('height', feet, 'ft');
  return ok({
    feet,
    sdFeet,
    method: measurement.method,
    shares,
    advice,
    steps: working.steps,
    sketch: sketchOf(measurement.method, working, found.value, feet),
    assumed: working.assumed,
    formula: formulaOf[measurement.method],
  });
}

function find(measurement: Exclude<Measurement, { method: 'reading' }>, working: Working): Read<Found> {
  switch (measurement.method) {
    case 'stick':
    case 'ratio':
    case 'angles':
      return findSighted(measurement, working);
    case 'spans':
      return findSpan(measurement, working);
    case 'laid': {
      const stand = readDistance(working, measurement.distance);
      if (!stand.ok) return stand;
      const { distance } = stand.value;
      const swing = stickTangent(working);
      return ok({ height: (x) => heightByLaid(distance(x) * swing(x)), distance });
    }
    case 'pole':
      return findPole(measurement, working);
    case 'shadow':
      return findShadow(measurement, working);
    case 'ranges':
      return findRanges(measurement, working);
    default:
      return assertNever(measurement);
  }
}

/** Standard deviation of a clinometer and a tape from as far off as the tree is high, as a part of the height. */
function clinometerPart(working: Working): number {
  const sight = (working.better.sightDegrees * Math.PI) / 180;
  return Math.hypot(2 * sight, sight, working.better.tapedPart);
}

function findPole(measurement: Of<'pole'>, working: Working): Read<Found> {
  const { poleReads, treeReads } = measurement;
  const pole = working.length(measurement.pole, 'a pole');
  if (!pole.ok) return pole;
  if (!(poleReads > 1e-6 && poleReads < 1e6)) {
    return impossible(`Expected the pole to read above 0; found ${plain(poleReads)}.`);
  }
  if (!(treeReads > poleReads && treeReads < 1e6)) {
    return impossible(
      `Expected the tree to read more than the pole beside it; found tree ${plain(treeReads)}, pole ${plain(poleReads)}.`,
    );
  }
  working.step('pole', pole.value, 'ft');
  working.step('poleReads', poleReads, 'ratio');
  working.step('treeReads', treeReads, 'ratio');
  // The pole is brought to its reading; the tree reads what it reads, rounded to what was said.
  const length = working.input('pole', 'tape', pole.value, working.sd.stickInches / 12);
  const below = working.input(
    'poleReads',
    'scale',
    poleReads,
    Math.min(working.sd.scaleUnits, poleReads / 10),
  );
  const above = working.input('treeReads', 'scale', treeReads, Math.min(saidSd(treeReads), treeReads / 10));
  working.remedies.push({
    action: 'clinometer',
    sds: { pole: 0, poleReads: 0, treeReads: treeReads * clinometerPart(working) },
  });
  return ok({ height: (x) => heightByPole(length(x), below(x), above(x)) });
}

function findShadow(measurement: Of<'shadow'>, working: Working): Read<Found> {
  const lengths = [];
  for (const name of ['shadow', 'pole', 'poleShadow'] as const) {
    const what = { shadow: "a tree's shadow", pole: 'a pole', poleShadow: "a pole's shadow" }[name];
    const feet = working.length(measurement[name], what);
    if (!feet.ok) return feet;
    working.step(name, feet.value, 'ft');
    lengths.push(feet.value);
  }
  const [shadow, pole, poleShadow] = lengths as [number, number, number];
  const { sd } = working;
  // The end of a tree's shadow is taken somewhere in its blurred edge: an error of the sun's height, which lengthens a
  // shadow by 2 S / sin 2e a radian, e the sun's height.
  const sun = Math.atan2(pole, poleShadow);
  const edge = (radians(sd.shadowEdgeDegrees) * 2 * shadow) / Math.sin(2 * sun);
  const tree = working.input('shadow', 'shadow', shadow, Math.hypot(sd.shadowFeet, edge));
  const staff = working.input('pole', 'scale', pole, Math.min(sd.stickInches / 12, pole / 10));
  const short = working.input(
    'poleShadow',
    'scale',
    poleShadow,
    Math.min(sd.poleShadowInches / 12, poleShadow / 10),
  );
  // A pole that leans with or against the sun throws a longer or shorter shadow.
  const lean = working.input('poleLean', 'scale', 0, Math.min(sd.poleLeanDegrees, 10));
  // Ground that rises or falls under the tree's shadow more than under the pole's lifts or lowers its end.
  const slope = working.input('slope', 'ground', 0, Math.min(sd.slopeDegrees, 10));
  working.remedies.push({
    action: 'clinometer',
    sds: { pole: 0, poleShadow: 0, poleLean: 0, slope: 0, shadow: shadow * clinometerPart(working) },
  });
  return ok({
    height: (x) => {
      const upright = short(x) - staff(x) * Math.tan(radians(lean(x)));
      return heightByShadow(tree(x), staff(x), upright) + tree(x) * Math.tan(radians(slope(x)));
    },
  });
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

function findRanges(measurement: Of<'ranges'>, working: Working): Read<Found> {
  const { sd } = working;
  const lines: { readonly range: UncertainQuantity; readonly degrees: UncertainQuantity }[] = [];
  for (const name of ['top', 'base'] as const) {
    const range = working.length(
      name === 'top' ? measurement.topRange : measurement.baseRange,
      `a range to the ${name}`,
    );
    if (!range.ok) return range;
    const degrees = name === 'top' ? measurement.topAngle : measurement.baseAngle;
    if (!(Math.abs(degrees) < 90)) {
      return impossible(
        `Expected the ${name} angle between -90 and 90 degrees; found ${plain(degrees)} degrees.`,
      );
    }
    working.step(`${name}Range`, range.value, 'ft');
    working.step(name, degrees, 'deg');
    lines.push({
      range: working.input(`${name}Range`, 'device', range.value, Math.min(sd.rangeFeet, range.value / 10)),
      degrees: working.input(name, 'angle', degrees, sd.sightDegrees),
    });
  }
  const top = lines[0]!;
  const base = lines[1]!;
  const level = (line: (typeof lines)[number]): UncertainQuantity => {
    return (x) => line.range(x) * Math.cos((line.degrees(x) * Math.PI) / 180);
  };
  const distance = level(base);
  const offset = working.now(level(top)) - working.now(distance);
  working.step('tipOffset', offset, 'ft', 'of the top against the base, level; negative nearer');
  return ok({
    height: (x) => heightByRanges(top.range(x), top.degrees(x), base.range(x), base.degrees(x)),
    distance,
    drop: (x) => -base.range(x) * Math.sin((base.degrees(x) * Math.PI) / 180),
    topTangent: (x) => Math.tan((top.degrees(x) * Math.PI) / 180),
  });
}

/** The device showed the height itself. Takes without a unit follow the others; takes in two units are refused. */
function measureReading(
  { takes, device, sdFeet: sd }: Of<'reading'>,
  settings: HeightSettings,
): Result<Height, HeightProblem> {
  const units = [...new Set(takes.flatMap((take) => take.unit ?? []))];
  if (units.length > 1) {
    return impossible(`Expected all takes in one unit; found ${units.join(' and ')}.`);
  }
  const working = new Working(settings);
  const unit = units[0] ?? lengthUnitOf(settings.units);
  const feet: number[] = [];
  for (const take of takes) {
    const each = working.length({ value: take.value, unit }, 'a reading');
    if (!each.ok) return each;
    feet.push(each.value);
    working.step('take', each.value, 'ft', device);
  }
  const which = device ?? 'other';
  const expectedFeet = sd ?? settings.scatter[which] ?? usualScatter(which, median(feet), working.sd);
  const middle = middleOf(feet, expectedFeet);
  if (middle.feet < 0.01) {
    return impossible(`Expected the top above the base; found a height of ${plain(middle.feet)} feet.`);
  }
  working.step('middle', middle.feet, 'ft', middle.rule);
  working.step('height', middle.feet, 'ft');
  const { sdFeet } = middle;
  const kept = feet.length - middle.leftOut.length;
  const sdAfter = (sdFeet * efficiency(kept + 2)) / efficiency(kept);
  return ok({
    feet: middle.feet,
    sdFeet,
    method: 'reading',
    shares: [{ cause: 'device', sdFeet, part: 1 }],
    advice: bestAdvice(sdFeet, [{ action: 'moreTakes', cause: 'device', sdFeet: sdAfter }]),
    steps: working.steps,
    sketch: sketchOf('reading', working, {}, middle.feet),
    takes: {
      feet,
      apart: middle.apart,
      outlying: middle.outlying,
      leftOut: middle.leftOut,
      rule: middle.rule,
      expectedFeet,
      foundFeet: middle.foundFeet,
    },
    assumed: working.assumed,
    formula: formulaOf.reading,
  });
}

function sketchOf(
  method: Measurement['method'],
  working: Working,
  found: Partial<Found>,
  heightFt: number,
): SketchGeometry {
  const said = found.eye === undefined ? null : eyeToFeet(found.eye);
  const eyeFt = said?.ok ? said.value : (working.settings.eye?.feet ?? null);
  const drop = found.drop === undefined ? null : working.now(found.drop);
  return {
    method,
    heightFt,
    distanceFt: found.distance === undefined ? null : working.now(found.distance),
    eyeFt,
    baseFt: drop === null || eyeFt === null ? 0 : eyeFt - drop,
    topDegrees: found.topTangent === undefined ? null : tangentToDegrees(working.now(found.topTangent)),
  };
}
