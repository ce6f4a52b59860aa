/**
 * Several takes of one device made into one reading, robustly: one take as it is, the mean of two, the median of
 * three, a Huber mean of four and more; and whether they scatter as the device is expected to.
 */
import { median, sum } from '../../core/statistics.ts';
import type { Device } from './types.ts';

/**
 * Expected sd of one reading, feet. Laser and sonic readings in closed woods scatter by about 7 to 10 ft (common
 * practice, no source), taken as the range of the usual three takes: 8.5 / 1.693 = 5.0, where 1.693 = 3/sqrt(pi) is the mean range
 * of three normal values in sd (d2 of control charts; Tippett 1925, Biometrika 17:364-387). A height pole read against
 * the tree ("tape"): 0.5 ft, common practice, no source.
 */
export const usualScatter: Readonly<Record<Device, number>> = { laser: 5, sonic: 5, tape: 0.5, other: 5 };

/** So many takes is the expected scatter worth against the takes' own. */
const expectedWeighs = 4;
/** Huber's constant: 96 % as good as the mean for normal takes, hardly moved by one wild one. */
const huberK = 1.5;
/** A take this many expected sd from the middle is outlying (two takes: from each other, in sd of the difference). */
const outlyingFrom = 2.5;

/** Sd of the middle of n normal takes of sd 1, for 1 take and more. Median of 3: 0.6698 (Hojo 1931, Biometrika 23:315-360). */
export function efficiency(n: number): number {
  if (n <= 2) return 1 / Math.sqrt(n);
  return n === 3 ? 0.6698 : 1 / Math.sqrt(0.964 * n);
}

export interface Middle {
  readonly feet: number;
  readonly sdFeet: number;
  readonly apart: readonly number[];
  readonly outlying: readonly number[];
  readonly rule: string;
  readonly foundFeet: number | null;
}

/**
 * Middle of 1 or more takes with its sd, feet. `expectedFeet` > 0: sd of one take of this device. The sd used is the
 * expected one, pooled with the scatter found among the takes that are not outlying, so that a device which scatters
 * more than expected says so.
 * Example: takes 92, 97, 90 with 5 expected: 92 +- 3.2, median of 3 takes, none outlying.
 */
export function middleOf(takes: readonly number[], expectedFeet: number): Middle {
  const n = takes.length;
  const centre = median(takes);
  const feet = n >= 4 ? huberMean(takes, centre, expectedFeet) : centre;
  // Of two takes each is as far from the mean; their difference has sqrt(2) the scatter, each half of it.
  const unit = n === 2 ? expectedFeet / Math.SQRT2 : expectedFeet;
  const apart = takes.map((take) => (take - feet) / expectedFeet);
  const isOut = takes.map((take) => n > 1 && Math.abs(take - feet) > outlyingFrom * unit);
  const kept = isOut.includes(false) ? takes.filter((_, i) => !isOut[i]) : takes;
  const keptMiddle = sum(kept) / kept.length;
  const squares = sum(kept.map((take) => (take - keptMiddle) ** 2));
  const foundFeet = kept.length > 1 ? Math.sqrt(squares / (kept.length - 1)) : null;
  const oneTake = Math.sqrt(
    (expectedWeighs * expectedFeet * expectedFeet + squares) / (expectedWeighs + kept.length - 1),
  );
  return {
    feet,
    sdFeet: oneTake * efficiency(n),
    apart,
    outlying: takes.filter((_, i) => isOut[i]),
    rule:
      n === 1
        ? 'one take'
        : n === 2
          ? 'mean of 2 takes'
          : n === 3
            ? 'median of 3 takes'
            : `Huber mean of ${n} takes`,
    foundFeet,
  };
}

/** Mean in which takes beyond k sd pull only as if they were k sd away (Huber 1964, Ann. Math. Stat. 35:73-101). */
function huberMean(takes: readonly number[], start: number, sd: number): number {
  const reach = huberK * sd;
  let middle = start;
  for (let i = 0; i < 100; i++) {
    const pull = sum(takes.map((take) => Math.max(-reach, Math.min(reach, take - middle)))) / takes.length;
    middle += pull;
    if (Math.abs(pull) < 1e-13 * sd) break;
  }
  return middle;
}
