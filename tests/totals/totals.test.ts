/** Totals of whole books against R (totals.json), worked examples and open stands; see also `totals.laws.test.ts`. */
import { readFileSync } from 'node:fs';
import { sampleStandardDeviation, mean as simpleMean } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { hectaresPerAcre } from '../../shared/core/units.ts';
import { basalAreaFt2 } from '../../shared/totals/cubic.ts';
import { squareFeetPerAcrePerMetric } from '../../shared/totals/plots.ts';
import { type Estimate, Totals } from '../../shared/totals/totals.ts';
import { treeBoardFeet } from '../../shared/totals/tree-volume.ts';
import { hasStand } from '../support/stands.ts';
import { numbers, readTable } from '../support/tables.ts';
import { aPlot, aTree, book, near } from './wood.ts';

const reference = JSON.parse(readFileSync(new URL('./totals.json', import.meta.url), 'utf8')) as Record<
  string,
  number[][]
> &
  Record<string, number[]>;

describe('totals against R', () => {
  const rows = reference['trees: plot, diameter, height, species'] as number[][];
  const trees = rows.map(([plot, d, h, species], i) =>
    aTree(i + 1, { plot: `plot-${plot}`, diameterIn: d!, heightFt: h!, species: species! }),
  );
  const plots = Array.from({ length: 12 }, (_, i) => aPlot(i + 1, { closed: true }));
  const strata = plots.map((plot, i) => ({ ...plot, stratum: i < 7 ? 'A' : 'B' }));
  const of = (name: string): number[] => reference[name] as number[];
  const agrees = (found: Estimate, [value, se, low, high]: number[]): void => {
    near(found.value, value!);
    near(found.se, se!);
    near(found.low, low!);
    near(found.high, high!);
    near(found.samplingErrorPct, (100 * (high! - low!)) / 2 / value!);
  };

  it('twelve tenth-acre plots, one without a tree: mean and t.test limits', () => {
    const totals = book(plots, trees);
    agrees(totals.basalArea(), of('simple basal area: mean, se, low, high'));
    agrees(totals.density(), of('simple density'));
    agrees(totals.basalArea({ species: 833 }), of('simple oak basal area'));
    expect(totals.basalArea()).toMatchObject({ plots: 12, df: 11, trees: trees.length, leftOut: [] });
  });

  it('the same plots in two strata of 30 and 12 acres: stratified mean, finite population, Satterthwaite limits', () => {
    const totals = book(strata, trees, 42);
    totals.ledger.putStratum({ id: 'A', name: 'ridge', acres: 30, stand: 'stand' });
    totals.ledger.putStratum({ id: 'B', name: 'bottom', acres: 12, stand: 'stand' });
    for (const [found, name] of [
      [totals.basalArea(), 'stratified basal area: mean, se, df, low, high'],
      [totals.density(), 'stratified density'],
    ] as const) {
      const [value, se, df, low, high] = of(name);
      agrees(found, [value!, se!, low!, high!]);
      near(found.df, df!);
    }
    near(totals.total('basalArea').value, 42 * of('stratified basal area: mean, se, df, low, high')[0]!);
    const ridge = totals.basalArea({ stratum: 'ridge' }).value!;
    const bottom = totals.basalArea({ stratum: 'B' }).value!;
    near((30 * ridge + 12 * bottom) / 42, totals.basalArea().value!, 1e-12);
  });

  it('mean sizes: heights on trees through the origin, Lorey, quadratic mean diameter', () => {
    const totals = book(plots, trees);
    near(totals.meanHeight().value, of('mean height as slope of heights on trees')[0]!);
    near(totals.loreyHeight().value, of('lorey')[0]!);
    near(totals.quadraticDiameter().value, of('quadratic diameter')[0]!);
  });

  it('nine points at factor 20: each tree 20 square feet, weights by basal area, Lorey the plain mean of heights', () => {
    const points = reference['points: plot, diameter, height'] as number[][];
    const totals = book(
      Array.from({ length: 9 }, (_, i) => aPlot(i + 1, { size: { by: 'factor', value: 20 } })),
      points.map(([plot, d, h], i) => aTree(i + 1, { plot: `plot-${plot}`, diameterIn: d!, heightFt: h! })),
    );
    agrees(totals.basalArea(), of('points basal area: mean, se, low, high'));
    agrees(totals.density(), of('points density'));
    near(totals.loreyHeight().value, of('points lorey, plain mean of heights')[0]!);
    near(totals.meanHeight().value, of('points mean height')[0]!);
    near(totals.meanHeight().se, of('points mean height residual se')[0]!);
    near(totals.quadraticDiameter().value, of('points quadratic diameter')[0]!);
  });
});

describe('worked examples', () => {
  it('a tenth acre of 8, 10, 12 and 14 inches: 40 trees, 27.489 square feet, QMD 11.225, Lorey 64.976, mean 62.25 (by hand)', () => {
    const totals = book(
      [aPlot(1)],
      (
        [
          [8, 52],
          [10, 60],
          [12, 66],
          [14, 71],
        ] as const
      ).map(([d, h], i) => aTree(i + 1, { diameterIn: d, heightFt: h })),
    );
    near(totals.density().value, 40);
    expect(totals.basalArea().value).toBeCloseTo(27.489, 3);
    expect(totals.quadraticDiameter().value).toBeCloseTo(11.225, 3);
    expect(totals.loreyHeight().value).toBeCloseTo(64.976, 3);
    near(totals.meanHeight().value, 62.25);
    expect(totals.basalArea()).toMatchObject({ se: null, low: null, samplingErrorPct: null, plots: 1 });
  });

  it('one point at factor 10, eight trees: 80 square feet, 106.397 trees, QMD 11.741 (by hand)', () => {
    const totals = book(
      [aPlot(1, { size: { by: 'factor', value: 10 } })],
      [8, 10, 11, 12, 14, 14, 16, 18].map((d, i) => aTree(i + 1, { diameterIn: d })),
    );
    expect(totals.basalArea().value).toBe(80);
    expect(totals.density().value).toBeCloseTo(106.397, 3);
    expect(totals.quadraticDiameter().value).toBeCloseTo(11.741, 3);
  });

  it('a morning: 21.4 square feet alive, 32.1 with the dead one, one plot without an error, 10.7 with the empty one', () => {
    const totals = book(
      [aPlot(1)],
      [
        aTree(1, { species: 316, diameterIn: 11.4, heightFt: 60.3 }),
        aTree(2, { species: 833, diameterIn: 16.2, heightFt: 73.3, logs: 2 }),
        aTree(3, { species: 318, diameterIn: 14, status: 'dead' }),
        aTree(4, { species: 531, diameterIn: 9, counted: false }),
      ],
      12,
    );
    expect(totals.trees()).toMatchObject({ value: 3, byStatus: { live: 2, dead: 1, cull: 0 } });
    expect(totals.basalArea().value).toBeCloseTo(21.4, 1);
    expect(totals.basalArea({ status: 'all' }).value).toBeCloseTo(32.1, 1);
    expect(totals.basalArea().byStatus!.dead).toBeCloseTo(10.7, 1);
    expect(totals.basalArea().se).toBeNull();
    expect(totals.plotsNeeded(15)).toMatchObject({
      more: null,
      n: 1,
      sentence: 'One plot shows no spread: measure a second one first.',
    });
    totals.ledger.putPlot(aPlot(2, { closed: true, empty: true }));
    expect(totals.plots().value).toBe(2);
    expect(totals.basalArea().value).toBeCloseTo(10.7, 1);
    expect(totals.basalArea().se).not.toBeNull();
    expect(totals.meanHeight()).toMatchObject({ trees: 2, se: null, leftOut: [] });
    near(totals.meanHeight().value, 66.8);
    const doyle = totals.volumePerAcre('doyle');
    near(doyle.value, (treeBoardFeet('doyle', 16.2, 2) * 10) / 2, 1e-6);
    expect(doyle).toMatchObject({
      trees: 1,
      leftOut: ['1 tree has no logs or diameter and is left out.'],
      assumed: ['Form class 78 for 1 tree.'],
    });
    expect(totals.plotsNeeded(15).more).toBeGreaterThan(50);
    expect(totals.foremostTree('tallest')?.number).toBe(2);
    expect(totals.bookDoubts()).toEqual([]);
  });
});

describe('plots needed in a book', () => {
  it('strata of FSH 2409.12 (30, 10, 20, 40 acres; CV 40, 65, 80, 35; tenth-acre plots; 10 percent): 86 plots, 21, 12, 28, 25', () => {
    const totals = new Totals({ confidence: 0.95 });
    totals.ledger.putStand({ id: 'stand', name: 'Mill Lot', acres: 100 });
    let number = 0;
    // Two plots with mean m and sd s: m plus and minus s / sqrt 2; equal means, as the example takes them.
    for (const [i, [acres, cv]] of (
      [
        [30, 40],
        [10, 65],
        [20, 80],
        [40, 35],
      ] as const
    ).entries()) {
      totals.ledger.putStratum({ id: `S${i}`, name: `stratum ${i + 1}`, acres, stand: 'stand' });
      for (const sign of [-1, 1]) {
        number++;
        totals.ledger.putPlot(aPlot(number, { stratum: `S${i}`, closed: true }));
        const area = 10 * (1 + (sign * cv) / 100 / Math.SQRT2);
        totals.ledger.putTree(
          aTree(number, { plot: `plot-${number}`, diameterIn: Math.sqrt(area / basalAreaFt2(1)) }),
        );
      }
    }
    const plan = totals.plotsNeeded(10);
    near(plan.cvPct, 48.5, 1e-5);
    // The handbook takes t as 2; with R's qt(0.975, n - 1) the steps are 108, 85, 86, 86.
    expect(plan).toMatchObject({ n: 8, needed: 86, more: 78 });
    expect(plan.allocation.map((each) => [each.name, each.optimum, each.proportional])).toEqual([
      ['stratum 1', 21, 26],
      ['stratum 2', 12, 9],
      ['stratum 3', 28, 17],
      ['stratum 4', 25, 34],
    ]);
  });

  it('one sample by its coefficient of variation: what it asks for is what the estimator then needs', () => {
    const areas = [60, 90, 120, 75, 105];
    const totals = book(
      areas.map((_, i) => aPlot(i + 1)),
      areas.map((area, i) =>
        aTree(i + 1, { plot: `plot-${i + 1}`, diameterIn: Math.sqrt(area / basalAreaFt2(1)) }),
      ),
    );
    const plan = totals.plotsNeeded(15);
    near(plan.cvPct, (100 * sampleStandardDeviation(areas)) / simpleMean(areas), 1e-5);
    // With R's qt the steps are 16, 15, 15.
    expect(plan).toMatchObject({ needed: 15, more: 10, n: 5, allocation: [] });
  });
});

describe('open stands (R package spatstat.data, fully tallied)', () => {
  const tallied = (diametersIn: number[], hectares: number, heightsFt?: number[]): Totals =>
    book(
      [aPlot(1, { size: { by: 'tally' } })],
      diametersIn.map((d, i) => aTree(i + 1, { diameterIn: d, heightFt: heightsFt?.[i] ?? null })),
      hectares / hectaresPerAcre,
    );
  const perHectare = (perAcre: number | null): number => perAcre! / hectaresPerAcre;
  const metric = (ft2PerAcre: number | null): number => ft2PerAcre! / squareFeetPerAcrePerMetric;

  it.skipIf(!hasStand('longleaf'))(
    'longleaf, 4 ha: 146.0 trees and 12.109 m2 a hectare, QMD 32.497 cm, no sampling error',
    () => {
      const totals = tallied(
        numbers(readTable('stands/longleaf.csv'), 'dbh_cm').map((cm) => cm / 2.54),
        4,
      );
      expect(perHectare(totals.density().value)).toBeCloseTo(146, 9);
      expect(metric(totals.basalArea().value)).toBeCloseTo(12.109, 3);
      expect(totals.quadraticDiameter().value! * 2.54).toBeCloseTo(32.497, 3);
      expect(totals.basalArea()).toMatchObject({ se: 0, samplingErrorPct: 0 });
    },
  );

  it.skipIf(!hasStand('spruces'))(
    'spruces, 56 by 38 m, stored in metres of diameter: 629.70 a hectare, 32.086 m2, QMD 25.471 cm',
    () => {
      const totals = tallied(
        numbers(readTable('stands/spruces.csv'), 'dbh_m').map((m) => m / 0.0254),
        0.2128,
      );
      expect(perHectare(totals.density().value)).toBeCloseTo(629.7, 1);
      expect(metric(totals.basalArea().value)).toBeCloseTo(32.086, 3);
      expect(totals.quadraticDiameter().value! * 2.54).toBeCloseTo(25.471, 3);
    },
  );

  it.skipIf(!hasStand('finpines'))(
    'finpines, 10 by 10 m: 12 600 a hectare, QMD 3.0925 cm, mean height 2.8282 m',
    () => {
      const rows = readTable('stands/finpines.csv');
      const totals = tallied(
        numbers(rows, 'diameter_cm').map((cm) => cm / 2.54),
        0.01,
        numbers(rows, 'height_m').map((m) => m / 0.3048),
      );
      expect(perHectare(totals.density().value)).toBeCloseTo(12600, 6);
      // Trees below breast height are stored with diameter 0; the printed QMD has all 126, ours those that have a diameter.
      const sized = rows.filter((row) => row.diameter_cm !== '0').length;
      expect(totals.quadraticDiameter().trees).toBe(sized);
      expect(totals.quadraticDiameter().value! * 2.54 * Math.sqrt(sized / 126)).toBeCloseTo(3.0925, 4);
      expect(totals.meanHeight().value! * 0.3048).toBeCloseTo(2.8282, 4);
    },
  );

  it.skipIf(!hasStand('trees_black_cherry'))(
    '31 black cherry as single trees: 31.28803 square feet, QMD 13.60331, mean 76, Lorey 77.50559 feet, plain error of the mean',
    () => {
      const rows = readTable('stands/trees_black_cherry.csv');
      const heights = numbers(rows, 'height_ft');
      const totals = new Totals();
      numbers(rows, 'dbh_in').forEach((d, i) => {
        totals.ledger.putTree(aTree(i + 1, { plot: null, diameterIn: d, heightFt: heights[i]! }));
      });
      expect(totals.total('basalArea').value).toBeCloseTo(31.28803, 4);
      expect(totals.total('basalArea').assumed).toEqual([
        'No plot of known size: this is the 31 trees themselves.',
      ]);
      expect(totals.quadraticDiameter().value).toBeCloseTo(13.60331, 4);
      expect(totals.loreyHeight().value).toBeCloseTo(77.50559, 4);
      expect(totals.meanDiameter().value).toBeCloseTo(13.24839, 4);
      near(totals.meanHeight().value, 76);
      near(totals.meanHeight().se, sampleStandardDeviation(heights) / Math.sqrt(31));
      expect(totals.basalArea()).toMatchObject({
        value: null,
        leftOut: ['No plot with a size counts here yet, so there is no value by area.'],
      });
    },
  );
});

describe('what a tree and an area bring', () => {
  it('defect is taken off the board feet of every rule, cull trees hold none, a form class of its own counts', () => {
    const sound = { diameterIn: 18, logs: 2 };
    for (const rule of ['doyle', 'scribner', 'international'] as const) {
      const gross = treeBoardFeet(rule, 18, 2, 78);
      near(
        book([aPlot(1)], [aTree(1, { ...sound, defectPct: 25 })]).perAcre(rule).value,
        10 * 0.75 * gross,
        1e-6,
      );
      near(
        book([aPlot(1)], [aTree(1, { ...sound, formClass: 82 })]).perAcre(rule).value,
        10 * 1.12 * gross,
        1e-6,
      );
      const cull = book([aPlot(1)], [aTree(1, { ...sound, status: 'cull' })]);
      expect(cull.perAcre(rule, { status: 'cull' }).value).toBe(0);
      // A standing live tree all the same, with nothing left out: a cull needs no logs.
      expect(cull.perAcre(rule)).toMatchObject({ value: 0, trees: 1, leftOut: [] });
    }
    const merchantable = book([aPlot(1)], [aTree(1, { diameterIn: 18, merchFt: 34 })]);
    near(merchantable.perAcre('doyle').value, 10 * treeBoardFeet('doyle', 18, 2), 1e-6);
    merchantable.ledger.setFormClass(80);
    near(merchantable.perAcre('doyle').value, 10 * treeBoardFeet('doyle', 18, 2, 80), 1e-6);
  });

  it('trees alike are counted by day and person as often as they were told', () => {
    const totals = book([aPlot(1)], [aTree(1, { count: 4, person: 'ann' }), aTree(2, { person: 'ann' })]);
    expect(totals.trees({ person: 'ann' }).value).toBe(5);
    expect(totals.trees({ day: 0 }).value).toBe(5);
    totals.ledger.removeTree('tree-1');
    expect(totals.trees({ person: 'ann' }).value).toBe(1);
  });

  it('plots of no stratum stand for what the strata leave of the stand', () => {
    const totals = book(
      [aPlot(1, { stratum: 'A' }), aPlot(2)],
      [aTree(1), aTree(2), aTree(3, { plot: 'plot-2' })],
      30,
    );
    totals.ledger.putStratum({ id: 'A', name: 'ridge', acres: 12, stand: 'stand' });
    // 20 trees an acre on 12 acres, 10 on the other 18.
    near(totals.total('density').value, 12 * 20 + 18 * 10, 1e-9);
    totals.ledger.putStratum({ id: 'A', name: 'ridge', acres: 30, stand: 'stand' });
    expect(totals.total('density').value).toBeNull();
  });
});

describe('missing heights', () => {
  const trees = [
    aTree(1, { diameterIn: 10, heightFt: 60 }),
    aTree(2, { diameterIn: 14 }),
    aTree(3, { diameterIn: 12, status: 'dead' }),
  ];

  it('are filled from the curve where the value needs them, and counted as filled', () => {
    const totals = book([aPlot(1)], trees);
    expect(totals.perAcre('cubic')).toMatchObject({
      trees: 1,
      filled: 0,
      leftOut: ['1 tree has no height or diameter and is left out.'],
    });
    totals.ledger.setCurve(
      () => 80,
      () => 1,
    );
    const cubic = totals.perAcre('cubic');
    expect(cubic).toMatchObject({
      trees: 2,
      filled: 1,
      leftOut: [],
      assumed: ['1 height was filled from the curve.'],
    });
    near(cubic.value, 10 * 0.42 * (basalAreaFt2(10) * 60 + basalAreaFt2(14) * 80));
    near(totals.loreyHeight().value, (60 * 100 + 80 * 196) / 296);
    near(totals.meanHeight().value, 60);
    near(totals.meanHeight({}, { filled: true }).value, 70);
  });

  it('follow the curve when it changes, with or without a version, and leave dead trees alone', () => {
    const totals = book([aPlot(1)], trees);
    let feet = 80;
    let version = 1;
    totals.ledger.setCurve(
      () => feet,
      () => version,
    );
    near(totals.meanHeight({}, { filled: true }).value, 70);
    feet = 100;
    near(totals.meanHeight({}, { filled: true }).value, 70);
    version++;
    near(totals.meanHeight({}, { filled: true }).value, 80);
    expect(totals.meanHeight({ status: 'dead' }, { filled: true }).value).toBeNull();
    totals.ledger.setCurve(() => feet);
    feet = 90;
    totals.ledger.putTree(aTree(1, { diameterIn: 10, heightFt: 60 }));
    near(totals.meanHeight({}, { filled: true }).value, 75);
    totals.ledger.setCurve(() => Number.NaN);
    near(totals.meanHeight({}, { filled: true }).value, 60);
  });
});

describe('scopes', () => {
  const day = 86_400_000;
  const totals = book(
    [
      aPlot(1, { time: 0, person: 'ann' }),
      aPlot(2, { time: day, person: 'bo' }),
      aPlot(3, { closed: true, time: day }),
    ],
    [
      aTree(1, { time: 1, person: 'ann', diameterIn: 10, heightFt: 50 }),
      aTree(2, { time: day, person: 'bo', diameterIn: 12, heightFt: 70 }),
      aTree(3, { plot: 'plot-2', time: day, person: 'bo', diameterIn: 14, heightFt: 65, species: 316 }),
    ],
    10,
  );

  it('count trees by their own day and person, and values of an acre by the plots begun then', () => {
    expect(totals.trees({ day: 0 }).value).toBe(1);
    expect(totals.trees({ day: 1 }).value).toBe(2);
    expect(totals.trees({ person: 'bo', species: 316 }).value).toBe(1);
    expect(totals.trees({ person: 'cy' }).value).toBe(0);
    near(totals.basalArea({ day: 0 }).value, 10 * (basalAreaFt2(10) + basalAreaFt2(12)));
    near(totals.basalArea({ day: 1 }).value, (10 * basalAreaFt2(14)) / 2);
    expect(totals.basalArea({ day: 1 }).plots).toBe(2);
  });

  it('one plot by itself stands for its own acre', () => {
    near(totals.basalArea({ plot: 'plot-2' }).value, 10 * basalAreaFt2(14));
    expect(totals.basalArea({ plot: 'nowhere' }).value).toBeNull();
    expect(totals.ledger.treesOnPlot('plot-1')).toBe(2);
    expect(totals.foremostTree('tallest', { plot: 'plot-2' })?.number).toBe(3);
    expect(totals.foremostTree('tallest', { day: 0 })?.number).toBe(2);
    expect(totals.foremostTree('thickest', { species: 833 })?.number).toBe(2);
    expect(totals.foremostTree('thickest', { species: 5 })).toBeNull();
  });

  it('a species that is not on the plots is a said zero', () => {
    expect(totals.basalArea({ species: 5 })).toMatchObject({
      value: 0,
      leftOut: ['No such tree stands on these plots.'],
    });
  });

  it('stock tables put 11.0 up to 13.0 in the class of 12 and add up to the whole', () => {
    const { perAcre, rows } = totals.stockTable();
    expect(perAcre).toBe(true);
    expect(rows.map((row) => [row.species, row.classIn, row.trees])).toEqual([
      [833, 10, 1],
      [833, 12, 1],
      [316, 14, 1],
    ]);
    near(
      rows.reduce((sum, row) => sum + row.basalArea, 0),
      totals.basalArea().value!,
    );
    near(
      rows.reduce((sum, row) => sum + row.density, 0),
      totals.density().value!,
    );
    expect(totals.stockTable({ day: 0 }).rows.length).toBe(2);
  });

  it('stock tables in centimetres put 30 up to 34 in the class of 32, and add up to the whole', () => {
    const cm = (value: number) => value / 2.54;
    const one = book(
      [aPlot(1)],
      [29.9, 30, 33.9, 34].map((d, i) => aTree(i + 1, { diameterIn: cm(d) })),
    );
    for (const scope of [{}, { plot: 'plot-1' }]) {
      const { rows } = one.stockTable(scope, { cm: 4 });
      expect(rows.map((row) => [Math.round(row.classIn * 2.54 * 1e6) / 1e6, row.trees])).toEqual([
        [28, 1],
        [32, 2],
        [36, 1],
      ]);
      near(
        rows.reduce((sum, row) => sum + row.basalArea, 0),
        one.basalArea().value!,
      );
    }
    // Five centimetres about 30 are 27.5 up to 32.5.
    const five = book(
      [aPlot(1)],
      [27.4, 27.5, 30, 32.4, 32.5].map((d, i) => aTree(i + 1, { diameterIn: cm(d) })),
    );
    expect(
      five.stockTable({}, { cm: 5 }).rows.map((row) => [Math.round(row.classIn * 2.54), row.trees]),
    ).toEqual([
      [25, 1],
      [30, 3],
      [35, 1],
    ]);
    const giant = book([aPlot(1)], [aTree(1, { diameterIn: cm(159) }), aTree(2, { diameterIn: cm(300) })]);
    expect(giant.stockTable({}, { cm: 5 }).rows.map((row) => Math.round(row.classIn * 2.54))).toEqual([160]);
    expect(one.stockTable({}, { cm: 2 }).rows.map((row) => Math.round(row.classIn * 2.54))).toEqual([30, 34]);
    expect(() => one.stockTable({}, { cm: 1.5 })).toThrow(RangeError);
  });

  it('top height is the mean of the thickest 100 a hectare, partly from the class that straddles it', () => {
    const one = book(
      [aPlot(1)],
      [18, 17, 16, 15, 10, 9].map((d, i) => aTree(i + 1, { diameterIn: d, heightFt: 90 - 10 * i })),
    );
    // 40.47 an acre are the four thickest and 0.047 of the fifth.
    near(one.topHeight().value, (90 + 80 + 70 + 60 + 0.04685642 * 50) / 4.04685642, 1e-6);
    expect(book([aPlot(1)], [aTree(1, { heightFt: 50 })]).topHeight()).toMatchObject({
      value: 50,
      leftOut: ['There are fewer trees than top height takes, 100 a hectare: all of them count.'],
    });
  });
});

describe('what the book doubts about itself', () => {
  const codes = (totals: Totals): string[] => totals.bookDoubts().map((doubt) => doubt.code);

  it('trees on no plot, a plot without a size, a size changed half way, a plot told twice, an empty plot with trees', () => {
    expect(codes(book([aPlot(1)], [aTree(1), aTree(2, { plot: null })]))).toEqual(['treesWithoutPlot']);
    expect(codes(book([], [aTree(1, { plot: null })]))).toEqual([]);
    expect(codes(book([], [aTree(1)]))).toEqual(['plotUnknown']);
    expect(codes(book([aPlot(1, { size: null })], [aTree(1)]))).toEqual(['plotWithoutSize']);
    const factors = [10, 10, 20, 10].map((value, i) => aPlot(i + 1, { size: { by: 'factor', value } }));
    expect(book(factors, []).bookDoubts()).toMatchObject([
      { code: 'sizeChanged', sentence: 'The plot size changes half way, at plot 3 and 4.' },
    ]);
    expect(codes(book([aPlot(1), aPlot(1, { id: 'again' })], []))).toEqual(['plotTwice']);
    expect(codes(book([aPlot(1, { closed: true, closedTwice: true })], []))).toEqual(['closedTwice']);
    expect(codes(book([aPlot(1, { empty: true })], [aTree(1)]))).toEqual(['emptyWithTrees']);
  });

  it('areas that do not add up, plots that cover more than the stand, strata without area or plots', () => {
    const totals = book([aPlot(1, { stratum: 'A' })], [], 30);
    totals.ledger.putStratum({ id: 'A', name: 'ridge', acres: 12, stand: 'stand' });
    totals.ledger.putStratum({ id: 'B', name: 'bottom', acres: 12, stand: 'stand' });
    expect(totals.bookDoubts().map((doubt) => doubt.sentence)).toEqual([
      'The strata of Alder Hollow add up to 24 acres, the stand has 30.',
      'Stratum bottom has no plots, so no total speaks for it.',
    ]);
    totals.ledger.putStratum({ id: 'B', name: 'bottom', acres: null, stand: 'stand' });
    expect(codes(totals)).toEqual(['areaMissing', 'stratumWithoutPlots']);
    expect(codes(book([aPlot(1, { size: { by: 'area', value: 2, unit: 'acre' } })], [], 1.5))).toEqual([
      'sampledTooMuch',
    ]);
    expect(codes(book([aPlot(1), aPlot(2, { size: { by: 'tally' } })], []))).toEqual(['designMixed']);
  });
});

describe('a cull', () => {
  const two = () =>
    book(
      [aPlot(1)],
      [
        aTree(1, { diameterIn: 12, heightFt: 60, logs: 2 }),
        aTree(2, { diameterIn: 20, heightFt: 70, status: 'cull' }),
        aTree(3, { diameterIn: 10, heightFt: 40, status: 'dead' }),
      ],
    );

  it('is a standing live tree: 10 x 0.005454 x (144 + 400) = 29.67 square feet an acre of the live, 20 trees', () => {
    const totals = two();
    expect(totals.basalArea().value).toBeCloseTo(29.67, 2);
    expect(totals.basalArea().byStatus).toMatchObject({
      live: expect.closeTo(7.854, 3),
      cull: expect.closeTo(21.817, 3),
    });
    expect(totals.density().value).toBe(20);
    expect(totals.density({ status: 'all' }).value).toBe(30);
    expect(totals.basalArea({ status: 'cull' }).value).toBeCloseTo(21.817, 3);
  });

  it('is counted among the live, and told apart', () => {
    expect(two().trees()).toMatchObject({ value: 3, byStatus: { live: 1, dead: 1, cull: 1 } });
    expect(two().trees({ status: 'live' }).value).toBe(2);
  });

  it('counts in heights, biomass and the stock table, not in board feet', () => {
    const totals = two();
    // Gauges apart, every tree of a plot weighs alike: (60 + 70) / 2.
    expect(totals.meanHeight().value).toBeCloseTo(65, 9);
    expect(totals.perAcre('biomass').value!).toBeGreaterThan(
      totals.perAcre('biomass', { status: 'cull' }).value!,
    );
    expect(totals.stockTable().rows.map(({ classIn, trees }) => [classIn, trees])).toEqual([
      [12, 1],
      [20, 1],
    ]);
    const alone = book([aPlot(1)], [aTree(1, { diameterIn: 12, heightFt: 60, logs: 2 })]);
    expect(totals.volumePerAcre('doyle').value).toBe(alone.volumePerAcre('doyle').value);
  });

  it('has its missing height filled like any live tree, a dead one not', () => {
    const totals = book(
      [aPlot(1)],
      [
        aTree(1, { diameterIn: 12, heightFt: null, status: 'cull' }),
        aTree(2, { diameterIn: 12, heightFt: null, status: 'dead' }),
      ],
    );
    totals.ledger.setCurve(() => 50);
    // 10 x 0.42 x 0.7854 x 50
    expect(totals.perAcre('cubic').value).toBeCloseTo(164.93, 1);
    expect(totals.perAcre('cubic', { status: 'dead' }).value).toBe(0);
  });
});
