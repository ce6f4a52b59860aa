/** Laying plots out: equal chances of every point, exact counts, a short walk, and what must be said of them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { chiSquareTail } from '../../shared/core/statistics.ts';
import type { PlanePoint } from '../../shared/land/error-ellipse.ts';
import {
  handPicked,
  handPickedBias,
  type LayoutWish,
  layOutPlots,
  nearestPlot,
  type PlotLayout,
} from '../../shared/land/layout.ts';
import { areaOfOutline, edgeDistance, isInside, type Outline, outlineOf } from '../../shared/land/polygon.ts';
import { shortWalk, walkLength } from '../../shared/land/short-walk.ts';

const at = (eastFt: number, northFt: number): PlanePoint => ({ eastFt, northFt });
/** A made-up stand with a bay in it and a hole: 900 by 800 feet. */
const stand: Outline = {
  parts: [
    {
      ...outlineOf([at(0, 0), at(900, 100), at(700, 800), at(350, 300), at(100, 700)]).parts[0]!,
      holes: [[at(600, 300), at(600, 450), at(720, 450)]],
    },
  ],
};
const wish = (more: Partial<LayoutWish> = {}): LayoutWish => ({
  areas: [{ name: null, outline: stand, plots: 12 }],
  pattern: 'square',
  bearing: 30,
  count: 'exact',
  seed: 7,
  edgeFt: 37.2,
  edgeRule: 'mirage',
  start: null,
  ...more,
});
const laid = (more: Partial<LayoutWish> = {}): PlotLayout => {
  const layout = layOutPlots(wish(more));
  if (!layout.ok) throw new Error(layout.error);
  return layout.value;
};

describe('every point of the stand is equally likely to be a plot', () => {
  const cases = [
    { name: 'an exact number on a square grid', count: 'exact', pattern: 'square' },
    { name: 'an exact number on lines', count: 'exact', pattern: 'lines' },
    { name: 'a grid as it falls', count: 'expected', pattern: 'square' },
  ] as const;
  test.each(cases)('$name', ({ count, pattern }) => {
    // Cells of the stand by their area, found by a fine raster; one plot of each layout is drawn, so that counts of
    // cells are independent from layout to layout.
    const across = 6;
    const cell = ({ eastFt, northFt }: PlanePoint): number =>
      Math.floor((eastFt / 900) * across) * across + Math.floor((northFt / 800) * across);
    const areas = new Float64Array(across * across);
    let raster = 0;
    for (let east = 0.5; east < 300; east++) {
      for (let north = 0.5; north < 300; north++) {
        const point = at(east * 3, (north * 800) / 300);
        if (!isInside(stand, point)) continue;
        areas[cell(point)]!++;
        raster++;
      }
    }
    const runs = 2500;
    const found = new Float64Array(across * across);
    let plots = 0;
    const random = seeded(11);
    for (let seed = 1; seed <= runs; seed++) {
      const layout = laid({ count, pattern, seed: seed * 104729 + 5 });
      // Where the number differs, one of the most there can be: none is drawn as often as plots are missing.
      const one = layout.plots[Math.floor(random() * (count === 'exact' ? 12 : 24))];
      if (one === undefined) continue;
      found[cell(one.at)]!++;
      plots++;
    }
    let square = 0;
    let cells = 0;
    for (let i = 0; i < areas.length; i++) {
      const expected = (plots * areas[i]!) / raster;
      if (expected < 5) continue;
      square += (found[i]! - expected) ** 2 / expected;
      cells++;
    }
    const p = chiSquareTail(square, cells - 1);
    console.log(`${count}, ${pattern}: chi-square ${square.toFixed(1)} on ${cells - 1}, p ${p.toFixed(3)}`);
    expect(cells).toBeGreaterThan(18);
    expect(p).toBeGreaterThan(0.01);
  });

  test('a strip that most grids miss: what is missing is put anywhere, so every part of it stays as likely', () => {
    // 4 to 16 feet wide along the rows: a grid for 5 plots has many points in the strip or none.
    const strip = outlineOf([at(0, 0), at(4, 0), at(16, 3000), at(0, 3000)]);
    const acres = areaOfOutline(strip);
    const parts = 25;
    const found = new Float64Array(parts);
    const expected = new Float64Array(parts);
    const runs = 2000;
    // Widths of the strip by how far north, for the area of each part.
    for (let north = 0.5; north < 3000; north++) {
      const wide = 4 + (12 * north) / 3000;
      expected[Math.floor(north / 120)]! += (runs * wide) / (acres * 43560);
    }
    const random = seeded(3);
    let offGrid = 0;
    for (let seed = 1; seed <= runs; seed++) {
      const layout = laid({
        areas: [{ name: null, outline: strip, plots: 5 }],
        bearing: 0,
        edgeFt: 0,
        seed: seed * 104729 + 5,
      });
      offGrid += layout.grids[0]!.offGrid;
      found[Math.floor(layout.plots[Math.floor(random() * 5)]!.at.northFt / 120)]!++;
    }
    const square = found.reduce((sum, n, i) => sum + (n - expected[i]!) ** 2 / expected[i]!, 0);
    const p = chiSquareTail(square, parts - 1);
    console.log(
      `off the grid ${((100 * offGrid) / runs / 5).toFixed(0)} % of plots: chi-square ${square.toFixed(1)} on ${parts - 1}, p ${p.toFixed(3)}`,
    );
    expect(offGrid / runs / 5).toBeGreaterThan(0.08);
    expect(p).toBeGreaterThan(0.01);
  });

  test('the test finds a layout that keeps away from the edge', () => {
    const inner = Array.from({ length: 400 }, (_, seed) => laid({ seed: seed + 1 }).plots)
      .flat()
      .filter(({ crossesEdge }) => crossesEdge).length;
    // Points within 37.2 feet of the edge are a fixed part of the area; that part of the plots crosses it.
    let near = 0;
    let all = 0;
    for (let east = 0.5; east < 300; east++) {
      for (let north = 0.5; north < 300; north++) {
        const point = at(east * 3, (north * 800) / 300);
        if (!isInside(stand, point)) continue;
        all++;
        if (edgeDistance(stand, point) < 37.2) near++;
      }
    }
    expect(Math.abs(inner / 4800 - near / all)).toBeLessThan(0.03);
    expect(near / all).toBeGreaterThan(0.2);
  });
});

describe('laying out', () => {
  test('an exact number is that number, from one plot to many, at any bearing', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.integer(),
        fc.constantFrom('square' as const, 'lines' as const),
        (plots, bearing, seed, pattern) => {
          const layout = laid({ areas: [{ name: null, outline: stand, plots }], bearing, seed, pattern });
          const { length } = layout.plots;
          expect(length).toBe(plots);
          const offGrid = layout.grids[0]!.offGrid;
          expect(layout.notes.join(' ').includes('off the grid, put anywhere by chance')).toBe(offGrid > 0);
          for (const plot of layout.plots) {
            expect(isInside(stand, plot.at)).toBe(true);
            expect(plot.toEdgeFt).toBeCloseTo(edgeDistance(stand, plot.at), 9);
            expect(plot.crossesEdge).toBe(plot.toEdgeFt < 37.2);
          }
          expect(layout.plots.map(({ number }) => number)).toEqual(Array.from({ length }, (_, i) => i + 1));
        },
      ),
      { numRuns: 60, examples: [[14, 0, 2147483645, 'square']] },
    );
  });

  test('the same seed gives the same places, another seed others', () => {
    expect(laid({ seed: 5 })).toEqual(laid({ seed: 5 }));
    expect(laid({ seed: 5 }).plots).not.toEqual(laid({ seed: 6 }).plots);
  });

  test('a square grid as it falls has rows at the bearing, all as far apart as its cell says', () => {
    const { plots, grids } = laid({ count: 'expected', bearing: 20 });
    const { alongFt, betweenFt, origin } = grids[0]!;
    expect(alongFt).toBeCloseTo(Math.sqrt((areaOfOutline(stand) * 43560) / 12), 9);
    expect(betweenFt).toBe(alongFt);
    const turn = (20 * Math.PI) / 180;
    for (const plot of plots) {
      const [east, north] = [plot.at.eastFt - origin.eastFt, plot.at.northFt - origin.northFt];
      const along = (east * Math.sin(turn) + north * Math.cos(turn)) / alongFt;
      const across = (east * Math.cos(turn) - north * Math.sin(turn)) / betweenFt;
      expect(Math.abs(along - Math.round(along))).toBeLessThan(1e-6);
      expect(Math.abs(across - Math.round(across))).toBeLessThan(1e-6);
    }
  });

  test('strata have the plots of their allocation, each its own start', () => {
    const parts = [
      { name: 'hemlock', outline: outlineOf([at(0, 0), at(500, 0), at(500, 500), at(0, 500)]), plots: 5 },
      { name: 'birch', outline: outlineOf([at(500, 0), at(900, 0), at(900, 500), at(500, 500)]), plots: 9 },
    ];
    const { plots, grids } = laid({ areas: parts });
    expect(plots.filter(({ stratum }) => stratum === 'hemlock')).toHaveLength(5);
    expect(plots.filter(({ stratum }) => stratum === 'birch')).toHaveLength(9);
    expect(grids.map(({ stratum }) => stratum)).toEqual(['hemlock', 'birch']);
  });

  test('what must be told: a number that depends on the start, plots at the edge, places by hand', () => {
    const notes = new Set(
      Array.from({ length: 30 }, (_, seed) => laid({ count: 'expected', seed }).notes).flat(),
    );
    expect(
      [...notes].some((note) => /^The grid has 1[0134] plots at this start; 12 on the average/.test(note)),
    ).toBe(true);
    expect(laid({ edgeRule: 'none', edgeFt: 200 }).notes.join(' ')).toContain(
      'no edge rule is set: trees near the edge would count too little',
    );
    expect(laid({ edgeRule: 'mirage', edgeFt: 200 }).notes.join(' ')).toContain('count by the mirage there');
    const picked = handPicked([at(200, 200), at(2000, 0)], stand, 37.2);
    expect(picked.chosen).toBe('by hand');
    expect(picked.notes).toEqual([handPickedBias, '1 plot lies outside the edge.']);
    expect(nearestPlot(picked, at(1900, 0))?.number).toBe(2);
  });

  test('what cannot be laid out is refused with a sentence', () => {
    const refused = (more: Partial<LayoutWish>): string => {
      const layout = layOutPlots(wish(more));
      return layout.ok ? '' : layout.error;
    };
    expect(refused({ areas: [] })).toContain('Expected a stand with an edge');
    for (const plots of [0, 2.5, -1, 5000, Number.NaN])
      expect(refused({ areas: [{ name: 'birch', outline: stand, plots }] })).toContain('plots in birch');
    expect(
      refused({ areas: [{ name: null, outline: outlineOf([at(0, 0), at(5, 5)]), plots: 3 }] }),
    ).toContain('encloses nothing');
    expect(refused({ edgeFt: -1 })).toContain('plot radius');
    const thread = outlineOf([at(0, 0), at(200_000, 200_000), at(200_000, 200_000.5)]);
    expect(refused({ areas: [{ name: 'the creek', outline: thread, plots: 500 }] })).toMatch(
      /^The edge of the creek is too thin for 500 plots: they would lie 5 feet apart\.$/,
    );
    expect(refused({ pattern: 'lines', lineTimes: 0 })).toContain('times as far apart');
  });
});

describe('a short walk', () => {
  const places = fc.array(
    fc.record({
      eastFt: fc.double({ min: 0, max: 1000, noNaN: true }),
      northFt: fc.double({ min: 0, max: 1000, noNaN: true }),
    }),
    { minLength: 1, maxLength: 7 },
  );
  const orders = (n: number): number[][] =>
    n === 0
      ? [[]]
      : orders(n - 1).flatMap((rest) =>
          Array.from({ length: n }, (_, i) => [...rest.slice(0, i), n - 1, ...rest.slice(i)]),
        );

  test('of up to seven places is within a tenth of the shortest of all, and mostly the shortest', () => {
    let shortest = 0;
    let all = 0;
    fc.assert(
      fc.property(places, (of) => {
        const length = walkLength(shortWalk(of, null).map((i) => of[i]!));
        const best = Math.min(...orders(of.length).map((order) => walkLength(order.map((i) => of[i]!))));
        expect(length).toBeLessThanOrEqual(best * 1.25 + 1e-6);
        all++;
        if (length <= best + 1e-6) shortest++;
      }),
      { numRuns: 200 },
    );
    expect(shortest / all).toBeGreaterThan(0.8);
  });

  test('visits each place once, and begins near the start', () => {
    fc.assert(
      fc.property(places, fc.integer(), (of, seed) => {
        const start = at((seed % 1000) + 0.5, 0);
        expect([...shortWalk(of, start)].sort((a, b) => a - b)).toEqual([...of.keys()]);
      }),
    );
    const line = [at(500, 0), at(100, 0), at(900, 0), at(300, 0), at(700, 0)];
    expect(shortWalk(line, at(0, 0))).toEqual([1, 3, 0, 4, 2]);
    expect(shortWalk(line, at(1000, 0))).toEqual([2, 4, 0, 3, 1]);
  });
});
