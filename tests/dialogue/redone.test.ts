/** A height that is measured again: nothing is taken back unless it is said; and readings that are averaged. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';
import { picture } from './book-picture.ts';

let one: Conversation;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say(
    'my pace is five feet',
    'eye height five feet',
    'red oak 14, ten paces',
    'hemlock 18, eleven paces',
  );
});
const heightOf = (number: number): number | null => one.session.book.treeNumbered(number)?.heightFt ?? null;
const stays =
  'Tree 2, eastern hemlock, 18 inches, stays at 60 feet until you say the new one, which takes its place.';

describe('a height that is measured again', () => {
  it.each([
    "I'll shoot it again",
    'measure again',
    'let me redo that one',
    "that last height can't be right, let me do it over",
    "don't trust that one, I'll pace it again",
    'let me take it again',
    'bad reading, doing it again',
  ])('stays until the new one is said: %s', async (words) => {
    const before = picture(one.session.book);
    expect(await one.say(words)).toBe(stays);
    expect(heightOf(2)).toBeCloseTo(60, 6);
    expect(await one.say('nine paces')).toMatch(
      /^50 feet, give or take 3\..* It takes the place of 60 feet\.$/,
    );
    expect(heightOf(2)).toBeCloseTo(50, 6);
    await one.say('scratch that');
    expect(heightOf(2)).toBeCloseTo(60, 6);
    await one.say('undo', 'undo', 'undo', 'undo');
    expect(one.session.book.treeNumbered(2)?.heights).toHaveLength(1);
    expect(picture(one.session.book)).toMatchObject({ trees: (before as { trees: unknown }).trees });
  });

  it('never loses the tree that was told in one breath with it', async () => {
    await one.say('redo it', 'beech 9');
    expect([...one.session.book.trees()].map(({ number }) => number)).toEqual([1, 2, 3]);
    // Another tree came first: a height is that tree's.
    await one.say('eight paces');
    expect([heightOf(2), heightOf(3)]).toEqual([60, 45]);
  });

  it('of a tree that is named is that tree', async () => {
    expect(await one.say('let me shoot the red oak again')).toMatch(
      /Tree 1, northern red oak, 14 inches, stays at 55 feet/,
    );
    await one.say('nine paces');
    expect([heightOf(1), heightOf(2)]).toEqual([50, 60]);
  });

  it('is told by what is said in the same breath', async () => {
    await one.say("that can't be right, let me do it over, nine paces");
    expect(heightOf(2)).toBeCloseTo(50, 6);
    expect(one.session.book.treeNumbered(2)?.heights).toHaveLength(1);
  });

  it('may be a bare number, by the way of the one before', async () => {
    await one.say("I'll shoot it again", 'nine');
    expect(heightOf(2)).toBeCloseTo(50, 6);
    expect(one.session.book.treeNumbered(2)?.heights).toHaveLength(1);
  });

  it('is taken back first where that is said', async () => {
    for (const words of [
      'that reading looks off, scrap it and take another',
      'throw that out and take another',
    ]) {
      expect(await one.say(words)).toBe(
        'Scratched: the height of tree 2, 60 feet. In hand: tree 2, eastern hemlock, 18 inches.',
      );
      expect(heightOf(2)).toBeNull();
      await one.say('undo');
      expect(heightOf(2)).toBeCloseTo(60, 6);
    }
  });

  it('that is in doubt is not counted, as before', async () => {
    await one.say('beech 12', 'eighty paces');
    expect(await one.say("I'll shoot it again")).toBe('Dropped. Measure again.');
    await one.say('nine paces');
    expect(heightOf(3)).toBeCloseTo(50, 6);
  });

  it.each(["don't shoot it again", 'no need to do it again'])(
    'is none where it is denied: %s',
    async (words) => {
      expect(await one.say(words)).not.toMatch(/stays at/);
    },
  );
});

describe('readings that are averaged', () => {
  it('of one tree: they are already, and the answer says what they come to', async () => {
    await one.say('same tree, ten paces');
    for (const words of ['average those two', 'split the difference', 'use the mean of both shots'])
      expect(await one.say(words)).toBe(
        'Tree 2 is averaged already: 60 feet and 55 feet, each as sure as it is, come to 57 feet, give or take 3.',
      );
    await one.say('same tree, nine paces');
    expect(await one.say('take the mean of the last two')).toMatch(
      /^Tree 2 is averaged already: 60 feet, 55 feet and 50 feet.* The last 2 alone, 55 feet and 50 feet, come to 52 feet/,
    );
    expect(await one.say('take the mean of the last three')).toMatch(/come to \d+ feet, give or take \d\.$/);
  });

  it('of a device: so are its takes', async () => {
    await one.say('beech 12', 'laser 61, 63 and 62 feet');
    expect(await one.say('average them')).toMatch(/^Tree 3 is averaged already: its 3 takes come to 62 feet/);
  });

  it('of two trees that may be one: it is asked, and yes puts both on the first', async () => {
    await one.say('next tree', 'ten paces', 'next tree', 'eleven paces');
    const before = picture(one.session.book);
    expect(await one.say('average those two')).toBe(
      'Tree 3 55 feet and tree 4 60 feet. Are they of one tree, tree 3?',
    );
    expect(picture(one.session.book)).toMatchObject({ trees: (before as { trees: unknown }).trees });
    await one.say('yes');
    expect(one.session.book.treeNumbered(4)).toBeNull();
    expect(heightOf(3)).toBeCloseTo(57.3, 0);
  });

  it('of two trees that are not one: the mean is told, and each keeps its own', async () => {
    expect(await one.say('average those two')).toBe(
      'Tree 1 55 feet and tree 2 60 feet: the mean is 58 feet. They are 2 trees, and each keeps its own.',
    );
    expect([heightOf(1), heightOf(2)]).toEqual([55, 60]);
  });

  it('of none says so', async () => {
    const other = await converse({ understand: understandTyped });
    expect(await other.say('average those two')).toBe('There is no height here yet.');
  });
});
