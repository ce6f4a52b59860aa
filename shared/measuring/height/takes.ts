/**
 * Several takes of one device made into one reading, robustly: one take as it is, the mean of two, and of three and more
 * the mean of those that are not far from their middle. What is far is named and left out, so that it does not pull; and
 * whether the takes scatter as the device is expected to.
 *
 * Chosen among mean, median, Huber's and Tukey's estimates by simulation (`npm run bench -- takes`): with one take in ten
 * far off it errs as little as Tukey's biweight, within 4 percent, and a hand can check it.
 */
import { mean, median, sum } from '../../core/statistics.ts';
import type { Deviations } from '../../note/deviations.ts';
import type { Device } from './types.ts';

/**
 * Expected sd of one reading of a height, feet: of a laser or sonic device it grows with the height, because it comes from
 * angles and from what hides the top; a height pole read against the tree ("tape") errs by as much for every tree.
 * Example: `usualScatter('laser', 80, { readingFeet: 1, readingPart: 0.06, tapeDropFeet: 0.5 })` is 4.90.
 */
export function usualScatter(device: Device, feet: number, by: Deviations): number {
  return device === 'tape' ? by.tapeDropFeet : Math.hypot(by.readingFeet, by.readingPart * feet);
}

/** So many takes is the expected scatter worth against the takes' own. */
const expectedWeighs = 4;
/** A take so many sd from the middle is outlying (two takes: from each other, in sd of the difference): 1 of 370. */
const outlyingFrom = 3;
/** Median absolute deviation of normal values in their sd. */
const madToSd = 1.4826;
/** Sd of the middle against that of a mean, where takes may be left out (simulation: 1.03 to 1.04 for 3 to 8 takes). */
const leavingOutCosts = 1.04;

/** Sd of the middle of n normal takes of sd 1, for 1 take and more. */
export const efficiency = (n: number): number => (n <= 2 ? 1 : leavingOutCosts) / Math.sqrt(n);

interface Middle {
  readonly feet: number;
  readonly sdFeet: number;
  readonly apart: readonly number[];
  readonly outlying: readonly number[];
  readonly leftOut: readonly number[];
  readonly rule: string;
  readonly foundFeet: number | null;
}

/**
 * Middle of 1 or more takes with its sd, feet. `expectedFeet` > 0: sd of one take of this device. What is far is judged by
 * the expected sd pooled with that found among four takes and more, so that a device which scatters more than expected
 * loses none of its takes. Takes are left out only while more than half remain: no one can say which half of them is wrong.
 * The sd is that of the takes kept, widened where they scatter more than expected.
 * Example, 120 left out: `middleOf([50, 55, 120, 52], 3.4).feet` is 52.3, `middleOf([50, 55, 120, 52], 3.4).sdFeet` is 1.9.
 */
export function middleOf(takes: readonly number[], expectedFeet: number): Middle {
  const n = takes.length;
  const far = outlyingFrom * scatterOf(takes, expectedFeet);
  const settled = n < 3 ? null : settle(takes, far);
  const feet = settled?.feet ?? (n < 3 ? mean(takes) : median(takes));
  // Of two takes each is as far from the mean; their difference has sqrt(2) the scatter, each half of it.
  const limit = n === 2 ? far / Math.SQRT2 : far;
  const outlying = takes.filter((take) => n > 1 && Math.abs(take - feet) > limit);
  const kept = settled?.kept ?? takes;
  const middle = mean(kept);
  const squares = sum(kept.map((take) => (take - middle) ** 2));
  const oneTake = Math.sqrt(
    (expectedWeighs * expectedFeet * expectedFeet + squares) / (expectedWeighs + kept.length - 1),
  );
  const out = n - kept.length;
  return {
    feet,
    sdFeet: oneTake * efficiency(kept.length),
    apart: takes.map((take) => (take - feet) / expectedFeet),
    outlying,
    leftOut: settled === null ? [] : outlying,
    rule:
      n === 1 ? 'one take' : settled === null && n > 2 ? `median of ${n} takes` : ruleOf(kept.length, out),
    foundFeet: kept.length > 1 ? Math.sqrt(squares / (kept.length - 1)) : null,
  };
}

const ruleOf = (kept: number, out: number): string =>
  `mean of ${kept} takes${out > 0 ? `, ${out} left out` : ''}`;

/** Sd of one take: the expected one, pooled with the median absolute deviation from four takes on. */
function scatterOf(takes: readonly number[], expectedFeet: number): number {
  const n = takes.length;
  if (n < 4) return expectedFeet;
  const centre = median(takes);
  const found = madToSd * median(takes.map((take) => Math.abs(take - centre)));
  return Math.sqrt((expectedWeighs * expectedFeet ** 2 + (n - 1) * found ** 2) / (expectedWeighs + n - 1));
}

/** Mean of the takes within `far` of it, from their median on; null where no more than half of them stay. */
function settle(
  takes: readonly number[],
  far: number,
): { readonly feet: number; readonly kept: readonly number[] } | null {
  let feet = median(takes);
  let kept: readonly number[] = takes;
  for (let i = 0; i < takes.length; i++) {
    kept = takes.filter((take) => Math.abs(take - feet) <= far);
    if (2 * kept.length <= takes.length) return null;
    const next = mean(kept);
    if (next === feet) break;
    feet = next;
  }
  return { feet, kept };
}
