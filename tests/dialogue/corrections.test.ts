/** Corrections as people say them; each is about what was said, never a new tree. Heights: pace 5.3 ft, eye 5.5 ft. */

import { describe, expect, it } from 'vitest';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { converse } from '../support/conversation.ts';

const set = ['my pace is five point three feet', 'eye height five and a half'] as const;

async function told(...lines: string[]) {
  const one = await converse();
  const reply = await one.say(...set, ...lines);
  const { book } = one.session;
  return { ...one, reply, book, tree: (number: number) => book.treeNumbered(number) };
}

describe('a correction', () => {
  // 9 x 5.3 + 5.5 = 53.2; 12 x 5.3 + 5.5 = 69.1
  it.each([
    [['red oak fourteen', 'eight paces', 'no, nine'], 53.2],
    [['red oak fourteen', 'eleven paces', 'not eleven, twelve'], 69.1],
    [['red oak fourteen', 'eight paces', 'make that nine paces'], 53.2],
    [['red oak fourteen', 'eight paces', 'nine, not eight'], 53.2],
  ])('%j leaves the height of nine or twelve paces', async (lines, feet) => {
    const { tree, book } = await told(...lines);
    expect(tree(1)?.heightFt).toBeCloseTo(feet, 6);
    expect([...book.trees()]).toHaveLength(1);
  });

  it('says which number was wrong, and changes the one that it stands in', async () => {
    const { tree, reply } = await told('red oak fifty inches', 'keep it', 'i said fifteen not fifty');
    expect(tree(1)?.diameterIn).toBe(15);
    expect(reply).toBe('Tree 1 is now northern red oak, 15 inches.');
  });

  it('of an angle finds it by its number', async () => {
    const { tree } = await told(
      'red oak fourteen',
      'top forty two degrees base minus four sixty six feet',
      'not forty two, forty three',
    );
    const rad = Math.PI / 180;
    expect(tree(1)?.heightFt).toBeCloseTo(66 * (Math.tan(43 * rad) + Math.tan(4 * rad)), 6);
  });

  it('names a tree by what it is', async () => {
    const { tree, reply } = await told('beech nine', 'red oak twelve', 'change the beech to white oak');
    expect(tree(1)?.species).toBe(802);
    expect(tree(2)?.species).toBe(833);
    expect(reply).toBe('Tree 1 is now white oak, 9 inches.');
  });

  it.each([
    'the last one was a white oak',
    "that's a white oak",
    'not red oak, white oak',
    "it's a white oak not a red oak",
  ])('"%s" is about the tree in hand, never a new tree', async (words) => {
    const { tree, book } = await told('beech nine', 'red oak twelve', words);
    expect([...book.trees()]).toHaveLength(2);
    expect(tree(2)).toMatchObject({ species: 802, diameterIn: 12 });
  });

  it('of a tree that is whole asks whether another one is meant', async () => {
    const { tree, book, reply, say } = await told('red oak twelve', "that's a white oak, nine inches");
    expect(reply).toBe('A new tree, or is that tree 1?');
    await say('the second one');
    expect([...book.trees()]).toHaveLength(1);
    expect(tree(1)).toMatchObject({ species: 802, diameterIn: 9 });
  });

  it('says another fact of a tree named by what it is', async () => {
    const { tree, book } = await told(
      'beech nine',
      'red oak twelve',
      'the beech is dead',
      'beech was ten inches',
    );
    expect(tree(1)).toMatchObject({ status: 'dead', diameterIn: 10 });
    expect([...book.trees()]).toHaveLength(2);
  });
});

describe('a tree that is named and said not to be something', () => {
  it('is that tree where it was so', async () => {
    const { tree } = await told(
      'red maple nine',
      'beech twelve',
      'tree one was a sugar maple, not a red maple',
    );
    expect([tree(1)?.species, tree(2)?.species]).toEqual([318, 531]);
  });

  it('is left alone where it was something else', async () => {
    const { tree, reply } = await told('red maple nine', 'tree one was a sugar maple, not a beech');
    expect(tree(1)?.species).toBe(316);
    expect(reply).toBe('Tree 1 is red maple, no beech. Nothing is changed.');
  });
});

describe('a height that came before its tree', () => {
  it('is that of "that is a ..."', async () => {
    const { tree, book, reply } = await told('nine paces', "that's a white oak, sixteen inches");
    expect([...book.trees()]).toHaveLength(1);
    expect(tree(1)?.heightFt).toBeCloseTo(53.2, 6);
    expect(reply).toMatch(/^Tree 1, white oak, 16 inches: 53 feet, give or take \d/);
  });

  it('goes to the tree that is named, and back when that is taken back', async () => {
    const { tree, say } = await told(
      'beech nine',
      'red oak twelve',
      'nine paces',
      'that goes with the beech',
    );
    expect(tree(1)?.heightFt).toBeCloseTo(53.2, 6);
    expect(tree(2)?.heightFt).toBeNull();
    await say('undo');
    expect(tree(1)?.heightFt).toBeNull();
    expect(tree(2)?.heightFt).toBeCloseTo(53.2, 6);
  });
});

describe('a plot is mended', () => {
  it('in its size: "plot one was a fifth acre"', async () => {
    const { book, reply } = await told(
      'plot one, tenth acre',
      'beech nine',
      'close plot',
      'plot one was a fifth acre',
    );
    expect(reply).toBe('Plot 1, a fifth of an acre. Radius 52.7 feet.');
    // One tree on a fifth of an acre is five an acre.
    expect(totalsOf(book).density().value).toBeCloseTo(5, 9);
  });

  it('by taking it up again: what is said then stands on it', async () => {
    const { book, say, tree } = await told('plot one, tenth acre', 'beech nine', 'plot two, tenth acre');
    expect(await say('reopen plot one')).toBe('Plot 2 closed: no trees. Plot 1 is open again: 1 tree.');
    await say('red oak twelve');
    expect(tree(2)?.plot).toBe(book.plotNumbered(1, null)?.id);
    await say('scratch that', 'scratch that', 'red oak twelve');
    expect(tree(2)?.plot).toBe(book.plotNumbered(2, null)?.id);
  });

  it('in its number', async () => {
    const { book, say } = await told('plot one, tenth acre', 'change plot one to seven');
    expect([...book.plots()]).toMatchObject([{ number: 7 }]);
    expect(await say('plot two, tenth acre', 'change plot two to seven')).toBe(
      'Plot 7 is another one already.',
    );
  });
});

describe('a correction to a name that several species bear', () => {
  it('changes the tree that was meant, at that depth, and asks which', async () => {
    const { say, session } = await converse();
    await say('plot one, tenth acre', 'oak twelve');
    const reply = await say('not oak, ash');
    expect(reply).toMatch(/^Tree 1 is now ash, 12 inches\. Which ash/);
    expect([...session.book.trees()]).toHaveLength(1);
    expect(await say('white ash')).toMatch(/^Tree 1/);
    expect(session.book.treeNumbered(1)).toMatchObject({ species: 541, diameterIn: 12 });
  });
});

describe('what is told of a tree by its kind where none such stands', () => {
  it('is asked about, and "yes" begins the tree with it', async () => {
    const { say, session } = await converse();
    await say('red oak twelve');
    expect(await say('for the holly, remark hornets in it')).toBe(
      'There is no holly here. Is it a new tree?',
    );
    expect([...session.book.trees()]).toHaveLength(1);
    await say('yes');
    expect([...session.book.trees()].at(-1)).toMatchObject({ species: 591 });
  });

  it('is refused where it names one of several, or says nothing of it', async () => {
    const { say, session } = await converse();
    await say('red oak twelve');
    expect(await say('for the second holly, remark hornets in it')).toMatch(/Say the tree by its number/);
    expect(await say('for the holly')).toMatch(/Say the tree by its number/);
    expect([...session.book.trees()]).toHaveLength(1);
  });
});
