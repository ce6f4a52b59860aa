/** One of several trees, told by what it has before the others, and marks that are taken off again: typed, invented trees. */
import { beforeEach, describe, expect, it, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { withTypedSpecies } from '../../grammar/description/typed-species.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import type { Note } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

const understand = withTypedSpecies(understandTyped);
let one: Conversation;
const trees = () => [...one.session.book.trees()];
const tree = (number: number) => trees().find((each) => each.number === number);

beforeEach(async () => {
  one = await converse({ understand });
  await one.say(
    'plot one, tenth acre',
    'red oak sixteen inches',
    'hemlock twelve inches',
    'sugar maple twenty two inches',
    'red maple nine and a half inches, dead',
  );
});

describe('the foremost of a plot', () => {
  test.each([
    ['the smallest one was 14', 4, 14],
    ['the biggest one was 24', 3, 24],
    ['the biggest tree was 21.5', 3, 21.5],
    ['the smallest was 10', 4, 10],
    ['the dead one was 14', 4, 14],
  ])('%s', async (words, number, inches) => {
    await one.say(words);
    expect(trees()).toHaveLength(4);
    expect(tree(number)?.diameterIn).toBe(inches);
  });

  it('is another species, has a mark, is taken back', async () => {
    await one.say('the smallest is a beech');
    expect(tree(4)?.species).toBe(531);
    await one.say('the biggest maple is hollow');
    expect(tree(3)?.marks).toEqual(['hollow']);
    expect(await one.say('delete the smallest one')).toContain('Scratched: tree 4');
    expect(await one.say('undo')).toContain('tree 4');
  });

  it('is asked for by its number where two are alike', async () => {
    expect(await one.say('beech 10, dead', 'the dead one was 14')).toContain('Which: tree 4');
    expect(await one.say('maple 22', 'the biggest one was 23')).toContain('Which: tree 3');
    expect(tree(3)?.diameterIn).toBe(22);
  });

  it('is told of no tree where nothing tells it', async () => {
    expect(await one.say('the tallest one is forked')).toContain('so I cannot tell the tallest');
    expect(trees().flatMap(({ marks }) => marks)).toEqual([]);
  });
});

describe('some of so many', () => {
  it('are told apart from those that were told together', async () => {
    await one.say('six beech 12 inches', 'one of the six is dead');
    expect(tree(5)?.count).toBe(5);
    expect(tree(6)).toMatchObject({ count: 1, status: 'dead' });
    await one.say('two of the six are forked');
    expect(trees().reduce((sum, { count }) => sum + count, 0)).toBe(10);
    expect(trees().filter(({ marks }) => marks.includes('forked'))).toMatchObject([{ count: 2 }]);
  });

  it('must be so many', async () => {
    expect(await one.say('six beech 12 inches', 'one of the eight is dead')).toContain('no 8 trees');
    expect(
      await one.say('three of the six are dead', 'pear 8', 'pear 9', 'pear 7', 'both pears are dead'),
    ).toContain('not 2');
  });

  it('are all of them where both are meant', async () => {
    await one.say('pear 8', 'pear 9', 'both of the pears are dead');
    expect([tree(5)?.status, tree(6)?.status]).toEqual(['dead', 'dead']);
    await one.say('both pears are hollow');
    expect([tree(5)?.marks, tree(6)?.marks]).toEqual([['hollow'], ['hollow']]);
    // One of the two was dead before.
    await one.say('both maples are dead');
    expect([tree(3)?.status, tree(4)?.status]).toEqual(['dead', 'dead']);
  });
});

describe('what a tree is not', () => {
  test.each(['not cull', 'not a cull', "it's not a cull after all"])('%s', async (words) => {
    await one.say('beech 9', 'cull');
    expect(tree(5)?.status).toBe('cull');
    await one.say(words);
    expect(tree(5)?.status).toBe('live');
    await one.say('undo');
    expect(tree(5)?.status).toBe('cull');
  });

  it('goes from the tree that is named', async () => {
    await one.say(
      'the hemlock is a cull',
      'the oak is forked',
      "the hemlock isn't a cull",
      "the oak isn't forked",
    );
    expect(tree(2)?.status).toBe('live');
    expect(tree(1)?.marks).toEqual([]);
  });
});

it('each of these notes has words of its own where it is offered', () => {
  const tongue = createTongue(grammar);
  const notes: readonly [Note, string][] = [
    [{ kind: 'hand', which: { most: 'thinnest' } }, 'for the thinnest tree'],
    [{ kind: 'scratch', of: { most: 'thickest' } }, 'scratch the thickest tree'],
    [{ kind: 'hand', which: { status: 'dead' } }, 'for the dead tree'],
    [{ kind: 'change', part: 1, among: 6, facts: { status: 'dead' } }, 'one of the six is dead'],
    [
      { kind: 'change', of: { species: 531 }, part: 2, among: 2, facts: { status: 'dead' } },
      'both american beechs are dead',
    ],
  ];
  for (const [note, words] of notes) expect(tongue.speak(note)).toBe(words);
});
