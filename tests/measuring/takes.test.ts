/** Several takes made into one, reckoned by hand from the rule: mean of those within three scatters of their middle. */
import { describe, expect, it } from 'vitest';
import { efficiency, middleOf, usualScatter } from '../../shared/measuring/height/takes.ts';
import { usualDeviations } from '../../shared/note/deviations.ts';

/** Sd of one take, the expected one worth four of them, over takes whose squares about their mean are these. */
const pooledSd = (expected: number, squares: number, n: number): number =>
  Math.sqrt((4 * expected ** 2 + squares) / (4 + n - 1));

describe('the expected scatter of a reading', () => {
  it('of a laser or sonic device grows with the height, of a pole read against the tree it does not', () => {
    expect(usualScatter('laser', 80, usualDeviations)).toBeCloseTo(Math.hypot(1, 4.8), 12);
    expect(usualScatter('sonic', 12, usualDeviations)).toBeCloseTo(Math.hypot(1, 0.72), 12);
    expect(usualScatter('tape', 12, usualDeviations)).toBe(0.5);
    expect(usualScatter('tape', 120, usualDeviations)).toBe(0.5);
  });
});

describe('takes', () => {
  it('one is itself, with the expected scatter', () => {
    expect(middleOf([60], 3)).toMatchObject({
      feet: 60,
      sdFeet: 3,
      outlying: [],
      leftOut: [],
      rule: 'one take',
      foundFeet: null,
    });
  });

  it('two are their mean; apart by more than three sd of their difference they are told, and none is left out', () => {
    const two = middleOf([60, 64], 3);
    expect(two.feet).toBe(62);
    expect(two.sdFeet).toBeCloseTo(pooledSd(3, 8, 2) / Math.SQRT2, 12);
    expect(two.foundFeet).toBeCloseTo(Math.sqrt(8), 12);
    expect(two.rule).toBe('mean of 2 takes');
    // 3 x 3 x root 2 = 12.73 apart.
    expect(middleOf([60, 72.7], 3).outlying).toEqual([]);
    expect(middleOf([60, 72.8], 3)).toMatchObject({ outlying: [60, 72.8], leftOut: [] });
  });

  it('three and more are the mean of those within three scatters of it', () => {
    const three = middleOf([60, 62, 64], 3);
    expect(three.feet).toBe(62);
    expect(three.sdFeet).toBeCloseTo((1.04 * pooledSd(3, 8, 3)) / Math.sqrt(3), 12);
    expect(three.apart.map((one) => Number(one.toFixed(9)))).toEqual([-0.666666667, 0, 0.666666667]);
    const out = middleOf([60, 62, 90], 3);
    expect(out).toMatchObject({
      feet: 61,
      outlying: [90],
      leftOut: [90],
      rule: 'mean of 2 takes, 1 left out',
    });
    expect(out.sdFeet).toBeCloseTo(pooledSd(3, 2, 2) / Math.SQRT2, 12);
    expect(out.foundFeet).toBeCloseTo(Math.SQRT2, 12);
  });

  it('just inside and just outside of three scatters', () => {
    // The middle of 60, 60 and x is at first 60: x stays up to 9 from it, and then pulls.
    expect(middleOf([60, 60, 69], 3).leftOut).toEqual([]);
    expect(middleOf([60, 60, 69.1], 3).leftOut).toEqual([69.1]);
  });

  it('of which half are far from the others are their median: no one can say which half is wrong', () => {
    const split = middleOf([40, 41, 80, 81], 1);
    expect(split.leftOut).toEqual([]);
    expect(split.rule === 'median of 4 takes' || split.rule === 'mean of 4 takes').toBe(true);
    const three = middleOf([20, 60, 100], 1);
    expect(three).toMatchObject({ feet: 60, leftOut: [], rule: 'median of 3 takes' });
  });

  it('from four on are judged by what they scatter, too: 1.4826 median deviations, pooled as n - 1 against four', () => {
    // Deviations from the median 60: 4, 2, 0, 2, 4, so found is 1.4826 x 2; expected 1.
    const takes = [56, 58, 60, 62, 64];
    const scatter = Math.sqrt((4 * 1 + 4 * (1.4826 * 2) ** 2) / 8);
    expect(3 * scatter).toBeGreaterThan(4);
    expect(middleOf(takes, 1).leftOut).toEqual([]);
    // Without what they scatter 56 and 64 would be more than three from 60.
    expect(middleOf([56, 60, 60, 60, 64], 1).leftOut).toEqual([56, 64]);
    // Three takes have the expected scatter alone.
    expect(middleOf([50, 60, 70], 1).rule).toBe('median of 3 takes');
  });

  it('that scatter more than expected widen the error', () => {
    expect(middleOf([50, 60, 70, 55, 65], 4).sdFeet).toBeGreaterThan(
      middleOf([59, 60, 61, 60, 60], 4).sdFeet,
    );
    expect([1, 2, 3, 4].map(efficiency)).toEqual([1, 1 / Math.SQRT2, 1.04 / Math.sqrt(3), 1.04 / 2]);
  });
});
