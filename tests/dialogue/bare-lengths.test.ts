/** A length behind a tree, without a word for it: how tall it is, or how far off one stood. Numbers by hand: the eye is at 5.5 feet. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say('eye height five and a half feet');
});
const heightOf = (number: number): number | null => one.session.book.treeNumbered(number)?.heightFt ?? null;

describe('a bare length behind a tree', () => {
  it('is asked about where it may be the height or the distance; the tree is kept', async () => {
    expect(await one.say('yellow birch 19, 72 feet')).toBe(
      'Tree 1, yellow birch, 19 inches. Is 72 feet the height or the distance?',
    );
    expect(heightOf(1)).toBeNull();
    expect(one.session.book.treeNumbered(1)?.diameterIn).toBe(19);
  });

  it.each(['height', 'the height', "it's the height", 'height 72 feet'])(
    'is the height: %s',
    async (answer) => {
      await one.say('yellow birch 19, 72 feet', answer);
      expect(heightOf(1)).toBeCloseTo(72, 6);
    },
  );

  it.each(['distance', 'the distance'])('is how far off one stood: %s', async (answer) => {
    await one.say('yellow birch 19, 72 feet', answer);
    expect(heightOf(1)).toBeCloseTo(77.5, 6);
  });

  it('is asked once: what it was holds for the next', async () => {
    await one.say('yellow birch 19, 72 feet', 'height');
    expect(await one.say('beech 12, 50 feet')).toMatch(/^Tree 2, American beech, 12 inches: 50 feet/);
    const two = await converse({ understand: understandTyped });
    await two.say('eye height five and a half feet', 'yellow birch 19, 72 feet', 'distance');
    expect(await two.say('beech 12, 50 feet')).toMatch(/: 56 feet, give or take \d.*, from 50 feet away/);
  });

  it('of two trees in one breath is asked once for both', async () => {
    expect(await one.say('beech 13, 62 feet, beech 12, 50 feet')).toBe(
      'Is 62 feet the height or the distance?',
    );
    await one.say('height');
    expect([heightOf(1), heightOf(2)]).toEqual([62, 50]);
  });

  it.each(['beech 13, 62 feet away', 'beech 13, stick, 62 feet', 'beech 13, taped 62 feet'])(
    'is not asked about where a word says what it is: %s',
    async (words) => {
      await one.say(words);
      expect(heightOf(1)).toBeCloseTo(67.5, 6);
    },
  );

  it('is asked about behind an "and" as well', async () => {
    expect(await one.say('beech 6 and 31 feet')).toBe(
      'Tree 1, American beech, 6 inches. Is 31 feet the height or the distance?',
    );
    await one.say('height');
    expect(heightOf(1)).toBeCloseTo(31, 6);
  });

  it('by itself, behind a tree that was told before, is the distance as ever', async () => {
    await one.say('beech 16', '62 feet');
    expect(heightOf(1)).toBeCloseTo(67.5, 6);
  });

  it('is the distance where no such tree is so tall', async () => {
    // 62 feet and 67.5 are both too tall for four inches: the doubt about it asks as before.
    expect(await one.say('beech 4, 162 feet')).not.toMatch(/the height or the distance/);
  });

  it('is not kept in silence as anything where it is not answered', async () => {
    await one.say('yellow birch 19, 72 feet', 'beech 12');
    expect([heightOf(1), heightOf(2)]).toEqual([null, null]);
  });
});
