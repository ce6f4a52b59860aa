/**
 * Which tree a height is of that names none. Two heights of one tree that differ by more than their errors explain are two
 * trees, or a slip: nothing is kept of the second before that is known.
 */
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { picture } from './book-picture.ts';

const set = ['my pace is five point five feet', 'eye height five and a half'] as const;

/** Number, species and heights of each tree, whole feet. */
const trees = ({ session: { book } }: Conversation) =>
  [...book.trees()].map(({ number, species, heights }) => [
    number,
    species,
    ...heights.flatMap((id) => {
      const feet = book.height(id)?.value?.feet;
      return feet === undefined ? [] : [Math.round(feet)];
    }),
  ]);

/** A red oak of 60.5 ft, and then a height of 88 ft: 15 paces of 5.5 ft and the eye. */
const twoApart = async (): Promise<Conversation> => {
  const one = await converse();
  await one.say(...set, 'red oak fourteen', 'ten paces');
  expect(await one.say('fifteen paces')).toBe(
    '88 feet, but tree 1 has 61 feet. Is it another tree? If not, say same.',
  );
  expect(trees(one)).toEqual([[1, 833, 61]]);
  return one;
};

describe('a height that cannot be of the tree in hand', () => {
  test.each([
    'yes',
    'another',
    'another tree',
    'another one',
    'next tree',
    'a different one',
    'not the same',
  ])('"%s": it begins a tree, which is in hand then', async (words) => {
    const one = await twoApart();
    expect(await one.say(words)).toMatch(/^Tree 2: 88 feet, give or take 6\./);
    expect(trees(one)).toEqual([
      [1, 833, 61],
      [2, null, 88],
    ]);
    expect(one.session.question).toBeNull();
    expect(await one.say('hickory twelve inches')).toMatch(/^Tree 2, hickory, 12 inches\./);
  });

  test.each(['same', 'the same', 'same tree', 'no', 'same again', "no, it's the same tree"])(
    '"%s": it is one more reading of the tree in hand, with what is odd about it',
    async (words) => {
      const one = await twoApart();
      expect(await one.say(words)).toMatch(
        /^88 feet, give or take 6\. That is 28 feet from an earlier one, more than their errors explain/,
      );
      expect(trees(one)).toEqual([[1, 833, 61, 88]]);
      expect(one.session.question).toBeNull();
    },
  );

  it('said right is weighed again, and kept where it agrees', async () => {
    const one = await twoApart();
    expect(await one.say('no, eleven')).toMatch(/^66 feet, give or take 4\. With the earlier one, 63 feet/);
    expect(trees(one)).toEqual([[1, 833, 61, 66]]);
  });

  it('measured again is dropped', async () => {
    const one = await twoApart();
    expect(await one.say('measure again')).toBe('Dropped. Measure again.');
    expect(trees(one)).toEqual([[1, 833, 61]]);
    expect(one.session.question).toBeNull();
  });

  it('is not lost when another tree is told first, and takes nothing that is said of that', async () => {
    const one = await twoApart();
    await one.say('beech nine inches', 'eleven paces');
    expect(trees(one)).toEqual([
      [1, 833, 61],
      [2, 531, 66],
    ]);
    expect(await one.say('same')).toMatch(/^88 feet/);
    expect(trees(one)).toEqual([
      [1, 833, 61, 88],
      [2, 531, 66],
    ]);
  });

  it('left open, the next height is asked about too, though it agrees', async () => {
    const one = await twoApart();
    expect(await one.say('eleven paces')).toBe('66 feet. Is it another tree than tree 1? If not, say same.');
    await one.say('yes');
    expect(trees(one)).toEqual([
      [1, 833, 61],
      [2, null, 66],
    ]);
  });

  it('what was said behind it in the breath waits for the answer', async () => {
    const one = await converse();
    await one.say(...set, 'red oak fourteen', 'ten paces', 'fifteen paces, two logs');
    expect(one.session.question?.about).toBe('another');
    await one.say('another');
    expect([...one.session.book.trees()].map(({ logs }) => logs)).toEqual([null, 2]);
  });

  it('heard words answer it as typed ones do', async () => {
    const one = await twoApart();
    const again = { notes: [{ kind: 'again' as const }] as const, posterior: 1 };
    await one.session.tell({
      words: 'another',
      candidates: [{ ...again, words: 'another' }],
      heard: { margin: 9, posterior: 1 },
    });
    expect(trees(one)).toEqual([
      [1, 833, 61],
      [2, null, 88],
    ]);
  });

  it('asks nothing where it agrees, or where the tree was named just before', async () => {
    const one = await converse();
    await one.say(...set, 'red oak fourteen', 'ten paces', 'eleven paces');
    expect(one.session.question).toBeNull();
    await one.say('same tree', 'fifteen paces', 'for tree one', 'sixteen paces');
    expect(one.session.question).toBeNull();
    expect(trees(one)).toEqual([[1, 833, 61, 66, 88, 94]]);
  });

  it('asks nothing of a third that agrees with one of two that do not', async () => {
    const one = await twoApart();
    await one.say('same', 'sixteen paces');
    expect(one.session.question).toBeNull();
    expect(trees(one)).toEqual([[1, 833, 61, 88, 94]]);
  });
});

describe('"next tree" before a height', () => {
  it('begins a tree with it, and what comes then is told of that tree', async () => {
    const one = await converse();
    await one.say(...set, 'red oak fourteen', 'ten paces');
    expect(await one.say('next tree, fifteen paces')).toMatch(/Tree 2: 88 feet/);
    await one.say('eleven inches');
    expect(await one.say("that's a beech")).toBe('Tree 2 is now American beech, 11 inches.');
    expect(trees(one)).toEqual([
      [1, 833, 61],
      [2, 531, 88],
    ]);
  });
});

describe('"same tree"', () => {
  it('behind a height of no tree begins one with it', async () => {
    const one = await converse();
    await one.say(...set, 'ten paces');
    await one.say('same tree, eleven paces');
    expect(trees(one)).toEqual([[1, null, 61, 66]]);
  });

  it('with no tree yet says so', async () => {
    const one = await converse();
    expect(await one.say('same tree')).toBe('No tree was told yet. Say its species or diameter first.');
  });
});

describe('laws', () => {
  const sayings = [
    ...set,
    'red oak fourteen',
    'ten paces',
    'fifteen paces',
    'eleven paces',
    'another',
    'same tree',
    'next tree',
    'yes',
    'no',
    'measure again',
    'beech nine inches',
    'two logs',
    'scratch that',
    'undo',
  ] as const;

  it('undo after anything restores the book', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom(...sayings), { maxLength: 9 }),
        fc.constantFrom(...sayings.slice(0, -2)),
        async (before, last) => {
          const one = await converse();
          await one.say(...before);
          const was = picture(one.session.book);
          const told = await one.tell(last);
          const did = told.parts.some(
            ({ entry }) => entry !== null && (entry.acts.length > 0 || entry.asks || entry.settles),
          );
          if (!did) return;
          await one.say('undo');
          expect(picture(one.session.book)).toEqual(was);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('a breath of two is the same as one after the other', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom(...sayings), { maxLength: 6 }),
        fc.constantFrom('next tree', 'same tree'),
        fc.constantFrom('ten paces', 'fifteen paces'),
        async (before, first, second) => {
          const [apart, joined] = [await converse(), await converse()];
          await apart.say('red oak fourteen', ...before);
          // A first note that is refused holds up the second.
          if ((await apart.tell(first)).answer.state === 'refused') return;
          await apart.say(second);
          await joined.say('red oak fourteen', ...before, `${first}, ${second}`);
          expect(trees(joined)).toEqual(trees(apart));
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('a species with a height', () => {
  it('begins a tree where the one in hand has another height and no species', async () => {
    const one = await converse();
    await one.say(...set, 'next tree, ten paces');
    await one.say('beech, fifteen paces');
    expect(trees(one)).toEqual([
      [1, null, 61],
      [2, 531, 88],
    ]);
  });

  it('is that of the tree in hand where the heights agree', async () => {
    const one = await converse();
    await one.say(...set, 'next tree, ten paces', 'beech, eleven paces');
    expect(trees(one)).toEqual([[1, 531, 61, 66]]);
  });
});

it('another species right behind a refused note is asked about: that may have told the tree', async () => {
  const one = await converse();
  await one.say('red oak fourteen', 'qwertz uiop');
  expect(await one.say("that's a beech")).toBe('Is that tree 1, northern red oak, 14 inches?');
  expect(trees(one)).toEqual([[1, 833]]);
  await one.say('yes');
  expect(trees(one)).toEqual([[1, 531]]);
  await one.say('hickory nine', 'qwertz uiop', "that's a pignut hickory");
  expect(trees(one)).toEqual([
    [1, 531],
    [2, 403],
  ]);
});
