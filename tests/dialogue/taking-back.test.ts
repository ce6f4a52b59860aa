/** Taking back and putting back: what goes is the newest thing that was done, it is named, and nothing is ever gone. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Told } from '../../shared/dialogue/types.ts';
import { MemoryJournal } from '../../shared/note/journal.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { picture } from './book-picture.ts';

const set = ['my pace is five point three feet', 'eye height five and a half'] as const;

const trees = ({ session }: Conversation) =>
  [...session.book.trees()].map(({ number, diameterIn }) => [number, diameterIn]);

describe('"scratch that"', () => {
  it('takes back the last tree said, not the one of an older question', async () => {
    const one = await converse();
    await one.say(...set, 'fir fourteen', 'red oak thirteen inches');
    expect(one.session.question?.about).toBe('species');
    expect(await one.say('scratch that')).toMatch(
      /^Scratched: tree 2, northern red oak, 13 inches\. In hand: tree 1/,
    );
    expect(trees(one)).toEqual([[1, 14]]);
    expect(one.session.question?.about).toBe('species');
  });

  it('takes back what was only asked about, and names it', async () => {
    const one = await converse();
    await one.say(...set, 'red oak fourteen two', 'eighty paces');
    expect(await one.say('scratch that')).toBe(
      'Scratched: eighty paces, not counted yet. In hand: tree 1, northern red oak, 14.2 inches.',
    );
    expect(one.session.question).toBeNull();
    expect(trees(one)).toEqual([[1, 14.2]]);
  });

  it('said twice takes back two, and says each time what is in hand', async () => {
    const one = await converse();
    await one.say('red oak twelve', 'beech nine', 'sugar maple ten');
    expect(await one.say('scratch that')).toBe(
      'Scratched: tree 3, sugar maple, 10 inches. In hand: tree 2, American beech, 9 inches.',
    );
    expect(await one.say('scratch that')).toMatch(/^Scratched: tree 2, .* In hand: tree 1, northern red oak/);
    expect(trees(one)).toEqual([[1, 12]]);
  });

  it('after a correction brings back what was corrected', async () => {
    const one = await converse();
    await one.say('plot one, tenth acre', 'beech centre at thirty six point nine in or out');
    await one.say('make that thirty seven point six');
    expect(one.session.book.treeNumbered(1)?.counted).toBe(false);
    await one.say('scratch that');
    expect(one.session.book.treeNumbered(1)?.counted).toBe(true);
  });

  it('after an answer asks again', async () => {
    const one = await converse();
    await one.say(...set, 'red oak fourteen two', 'eighty paces', 'eight');
    expect(one.session.book.treeNumbered(1)?.heightFt).toBeCloseTo(47.9, 6);
    await one.say('undo');
    expect(one.session.book.treeNumbered(1)?.heightFt).toBeNull();
    expect(one.session.question?.about).toBe('doubt');
  });
});

describe('"undo"', () => {
  it('after a tree was deleted restores that tree and touches no other', async () => {
    const one = await converse();
    await one.say('red oak twelve', 'beech nine', 'sugar maple ten');
    expect(await one.say('delete tree two')).toBe(
      'Scratched: tree 2, American beech, 9 inches. In hand: tree 3, sugar maple, 10 inches.',
    );
    expect(await one.say('undo')).toMatch(/^Back again: tree 2, American beech, 9 inches\. In hand: tree 3/);
    expect(trees(one)).toEqual([
      [1, 12],
      [2, 9],
      [3, 10],
    ]);
  });

  it.each(['undo', 'redo', 'put it back', 'restore'])('"%s" after it restores', async (words) => {
    const one = await converse();
    await one.say('red oak twelve', 'beech nine', 'undo');
    expect(trees(one)).toEqual([[1, 12]]);
    expect(await one.say(words)).toMatch(/^Back again: tree 2, American beech, 9 inches\. In hand: tree 2/);
    expect(trees(one)).toHaveLength(2);
  });
});

describe('what was scratched', () => {
  it('comes back under a new number where its own was given away, and the reply says so', async () => {
    const one = await converse();
    await one.say('red oak twelve', 'beech nine', 'scratch that', 'sugar maple ten');
    expect(await one.say('restore tree two')).toMatch(/^Back again: tree 3, American beech, 9 inches\./);
    expect(trees(one)).toEqual([
      [1, 12],
      [2, 10],
      [3, 9],
    ]);
  });

  it('is one value where one was named: "scratch the height" leaves the tree', async () => {
    const one = await converse();
    await one.say(...set, 'red oak fourteen two, eight paces');
    expect(await one.say('scratch the height')).toMatch(
      /^Scratched: the height of tree 1, 48 feet\. In hand: tree 1/,
    );
    expect(one.session.book.treeNumbered(1)).toMatchObject({ diameterIn: 14.2, heightFt: null });
    expect(await one.say('put it back')).toMatch(/^Back again: the height of tree 1, 48 feet/);
    expect(one.session.book.treeNumbered(1)?.heightFt).toBeCloseTo(47.9, 6);
  });

  it('is a plot with its trees, and the plot before it stays closed', async () => {
    const one = await converse();
    await one.say(
      'plot one, tenth acre',
      'red oak twelve',
      'plot two, tenth acre',
      'beech nine',
      'beech ten',
    );
    expect(await one.say('delete plot two')).toBe(
      'Scratched: plot 2, a tenth of an acre, with its 2 trees. No tree is in hand.',
    );
    expect(trees(one)).toEqual([[1, 12]]);
    expect([...one.session.book.plots()]).toMatchObject([{ number: 1, closed: true }]);
    await one.say('restore plot two');
    expect(trees(one)).toHaveLength(3);
    expect([...one.session.book.plots()]).toHaveLength(2);
  });

  it('is a tree by what it is', async () => {
    const one = await converse();
    await one.say('red oak twelve', 'beech nine', 'sugar maple ten');
    expect(await one.say('delete the beech')).toMatch(/^Scratched: tree 2, American beech, 9 inches/);
    expect(await one.say('delete the beech')).toBe('There is no beech here. Say the tree by its number.');
    expect(await one.say('delete tree two')).toMatch(/^Tree 2 is scratched already\. Say restore tree 2/);
  });

  it('names a setting with its value', async () => {
    const one = await converse();
    await one.say('my pace is five point three feet');
    expect(await one.say('scratch that')).toMatch(/^Scratched: the pace of 5\.3 feet\./);
    expect(one.session.settings.pace).toBeNull();
  });

  it('keeps an eye height that was said with a tree that is deleted', async () => {
    const one = await converse();
    await one.say(
      'my pace is five point three feet',
      'red oak twelve, nine paces, eye five and a half',
      'delete tree one',
    );
    expect(one.session.settings.eye?.feet).toBe(5.5);
  });
});

/** What can be said in a morning, and every way of taking back. Invented. */
const sayings = [
  ...set,
  'plot one, tenth acre',
  'plot two, tenth acre',
  'close plot',
  'red oak fourteen two, two logs',
  'red maple eleven',
  'fir twelve',
  'balsam fir',
  'twelve paces',
  'eighty paces',
  'eight',
  'yes',
  'no',
  'keep it',
  'make that nine paces',
  'that was beech',
  'tree one was sixteen inches',
  'same again',
  'next tree',
  'stand mill lot, nine acres',
  'stratum ridge, four acres',
  'beech, centre at thirty six feet, in or out',
  'remark fork at twenty feet',
  'call sugar maple hard rock',
  'metric',
] as const;
const takings = [
  'scratch that',
  'scratch the last two',
  'scratch the height',
  'delete tree one',
  'delete tree two',
  'delete plot one',
  'undo',
  'redo',
  'put it back',
  'restore tree one',
  'restore tree two',
  'restore plot one',
] as const;

/** What only typing can tell, as notes: counted from the end, of a kind, of so many, angles put right. */
const typed: readonly string[] = [
  { kind: 'scratch', back: 2 },
  { kind: 'scratch', back: 2, what: 'tree' },
  { kind: 'scratch', of: { species: 531 }, count: 2 },
  { kind: 'scratch', of: { species: 833 }, count: 1 },
  { kind: 'scratch', of: { diameter: 66 } },
  { kind: 'restore', of: { species: 531 } },
  { kind: 'restore', of: { diameter: 14 } },
  { kind: 'height', height: { method: 'reading', takes: [{ value: 61 }, { value: 66 }, { value: 62 }] } },
  {
    kind: 'height',
    height: { method: 'angles', scale: 'deg', top: 45, distance: { by: 'length', length: { value: 66 } } },
  },
  { kind: 'change', top: { value: 44 } },
  { kind: 'change', number: { value: -3 } },
].map((note) => JSON.stringify(note));

/** Words, or one of those notes. */
async function tellAny(one: Conversation, said: string): Promise<Told> {
  if (!said.startsWith('{')) return one.tell(said);
  const note = noteSchema.parse(JSON.parse(said));
  return one.session.tell({ words: said, candidates: [{ notes: [note], words: said, posterior: 1 }] });
}

async function tellAll(one: Conversation, said: readonly string[]): Promise<void> {
  for (const line of said) await tellAny(one, line);
}

const lines = (words: readonly string[], maxLength: number) =>
  fc.array(fc.constantFrom(...words), { minLength: 1, maxLength });

describe('law', () => {
  it('undo after anything that was kept restores state and totals exactly', async () => {
    await fc.assert(
      fc.asyncProperty(
        lines([...sayings, ...takings, ...typed], 25),
        fc.constantFrom(...sayings, ...typed, ...takings.filter((words) => words !== 'undo')),
        async (before, last) => {
          const one = await converse();
          await tellAll(one, before);
          const was = picture(one.session.book);
          const { entry } = await tellAny(one, last);
          const moved =
            entry !== null &&
            (entry.acts.length > 0 || entry.asks !== undefined || entry.settles !== undefined);
          if (moved) await one.say('undo');
          expect(picture(one.session.book)).toEqual(was);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('undo twice leaves what was said', async () => {
    await fc.assert(
      fc.asyncProperty(lines([...sayings, ...takings, ...typed], 25), async (said) => {
        const one = await converse();
        await tellAll(one, said);
        const was = picture(one.session.book);
        const { answer } = await one.tell('undo');
        if (answer.state !== 'refused') await one.say('undo');
        expect(picture(one.session.book)).toEqual(was);
      }),
      { numRuns: 100 },
    );
  });

  it('any sequence of taking back and restoring ends where a replay of the journal ends', async () => {
    await fc.assert(
      fc.asyncProperty(lines([...sayings, ...takings, ...takings, ...typed], 40), async (said) => {
        const journal = new MemoryJournal();
        const one = await converse({ journal });
        await tellAll(one, said);
        const again = await converse({ journal });
        expect(picture(again.session.book)).toEqual(picture(one.session.book));
        one.session.book.replay();
        expect(picture(one.session.book)).toEqual(picture(again.session.book));
      }),
      { numRuns: 100 },
    );
  });
});
