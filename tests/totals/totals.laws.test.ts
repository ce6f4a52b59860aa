/** Laws that must hold for the totals of any book: order, mending, units, factors, merging; and a plain reckoning beside them. */
import fc from 'fast-check';
import { sampleStandardDeviation, mean as simpleMean } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { IdTable } from '../../shared/core/id-table.ts';
import { hectaresPerAcre } from '../../shared/core/units.ts';
import type { PlotSize } from '../../shared/note/quantities.ts';
import { basalAreaFt2 } from '../../shared/totals/cubic.ts';
import { Totals } from '../../shared/totals/totals.ts';
import {
  alike,
  answers,
  aTree,
  book,
  bookArbitrary,
  near,
  plotsOf,
  quantities,
  sizeArbitrary,
  tenth,
  treeArbitrary,
} from './wood.ts';

const curve = (_species: number | null, d: number): number => 4.5 + (90 * d) / (d + 9);

/** Basal area of an acre, in square feet, for which one tree of that diameter stands, plainly; the radius is that of the arbitrary. */
function plainBasalAreaPerAcre(size: PlotSize, diameterIn: number): number {
  if (size.by === 'factor') return size.value * (size.unit === 'm2/ha' ? 4.356 : 1);
  return basalAreaFt2(diameterIn) / plainAcres(size);
}

function plainAcres(size: PlotSize): number {
  if (size.by === 'radius') return (Math.PI * 24 * 24) / 43560;
  if (size.by !== 'area') return 1;
  return size.unit === 'ha' ? size.value * 2.4710538147 : size.value;
}

describe('laws', () => {
  it('nothing is ever NaN, and a value that is missing comes with a sentence', () => {
    fc.assert(
      fc.property(bookArbitrary, ({ trees, sizes, acres }) => {
        for (const [name, found] of Object.entries(answers(book(plotsOf(sizes), trees, acres)))) {
          for (const each of [
            found.value,
            found.se,
            found.low,
            found.high,
            found.samplingErrorPct,
            found.df,
          ]) {
            if (each !== null && !Number.isFinite(each)) throw new Error(`${name} gives ${each}`);
          }
          if (found.value === null && found.leftOut.length === 0)
            throw new Error(`${name} is null without a sentence`);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('of one plot by itself the short way says what the question says, whatever its size and its trees', () => {
    fc.assert(
      fc.property(bookArbitrary, ({ trees, sizes, acres }) => {
        const plots = plotsOf(sizes);
        const totals = book(plots, trees, acres);
        for (const { id } of plots) {
          const [short, asked] = [totals.basalAreaOnPlot(id), totals.basalArea({ plot: id }).value];
          if (short === null || asked === null) expect(short).toBe(asked);
          else near(short, asked);
          expect(totals.ledger.treesOnPlot(id)).toBe(totals.trees({ plot: id }).value);
        }
      }),
    );
  });

  it('the order in which trees, plots and stands were told does not matter', () => {
    fc.assert(
      fc.property(
        bookArbitrary,
        fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
        ({ trees, sizes, acres }, stream) => {
          const plots = plotsOf(sizes);
          const straight = book(plots, trees, acres);
          const turned = new Totals();
          const steps = [
            ...trees.map((tree) => () => turned.ledger.putTree(tree)),
            ...plots.map((plot) => () => turned.ledger.putPlot(plot)),
            () => turned.ledger.putStand({ id: 'stand', name: 'Alder Hollow', acres }),
          ];
          const keys = steps.map(() => stream.next().value as number);
          for (const i of steps.map((_, i) => i).sort((a, b) => keys[a]! - keys[b]!)) steps[i]!();
          straight.ledger.setCurve(curve, () => 1);
          turned.ledger.setCurve(curve, () => 1);
          alike(answers(straight), answers(turned));
        },
      ),
      { numRuns: 50 },
    );
  });

  it('a correction is as if it had been said right, a retraction as if never said, a plot resized as if sized so at once', () => {
    fc.assert(
      fc.property(
        bookArbitrary,
        fc.array(fc.record({ tree: treeArbitrary, at: fc.nat(24), ask: fc.boolean() }), { maxLength: 12 }),
        fc.array(sizeArbitrary, { minLength: 4, maxLength: 4 }),
        ({ trees, sizes, acres }, slips, wrongSizes) => {
          const right = book(plotsOf(sizes), trees, acres);
          right.ledger.setCurve(curve, () => 1);
          const mended = book(plotsOf(wrongSizes), [], acres);
          mended.ledger.setCurve(curve, () => 1);
          for (const tree of trees) mended.ledger.putTree(tree);
          for (const { tree, at, ask } of slips) {
            const wrong = aTree(at + 1, tree);
            mended.ledger.putTree(wrong);
            if (ask) answers(mended);
          }
          for (const { at } of slips) {
            const meant = trees[at];
            if (meant === undefined) mended.ledger.removeTree(`tree-${at + 1}`);
            else mended.ledger.putTree(meant);
          }
          for (const plot of plotsOf(sizes)) mended.ledger.putPlot(plot);
          alike(answers(right), answers(mended));
          expect(mended.foremostTree('tallest')?.heightFt).toBe(right.foremostTree('tallest')?.heightFt);
          expect(mended.foremostTree('thickest')?.diameterIn).toBe(
            right.foremostTree('thickest')?.diameterIn,
          );
          expect(mended.stockTable().rows.length).toBe(right.stockTable().rows.length);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('values of an acre are those of a plain reckoning plot by plot, with a general statistics library', () => {
    fc.assert(
      fc.property(bookArbitrary, ({ trees, sizes }) => {
        const totals = book(plotsOf(sizes), trees, null);
        const values: number[] = [];
        for (const [i, size] of sizes.entries()) {
          const own = trees.filter((tree) => tree.plot === `plot-${i + 1}` && tree.counted);
          if (size === null || own.length === 0) continue;
          let sum = 0;
          // A cull is a live tree without logs.
          for (const tree of own)
            if (tree.status !== 'dead') sum += tree.count * plainBasalAreaPerAcre(size, tree.diameterIn ?? 0);
          values.push(sum);
        }
        const found = totals.basalArea();
        if (values.length === 0) {
          expect(found.value).toBeNull();
          return;
        }
        const scale = Math.max(1, ...values);
        expect(Math.abs(found.value! - simpleMean(values))).toBeLessThan(1e-6 * scale);
        if (values.length === 1) expect(found.se).toBeNull();
        else
          expect(
            Math.abs(found.se! - sampleStandardDeviation(values) / Math.sqrt(values.length)),
          ).toBeLessThan(1e-5 * scale);
        expect(found.plots).toBe(values.length);
      }),
      { numRuns: 200 },
    );
  });

  it('a factor twice as large doubles every value of an acre and its error; a plot half as large does too', () => {
    fc.assert(
      fc.property(
        bookArbitrary,
        fc.constantFrom<[PlotSize, PlotSize]>(
          [
            { by: 'factor', value: 10 },
            { by: 'factor', value: 20 },
          ],
          [tenth, { by: 'area', value: 0.05, unit: 'acre' }],
        ),
        ({ trees }, [one, two]) => {
          const single = book(plotsOf([one, one, one, one]), trees);
          const double = book(plotsOf([two, two, two, two]), trees);
          for (const quantity of quantities) {
            const [a, b] = [single.perAcre(quantity), double.perAcre(quantity)];
            if (a.value === null) expect(b.value).toBeNull();
            else near(b.value, 2 * a.value, 1e-12);
            if (a.se !== null) near(b.se, 2 * a.se, 1e-9);
          }
          // Mean sizes are ratios: the factor cancels.
          const [a, b] = [single.loreyHeight().value, double.loreyHeight().value];
          if (a !== null) near(b, a, 1e-12);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('units entered do not matter: hectares or acres, metric or English factors', () => {
    fc.assert(
      fc.property(
        bookArbitrary,
        fc.constantFrom<[PlotSize, PlotSize]>(
          [
            { by: 'factor', value: 4, unit: 'm2/ha' },
            { by: 'factor', value: 4 * 4.356 },
          ],
          [
            { by: 'area', value: 0.04, unit: 'ha' },
            { by: 'area', value: 0.04 / hectaresPerAcre, unit: 'acre' },
          ],
          [
            { by: 'radius', length: { value: 11.2838, unit: 'm' } },
            { by: 'radius', length: { value: 1128.38, unit: 'cm' } },
          ],
        ),
        ({ trees, acres }, [one, two]) => {
          alike(
            answers(book(plotsOf([one, one, one, one]), trees, acres)),
            answers(book(plotsOf([two, two, two, two]), trees, acres)),
          );
        },
      ),
      { numRuns: 30 },
    );
  });

  it('three trees alike told at once are three trees; species and statuses add up to the whole', () => {
    fc.assert(
      fc.property(bookArbitrary, ({ trees, sizes, acres }) => {
        const counted = book(plotsOf(sizes), trees, acres);
        let number = 0;
        const apart = trees.flatMap((tree) =>
          Array.from({ length: tree.count }, () =>
            aTree(++number, { ...tree, id: `t${number}`, number, count: 1 }),
          ),
        );
        alike(answers(counted), answers(book(plotsOf(sizes), apart, acres)));
        for (const quantity of quantities) {
          const all = counted.perAcre(quantity, { status: 'all' });
          if (all.value === null) continue;
          const { live, dead, cull } = all.byStatus!;
          near(live + dead + cull, all.value, 1e-12);
          const bySpecies = [833, 316, 129, null, 'pine', 999_999].map(
            (species) => counted.perAcre(quantity, { status: 'all', species }).value!,
          );
          near(
            bySpecies.reduce((a, b) => a + b, 0),
            all.value,
            1e-12,
          );
        }
      }),
      { numRuns: 30 },
    );
  });

  it('two books of two stands merged give the sum of their totals, with the variances added', () => {
    fc.assert(
      fc.property(bookArbitrary, bookArbitrary, (one, two) => {
        const sized = (sizes: readonly (PlotSize | null)[]): PlotSize[] => sizes.map((size) => size ?? tenth);
        const move = (each: typeof two) => ({
          plots: plotsOf(sized(each.sizes)).map((plot) => ({
            ...plot,
            id: `b-${plot.id}`,
            stand: 'other',
            closed: true,
          })),
          trees: each.trees
            .filter((tree) => tree.plot !== null)
            .map((tree) => ({ ...tree, id: `b-${tree.id}`, plot: `b-${tree.plot}`, stand: 'other' })),
        });
        const first = {
          plots: plotsOf(sized(one.sizes)).map((plot) => ({ ...plot, closed: true })),
          trees: one.trees.filter((tree) => tree.plot !== null),
        };
        const second = move(two);
        const a = book(first.plots, first.trees, 12);
        const b = book(second.plots, second.trees);
        const both = book([...first.plots, ...second.plots], [...second.trees, ...first.trees], 12);
        for (const totals of [b, both]) totals.ledger.putStand({ id: 'other', name: 'Mill Lot', acres: 7 });
        for (const quantity of quantities) {
          const [x, y, z] = [a.total(quantity), b.total(quantity), both.total(quantity)];
          near(z.value, x.value! + y.value!, 1e-9);
          near(z.se, Math.hypot(x.se!, y.se!), 1e-9);
        }
      }),
      { numRuns: 30 },
    );
  });
});

describe('the table of ids', () => {
  it('answers as a Map does through any puts and removals, growth and marks of removed ids included', () => {
    const step = fc.record({ id: fc.integer({ min: 0, max: 400 }), take: fc.boolean() });
    fc.assert(
      fc.property(fc.array(step, { minLength: 500, maxLength: 3000 }), (steps) => {
        const table = new IdTable();
        const map = new Map<string, number>();
        const free: number[] = [];
        let next = 0;
        for (const { id, take } of steps) {
          const name = `id-${id}`;
          const known = map.get(name);
          if (table.get(name) !== (known ?? -1)) return false;
          if (take && known !== undefined) {
            table.delete(name);
            map.delete(name);
            free.push(known);
          } else if (!take && known === undefined) {
            const number = free.pop() ?? next++;
            table.set(name, number);
            map.set(name, number);
          }
        }
        return table.size === map.size && [...map].every(([name, number]) => table.get(name) === number);
      }),
      { numRuns: 30 },
    );
  });
});
