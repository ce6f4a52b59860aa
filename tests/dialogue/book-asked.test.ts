/** Questions about what is in the book and who put it there, typed, of an invented stand. Expected values are worked by hand. */
import { beforeEach, describe, expect, it, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import type { Note } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

let one: Conversation;

beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await one.say(
    'crew Wren',
    'stand mill lot, forty acres',
    'stratum ridge, twelve acres',
    'plot one, tenth acre',
    'red oak sixteen inches, two logs, height eighty feet',
    'hemlock twelve inches',
    'sugar maple twenty two inches, height ninety feet',
    'red maple nine and a half inches, dead',
    'remark wasps nest by the gate',
    'plot two, tenth acre',
    'beech twenty four inches, height one hundred feet',
    'cherry eleven inches, forked',
    'plot three, tenth acre',
    'empty plot',
    'plot four, tenth acre',
    'white oak eleven inches, cull',
  );
});

// A tenth of an acre: basal area of a tree is 0.005454 d^2 square feet, ten times that an acre.
const area = (...inches: readonly number[]): number =>
  Math.round(inches.reduce((sum, d) => sum + (Math.PI / 576) * d * d * 10, 0));

describe('what is answered', () => {
  test.each([
    ['thinnest dead tree', /^9\.5 inches: tree 4/],
    ['thickest dead tree', /^9\.5 inches: tree 4/],
    ['smallest tree', /^9\.5 inches: tree 4/],
    ['which stand am I on', /^Stand Mill Lot, stratum Ridge, plot 4\.$/],
    ['what stratum are we in', /^Stand Mill Lot, stratum Ridge, plot 4\.$/],
    ['which plots were empty', /^Plot 3 was empty\.$/],
    ['any empty plots?', /^Plot 3 was empty\.$/],
    ['list the plots', /^Plot 1, a tenth of an acre: 4 trees\. .*Plot 3, .*: empty\. .*open\.$/],
    ['list of plots', /^Plot 1, /],
    ['how many forked trees', /^1 tree with the mark forked\. Tree 6, /],
    ['how many culls', /^1 tree that are cull/],
    ['read me the remarks', /^Tree 4: wasps nest by the gate\.$/],
    ['any remarks on tree 2', /^No remarks on tree 2\.$/],
    [
      'read back the last 8',
      /^Tree 7, white oak.*Plot 2, a tenth of an acre\. The remark "wasps nest by the gate"\.$/,
    ],
    ['read back the last 20', /Stand Mill Lot\. The name Wren\.$/],
    ['who measured tree 3', /^Wren told tree 3\.$/],
    ['who did plot 2', /^Wren told plot 2\.$/],
    ['how many did Wren do today', /^7 trees today by Wren/],
    ['trees between 10 and 14 inches', /^3 trees between 10 and 14 inches\. Tree 2, .*Tree 6, .*Tree 7, /],
    [
      'how many trees between 80 and 95 feet tall',
      /^2 trees between 80 and 95 feet high\. Tree 1, .*Tree 3, /,
    ],
    ['which plot has the most trees', /^Plot 1 has the most: 4 trees\. Next is plot 2/],
    ['which plot had the fewest trees', /^Plot 3 has the least: no trees/],
    ['are we near forty trees', /^7 trees, one of them dead\. 33 more make 40\.$/],
    ['have we done 5 plots', /^4 plots\. 1 more makes 5\.$/],
    ['how many trees without the dead', /^6 trees that live/],
    [
      'totals by plot',
      new RegExp(`^Plot 1: 4 trees, ${area(16, 12, 22)} square feet an acre\\. Plot 2: 2 trees, `),
    ],
    ['basal area of plot two', new RegExp(`^${area(24, 11)} square feet an acre on plot 2`)],
    [
      'which plot was the best',
      new RegExp(`^Plot 1 has the most by basal area: ${area(16, 12, 22)} square feet`),
    ],
  ])('%s', async (words, reply) => {
    expect(await one.say(words)).toMatch(reply);
  });

  it('of a stratum or a stand by its name, of a person, without the dead', async () => {
    const all = area(16, 12, 22, 24, 11, 11) / 4;
    for (const words of [
      'basal area of the ridge',
      'basal area of mill lot',
      'basal area for Wren',
      'basal area without the dead',
    ])
      expect(Number.parseFloat(await one.say(words)), words).toBeCloseTo(all, -0.5);
    expect(await one.say('basal area of the meadow')).toBe('There is no stand or stratum meadow.');
  });

  it('what the wood is worth, by species', async () => {
    await one.say('red oak 400 a thousand');
    expect(await one.say('worth by species')).toMatch(
      /^Northern red oak about [\d,]+ dollars\. 6 have no value\./,
    );
    expect(await one.say("what's it worth by species")).toMatch(/^Northern red oak about/);
  });
});

describe('the question before, narrowed or broken down', () => {
  test.each([
    ['how many trees', 'just the oaks', /^Northern red oak 1 and white oak 1\.$/],
    ['how many trees', 'only the dead', /^1 tree that are dead\.$/],
    ['basal area', 'per plot', new RegExp(`^Plot 1 ${area(16, 12, 22)} square feet an acre, plot 2 `)],
    ['basal area', 'just plot 2', new RegExp(`^${area(24, 11)} square feet an acre on plot 2`)],
  ])('%s; %s', async (first, words, reply) => {
    expect(await one.say(first, words)).toMatch(reply);
  });

  it('goes on from what it came to, and says so where nothing was asked', async () => {
    expect(await one.say('how many trees', 'only the dead', 'just plot 2')).toContain('No trees');
    expect(await one.say('beech 12', 'just oak')).toContain('Nothing was asked right before');
  });
});

describe('what only looks like such a question', () => {
  test.each([
    ['note, what a tree', 'remark'],
    ['empty plot', 'plot'],
    ['beech 12, forked', 'tree'],
    ['list the trees', 'ask'],
  ])('%s', (words, kind) => {
    const [note] = keptOf(words) ?? [];
    expect([undefined, kind]).toContain(note?.kind);
    expect(note?.kind === 'ask' && note.about !== 'list').toBe(false);
  });
});

it('each has words of its own where it is offered', () => {
  const tongue = createTongue(grammar);
  const notes: readonly [Note, string][] = [
    [{ kind: 'ask', about: 'place' }, 'which stand am I on'],
    [{ kind: 'ask', about: 'whoMeasured', tree: 3 }, 'who measured of tree 3'],
    [
      { kind: 'ask', about: 'trees', scope: { size: { of: 'diameter', is: 'between', value: 10, to: 14 } } },
      'how many trees between 10 and 14',
    ],
  ];
  for (const [note, words] of notes) expect(tongue.speak(note)).toBe(words);
});
