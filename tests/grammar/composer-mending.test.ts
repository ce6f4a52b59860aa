/** Corrections, taking back and putting back as people type them: what is meant, and what is asked. */
import { describe, expect, it, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

describe('a correction in other words', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['no, sixteen, one six', [{ kind: 'change', number: { value: 16 } }]],
    ['you heard me wrong, I said fifteen not fifty', [{ kind: 'change', was: 50, number: { value: 15 } }]],
    ['make 14.8 a 15.8', [{ kind: 'change', was: 14.8, number: { value: 15.8 } }]],
    ['15 should be 17', [{ kind: 'change', was: 15, number: { value: 17 } }]],
    ["I should've called it a red maple", [{ kind: 'change', facts: { species: 316 } }]],
    ['no beech, it is a red maple', [{ kind: 'change', of: { species: 'beech' }, facts: { species: 316 } }]],
    ["it's a white oak, not a red", [{ kind: 'change', facts: { species: 802 } }]],
    ['sugar, not red', [{ kind: 'pick', what: 'named', word: 'sugar' }]],
    ['correct the angle to forty-five and a half', [{ kind: 'change', top: { value: 45.5 } }]],
    ['the top again, forty-nine degrees', [{ kind: 'change', top: { value: 49, unit: 'deg' } }]],
    [
      'red oak 15 is 17',
      [
        { kind: 'hand', which: { species: 833, diameter: 15 } },
        { kind: 'change', facts: { diameter: { value: 17 } } },
      ],
    ],
    [
      "that nine's actually a beech",
      [
        { kind: 'hand', which: { diameter: 9 } },
        { kind: 'change', facts: { species: 'beech' } },
      ],
    ],
    [
      'call the beech Old Martha',
      [
        { kind: 'hand', which: { species: 'beech' } },
        { kind: 'remark', text: 'called old martha' },
      ],
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('taking back and putting back in other words', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['take back the one before last', [{ kind: 'scratch', back: 2 }]],
    ['drop the last but one', [{ kind: 'scratch', back: 2 }]],
    ['scratch the second to last tree', [{ kind: 'scratch', back: 2, what: 'tree' }]],
    ['take out the tree before that one', [{ kind: 'scratch', back: 2, what: 'tree' }]],
    ['forget the one I said before that', [{ kind: 'scratch', back: 2 }]],
    ['scratch that and the one before', [{ kind: 'scratch', count: 2 }]],
    ['remove both beeches', [{ kind: 'scratch', of: { species: 'beech' }, count: 2 }]],
    [
      'take one beech off, I counted it twice, the six',
      [{ kind: 'scratch', of: { species: 'beech', diameter: 6 } }],
    ],
    ['throw out the 66', [{ kind: 'scratch', of: { diameter: 66 } }]],
    [
      'delete tree two and three',
      [
        { kind: 'scratch', tree: 2 },
        { kind: 'scratch', tree: 3 },
      ],
    ],
    ['no, return it', [{ kind: 'restore' }]],
    ['bring the beech back', [{ kind: 'restore', of: { species: 'beech' } }]],
    ['actually no, keep the beech', [{ kind: 'restore', of: { species: 'beech' } }]],
    ['put the six back', [{ kind: 'restore', of: { diameter: 6 } }]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test('"everything in the plot" is asked, "all of them" takes back no single tree', () => {
    expect(keptOf('delete everything in the plot')).toBeUndefined();
    expect(keptOf('delete all of them') ?? []).not.toContainEqual({ kind: 'scratch' });
  });
});

describe('in a book', () => {
  const book = async () => {
    const { session, say } = await converse();
    const tell = async (words: string): Promise<string> => {
      const read = understandTyped(words);
      const candidates = read.ok ? read.value : [];
      return (await session.tell({ words, candidates, ...(read.ok ? {} : { refusal: read.error }) })).answer
        .reply;
    };
    return { session, say, tell };
  };

  it('the last but one tree goes, and stays where it might be another thing', async () => {
    const { session, say, tell } = await book();
    await say('beech nine', 'red oak twelve', 'sugar maple ten');
    expect(await tell('drop the last but one')).toMatch(/^Scratched: tree 2, northern red oak, 12 inches\./);
    expect(await tell('no, return it')).toMatch(/^Back again: tree 2/);
    await say('tree three was eleven inches');
    expect(await tell('drop the last but one')).toMatch(/^That may be .* or tree 2/);
    expect([...session.book.trees()]).toHaveLength(3);
  });

  it('both of a kind go only where there are two', async () => {
    const { session, say, tell } = await book();
    await say('beech nine', 'beech twelve', 'beech ten');
    expect(await tell('remove both beeches')).toBe(
      'There are 3: trees 1, 2 and 3. Say which, such as scratch tree 1.',
    );
    await say('scratch tree two');
    expect(await tell('remove both beeches')).toMatch(/^Scratched: tree 1, .* and tree 3, /);
    expect([...session.book.trees()]).toHaveLength(0);
    expect(await tell('bring the beech back')).toMatch(/^Back again: tree 3/);
  });

  // h = d (tan top - tan base), the common formula of two angles: 80 ft, 49 and -7 degrees (handbooks of mensuration).
  it('one number of a height by angles is put right, the others stay', async () => {
    const { session, say, tell } = await book();
    await say('white oak twenty', 'top forty eight degrees base minus four at eighty feet');
    await tell('the top again, forty-nine degrees');
    await tell('sorry minus seven');
    const tan = (degrees: number) => Math.tan((degrees * Math.PI) / 180);
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(80 * (tan(49) - tan(-7)), 6);
    await tell('oops, only seventy foot off');
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(70 * (tan(49) - tan(-7)), 6);
  });

  it('one take of several is thrown out, and comes back', async () => {
    const { session, say, tell } = await book();
    await say('red oak fifteen');
    await tell('laser 61, 66, 62');
    expect(await tell('throw out the 66')).toMatch(/^Scratched: the take of 66\. That leaves 62 feet/);
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(61.5, 6);
    await tell('undo');
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(63, 6);
  });

  it('the word that tells one of a kind from another changes it to that', async () => {
    const { session, say, tell } = await book();
    await say('red maple twelve');
    await tell('sugar, not red');
    expect(session.book.treeNumbered(1)?.species).toBe(318);
    expect([...session.book.trees()]).toHaveLength(1);
  });
});

test('a tree that is put right before anything is told of it', () => {
  expect(keptOf('the hemlock, I mean the beech, is hollow')).toEqual(keptOf('the beech is hollow'));
  expect(keptOf('the beech is hollow')).toBeDefined();
});

describe('what is pointed at is left to the book', () => {
  const change = (rest: object) => [{ kind: 'change', ...rest }];
  it.each([
    ['the 22 was a 20', change({ of: { said: 22 }, number: { value: 20 } })],
    ['correct the eighteen, it was sixteen', change({ of: { said: 18 }, number: { value: 16 } })],
    ['the 12 was 13 paces', change({ of: { said: 12 }, distance: { by: 'paces', count: 13 } })],
    ['the one in between was actually 15', change({ of: { middle: true }, number: { value: 15 } })],
    ['make the middle tree a yellow birch', change({ of: { middle: true }, facts: { species: 371 } })],
    ['I said 10 paces but it was 9', change({ was: 10, distance: { by: 'paces', count: 9 } })],
    ['third to last was 16', change({ of: { back: 3 }, number: { value: 16 } })],
    ['the middle reading was 15 paces', change({ nth: 'middle', distance: { by: 'paces', count: 15 } })],
    ['flip the last two around', change({ swap: {} })],
    ['swap the diameters of trees two and three', change({ swap: { what: 'diameter', trees: [2, 3] } })],
    ['I mixed up the oak and the hemlock', change({ swap: { kinds: ['oak', 'hemlock'] } })],
    ['no, I was talking about the oak', change({ meant: { which: { species: 'oak' } } })],
    ['not tree one, tree three', change({ tree: 1, meant: { tree: 3 } })],
  ])('%s', (words, notes) => {
    expect(keptOf(words)).toEqual(notes);
  });

  it.each(['swap the 29 for a fir', 'swap over', 'Wren and Dena swap'])(
    '%s is no swap of two trees',
    (words) => {
      const notes = keptOf(words) ?? [];
      expect(notes.some((note) => note.kind === 'change' && note.swap !== undefined)).toBe(false);
    },
  );
});
