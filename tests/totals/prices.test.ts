/** What wood is worth by prices that were said, against the totals that it rests on and a plain reckoning plot by plot. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { noAppraisal, type Price, type Worth, worthOf } from '../../shared/totals/prices.ts';
import { Totals } from '../../shared/totals/totals.ts';
import type { TreeRecord } from '../../shared/totals/types.ts';
import { aPlot, aTree, book } from './wood.ts';

const redOak = 833;
const whitePine = 129;
const price = (dollars: number, more: Partial<Price> = {}): Price => ({
  species: [],
  product: null,
  per: 'thousand',
  rule: null,
  dollars,
  ...more,
});
const worth = (totals: Totals, prices: readonly Price[]): Worth =>
  worthOf(totals, prices, {}, { rule: 'international' });

/** Four plots of a tenth of an acre in a stand of 40 acres. */
const trees: readonly TreeRecord[] = [
  aTree(1, { plot: 'plot-1', diameterIn: 16, logs: 2, heightFt: 70 }),
  aTree(2, { plot: 'plot-1', diameterIn: 20, logs: 3, heightFt: 84, species: whitePine }),
  aTree(3, { plot: 'plot-2', diameterIn: 14, logs: 1, heightFt: 60 }),
  aTree(4, { plot: 'plot-3', diameterIn: 18, logs: 2.5, heightFt: 78, species: whitePine }),
  aTree(5, { plot: 'plot-3', diameterIn: 18, logs: 2, heightFt: 75 }),
];
const plots = [aPlot(1), aPlot(2), aPlot(3), aPlot(4, { empty: true })];
const wood = (acres: number | null = 40): Totals => book(plots, trees, acres);

describe('worth', () => {
  test('of one price is the total times it, and its error too', () => {
    const totals = wood();
    const found = worth(totals, [price(400)]);
    const volume = totals.total('international');
    expect(found.value).toBeCloseTo((volume.value! * 400) / 1000, 6);
    expect(found.se).toBeCloseTo((volume.se! * 400) / 1000, 6);
    expect(found.low).toBeCloseTo((volume.low! * 400) / 1000, 6);
    expect(found.lines).toMatchObject([
      { volume: expect.closeTo(volume.value! / 1000, 9), rule: 'international' },
    ]);
    expect(found.assumed).toContain(noAppraisal);
  });

  test('of several goes by species; its error is that of the worth of the plots', () => {
    const totals = wood();
    const found = worth(totals, [price(250), price(600, { species: [redOak] })]);
    const of = (species: number) => totals.total('international', { species }).value! / 1000;
    expect(found.value).toBeCloseTo(600 * of(redOak) + 250 * of(whitePine), 6);
    // Plainly: the worth of each plot, its mean and standard error, times the area; 400 plots could be there.
    const worths = plots.map(({ id }) =>
      [redOak, whitePine].reduce((sum, species) => {
        const bf = totals.perAcre('international', { plot: id, species }).value ?? 0;
        return sum + ((species === redOak ? 600 : 250) * bf) / 1000;
      }, 0),
    );
    const mean = worths.reduce((sum, one) => sum + one, 0) / 4;
    const variance = worths.reduce((sum, one) => sum + (one - mean) ** 2, 0) / 3;
    expect(found.value).toBeCloseTo(40 * mean, 6);
    expect(found.se).toBeCloseTo(40 * Math.sqrt((variance / 4) * (1 - 4 / 400)), 6);
  });

  test('the area’s error is in it', () => {
    const totals = new Totals();
    totals.ledger.putStand({ id: 'stand', name: 'Mill Lot', acres: 40, sdAcres: 4 });
    for (const plot of plots) totals.ledger.putPlot(plot);
    for (const tree of trees) totals.ledger.putTree(tree);
    const [sure, unsure] = [worth(wood(), [price(400)]), worth(totals, [price(400)])];
    expect(unsure.value).toBe(sure.value);
    expect(unsure.se).toBeCloseTo((totals.total('international').se! * 400) / 1000, 6);
    expect(unsure.se!).toBeGreaterThan(sure.se!);
  });

  test('cords, tons and metres come from the cubic feet, with the error of turning them', () => {
    const totals = wood();
    const cubic = totals.total('cubic');
    const cords = worth(totals, [price(20, { per: 'cord' })]);
    expect(cords.value).toBeCloseTo((20 * cubic.value!) / 85, 6);
    expect(cords.se).toBeCloseTo(Math.hypot((20 * cubic.se!) / 85, 0.06 * cords.value!), 6);
    expect(cords.assumed[0]).toContain('85 cubic feet of wood and bark in a cord of 128');
    // A cubic metre is 35.3147 cubic feet (NIST SP 811, Appendix B: 1 cubic foot is 0.02831685 cubic metre).
    expect(worth(totals, [price(30, { per: 'cubicMetre' })]).value).toBeCloseTo(
      30 * 0.02831685 * cubic.value!,
      1,
    );
    expect(worth(totals, [price(30, { per: 'cunit' })]).value).toBeCloseTo(0.3 * cubic.value!, 6);
    const [ton, tonne] = (['ton', 'tonne'] as const).map((per) => worth(totals, [price(10, { per })]).value!);
    // A short ton is 907.185 kilograms (NIST SP 811, Appendix B).
    expect(ton! / tonne!).toBeCloseTo(1000 / 907.185, 4);
  });

  test('a tree is sold once: as what it is worth most as', () => {
    const totals = wood();
    const saw = price(400, { product: 'saw' });
    const pulp = price(5, { product: 'pulp', per: 'cord' });
    const both = worth(totals, [saw, pulp]);
    expect(both.value).toBeCloseTo(worth(totals, [saw]).value!, 6);
    expect(both.lines.map(({ counted }) => counted)).toEqual([true, false]);
    expect(both.assumed.join(' ')).toContain('counted as the one that they are worth most as');
  });

  test('the price said last holds, that of a species before that of all', () => {
    const totals = wood();
    const last = worth(totals, [price(100), price(300, { species: [redOak] }), price(200)]);
    const of = (species: number) => totals.total('international', { species }).value! / 1000;
    expect(last.value).toBeCloseTo(300 * of(redOak) + 200 * of(whitePine), 6);
    expect(worth(totals, [price(300, { species: [redOak] })]).leftOut).toEqual(['1 species has no price.']);
  });

  test('by the rule of the price, else by that in force', () => {
    const totals = wood();
    const doyle = worth(totals, [price(400, { rule: 'doyle' })]);
    expect(doyle.value).toBeCloseTo((totals.total('doyle').value! * 400) / 1000, 6);
    expect(doyle.lines[0]!.rule).toBe('doyle');
  });

  test('where nothing can be reckoned, a sentence says why', () => {
    expect(worth(wood(), []).leftOut).toEqual(['No price was said.']);
    expect(worth(wood(null), [price(4)]).leftOut).toEqual([
      'An area is missing, so there is no value of the whole.',
    ]);
    expect(worth(new Totals(), [price(4)]).leftOut).toEqual(['No tree here has a price.']);
    expect(worth(wood(), [price(4, { species: [316] })]).leftOut).toEqual([
      '2 species have no price.',
      'No tree here has a price.',
    ]);
  });

  test('twice the price is twice the worth, and a tally of every tree has no sampling error', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 2000, noNaN: true }), (dollars) => {
        const [one, two] = [worth(wood(), [price(dollars)]), worth(wood(), [price(2 * dollars)])];
        expect(two.value! / one.value!).toBeCloseTo(2, 9);
        expect(two.se! / one.se!).toBeCloseTo(2, 9);
      }),
      { numRuns: 20 },
    );
    const all = book(
      [aPlot(1, { size: { by: 'tally' } })],
      trees.map((tree) => ({ ...tree, plot: 'plot-1' })),
      3,
    );
    const found = worth(all, [price(400)]);
    expect(found.se).toBe(0);
    expect(found.value).toBeCloseTo((all.total('international').value! * 400) / 1000, 6);
  });
});
