/**
 * Questions in a person's own words, typed: of trees one by one, of two beside each other, of what the book can tell
 * nearest. Expected values are worked by hand from what was told.
 */
import { beforeEach, describe, expect, it, test } from 'vitest';
import { helpAbout } from '../../grammar/writing/help.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { trees } from '../support/language.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
const ask = (words: string): Promise<string> => one.say(words);

beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say(
    'plot one, tenth acre',
    'red oak sixteen inches, two logs, height eighty feet',
    'hemlock twelve inches',
    'sugar maple twenty two inches, height ninety feet',
    'red maple nine and a half inches, dead',
    'plot two, tenth acre',
    'beech twenty four inches, height one hundred feet',
    'cherry eleven inches',
  );
});

describe('trees that lack something, or are over a size', () => {
  test.each([
    'which ones am I missing heights on',
    'any trees without a height?',
    "what's left that still needs a height",
    'which trees have no height',
    'list the trees lacking heights',
  ])('%s', async (words) => {
    const reply = await ask(words);
    expect(reply).toMatch(/^3 trees without height\. Tree 2, .*Tree 4, .*Tree 6, /);
  });

  test.each([
    ['have I anything over twenty inches', /^2 trees over 20 inches\. Tree 3, .*Tree 5, /],
    ['anything taller than ninety five feet?', /^1 tree over 95 feet high\. Tree 5, /],
    ['how many over a metre', /^No trees over 1 metre\.$/],
    ['how many trees under a foot', /^3 trees under 1 foot|^2 trees under 1 foot/],
    ['show me the trees bigger than 20 inches', /^2 trees over 20 inches/],
    ['could you tell me the heights, shortest first', /^Tree 1, .*Tree 3, .*Tree 5, /],
  ])('%s', async (words, reply) => {
    expect(await ask(words)).toMatch(reply);
  });
});

describe('one tree', () => {
  test.each([
    ['tr 3 ht?', /^Tree 3 on plot 1, sugar maple/],
    ['repeat everything on tree one', /^Tree 1 on plot 1, northern red oak/],
    ["what was the beech's diameter in the end", /^Tree 5 on plot 2, American beech, 24 inches/],
    ['the hemlock in plot one, what was it', /^Tree 2, /],
    ['the maples in plot one, were they red or sugar', /^Tree 3, sugar maple.*Tree 4, red maple/],
    ['did I write down a fir in this plot', /^No trees of fir on plot 2/],
    ['ratio height:diameter, red oak', /^60: tree 1/],
    ['how sure is the sugar maple', /^Give or take/],
    ['how sure is the cherry', /^Tree 6 has no height yet/],
    ["that red oak's too tall, isn't it", /^The /],
    ['how tall does that make her', /^Tree 6, black cherry, 11 inches, no height yet/],
    ['tallest maple and which plot is it in', /^90 feet: tree 3 on plot 1/],
    ['height of the beech in metres?', /30\.5 metres/],
  ])('%s', async (words, reply) => {
    expect(await ask(words)).toMatch(reply);
  });
});

describe('two beside each other', () => {
  test.each(['do they agree?', "what's the difference between the two trees", 'mean of those two'])(
    '%s',
    async (words) => {
      // (24 + 11) / 2 = 17.5
      expect(await ask(words)).toBe(
        'Tree 5 and tree 6: 24 inches and 11 inches across, 13 inches apart, mean 17.5 inches.',
      );
    },
  );

  it('two heights of one tree are the two that are meant', async () => {
    await one.say('for the beech', 'height ninety eight feet');
    expect(await ask('do they agree')).toMatch(
      /^Tree 5: 100 feet and 98 feet, 2 feet apart, no more than their errors explain\. Mean 99 feet\.$/,
    );
  });
});

describe('the plot and the sums', () => {
  test.each([
    ['how much is this plot in hectares', /^Plot 2, 0\.04 hectares, radius 11\.3 metres/],
    ['what radius is my plot', /^Plot 2, a tenth of an acre, radius 37\.2 feet/],
    ['std dev of BA between plots', /^Plots differ by/],
    ['which plots have I got so far and how many in each', /^Plot 1 4 and plot 2 2\.$/],
    ['is the dead one counted', /1 tree dead here/],
    ['stems/ha per plot', /^Plot 1 \d+ trees a hectare and plot 2 \d+ trees a hectare/],
    ['how sure are you', /^Give or take/],
    ['how many plots if we want five percent', /more for 5 percent/],
    ['is this thing on?', /^I am here: plot 2 is open, tree 6, black cherry, is in hand\.$/],
  ])('%s', async (words, reply) => {
    expect(await ask(words)).toMatch(reply);
  });

  it('with a gauge of factor ten a tree of fourteen inches counts up to 38.5 feet (14 x 2.75)', async () => {
    await one.say('plot three, factor ten');
    expect(await ask('how far can a 14 inch one be')).toMatch(/^14 inches: up to 38\.5 feet/);
  });
});

it('talk that only sounds like a question is no question', async () => {
  for (const words of ['who is that over there', 'how long have you been up here', 'what do you mean'])
    expect(await ask(words)).not.toMatch(/^(?:Tree|Plot|\d)/);
});

describe('talk around the notes', () => {
  test.each([
    ['hello there, beech nine inches', /^Tree 7, American beech, 9 inches\.$/],
    ['so, as I was saying, beech nine', /^Tree 7, American beech, 9 inches\.$/],
    ["that's the last one, what's the mean diameter", /^\d+ inches/],
    ['beech nine, by the way', /^Tree 7, American beech, 9 inches\.$/],
    ['bear with me', /^Nothing of that is for the book\./],
    ['thank you', /^Nothing of that is for the book\./],
  ])('is passed over: %s', async (words, reply) => {
    expect(await ask(words)).toMatch(reply);
  });

  test.each([
    'put it to bed, we are through',
    "that's us done",
    'done for today',
    "right, that's me for the day",
  ])('of an end names the plot that is open: %s', async (words) => {
    expect(await ask(words)).toMatch(/^Not listening\..* Plot 2 is still open\./);
  });

  it('what is told beside the end of the day is a remark', async () => {
    expect(await ask('done for today, fingers frozen')).toMatch(/Remark kept: fingers frozen\./);
  });
});

it.each([
  ['how do I do a height with a pole', /^A pole of known height/],
  ['help with shadows', /^The shadow of the tree/],
  ['how do I correct a mistake', /^Takes back the last thing said/],
])('help is of the family that is spoken of: %s', (words, reply) => {
  const read = understandTyped(words);
  const [note] = read.ok ? read.value[0]!.notes : [];
  expect(note?.kind === 'ask' && note.topic !== undefined ? helpAbout(trees, note.topic) : '').toMatch(reply);
});
