/** What was told is put right where it stands: a remark behind it, another plot, one of the last told, a count, a tree taken back. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
const say = (...lines: string[]): Promise<string> => one.say(...lines);
const diameters = () => [...one.session.book.trees()].map(({ diameterIn }) => diameterIn);
const counts = () => [...one.session.book.trees()].map(({ count }) => count);
const [beech, hornbeam, basswood] = [531, 391, 951];
const speciesOf = (number: number) => one.session.book.treeNumbered(number)?.species;

beforeEach(async () => {
  one = await converse({ understand: understandTyped });
  await say('plot one, factor ten');
});

describe('a size put right', () => {
  it.each([
    'no wait that was 18.7',
    'oh hang on, 18.7',
    '18.7 I mean',
    '18.7 it should have been',
    'sorry, 18.7 is what it was',
    'oops, 18 not 18.1, no hang on 18.7',
  ])('behind a remark: %s', async (words) => {
    await say('sugar maple 18.1, bark disease pretty bad');
    await say(words);
    expect(diameters()).toEqual([18.7]);
  });

  it('of a tree that was only offered it is of that one', async () => {
    await say('red oak 12');
    expect(await say('loblolly 20, pitch on it')).toMatch(/^Did you say/);
    await say('wait I meant 19.4');
    expect(diameters().slice(0, 2)).toEqual([12, 19.4]);
  });

  it('the kind with the word for it behind', async () => {
    await say('beech 14', 'basswood I mean');
    expect([speciesOf(1), diameters()]).toEqual([basswood, [14]]);
  });
});

describe('on another plot, which is not taken in hand', () => {
  beforeEach(async () => {
    await say('beech 12, beech 14, red oak 15', 'plot two', 'ash 13.3', 'sugar maple 9', 'plot three');
  });
  const plotInHand = () => {
    const { book, surroundings } = one.session;
    return book.plot(book.deviceState(surroundings.device).plot)?.number;
  };

  it.each([
    ['at point 2 that first ash should be 13.8', 4, 13.8],
    ['on point one the red oak was 15.5', 3, 15.5],
    ['the sugar maple on plot two was 9.4', 5, 9.4],
    ['the second tree on plot one was 14.6', 2, 14.6],
    ['plot one, tree three was 16', 3, 16],
  ])('%s', async (words, tree, size) => {
    await say('hemlock 20', words);
    expect(one.session.book.treeNumbered(tree)?.diameterIn).toBe(size);
    expect(plotInHand()).toBe(3);
    expect(one.session.book.treeNumbered(6)?.diameterIn).toBe(20);
  });

  it('by its number there, and what it is not', async () => {
    await say("tree number two on point one isn't beech, it's hornbeam");
    expect([speciesOf(1), speciesOf(2), plotInHand()]).toEqual([beech, hornbeam, 3]);
  });

  it('a number that is of another plot is that of the trees there', async () => {
    await say('tree two on plot two was 9.9');
    expect(diameters()).toEqual([12, 14, 15, 13.3, 9.9]);
  });

  it('one of two alike is asked about', async () => {
    expect(await say('the beech on plot one was 13')).toBe(
      'Which: tree 1, American beech, 12 inches or tree 2, American beech, 14 inches?',
    );
    await say('the second one');
    expect(diameters()).toEqual([12, 13, 15, 13.3, 9]);
  });

  it('what stands on no such plot changes nothing', async () => {
    expect(await say('the beech on plot two was 13')).toBe(
      'There is no beech on plot 2. Say the tree by its number.',
    );
    expect(await say('on plot seven the beech was 13')).toMatch(/^There is no beech on plot 7/);
    expect(diameters()).toEqual([12, 14, 15, 13.3, 9]);
  });

  it('taken back there, and asked about where the plot was not named', async () => {
    expect(await say('scratch the 15, it is out')).toBe(
      'None here. Scratch tree 3, northern red oak, 15 inches, on plot 1?',
    );
    await say('no');
    expect(diameters()).toHaveLength(5);
    expect(await say('delete the ash on plot two')).toMatch(/^Scratched: tree 4, ash/);
  });
});

describe('"the second one"', () => {
  it('of the trees that were told last, the same again among them', async () => {
    await say('poplar 22', 'poplar 19', 'same again', 'no wait, that second one was 17');
    expect(diameters()).toEqual([22, 19, 17]);
  });

  it('of a breath', async () => {
    await say('beech 10', 'hemlock 12, hemlock 11, beech 8', 'the second one should be 11.6');
    expect(diameters()).toEqual([10, 12, 11.6, 8]);
    expect(await say("scrap the first one, it's over the line")).toMatch(
      /^Scratched: tree 2, eastern hemlock/,
    );
  });

  it('on the plot, where single trees were told', async () => {
    await say('beech 10', 'hemlock 12', 'beech 8', 'the second one was 12.5');
    expect(diameters()).toEqual([10, 12.5, 8]);
  });
});

describe('how many there were', () => {
  beforeEach(async () => {
    await say('six beech, three oak, one cherry');
  });

  it.each([
    ['make that seven beech', [7, 3, 1]],
    ["that's seven beech", [7, 3, 1]],
    ['no, four oaks', [6, 4, 1]],
    ['should be four oak', [6, 4, 1]],
    ['beech is seven not six', [7, 3, 1]],
  ])('%s', async (words, all) => {
    await say(words);
    expect(counts()).toEqual(all);
    expect(diameters()).toEqual([null, null, null]);
  });

  it('"just the one" of two that are alike takes the later back', async () => {
    await say('hemlock 9', 'hemlock 9');
    expect(await say('undo that last one, just the one hemlock')).toMatch(
      /^Scratched: tree 5, eastern hemlock/,
    );
    expect(await say('only one hemlock')).toBe('There is one: tree 4. Nothing is changed.');
    expect(counts()).toEqual([6, 3, 1, 1]);
  });
});

describe('a tree that was taken back was another', () => {
  beforeEach(async () => {
    await say('poplar 10.2', 'cucumbertree 8 and a quarter', 'undo');
  });

  it.each(['it was a basswood, same size', 'meant a basswood, same diameter'])('%s', async (words) => {
    await say(words);
    expect(diameters()).toEqual([10.2, 8.25]);
    expect(speciesOf(2)).toBe(basswood);
    await say('undo');
    expect(diameters()).toEqual([10.2]);
  });

  it('is asked about where the tree in hand may be meant', async () => {
    expect(await say('it was a basswood')).toMatch(/^The tree of 8\.3 inches that was scratched, or tree 1/);
    await say('the first one');
    expect([diameters(), speciesOf(2)]).toEqual([[10.2, 8.25], basswood]);
  });

  it('is the tree in hand where something was told since', async () => {
    await say('beech 9', 'it was a basswood, same size');
    expect([diameters(), speciesOf(2)]).toEqual([[10.2, 9], basswood]);
  });
});
