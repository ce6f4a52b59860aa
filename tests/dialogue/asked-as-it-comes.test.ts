/** Questions as people ask them in the woods: what is on a plot, what counts in what, what is missing, sums of another stand. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

let one: Conversation;
const say = (...lines: string[]): Promise<string> => one.say(...lines);
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await say('new stand mill lot, 42 acres', 'plot one, factor ten');
  await say('red oak 18, two logs', 'red oak 16, one log', 'hemlock 13 dead', 'white oak 15');
});

describe('the trees of a plot', () => {
  it.each([
    'list this point for me',
    'read me back the plot',
    'run me through this plot',
    'can you read that plot back to me',
    'give me the trees on this point',
    'what have I got on this one',
    'run me through point one',
  ])('%s', async (words) => {
    expect(await say(words)).toMatch(/^4 trees on plot 1\. Tree 1, northern red oak, 18 inches, 2 logs\. /);
  });

  it('in sums are told as before', async () => {
    expect(await say('total for this plot')).toBe('Plot 1, factor 10: 4 trees, 30 square feet an acre.');
  });
});

describe('what a tree counts in', () => {
  it.each([
    ['does that go in the basal area', /^Yes, tree 4, white oak, 15 inches\.$/],
    ['is that one in the totals', /^Yes, tree 4/],
    [
      'does the hemlock count towards the volume',
      /^No, not tree 3, eastern hemlock, 13 inches, dead: it is dead/,
    ],
    ['leave the dead ones out of the volume', /basal area, trees an acre and volume are of the living/],
    ['do snags get counted in the basal area', /are of the living/],
  ])('%s', async (words, reply) => {
    expect(await say(words)).toMatch(reply);
  });

  it('one that is out of its plot does not', async () => {
    await say('beech 9 inches at 30 feet, in or out');
    expect(await say('does that go in the basal area')).toMatch(/^No, .*it is out of its plot\.$/);
  });
});

describe('what is missing', () => {
  it.each([
    'any trees missing a log count',
    'which ones still need logs',
    'are there any stems without a log tally',
    "which trees haven't I given logs for",
  ])('%s', async (words) => {
    expect(await say(words)).toBe(
      '2 trees without logs. Tree 3, eastern hemlock, 13 inches, dead. Tree 4, white oak, 15 inches.',
    );
  });

  it.each(['which trees have no height, just the number', 'trees with no height, only how many'])(
    'only how many: %s',
    async (words) => {
      expect(await say(words)).toBe('4 trees without height.');
    },
  );

  it.each(["what's still missing today", 'did I leave anything out', 'what have I missed'])(
    'of all that is told here: %s',
    async (words) => {
      // Three live trees, of which one has no logs; nobody tells heights.
      expect(await say(words)).toBe('1 tree without logs.');
    },
  );

  it("what one wasn't happy with", () => {
    for (const words of ["anything you weren't happy with today", 'was there anything that bothered you'])
      expect(keptOf(words)).toMatchObject([{ kind: 'ask', about: 'doubts' }]);
  });
});

describe('two questions in one breath', () => {
  it('what the first is narrowed to holds for the second', async () => {
    expect(keptOf("how many red oaks today and what's the average diameter")).toMatchObject([
      { about: 'trees', scope: { species: 833, day: 'today' } },
      { about: 'meanDiameter', scope: { species: 833, day: 'today' } },
    ]);
    // 10 square feet an acre each; a tree of 18 inches stands for 5.66 of an acre, one of 16 for 7.16: mean 16.9.
    expect(await say("how many red oaks today and what's the average diameter")).toBe(
      '2 trees of northern red oak today. 16.9 inches of northern red oak today.',
    );
  });

  it('several sums of one kind', async () => {
    expect(await say('how much red oak, trees and basal area')).toMatch(
      /^2 trees of northern red oak\. 20 square feet an acre of northern red oak/,
    );
  });

  it('the same asked twice is answered once', async () => {
    expect(keptOf("how good is that, what's the error")).toHaveLength(1);
  });
});

describe('how good the last sum is', () => {
  beforeEach(async () => {
    await say('plot two', 'sugar maple 12', 'sugar maple 14');
  });

  it.each(["how good is that, what's the error", 'is that reliable'])('%s', async (words) => {
    await say('basal area per acre');
    // 30 and 20 square feet, the dead hemlock aside.
    expect(await say(words)).toMatch(
      /^25 square feet an acre, with an error larger than itself at 95 percent/,
    );
  });

  it('behind a height it is of that height', async () => {
    await say('my pace is five feet', 'eye five feet', 'ten paces');
    expect(await say('how sure are you')).toMatch(/^Give or take/);
  });

  it.each([
    ['do I need more than 8 points for 15 percent', 8, 15],
    ['are six points enough for twenty percent', 6, 20],
    ['will 12 do for 15 percent error', 12, 15],
  ])('%s', async (words, count, percent) => {
    expect(keptOf(words)).toEqual([{ kind: 'ask', about: 'plotsNeeded', percent, count }]);
    expect(await say(words)).toMatch(/^No: \d+ plots in all for/);
  });
});

describe('the radius in use', () => {
  it('of a gauge is by the inch', async () => {
    expect(await say("what's the radius on that")).toBe('Factor 10: 2.75 feet for each inch of diameter.');
  });

  it('of plots of a size is one', async () => {
    // sqrt(4356 / pi) = 37.2 feet.
    one = await converse({ understand: understandTyped });
    await say('plots from here on a tenth of an acre');
    await say('plot one, tenth acre');
    expect(await say('tell me the radius')).toBe('A tenth of an acre: radius 37.2 feet.');
  });
});

describe('the volume of the last few', () => {
  it('tree by tree, and together', async () => {
    expect(await say('volume of the last two')).toMatch(/^Tree 3 has no logs; tree 4 has no logs\.$/);
    await say('red oak 18, two logs', 'red oak 16, one log');
    const reply = await say('volume of those two');
    const [a = 0, b = 0, sum = 0] = [...reply.matchAll(/(\d+) board feet/g)].map(([, value]) =>
      Number(value),
    );
    expect(a).toBeGreaterThan(b);
    expect(Math.abs(a + b - sum)).toBeLessThanOrEqual(1);
  });
});

describe('another stand', () => {
  beforeEach(async () => {
    await say('new stand river bottom, 10 acres', 'plot one, factor ten', 'beech 9');
  });

  it('named by a word of it or in full', async () => {
    expect(await say('basal area of mill lot')).toMatch(/^30 square feet an acre alive in Mill Lot/);
    expect(await say('basal area')).toMatch(/^10 square feet/);
  });

  it('by its number', async () => {
    await say('new stand seven, 20 acres', 'plot one', 'beech 9', 'beech 10', 'new stand eight');
    expect(await say('how many beech over in stand 7')).toBe('2 trees of American beech in stand 7.');
    expect(await say('trees and basal area of stand 7')).toMatch(/^2 trees in stand 7\. 20 square feet/);
    expect(await say('basal area of stand 9')).toBe('There is no stand or stratum 9.');
  });

  it('each of them', async () => {
    for (const words of ['read me the totals for both stands', 'give me totals for each stand'])
      expect(await say(words)).toBe(
        'Mill Lot: 4 trees, 1 plot and 30 square feet an acre. River Bottom: 1 tree, 1 plot and 10 square feet an acre.',
      );
  });
});
