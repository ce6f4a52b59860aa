/** Trees as people tell them and what comes of it in the book: typed stories with invented trees, worked out by hand. */
import { beforeEach, describe, expect, it, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { withTypedSpecies } from '../../grammar/description/typed-species.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

const understand = withTypedSpecies(understandTyped);
let one: Conversation;
const trees = () => [...one.session.book.trees()];
const last = () => trees().at(-1);

beforeEach(async () => {
  one = await converse({ understand });
  await one.say('point one, factor ten');
});

describe('a name that nobody knows before a size', () => {
  it('is asked for, and what is said then goes with the size', async () => {
    const asked = await one.say('ym 10.6');
    expect(asked).toContain('I do not know "ym". Which tree is it?');
    expect(trees()).toEqual([]);
    await one.say('yellow birch');
    expect(trees()).toHaveLength(1);
    expect(last()).toMatchObject({ species: 371, diameterIn: 10.6 });
  });

  test.each(['sorry, yb', 'yb', 'sorry, yellow birch'])('is told in short: %s', async (words) => {
    await one.say('ym 10.6', words);
    expect(trees()).toHaveLength(1);
    expect(last()).toMatchObject({ species: 371, diameterIn: 10.6 });
  });

  it('stays open with yes, and is dropped by another tree', async () => {
    await one.say('red oak 15', 'ym 10.6', 'yes');
    expect(last()).toMatchObject({ species: null, diameterIn: 10.6 });
    await one.say('zz 12');
    expect(await one.say('white oak 14')).toContain('Not kept');
    expect(trees()).toHaveLength(3);
  });
});

describe('"the same again but" other in one thing', () => {
  test.each([
    'same again but 14.9',
    'same again, only 14.9',
    'same but 14.9',
    'ditto but at 14.9',
    'like the last one but 14.9',
  ])('has all else: %s', async (words) => {
    await one.say('sugar maple 16.3, two logs', words);
    expect(trees()).toHaveLength(2);
    expect(last()).toMatchObject({ species: 318, diameterIn: 14.9, logs: 2 });
  });

  it('differs in its logs, and another of a size has only the kind', async () => {
    await one.say('sugar maple 16.3, two logs', 'same again but one log');
    expect(last()).toMatchObject({ diameterIn: 16.3, logs: 1 });
    await one.say('another 12');
    expect(last()).toMatchObject({ species: 318, diameterIn: 12, logs: null });
  });

  it('is said so where it is read back', () => {
    const tongue = createTongue(grammar);
    expect(tongue.speak({ kind: 'again', facts: { diameter: { value: 14 } }, same: true })).toBe(
      'same again but dbh fourteen',
    );
  });
});

describe('where metres and centimetres hold', () => {
  beforeEach(async () => {
    await one.say('metres and centimetres');
  });

  it('"52 in" is 52 centimetres, and in', async () => {
    await one.say('beech 52 in, ash 39 in');
    expect(trees().map(({ diameterIn, counted }) => [Math.round((diameterIn ?? 0) * 2.54), counted])).toEqual(
      [
        [52, true],
        [39, true],
      ],
    );
  });

  test.each(['beech 20 inches', 'beech 20"', 'beech 20 in inches'])(
    'inches that are called so stay: %s',
    async (words) => {
      await one.say(words);
      expect(last()?.diameterIn).toBe(20);
    },
  );
});

describe('a girth beside the diameter', () => {
  it('is told where the two go together', async () => {
    // 30 through makes 94 around; 96 is within what both are read to.
    expect(await one.say('hemlock 30, girth 96')).toContain('Remark kept: girth 96');
    expect(trees()).toHaveLength(1);
    expect(last()?.diameterIn).toBe(30);
  });

  it('is asked about where they do not', async () => {
    const asked = await one.say('hemlock 30, girth 60');
    expect(asked).toContain('Did you say');
    expect(trees()).toEqual([]);
  });
});

describe('two sizes of which one is a guess', () => {
  test.each(['beech 7.5, say eight', 'beech 7 maybe 7 and a half', 'beech 16 or 17'])(
    'are asked about, and no two trees: %s',
    async (words) => {
      expect(await one.say(words)).toMatch(/^Did you say .* or /);
      expect(trees()).toEqual([]);
    },
  );
});

it('a number in a clause of its own before a name is no count', async () => {
  await one.say('24, beech');
  expect(last()).toMatchObject({ diameterIn: 24, count: 1 });
});
