/** The reply repeats what was said in that breath: tree first, height last. Heights: pace 5.3 ft, eye 5.5 ft. */

import { describe, expect, it } from 'vitest';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { genusOfName } from '../../shared/note/species.ts';
import { converse } from '../support/conversation.ts';

const set = ['my pace is five point three feet', 'eye height five and a half'] as const;

describe('the reply', () => {
  it('says the tree, then its height with its error', async () => {
    const { say } = await converse();
    // 9 x 5.3 + 5.5 = 53.2
    expect(await say(...set, 'paper birch twelve inches, nine paces')).toMatch(
      /^Tree 1, paper birch, 12 inches: 53 feet, give or take \d/,
    );
  });

  it('says the tree also where the height is in doubt, or waits', async () => {
    const one = await converse();
    expect(await one.say('red oak fourteen, nine paces')).toMatch(
      /^Tree 1, northern red oak, 14 inches\. Kept\. How long is your pace/,
    );
    const two = await converse();
    expect(await two.say(...set, 'red oak fourteen, eighty paces')).toMatch(
      /^Tree 1, northern red oak, 14 inches\. Eighty paces gives 430 feet/,
    );
  });

  it('says which a bare length was taken as', async () => {
    const { say } = await converse();
    // 65 + 5.5 = 70.5
    expect(await say(...set, 'red oak fourteen, sixty five feet away')).toMatch(
      /: 7[01] feet, give or take \d(\.\d)?, from 65 feet away\./,
    );
  });

  it('after a refused note names the tree that a height went to', async () => {
    const { say } = await converse();
    await say(...set, 'red oak fourteen', 'purple monkeys');
    expect(await say('nine paces')).toMatch(/^Tree 1, northern red oak, 14 inches: 53 feet/);
    expect(await say('scratch that', 'nine paces')).toMatch(/^53 feet/);
  });
});

describe('why, of a height that is asked about', () => {
  it('tells what is doubted, as nothing was kept of it yet', async () => {
    const { say } = await converse();
    await say(...set, 'red oak fourteen, eighty paces');
    expect(await say('why')).toMatch(/^1 open\. Tree 1: Eighty paces gives 430 feet/);
  });
});

describe('the reply to a plot', () => {
  it('tells its slope, also where that changes no radius', async () => {
    const { say } = await converse();
    expect(await say('plot one factor ten slope thirty percent')).toBe(
      'Plot 1, factor 10. Slope 30 percent.',
    );
    expect(await say('plot two fifth acre slope five percent')).toMatch(/Slope 5 percent\.$/);
  });
});

describe('a species said by its genus', () => {
  it('is kept so with its height, and asked about in the same reply', async () => {
    const { say, session } = await converse();
    const reply = await say(...set, 'birch twelve, nine paces');
    expect(reply).toMatch(/^Tree 1, birch, 12 inches: 53 feet, give or take .* Which birch: .*paper birch/);
    expect(session.book.treeNumbered(1)).toMatchObject({ species: genusOfName('birch'), diameterIn: 12 });
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(53.2, 6);
    expect(await say('paper')).not.toMatch(/^Tree 2/);
  });

  it('is not settled by another tree that comes with a height of its own', async () => {
    const { say, session } = await converse();
    await say(...set, 'birch twelve, nine paces');
    // 11 x 5.3 + 5.5 = 63.8
    expect(await say('beech at eleven paces')).toMatch(/^Tree 2, American beech: 64 feet/);
    expect(session.book.treeNumbered(1)?.species).toBe(genusOfName('birch'));
  });

  it('stays so when the next tree is begun, and counts as what it was called', async () => {
    const { say, session } = await converse();
    await say('plot one, tenth acre', 'birch twelve', 'red oak ten', 'birch eleven');
    const totals = totalsOf(session.book);
    const birch = genusOfName('birch')!;
    expect(totals.trees({ species: birch }).value).toBe(2);
    // Ten trees an acre for each on a tenth of an acre.
    expect(totals.density({ species: birch }).value).toBeCloseTo(20, 9);
    // All birches are of one group of the biomass equations, so a birch weighs something.
    expect(totals.perAcre('biomass', { species: birch }).value).toBeGreaterThan(0);
  });

  it('becomes the species that is said closer, the same tree', async () => {
    const { say, session } = await converse();
    await say('birch twelve', 'never mind', "that's a paper birch");
    expect([...session.book.trees()]).toHaveLength(1);
    expect(session.book.treeNumbered(1)).toMatchObject({ species: 375, called: null });
  });
});

describe('a question that was answered', () => {
  it('is never still open: paces, then eye, then pace', async () => {
    const { say, session } = await converse();
    expect(await say('twelve paces', 'eye height five and a half')).toMatch(
      /^Eye height 5 feet 6\. How long is your pace/,
    );
    // 12 x 5.3 + 5.5 = 69.1
    const reply = await say('my pace is five point three feet');
    expect(reply).toMatch(/69 feet/);
    expect(reply).not.toMatch(/Still open/);
    expect(session.question).toBeNull();
  });

  it('names its tree once, also after a refusal', async () => {
    const { say } = await converse();
    await say(...set, 'purple monkeys');
    expect((await say('red oak fourteen, nine paces')).match(/Tree 1/g)).toHaveLength(1);
  });
});
