/** Pointing at one of several that were told lately, and mending it: by a number, by its place, two swapped, another one meant. */
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';
import { picture } from './book-picture.ts';

let one: Conversation;
const set = ['my pace is five feet', 'eye height five feet'] as const;
const told = ['red oak 14, ten paces', 'hemlock 18, twelve paces', 'beech 22, eleven paces'] as const;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say(...set, ...told);
});
type Row = [
  diameterIn: number | null | undefined,
  heightFt: number | undefined,
  species: number | null | undefined,
];
const row = (number: number): Row => {
  const tree = one.session.book.treeNumbered(number);
  return [
    tree?.diameterIn,
    tree?.heightFt == null ? undefined : Math.round(tree.heightFt * 10) / 10,
    tree?.species,
  ];
};
const [oak, hemlock, beech] = [833, 261, 531];

describe('a number that was said lately', () => {
  it('is a diameter where it is that', async () => {
    expect(await one.say('the 22 was a 20')).toBe('Tree 3 is now American beech, 20 inches.');
    expect(await one.say('the 18 was 19')).toBe('Tree 2 is now eastern hemlock, 19 inches.');
    expect([row(1), row(2), row(3)]).toEqual([
      [14, 55, oak],
      [19, 65, hemlock],
      [20, 60, beech],
    ]);
  });

  it('is a count of paces where it is that', async () => {
    expect(await one.say('the twelve was a thirteen')).toMatch(/^70 feet/);
    expect(row(2)).toEqual([18, 70, hemlock]);
    await one.say('the 11 paces were 12');
    expect(row(3)).toEqual([22, 65, beech]);
  });

  it('is asked about where two have it', async () => {
    await one.say('red maple 12, nine paces');
    const before = picture(one.session.book);
    expect(await one.say('the twelve was a thirteen')).toBe(
      'Which 12: the diameter of tree 4, red maple, 12 inches or the height of tree 2, eastern hemlock, 18 inches?',
    );
    expect(picture(one.session.book)).toMatchObject({ trees: (before as { trees: unknown }).trees });
    await one.say('the second one');
    expect([row(2), row(4)[0]]).toEqual([[18, 70, hemlock], 12]);
  });

  it('that nobody said changes nothing', async () => {
    const before = picture(one.session.book);
    expect(await one.say('the 64 was a 60')).toBe(
      'Nothing of 64 was told lately. Say the tree by its number.',
    );
    expect(picture(one.session.book)).toEqual(before);
  });
});

describe('one by its place', () => {
  it('is the middle one of three', async () => {
    expect(await one.say('the middle one was 16')).toBe('Tree 2 is now eastern hemlock, 16 inches.');
    expect(await one.say('the one in the middle was a birch')).toMatch(
      /^Tree 2 is now birch, 16 inches\. Which birch/,
    );
  });

  it('is asked about where the middle of all is not that of the last three', async () => {
    await one.say('red maple 12', 'sugar maple 13');
    expect(await one.say('the middle one was 16')).toBe(
      'Which: tree 4, red maple, 12 inches or tree 3, American beech, 22 inches?',
    );
    await one.say('the beech');
    expect([row(3)[0], row(4)[0]]).toEqual([16, 12]);
  });

  it('is the middle of the last breath, where that told three', async () => {
    await one.say('red maple 12, sugar maple 13, red oak 17');
    expect(await one.say('the middle one was 16')).toBe('Tree 5 is now sugar maple, 16 inches.');
  });

  it('has the distance that is put right, and no other one', async () => {
    await one.say('the second one should say 13 paces');
    expect([row(2)[1], row(3)[1]]).toEqual([70, 60]);
    expect(one.session.book.treeNumbered(2)?.heights).toHaveLength(1);
    expect(await one.say('the middle of those three was a sugar maple')).toBe(
      'Tree 2 is now sugar maple, 18 inches.',
    );
  });

  it('is counted from the end', async () => {
    expect(await one.say('second to last one was a red maple')).toBe('Tree 2 is now red maple, 18 inches.');
    expect(await one.say('third from the end was 16 inches')).toMatch(
      /Tree 1 is now northern red oak, 16 inches\.$/,
    );
    expect(await one.say('the one before last was 17')).toBe('Tree 2 is now red maple, 17 inches.');
    expect(await one.say('fourth to last was 17')).toBe(
      'There are 3 trees here. Say the one you mean by its number.',
    );
  });

  it('is a reading, behind several readings of one tree', async () => {
    await one.say('same tree, twelve paces', 'same tree, thirteen paces');
    const feet = () =>
      (one.session.book.treeNumbered(3)?.heights ?? []).map((id) => one.session.book.height(id)?.value?.feet);
    expect(feet()).toEqual([60, 65, 70]);
    await one.say('the middle one was fourteen');
    expect(feet()).toEqual([60, 75, 70]);
    await one.say('the first reading was ten', 'the third reading was fifteen paces');
    expect(feet()).toEqual([55, 75, 80]);
    await one.say('undo', 'second to last was 22');
    expect(row(2)[0]).toBe(18);
  });
});

describe('two that are swapped', () => {
  it('are asked about where they differ in several things', async () => {
    expect(await one.say('swap those two')).toBe(
      'Swap what of tree 2 and tree 3: the heights, the diameters, the species or all of it?',
    );
    expect(await one.say('the heights')).toBe(
      'Swapped the heights: tree 2 is eastern hemlock, 18 inches, 60 feet; tree 3 is American beech, 22 inches, 65 feet.',
    );
    expect([row(2), row(3)]).toEqual([
      [18, 60, hemlock],
      [22, 65, beech],
    ]);
  });

  it('are swapped at once where that is plain', async () => {
    await one.say('swap the heights of trees 1 and 3');
    expect([row(1)[1], row(3)[1]]).toEqual([60, 55]);
    await one.say('swap the diameters of the oak and the beech');
    expect([row(1)[0], row(3)[0]]).toEqual([22, 14]);
    await one.say('stand mill lot forty acres', 'beech 12', 'beech 13');
    expect(await one.say('I got the last two mixed up')).toMatch(
      /^Swapped the diameters: tree 4 is American beech, 13 inches; tree 5/,
    );
  });

  it('come back by undo, exactly', async () => {
    for (const words of [
      'swap the heights of the last two',
      'swap the diameters of trees 1 and 2',
      'swap the species of those two',
    ]) {
      const before = picture(one.session.book);
      await one.say(words);
      expect(picture(one.session.book)).not.toEqual(before);
      await one.say('undo');
      expect(picture(one.session.book)).toEqual(before);
    }
  });

  it('must be two, and differ', async () => {
    expect(await one.say('swap trees 2 and 7')).toBe('There is no tree 7.');
    await one.say('next tree', 'beech 9', 'beech 9');
    expect(await one.say('swap those two')).toMatch(/^There is nothing to swap/);
  });
});

describe('another one that was meant', () => {
  it('has what was said of the first', async () => {
    await one.say('the oak was 16');
    expect(await one.say('not the oak, the beech')).toBe('Tree 3 is now American beech, 16 inches.');
    expect([row(1)[0], row(3)[0]]).toEqual([14, 16]);
    await one.say('undo');
    expect([row(1)[0], row(3)[0]]).toEqual([16, 22]);
  });

  it('is the one that goes, where one was taken back', async () => {
    await one.say('scratch the oak');
    expect(await one.say('I meant the hemlock')).toMatch(/^Put back\. Scratched: tree 2, eastern hemlock/);
    expect(one.session.book.treeNumbered(1)?.species).toBe(oak);
    expect(one.session.book.treeNumbered(2)).toBeNull();
  });

  it('has the height that went to another', async () => {
    await one.say('for the hemlock, nine paces');
    expect(await one.say('not the hemlock, the beech')).toMatch(/^Tree 3, American beech, 22 inches: /);
    expect(row(2)).toEqual([18, 65, hemlock]);
    expect(one.session.book.treeNumbered(3)?.heights).toHaveLength(2);
    await one.say('two logs');
    expect(one.session.book.treeNumbered(3)?.logs).toBe(2);
  });

  it('is named by its number, too', async () => {
    await one.say('tree 1 was 16');
    await one.say('no, I meant tree two');
    expect([row(1)[0], row(2)[0]]).toEqual([14, 16]);
    expect(await one.say('not tree one, tree three')).toBe(
      'That was of tree 2, not of tree 1. Nothing is changed.',
    );
  });

  it('is no tree whose height was told with another', async () => {
    const before = picture(one.session.book);
    expect(await one.say('sorry, I meant the eighteen, not the twenty two')).toMatch(
      /^I cannot tell what to move/,
    );
    expect(picture(one.session.book)).toEqual(before);
  });

  it('is what the tree is, where it began just now or no other is there', async () => {
    await one.say('white pine 12');
    expect(await one.say('not the pine, the hemlock')).toBe('Tree 4 is now eastern hemlock, 12 inches.');
    await one.say('red maple 9', 'two logs');
    expect(await one.say('no, not the maple, the basswood')).toBe(
      'Tree 5 is now American basswood, 9 inches, 2 logs.',
    );
  });

  it('is asked about where both may be', async () => {
    await one.say('red maple 9', 'ten paces');
    expect(await one.say('not the maple, the beech')).toBe('Which: tree 4 is beech or that was of tree 3?');
    await one.say('the second one');
    expect(row(4)[1]).toBeUndefined();
    expect(one.session.book.treeNumbered(3)?.heights).toHaveLength(2);
  });
});

it('a number said wrong is no answer to what waits', async () => {
  await one.say('nine paces');
  expect(await one.say('the 22 was a 20')).toContain('Tree 3 is now American beech, 20 inches');
});

describe('law of pointing', () => {
  const said = [
    'the 22 was a 20',
    'the twelve was a thirteen',
    'the middle one was 16',
    'second to last one was a red maple',
    'swap those two',
    'swap the heights of the last two',
    'swap the diameters of trees 1 and 2',
    'not the oak, the beech',
    'I meant tree two',
    'the second one',
    'the first reading was ten',
    'same tree, thirteen paces',
    'beech 12',
    'two logs',
    'scratch that',
    'undo',
    "I'll shoot it again",
    'nine paces',
    'average those two',
    'scratch the beech',
    'scratch the oak',
    'yes',
    'the beech was 15',
    'next tree',
  ];

  it('undo after it restores state and totals exactly', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom(...said), { minLength: 1, maxLength: 8 }),
        fc.constantFrom(...said.slice(0, 9)),
        async (before, last) => {
          const here = await converse({ understand: understandTyped });
          await here.say(...set, ...told, ...before);
          const was = picture(here.session.book);
          const { parts } = await here.tell(last);
          const moved = parts.filter(
            ({ entry }) =>
              entry !== null &&
              (entry.acts.length > 0 || entry.asks !== undefined || entry.settles !== undefined),
          );
          if (moved.length === 1) {
            const again = await converse({ understand: understandTyped });
            await again.say(...set, ...told, ...before, last, 'undo');
            expect(picture(again.session.book)).toEqual(was);
          }
        },
      ),
      { numRuns: Number(process.env.STEMSAY_RUNS ?? 40) },
    );
  });
});
