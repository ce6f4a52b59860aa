/** A tree on the border, in whatever words: whether it counts there, and what comes of it. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
const say = (...lines: string[]): Promise<string> => one.say(...lines);
/** Number, diameter in inches and whether it counts, of each tree. */
const trees = () =>
  [...one.session.book.trees()].map(({ number, diameterIn, counted }) => [number, diameterIn, counted]);

// At factor ten a tree counts up to 2.75 feet for each inch: University of Kentucky, point-sampling notes.
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await say('plot one, factor ten', 'red oak 18');
});

describe('asked in any words', () => {
  it.each([
    // 9 x 2.75 = 24.75 feet; 24.75 - 24.17 feet are seven inches.
    ["there's a beech borderline, measured nine inches at 24 foot 2, is it in", /^In, by 7 inches\./, true],
    ['beech 9 inches, right on the line, I tape 24 foot 2 to it', /^In, by 7 inches\./, true],
    ['is the beech in? 9 inches and 24 foot 2 off', /^In, by 7 inches\./, true],
    // 11 x 2.75 = 30.25 feet, and it stands 30.5 feet away.
    [
      'borderline sugar maple, 11 inches, 30 foot 6 away. in or out?',
      /^Out, by 3 inches\. Not counted\./,
      false,
    ],
    ["can't decide on this maple, 11 inches at 30 foot 6", /^Out, by 3 inches\. Not counted\./, false],
  ])('%s', async (words, reply, counted) => {
    expect(await say(words)).toMatch(reply);
    expect(trees()).toEqual([
      [1, 18, true],
      [2, counted ? 9 : 11, counted],
    ]);
  });

  it('tells back which tree that was', async () => {
    expect(await say('beech 9 inches at 24 foot 2, in or out')).toBe(
      'In, by 7 inches. Tree 2, American beech, 9 inches.',
    );
  });

  it('a plot of a size needs no diameter', async () => {
    // 200 square metres: sqrt(200 / pi) = 7.98 metres.
    one = await converse({ understand: understandTyped });
    await say('metres and centimetres', 'plot one, 200 square metres');
    expect(await say('sitka borderline at eight metres five, what do I do')).toMatch(
      /^Out, by 7 centimetres/,
    );
    expect(await say("right, I'll have it, sitka forty-four")).toBe(
      'Tree 1, Sitka spruce, 44 centimetres, in.',
    );
    expect([...one.session.book.trees()]).toMatchObject([{ number: 1, counted: true }]);
  });
});

describe('what comes of it', () => {
  it('counted, and what else is told of it', async () => {
    await say('beech 9 inches at 24 foot 2, in or out');
    expect(await say('okay count it, no log')).toBe('Tree 2, American beech, 9 inches, 0 logs, in.');
    await say('beech 11 inches at 31 feet, in or out');
    expect(await say('count it anyway')).toBe('Tree 3, American beech, 11 inches, in.');
    expect(trees().map(([, , counted]) => counted)).toEqual([true, true, true]);
  });

  it.each(['leave it out', 'ok leave it out then', "no, don't count it", 'yeah leave that one out'])(
    'left out: %s',
    async (words) => {
      await say('beech 9 inches at 24 foot 2, in or out');
      expect(await say(words)).toBe('Tree 2, American beech, 9 inches, out: not counted.');
      expect(trees()).toEqual([
        [1, 18, true],
        [2, 9, false],
      ]);
    },
  );

  it('of a tree that was only offered, as its yes', async () => {
    expect(await say('got one on the line, white oak, 13 inches, thirty five five')).toMatch(/^Did you say/);
    await say('count it');
    expect(trees()).toEqual([
      [1, 18, true],
      [2, 13, true],
    ]);
  });

  it('while it is asked to what it was measured, either word settles it', async () => {
    expect(await say('maple 14 on the line at 38 and a half feet')).toMatch(
      /centre of the stem, or to its face/,
    );
    await say('count it anyway');
    expect(trees().at(-1)).toEqual([2, 14, true]);
    await say('beech 8 on the line at 22 feet');
    expect(await say('leave it out')).toMatch(/^Left out\./);
    expect(trees()).toHaveLength(2);
  });
});

describe('"leave it out" and "count it" touch only what was told just now', () => {
  it('behind a refusal nothing changes', async () => {
    await say('frobnicate the thing');
    expect(await say('leave it out')).toBe('Nothing of that was kept.');
    await say('frobnicate the thing');
    expect(await say('okay count it')).toMatch(/^Nothing of that was kept/);
    expect(trees()).toEqual([[1, 18, true]]);
  });

  it('behind a plot that was opened nothing is left out', async () => {
    await say('next plot');
    expect(await say('leave it out')).toMatch(/^Which tree shall I leave out/);
    expect(trees()).toEqual([[1, 18, true]]);
  });

  it('a value that is asked about is dropped, or kept', async () => {
    await say('my pace is five feet', 'eye five feet', 'hemlock 12');
    expect(await say('eighty paces')).toMatch(/405 feet/);
    await say('leave it out');
    expect(one.session.question).toBeNull();
    expect(one.session.book.lastTree).toMatchObject({ diameterIn: 12, heightFt: null });
  });

  it('the tree that was told last goes', async () => {
    await say('striped maple 3.5');
    expect(await say('leave it out')).toMatch(/^Scratched: tree 2, striped maple, 3\.5 inches\./);
    expect(trees()).toEqual([[1, 18, true]]);
  });

  it('"skip it" where nothing is asked offers that', async () => {
    await say('striped maple 3.5');
    expect(await say('yeah skip it')).toBe('Leave out tree 2, striped maple, 3.5 inches?');
    await say('yes');
    expect(trees()).toEqual([[1, 18, true]]);
    await say('striped maple 3.5', 'skip that one');
    await say('leave it out');
    expect(trees()).toEqual([[1, 18, true]]);
  });

  it('"skip it" answers what was asked just now as before', async () => {
    expect(await say('ash 13')).toMatch(/Which ash/);
    await say('skip it');
    expect(one.session.question).toBeNull();
    expect(trees()).toHaveLength(2);
  });
});
