/**
 * A tree on the border that nobody can judge counts as half a tree (common practice at a gauge, no source). With a factor of
 * ten each tree that is in stands for ten square feet an acre, so half a tree stands for five; trees an acre are the factor
 * over the tree's own basal area, 0.005454 d^2 (from the definition of the square foot), and half of that.
 */

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { toGeoJson } from '../../shared/report/files/geojson.ts';
import { fromCsv } from '../../shared/report/files/read-tables.ts';
import { toCsv } from '../../shared/report/files/tables.ts';
import { woodOf } from '../../shared/report/files/wood.ts';
import { treeSection } from '../../shared/report/page/details.ts';
import { converse } from '../support/conversation.ts';
import { aPlot, aTree, book, near, quantities, tenth, treeArbitrary } from '../totals/wood.ts';

const gauge = async () => {
  const talk = await converse();
  await talk.say('plot one factor ten', 'red oak sixteen', 'beech twelve, count half');
  return talk;
};

describe('half a tree', () => {
  test('is kept and told as one', async () => {
    const talk = await gauge();
    expect(talk.session.book.treeNumbered(2)).toMatchObject({ counted: true, half: true });
    expect(await talk.say('this tree')).toContain('counted half');
    expect(await talk.say('how many trees')).toBe('1.5 trees.');
  });

  test('adds half of what it would add, to basal area, density and volume', async () => {
    const { session } = await gauge();
    const totals = totalsOf(session.book);
    near(totals.basalArea().value, 10 + 5);
    const density = (inches: number): number => 10 / (0.005454 * inches ** 2);
    near(totals.density().value, density(16) + density(12) / 2, 1e-4);
    const whole = await converse();
    await whole.say('plot one factor ten', 'beech twelve two logs');
    const half = await converse();
    await half.say('plot one factor ten', 'beech twelve two logs, half a tree');
    near(
      totalsOf(half.session.book).volumePerAcre('doyle').value,
      totalsOf(whole.session.book).volumePerAcre('doyle').value! / 2,
    );
  });

  test('is a whole one again when that is undone, said in, or out', async () => {
    const talk = await gauge();
    const { book } = talk.session;
    expect(await talk.say('undo')).toContain('half');
    expect(book.treeNumbered(2)?.half).toBeUndefined();
    await talk.say('put it back');
    expect(book.treeNumbered(2)?.half).toBe(true);
    await talk.say('back to tree two', "it's in");
    near(totalsOf(book).basalArea().value, 20);
    await talk.say("it's half a tree");
    near(totalsOf(book).basalArea().value, 15);
    await talk.say("it's out");
    near(totalsOf(book).basalArea().value, 10);
  });

  test('counts alike in a gauge plot and in a plot of an area: two halves are one', () => {
    fc.assert(
      fc.property(
        treeArbitrary,
        fc.constantFrom(tenth, { by: 'factor' as const, value: 10 }),
        (tree, size) => {
          const one = { ...aTree(1), ...tree, plot: 'plot-1', stand: 'stand', id: 'tree-1' };
          const halves = ['a', 'b'].map((id) => ({ ...one, id, half: true }));
          const plots = [aPlot(1, { size })];
          for (const quantity of quantities) {
            const whole = book(plots, [one]).perAcre(quantity).value;
            const both = book(plots, halves).perAcre(quantity).value;
            expect(both, quantity).toEqual(whole);
          }
        },
      ),
    );
  });

  test('is in the table, which reads back, in the map and in the report', async () => {
    const { session } = await gauge();
    const section = treeSection(session.book);
    expect(JSON.stringify([...(section?.table?.rows ?? [])])).toContain('counted half');
    const wood = woodOf(session.book);
    const csv = toCsv(wood);
    const read = fromCsv(csv);
    if (!read.ok) throw new Error(read.error);
    expect(read.value.trees.map(({ half }) => half ?? false)).toEqual([false, true]);
    const halves = toGeoJson(wood).features.flatMap(({ properties }) =>
      properties.record === 'tree' ? [properties.half] : [],
    );
    expect(halves).toEqual([false, true]);
  });
});
