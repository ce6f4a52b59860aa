/** The error of an area in the totals: against simulated cruises of areas that were measured with an error. */
import { describe, expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { Totals } from '../../shared/totals/totals.ts';
import { normal } from '../land/support.ts';
import { aPlot, aTree, tenth } from './wood.ts';

interface Cruised {
  readonly acres: number;
  readonly sdAcres: number;
  readonly paceSdAcres: number;
  /** Trees on each plot, all of 12 inches. */
  readonly counts: readonly number[];
}

/** A book of one stand whose strata were measured and cruised so. */
function cruised(strata: readonly Cruised[], census = false): Totals {
  const totals = new Totals();
  let plot = 0;
  let tree = 0;
  strata.forEach(({ counts, ...area }, s) => {
    totals.ledger.putStand({ id: `stand-${s}`, name: `Mill Lot ${s}`, ...area });
    for (const count of counts) {
      const stand = `stand-${s}`;
      const size = census ? ({ by: 'tally' } as const) : tenth;
      totals.ledger.putPlot(aPlot(++plot, { stand, size, empty: count === 0 }));
      if (count > 0) totals.ledger.putTree(aTree(++tree, { plot: `plot-${plot}`, stand, count }));
    }
  });
  return totals;
}

const areas = [
  { acres: 40, sdAcres: 2.5, paceSdAcres: 2, mean: 12, sd: 4 },
  { acres: 25, sdAcres: 1.5, paceSdAcres: 1.2, mean: 5, sd: 2 },
];

/** Cruises simulated: what the totals say of each, and how far they scatter. */
function simulated(books: number, ask: (totals: Totals) => { value: number | null; se: number | null }) {
  const random = seeded(1960);
  const values: number[] = [];
  let variance = 0;
  for (let i = 0; i < books; i++) {
    const pace = normal(random);
    const found = ask(
      cruised(
        areas.map(({ acres, sdAcres, paceSdAcres, mean, sd }): Cruised => {
          const own = Math.sqrt(sdAcres ** 2 - paceSdAcres ** 2);
          return {
            acres: acres + own * normal(random) + paceSdAcres * pace,
            sdAcres,
            paceSdAcres,
            counts: Array.from({ length: 12 }, () => Math.max(0, Math.round(mean + sd * normal(random)))),
          };
        }),
      ),
    );
    values.push(found.value!);
    variance += found.se! ** 2 / books;
  }
  const mean = values.reduce((sum, value) => sum + value, 0) / books;
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (books - 1));
  return { mean, sd, said: Math.sqrt(variance) };
}

describe('the give-or-take has the error of the area in it', () => {
  test.each([
    ['a total', (totals: Totals) => totals.total('density')],
    ['a value for an acre', (totals: Totals) => totals.perAcre('density')],
  ] as const)('%s: within five percent of 3 000 simulated cruises', (name, ask) => {
    const { sd, said, mean } = simulated(3000, ask);
    console.log(`${name}: ${mean.toFixed(1)}, simulated sd ${sd.toFixed(2)}, said ${said.toFixed(2)}`);
    expect(Math.abs(said / sd - 1)).toBeLessThan(0.05);
  });

  test('it is said, and without it nothing changes', () => {
    const counts = [10, 12, 14, 9];
    const sure = cruised([{ acres: 40, sdAcres: 0, paceSdAcres: 0, counts }]).total('density');
    const unsure = cruised([{ acres: 40, sdAcres: 4, paceSdAcres: 3, counts }]).total('density');
    expect(sure.assumed).toEqual([]);
    expect(unsure.assumed).toEqual(['The give-or-take has that of the area in it.']);
    expect(unsure.value).toBe(sure.value);
    // A tenth of the area alone is a tenth of the total.
    expect(unsure.se!).toBeGreaterThan(Math.max(sure.se!, 0.09 * sure.value!));
    expect(unsure.df).toBeGreaterThan(sure.df);
  });

  test('where every tree was measured, the area does not make the total less sure', () => {
    const all = cruised([{ acres: 3, sdAcres: 0.5, paceSdAcres: 0.4, counts: [57] }], true);
    expect(all.total('density')).toMatchObject({ value: 57, se: 0, assumed: [] });
  });

  test('plots that all agree leave the error of the area alone', () => {
    const even = cruised([{ acres: 40, sdAcres: 4, paceSdAcres: 0, counts: [10, 10, 10] }]).total('density');
    expect(even.value).toBeCloseTo(4000, 6);
    expect(even.se).toBeCloseTo(400, 6);
    // As sure of it as of a normal value: 1.96 standard errors.
    expect((even.high! - even.value!) / even.se!).toBeCloseTo(1.96, 2);
  });
});
