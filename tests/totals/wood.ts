/** Made-up books for tests of totals: plots, trees, arbitrary books, and every answer that a book can give. */
import fc from 'fast-check';
import { expect } from 'vitest';
import type { PlotSize } from '../../shared/note/quantities.ts';
import { type Estimate, Totals, type TotalsQuantity } from '../../shared/totals/totals.ts';
import type { PlotRecord, TreeRecord } from '../../shared/totals/types.ts';

export const tenth: PlotSize = { by: 'area', value: 0.1, unit: 'acre' };

export const aPlot = (number: number, more: Partial<PlotRecord> = {}): PlotRecord => ({
  id: `plot-${number}`,
  number,
  stand: 'stand',
  stratum: null,
  size: tenth,
  slopePct: null,
  closed: false,
  empty: false,
  time: number,
  person: null,
  ...more,
});

export const aTree = (number: number, more: Partial<TreeRecord> = {}): TreeRecord => ({
  id: `tree-${number}`,
  number,
  plot: 'plot-1',
  stand: 'stand',
  species: 833,
  diameterIn: 12,
  status: 'live',
  marks: [],
  count: 1,
  logs: null,
  merchFt: null,
  defectPct: 0,
  formClass: null,
  heightFt: null,
  heightSdFt: null,
  counted: true,
  time: number,
  person: null,
  ...more,
});

export function book(
  plots: readonly PlotRecord[],
  trees: readonly TreeRecord[],
  acres: number | null = null,
): Totals {
  const totals = new Totals();
  totals.ledger.putStand({ id: 'stand', name: 'Alder Hollow', acres });
  for (const plot of plots) totals.ledger.putPlot(plot);
  for (const tree of trees) totals.ledger.putTree(tree);
  return totals;
}

export const near = (found: number | null, expected: number, relative = 1e-6): void => {
  expect(found).not.toBeNull();
  expect(Math.abs(found! - expected), `${found} against ${expected}`).toBeLessThanOrEqual(
    relative * Math.max(1e-9, Math.abs(expected)),
  );
};

export const quantities: TotalsQuantity[] = [
  'basalArea',
  'density',
  'international',
  'scribner',
  'doyle',
  'cubic',
  'biomass',
  'carbon',
];

export const treeArbitrary = fc.record({
  plot: fc.constantFrom('plot-1', 'plot-2', 'plot-3', 'plot-4', null),
  species: fc.constantFrom(833, 316, 129, null, 999_999),
  called: fc.constantFrom(null, 'pine'),
  diameterIn: fc.option(
    fc.integer({ min: 10, max: 400 }).map((tenths) => tenths / 10),
    { freq: 9 },
  ),
  status: fc.constantFrom(
    'live' as const,
    'live' as const,
    'live' as const,
    'dead' as const,
    'cull' as const,
  ),
  count: fc.constantFrom(1, 1, 1, 3),
  logs: fc.option(fc.integer({ min: 0, max: 8 }).map((halves) => halves / 2)),
  defectPct: fc.constantFrom(0, 0, 15),
  heightFt: fc.option(fc.double({ min: 8, max: 130, noNaN: true })),
  counted: fc.constantFrom(true, true, true, true, false),
  person: fc.constantFrom(null, 'ann', 'bo'),
});
export const sizeArbitrary = fc.constantFrom<PlotSize | null>(
  tenth,
  tenth,
  { by: 'area', value: 0.05, unit: 'ha' },
  { by: 'radius', length: { value: 24, unit: 'ft' } },
  { by: 'factor', value: 20 },
  { by: 'factor', value: 4, unit: 'm2/ha' },
  null,
);
export const bookArbitrary = fc.record({
  trees: fc.array(treeArbitrary, { maxLength: 25 }).map((list) => list.map((tree, i) => aTree(i + 1, tree))),
  sizes: fc.array(sizeArbitrary, { minLength: 4, maxLength: 4 }),
  acres: fc.constantFrom(null, 12),
});
export const plotsOf = (sizes: readonly (PlotSize | null)[]): PlotRecord[] =>
  sizes.map((size, i) => aPlot(i + 1, { size }));

/** Every number that a book answers with. */
export function answers(totals: Totals): Record<string, Estimate> {
  const found: Record<string, Estimate> = {};
  for (const status of ['live', 'all'] as const) {
    for (const species of [undefined, 833] as const) {
      const scope = { status, ...(species === undefined ? {} : { species }) };
      const name = `${status} ${species ?? ''}`;
      for (const quantity of quantities) {
        found[`${quantity} ${name}`] = totals.perAcre(quantity, scope);
        found[`total ${quantity} ${name}`] = totals.total(quantity, scope);
      }
      found[`trees ${name}`] = totals.trees(scope);
      found[`mean height ${name}`] = totals.meanHeight(scope);
      found[`filled height ${name}`] = totals.meanHeight(scope, { filled: true });
      found[`lorey ${name}`] = totals.loreyHeight(scope);
      found[`mean diameter ${name}`] = totals.meanDiameter(scope);
      found[`qmd ${name}`] = totals.quadraticDiameter(scope);
      found[`top height ${name}`] = totals.topHeight(scope);
    }
  }
  found.plots = totals.plots();
  found['plot 1'] = totals.basalArea({ plot: 'plot-1' });
  return found;
}

export function alike(
  left: Record<string, Estimate>,
  right: Record<string, Estimate>,
  relative = 1e-9,
): void {
  for (const [name, one] of Object.entries(left)) {
    const two = right[name]!;
    for (const field of ['value', 'se', 'low', 'high'] as const) {
      const [a, b] = [one[field], two[field]];
      // Errors are differences of squares: half of the digits may go when all plots are nearly alike.
      const share = field === 'value' ? relative : 1e-6;
      const allowed = share * Math.max(1e-3, Math.abs(one.value ?? 0), Math.abs(a ?? 0));
      const same = a === null || b === null ? a === b : Math.abs(a - b) <= allowed;
      if (!same) throw new Error(`${name}: ${field} is ${a} and ${b}`);
    }
    const [said, meant] = [one, two].map((each) => [...each.leftOut, ...each.assumed].join(' '));
    if (said !== meant) throw new Error(`${name}: ${said} and ${meant}`);
  }
}
