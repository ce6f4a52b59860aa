/** Heights of which the distance, the foot or the tree is said later, or anew. Numbers by hand: eye 5 feet, pace 5 feet. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say('my pace is five feet', 'eye height five feet', 'plot one, tenth acre');
});
const heightOf = (number: number): number | null => one.session.book.treeNumbered(number)?.heightFt ?? null;
const numbers = (): number[] => [...one.session.book.trees()].map(({ number }) => number);

describe('how far off one stood', () => {
  it('is put right of the last height', async () => {
    await one.say('oak 16, at 100 feet, top 70 percent, base minus 5 percent');
    expect(heightOf(1)).toBeCloseTo(75, 6);
    await one.say('hang on, I was standing at ninety');
    expect(heightOf(1)).toBeCloseTo(67.5, 6);
    await one.say('undo');
    expect(heightOf(1)).toBeCloseTo(75, 6);
  });

  it('counts paces where it was told in paces', async () => {
    await one.say('oak 16, twelve paces', 'sorry, I was at 11');
    expect(heightOf(1)).toBeCloseTo(60, 6);
  });

  it('is never taken for a diameter, nor for another distance than was named', async () => {
    await one.say('oak 16, twelve paces');
    expect(await one.say('redo that height, I was at 60 not 50')).toMatch(
      /taken from 12, not 50\. Nothing is changed/,
    );
    expect(heightOf(1)).toBeCloseTo(65, 6);
    expect(one.session.book.treeNumbered(1)?.diameterIn).toBe(16);
  });

  it('needs a height', async () => {
    await one.say('oak 16');
    expect(await one.say('I was standing at ninety')).toMatch(/No height was measured yet/);
  });
});

it('angles read again are from the same distance, and take the place of the first', async () => {
  await one.say('oak 26, at 100 feet, top 60 percent, base minus 5 percent');
  expect(heightOf(1)).toBeCloseTo(65, 6);
  expect(await one.say('do it again then, seventy-four percent, foot minus six')).toContain(
    'It takes the place of 65 feet.',
  );
  expect(heightOf(1)).toBeCloseTo(80, 6);
  expect(one.session.book.treeNumbered(1)?.heights).toHaveLength(1);
});

it('a height measured again in one breath takes the place of the first, whatever else is asked', async () => {
  // Which hemlock is still open.
  await one.say('hemlock 18, eleven paces', 'redo that: 10 paces');
  expect(heightOf(1)).toBeCloseTo(55, 6);
  expect(one.session.book.treeNumbered(1)?.heights).toHaveLength(1);
});

describe('a kind alone with a height, where one of it waits for its height', () => {
  beforeEach(async () => {
    await one.say('beech 16', 'red oak 20');
  });

  it('is that one with yes', async () => {
    expect(await one.say('beech, laser 71 feet')).toBe(
      'Is that tree 1, American beech, 16 inches or a new tree?',
    );
    expect(numbers()).toEqual([1, 2]);
    await one.say('yes');
    expect([heightOf(1), numbers()]).toEqual([71, [1, 2]]);
  });

  it('is that one with all of its measures', async () => {
    await one.say('beech, at 100 feet, top 60 percent, base minus 5 percent', 'tree 1');
    expect(heightOf(1)).toBeCloseTo(65, 6);
  });

  it('is another where that is said', async () => {
    await one.say('beech, laser 71 feet', 'a new tree');
    expect([heightOf(1), heightOf(3)]).toEqual([null, 71]);
  });

  it('begins a tree unasked with its size, and where none waits', async () => {
    await one.say('beech 12, laser 61 feet', 'hemlock, laser 70 feet');
    expect([heightOf(3), heightOf(4)]).toEqual([61, 70]);
  });
});

describe('a height that is doubted', () => {
  // Diameters of as many inches are among its causes; a bare number is never one of these.
  it.each(['sorry, twenty-two', 'no, 22', 'twenty two'])('is put right by its number: "%s"', async (said) => {
    await one.say('metric', 'beech 22, height 52');
    expect(one.session.question?.about).toBe('doubt');
    expect(await one.say(said)).toMatch(/^22 metres/);
    expect(heightOf(1)).toBeCloseTo(22 / 0.3048, 4);
    expect(one.session.book.treeNumbered(1)?.diameterIn).toBeCloseTo(22 / 2.54, 6);
  });
});
