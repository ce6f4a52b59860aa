/** Heights from what a device showed: ranges along the line of sight, or the height itself in one take or several. */
import { ok } from '../../core/result.ts';
import { median } from '../../core/statistics.ts';
import { lengthUnitOf, plain, radians } from '../../core/units.ts';
import { bestAdvice, type UncertainQuantity } from './budget.ts';
import { heightByRanges } from './formulas.ts';
import type { Found, Measured, Of } from './found.ts';
import { impossible, type Read, type Working } from './sight.ts';
import { efficiency, middleOf, usualScatter } from './takes.ts';

export function findRanges(measurement: Of<'ranges'>, working: Working): Read<Found> {
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
    return (x) => line.range(x) * Math.cos(radians(line.degrees(x)));
  };
  const distance = level(base);
  const offset = working.now(level(top)) - working.now(distance);
  working.step('tipOffset', offset, 'ft', 'of the top against the base, level; negative nearer');
  return ok({
    height: (x) => heightByRanges(top.range(x), top.degrees(x), base.range(x), base.degrees(x)),
    distance,
    drop: (x) => -base.range(x) * Math.sin(radians(base.degrees(x))),
    topTangent: (x) => Math.tan(radians(top.degrees(x))),
  });
}

/** The device showed the height itself. Takes without a unit follow the others; takes in two units are refused. */
export function measureTakes({ takes, device, sdFeet: sd }: Of<'reading'>, working: Working): Read<Measured> {
  const { settings } = working;
  const units = [...new Set(takes.flatMap((take) => take.unit ?? []))];
  if (units.length > 1) {
    return impossible(`Expected all takes in one unit; found ${units.join(' and ')}.`);
  }
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
  working.step('middle', middle.feet, 'ft', middle.rule);
  const { sdFeet } = middle;
  const kept = feet.length - middle.leftOut.length;
  const sdAfter = (sdFeet * efficiency(kept + 2)) / efficiency(kept);
  return ok({
    feet: middle.feet,
    sdFeet,
    shares: [{ cause: 'device', sdFeet, part: 1 }],
    advice: bestAdvice(sdFeet, [{ action: 'moreTakes', cause: 'device', sdFeet: sdAfter }]),
    takes: {
      feet,
      apart: middle.apart,
      outlying: middle.outlying,
      leftOut: middle.leftOut,
      rule: middle.rule,
      expectedFeet,
      foundFeet: middle.foundFeet,
    },
    scene: {},
  });
}
