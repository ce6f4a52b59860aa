/** Quantiles and spreads against R (statistics.json, made by statistics.R) and printed tables. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  chiSquareTail,
  mean,
  median,
  normalCdf,
  normalQuantile,
  standardErrorOfMean,
  sum,
  tCdf,
  tQuantile,
  variance,
} from '../../shared/core/statistics.ts';

const reference = JSON.parse(readFileSync(new URL('./statistics.json', import.meta.url), 'utf8')) as Record<
  string,
  number[][]
>;

/** Largest relative difference over a table of R, the worst row named. */
function worst(table: string, ours: (...inputs: number[]) => number): { relative: number; row: string } {
  let relative = 0;
  let row = '';
  for (const cells of reference[table]!) {
    const expected = cells.at(-1)!;
    const found = ours(...cells.slice(0, -1));
    const difference = Math.abs(found - expected) / Math.max(Math.abs(expected), 1e-300);
    if (!(difference <= relative)) {
      relative = difference;
      row = `${cells.join(', ')} but found ${found}`;
    }
  }
  return { relative, row };
}

describe('statistics against R 4.2.2', () => {
  it.each([
    ['qt: p, df, t', tQuantile, 1e-12],
    ['pt: t, df, p', tCdf, 1e-12],
    ['pnorm: z, p', normalCdf, 1e-13],
    ['qnorm: p, z', normalQuantile, 1e-14],
    ['pchisq upper: x, df, p', chiSquareTail, 1e-12],
  ] as const)('%s agrees', (table, ours, tolerance) => {
    const { relative, row } = worst(table, ours as (...inputs: number[]) => number);
    expect(relative, row).toBeLessThan(tolerance);
  });
});

describe('statistics against printed values', () => {
  // Two-sided 95 % and 90 % points as printed in any t table (here R qt, three decimals).
  it.each([
    [4, 2.776, 2.132],
    [9, 2.262, 1.833],
    [14, 2.145, 1.761],
    [19, 2.093, 1.729],
    [24, 2.064, 1.711],
    [29, 2.045, 1.699],
    [39, 2.023, 1.685],
    [59, 2.001, 1.671],
  ])('t with %i degrees of freedom has the points of the table', (df, t975, t95) => {
    expect(tQuantile(0.975, df)).toBeCloseTo(t975, 3);
    expect(tQuantile(0.95, df)).toBeCloseTo(t95, 3);
  });

  it('the simple random sample of Freese 1967 (USDA AH 317) has its printed standard error', () => {
    // s2 13.4842, n 20, N 100: printed SE 0.734.
    expect(standardErrorOfMean(Math.sqrt(13.4842), 20, 100)).toBeCloseTo(0.734, 3);
  });

  it('the volumes of the R data set trees have mean 30.17097 and sd 16.43785', () => {
    // R 4.2.2: mean(trees$Volume), sd(trees$Volume).
    const volumes = [
      10.3, 10.3, 10.2, 16.4, 18.8, 19.7, 15.6, 18.2, 22.6, 19.9, 24.2, 21, 21.4, 21.3, 19.1, 22.2, 33.8,
      27.4, 25.7, 24.9, 34.5, 31.7, 36.3, 38.3, 42.6, 55.4, 55.7, 58.3, 51.5, 51, 77,
    ];
    expect(mean(volumes)).toBeCloseTo(30.17097, 5);
    expect(Math.sqrt(variance(volumes))).toBeCloseTo(16.43785, 5);
  });
});

describe('statistics as laws', () => {
  it('a variance does not notice where zero is', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 2, maxLength: 40 }),
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        (values, shift) => {
          const moved = variance(values.map((value) => value + shift));
          expect(Math.abs(moved - variance(values))).toBeLessThan(1e-6);
        },
      ),
    );
  });

  it('a t quantile is undone by the t distribution', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }),
        fc.double({ min: 1, max: 2000, noNaN: true }),
        (p, df) => {
          expect(Math.abs(tCdf(tQuantile(p, df), df) - p)).toBeLessThan(1e-12);
        },
      ),
    );
  });
  it('adding does not lose a one beside a huge number', () => {
    expect(sum([1, 1e100, 1, -1e100])).toBe(2);
  });

  it('few values give what they can and no NaN', () => {
    expect(median([4, 1])).toBe(2.5);
    expect(() => variance([1])).toThrow(RangeError);
    expect(() => mean([Number.NaN])).toThrow(RangeError);
    expect(() => tQuantile(0.975, 0)).toThrow(RangeError);
    expect(() => normalQuantile(1)).toThrow(RangeError);
    expect(standardErrorOfMean(3, 10, 10)).toBe(0);
  });
});
