/** Sampling estimators against handbook examples, a general statistics library and R. */
import fc from 'fast-check';
import { sampleStandardDeviation, sampleVariance, mean as simpleMean } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { mean, variance } from '../../shared/core/statistics.ts';
import {
  limitsOf,
  optimumAllocation,
  plotsForT,
  plotsNeeded,
  proportionalAllocation,
  stratifiedMean,
  wholeAllocation,
} from '../../shared/totals/estimators.ts';
import { hasStand } from '../support/stands.ts';
import { number, numbers, readTable } from '../support/tables.ts';

/** One stratum alone: a simple random sample. */
function simpleRandom(values: readonly number[], populationSize = Number.POSITIVE_INFINITY) {
  const sample = { n: values.length, mean: mean(values), variance: variance(values) };
  const { se, df } = stratifiedMean([{ weight: 1, ...sample, populationSize }])!;
  return { ...sample, se: se!, df };
}

describe('simple random sampling', () => {
  it('Freese 1967 (AH 317), 20 of 100 units: mean 10.7, total 1070, variance 13.4842, SE 0.734, SE of the total 73.4', () => {
    const values = numbers(readTable('trade/freese1967_srs.csv'), 'value');
    expect(values.length).toBe(20);
    const sample = simpleRandom(values, 100);
    expect(sample.mean).toBeCloseTo(10.7, 12);
    expect(sample.mean * 100).toBeCloseTo(1070, 9);
    expect(sample.variance).toBeCloseTo(13.4842, 4);
    expect(sample.se).toBeCloseTo(0.734, 3);
    expect(sample.se * 100).toBeCloseTo(73.4, 1);
    // The page prints 0.734 as the root of the variance; without the correction the standard error is 0.8211.
    expect(simpleRandom(values).se).toBeCloseTo(0.8211, 4);
    const { low, high } = limitsOf(sample.mean, sample.se, sample.df, 0.95);
    expect(low).toBeCloseTo(9.163, 3);
    expect(high).toBeCloseTo(12.237, 3);
  });

  it('25 quarter-acre plots of 1000: mean 7 cords, SE 0.387, 7 plus or minus 0.798 (from memory: Freese 1962, AH 232)', () => {
    const values = numbers(readTable('trade/freese1962_srs.csv'), 'cords_per_quarter_acre');
    const sample = simpleRandom(values, 1000);
    expect(sample.n).toBe(25);
    expect(sample.mean).toBe(7);
    expect(sample.variance).toBeCloseTo(3.8333, 4);
    expect(sample.se).toBeCloseTo(0.387, 3);
    expect(limitsOf(7, sample.se, 24, 0.95).high).toBeCloseTo(7.798, 3);
  });

  it.skipIf(!hasStand('trees_black_cherry'))(
    "volumes of R's 31 black cherry: SE 2.95232, 24.1415 to 36.2004 (R 4.2.2)",
    () => {
      const sample = simpleRandom(numbers(readTable('stands/trees_black_cherry.csv'), 'volume_ft3'));
      expect(sample.se).toBeCloseTo(2.95232, 5);
      const { low, high } = limitsOf(sample.mean, sample.se, sample.df, 0.95);
      expect(low).toBeCloseTo(24.1415, 4);
      expect(high).toBeCloseTo(36.2004, 4);
    },
  );

  it('agrees with simple-statistics on any sample', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 2, maxLength: 60 }),
        (values) => {
          const sample = simpleRandom(values);
          const scale = Math.max(1, ...values.map(Math.abs));
          expect(Math.abs(sample.mean - simpleMean(values))).toBeLessThan(1e-9 * scale);
          expect(Math.abs(sample.variance - sampleVariance(values))).toBeLessThan(1e-9 * scale * scale);
          expect(
            Math.abs(sample.se - sampleStandardDeviation(values) / Math.sqrt(values.length)),
          ).toBeLessThan(1e-7 * scale);
        },
      ),
    );
  });
});

describe('stratified sampling', () => {
  it('two whole strata of a lecture example: means 610 and 737, variances 8111.11 and 15556.67', () => {
    const rows = readTable('trade/stratified_lecture_500ac.csv');
    const of = (stratum: string) =>
      simpleRandom(
        numbers(
          rows.filter((row) => row.stratum === stratum),
          'ft3_per_acre',
        ),
      );
    const [one, two] = [of('I'), of('II')];
    expect(one.mean * one.n).toBe(6100);
    expect(two.mean * two.n).toBe(7370);
    expect(one.variance).toBeCloseTo(8111.11, 2);
    expect(two.variance).toBeCloseTo(15556.67, 2);
    const both = stratifiedMean([
      { weight: 1, ...one, populationSize: Infinity },
      { weight: 1, ...two, populationSize: Infinity },
    ])!;
    expect(both.mean).toBeCloseTo(673.5, 9);
    // Equal weights are Welch's two-sample case: df = (a + b)^2 / (a^2/9 + b^2/9).
    const [a, b] = [one.variance, two.variance];
    expect(both.df).toBeCloseTo((a + b) ** 2 / ((a * a) / 9 + (b * b) / 9), 9);
  });

  it('FSH 2409.12 (USDA 2000): weighted CV 48.5, n 86, allocation 21, 12, 28, 25', () => {
    const rows = readTable('trade/fsh_sample_size_example.csv');
    const strata = rows.map((row) => ({ weight: number(row, 'acres'), cvPct: number(row, 'cv_pct') }));
    const acres = strata.reduce((sum, { weight }) => sum + weight, 0);
    const weightedCv = strata.reduce((sum, { weight, cvPct }) => sum + (weight / acres) * cvPct, 0);
    expect(weightedCv).toBeCloseTo(48.5, 12);
    const n = plotsForT(weightedCv, 10, 2, 1000);
    expect(n).toBeCloseTo(85.998, 3);
    const allocation = optimumAllocation(
      Math.ceil(n),
      strata.map(({ weight, cvPct }) => ({ weight, sd: cvPct })),
    );
    expect(allocation.map((n) => n.toFixed(2))).toEqual(
      rows.map((row) => Number(row.computed_unrounded).toFixed(2)),
    );
    expect(allocation.slice(0, 3).map(Math.round)).toEqual(
      rows.slice(0, 3).map((row) => number(row, 'published_plots')),
    );
  });

  it('strata that are all alike are one sample', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 500, noNaN: true }), { minLength: 2, maxLength: 20 }),
        (values) => {
          const sample = simpleRandom(values, 1000);
          const both = stratifiedMean([{ weight: 7, ...sample, populationSize: 1000 }])!;
          expect(both.mean).toBeCloseTo(sample.mean, 9);
          expect(both.se).toBeCloseTo(sample.se, 9);
          if (sample.variance > 1e-9) expect(both.df).toBeCloseTo(sample.df, 6);
        },
      ),
    );
  });

  it('a stratum with one plot leaves no error, a fully measured one adds none', () => {
    const sampled = { weight: 3, n: 4, mean: 10, variance: 4, populationSize: Infinity };
    const single = { weight: 1, n: 1, mean: 20, variance: null, populationSize: Infinity };
    const measured = { weight: 1, n: 1, mean: 20, variance: 0, populationSize: 1 };
    expect(stratifiedMean([sampled, single])).toEqual({ n: 5, mean: 12.5, se: null, df: 0 });
    expect(stratifiedMean([sampled, measured])).toEqual({ n: 5, mean: 12.5, se: 0.75, df: 3 });
    expect(stratifiedMean([])).toBeNull();
  });

  it('optimum allocation follows weight times spread, proportional the weight alone', () => {
    expect(proportionalAllocation(20, [30, 10])).toEqual([15, 5]);
    expect(
      optimumAllocation(20, [
        { weight: 30, sd: 1 },
        { weight: 10, sd: 3 },
      ]),
    ).toEqual([10, 10]);
    expect(
      optimumAllocation(20, [
        { weight: 30, sd: 0 },
        { weight: 10, sd: 0 },
      ]),
    ).toEqual([15, 5]);
  });
});
describe('plots needed', () => {
  it('t and n settle: CV 50 E 20 is 27, 24 of 200; CV 60 E 10 is 141, 105 of 400; CV 30 E 10 at 90 percent is 27 (R qt)', () => {
    const at = (cvPct: number, errorPct: number, confidence: number, populationSize = Infinity) =>
      plotsNeeded({ cvPct, errorPct, confidence, populationSize });
    expect(at(50, 20, 0.95)).toBe(27);
    expect(at(50, 20, 0.95, 200)).toBe(24);
    expect(at(60, 10, 0.95)).toBe(141);
    expect(at(60, 10, 0.95, 400)).toBe(105);
    expect(at(30, 10, 0.9)).toBe(27);
  });

  it('rounds up: 85.998 plots are 86', () => {
    expect(plotsForT(48.5, 10, 2, 1000)).toBeCloseTo(85.998, 3);
  });

  it('the plots it names reach the error, and never ask for more than there are', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 150, noNaN: true }),
        fc.double({ min: 1, max: 60, noNaN: true }),
        fc.option(fc.integer({ min: 2, max: 5000 }), { nil: Infinity }),
        (cvPct, errorPct, populationSize) => {
          const n = plotsNeeded({ cvPct, errorPct, confidence: 0.95, populationSize });
          if (n < 2 || n > populationSize) return false;
          const se = (cvPct / Math.sqrt(n)) * Math.sqrt(1 - n / populationSize);
          const reached = limitsOf(100, se, n - 1, 0.95).errorPct!;
          return n === populationSize || reached <= errorPct * (1 + 1e-6);
        },
      ),
    );
  });

  it('plots that do not vary need two', () => {
    expect(plotsNeeded({ cvPct: 0, errorPct: 10, confidence: 0.95 })).toBe(2);
    expect(() => plotsNeeded({ cvPct: 10, errorPct: 0, confidence: 0.95 })).toThrow(RangeError);
  });
});

it('whole allocations add up to the plots, none below the fewest, and each within one of its share where no fewest bites', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 400 }),
      fc.array(fc.double({ min: 0, max: 1e4, noNaN: true }), { minLength: 1, maxLength: 12 }),
      fc.integer({ min: 0, max: 3 }),
      (n, shares, least) => {
        const counts = wholeAllocation(n, shares, least);
        expect(counts.reduce((a, b) => a + b, 0)).toBe(n);
        for (const count of counts)
          expect(count).toBeGreaterThanOrEqual(Math.min(least, Math.floor(n / shares.length)));
        const all = shares.reduce((a, b) => a + b, 0);
        const wanted = shares.map((share) => (all > 0 ? (n * share) / all : n / shares.length));
        if (wanted.every((each) => each >= least))
          for (const [i, count] of counts.entries())
            expect(Math.abs(count - wanted[i]!)).toBeLessThan(1 + 1e-9);
      },
    ),
  );
});
