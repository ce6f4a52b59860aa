/**
 * An offer of a plot or a setting that nobody answers, and notes that rest on it: nothing of it is kept without a yes, nothing
 * is lost, and a late yes puts what came since under it.
 */
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import type { Notes } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { reader } from '../support/language.ts';
import { picture } from './book-picture.ts';

const notes = (words: string): Notes => {
  const read = reader.read(words);
  if (!read.ok) throw new Error(read.error.message);
  return read.value[0]!.notes;
};

let one: Conversation;
beforeEach(async () => {
  one = await converse();
  await one.say(
    'my pace is five feet',
    'eye height five feet',
    'plot one, tenth acre',
    'red oak 14, ten paces',
  );
});

/** Words that are only offered: typed, and not sure. */
const offerTo = async ({ session }: Conversation, ...said: readonly string[]): Promise<string> => {
  const candidates = said.map((words) => ({ notes: notes(words), words, posterior: 0.7 / said.length }));
  return (await session.tell({ words: said[0]!, candidates })).answer.reply;
};
const offer = (...said: readonly string[]): Promise<string> => offerTo(one, ...said);

/** Numbers of the trees of each plot. */
const plotsIn = ({ session: { book } }: Conversation): Record<string, number[]> => {
  const found: Record<string, number[]> = {};
  for (const { number, plot } of book.trees()) {
    const name = book.plot(plot)?.number ?? 'none';
    found[name] = [...(found[name] ?? []), number];
  }
  return found;
};

describe('a plot that was offered and not answered', () => {
  it('is told again with the next note, and how to settle it; nothing of it is kept', async () => {
    expect(await offer('plot two, fifth acre')).toBe('Did you say plot two, fifth acre?');
    expect(await one.say('hemlock 18, eleven paces')).toBe(
      'Tree 2, eastern hemlock, 18 inches: 60 feet, give or take 4. Not kept yet: plot two, fifth acre. Say yes, and what came since goes on it; no drops it.',
    );
    expect(plotsIn(one)).toEqual({ 1: [1, 2] });
    // Once is enough, until the plot or the day ends.
    expect(await one.say('beech 12')).toBe('Tree 3, American beech, 12 inches.');
    expect(await one.say('close plot')).toMatch(
      /^Plot 1 closed: 3 trees\..* Not kept yet: plot two, fifth acre\./,
    );
    expect(plotsIn(one)).toEqual({ 1: [1, 2, 3] });
  });

  it('takes what came since with a late yes, and undo turns all of that round', async () => {
    await offer('plot two, fifth acre');
    await one.say('hemlock 18, eleven paces', 'beech 12');
    const before = picture(one.session.book);
    expect(await one.say('yes')).toBe(
      'Plot 1 closed: 1 tree. Plot 2, a fifth of an acre. Radius 52.7 feet. Trees 2 and 3 are on it.',
    );
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2, 3] });
    // The tree in hand is in hand still.
    await one.say('two logs');
    expect(one.session.book.treeNumbered(3)?.logs).toBe(2);
    await one.say('scratch that', 'scratch that');
    expect(picture(one.session.book)).toEqual(before);
    await one.say('yes', 'red maple 9');
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2, 3, 4] });
  });

  it('is closed by a late yes where the plot was closed since', async () => {
    await offer('plot two, fifth acre');
    await one.say('hemlock 18', 'close plot');
    expect(await one.say('yes')).toBe(
      'Plot 2, a fifth of an acre. Radius 52.7 feet. Tree 2 is on it. It is closed.',
    );
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2] });
    expect(await one.say('plot three')).toMatch(/^Plot 3, a fifth of an acre/);
  });

  it('leaves a plot that was begun since as it is', async () => {
    await offer('plot two, fifth acre');
    await one.say('hemlock 18', 'plot three, fifth acre', 'beech 12');
    expect(await one.say('yes')).toBe(
      'Plot 2, a fifth of an acre. Radius 52.7 feet. Tree 2 is on it. Plot 3 is in hand.',
    );
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2], 3: [3] });
    await one.say('two logs', 'red maple 9');
    expect(one.session.book.treeNumbered(3)?.logs).toBe(2);
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2], 3: [3, 4] });
  });

  it('is dropped by no, and what came since stays', async () => {
    await offer('plot two, fifth acre');
    await one.say('hemlock 18');
    expect(await one.say('no')).toBe('Not kept: plot two, fifth acre. What came since stays where it is.');
    expect(plotsIn(one)).toEqual({ 1: [1, 2] });
    expect(one.session.question).toBeNull();
    expect((await one.tell('yes')).answer.state).toBe('refused');
  });

  it('names what it drops once', async () => {
    await offer('plot two, remark by the brook');
    await one.say('hemlock 18');
    expect(await one.say('no')).toBe(
      'Not kept: plot two, remark by the brook. What came since stays where it is.',
    );
  });

  it('of a stand begins it from here on, and says so', async () => {
    await offer('stand mill lot nine acres');
    await one.say('hemlock 18');
    expect(await one.say('yes')).toMatch(/^Mill Lot, 9 acres\..* What came since stays where it is\.$/);
  });

  it('gives its place to another offer, and to a plot of its number', async () => {
    await offer('plot two, fifth acre');
    await one.say('hemlock 18');
    await offer('plot three, fifth acre');
    expect(await one.say('yes')).toMatch(/^Plot 1 closed: 2 trees\. Plot 3/);
    await offer('plot four');
    await one.say('beech 12');
    expect(await one.say('plot four, tenth acre')).toMatch(
      /^Plot 3 closed: 1 tree\. Plot 4.*Not kept: plot four\.$/,
    );
    expect((await one.tell('yes')).answer.state).toBe('refused');
  });

  it('leaves what was told behind it of the tree in hand: by now that is another', async () => {
    await offer('plot two, fifth acre, ten paces');
    await one.say('hemlock 18');
    expect(await one.say('yes')).toMatch(/Plot 2.*Tree 2 is on it\. Not kept: ten paces\.$/);
    expect(one.session.book.treeNumbered(2)?.heightFt).toBeNull();
    await offer('plot three, beech 9, ten paces');
    await one.say('red maple 12');
    await one.say('yes');
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2], 3: [3, 4] });
    expect(one.session.book.treeNumbered(4)?.heightFt).toBeCloseTo(55, 6);
  });

  it('with a closing before it closes the plot before it as it was', async () => {
    await offer('close plot, plot two, fifth acre');
    await one.say('hemlock 18');
    expect(await one.say('yes')).toMatch(/^Plot 1 closed: 1 tree\. Plot 2.*Tree 2 is on it\.$/);
  });

  it('is told again where the size may be of this plot or of the next ones', async () => {
    expect(await one.say('factor ten')).toMatch(/from here on, or for plot 1\?$/);
    expect(await one.say('hemlock 18')).toMatch(/Not kept yet: from here on or plot 1\. Say which/);
    expect(await one.say('the first one')).toMatch(/^Plots from here on: factor 10/);
  });

  it('is said again for a yes', async () => {
    await offer('plot two, fifth acre');
    await one.say('hemlock 18');
    expect(await one.say('plot two, fifth acre')).toMatch(/Plot 2, a fifth of an acre.*Tree 2 is on it\.$/);
  });

  it('is answered by nothing but an answer once something came in between', async () => {
    await offer('plot twelve');
    await one.say('hemlock 18', 'twelve paces', 'no, eleven');
    expect(one.session.book.treeNumbered(2)?.heightFt).toBeCloseTo(60, 6);
    expect(plotsIn(one)).toEqual({ 1: [1, 2] });
    expect(one.session.question?.stays).toBe(true);
  });

  it('of two asks which', async () => {
    await offer('plot two, fifth acre', 'plot two, tenth acre');
    expect(await one.say('hemlock 18')).toMatch(
      /Not kept yet: plot two, fifth acre or plot two, tenth acre\. Say which/,
    );
    expect(await one.say('yes')).toMatch(/^Which:/);
    expect(await one.say('the second one')).toMatch(/Plot 2, a tenth of an acre.*Tree 2 is on it\.$/);
  });

  it('waits behind a question that came later', async () => {
    await offer('plot two, fifth acre');
    expect(await one.say('birch 12')).toMatch(/Which birch/);
    await one.say('yellow');
    expect(await one.say('yes')).toMatch(/Plot 2, a fifth of an acre.*Tree 2 is on it\.$/);
    expect(one.session.book.treeNumbered(2)?.species).toBe(371);
  });

  it('takes what came since where it was asked about as odd, too', async () => {
    expect(await one.say('plot two, fifty acres')).toMatch(/50 acres is large/);
    await one.say('hemlock 18', 'beech 12');
    expect(plotsIn(one)).toEqual({ 1: [1, 2, 3] });
    expect(await one.say('yes')).toMatch(/Plot 2, a fiftieth of an acre.*Trees 2 and 3 are on it\./);
    expect(plotsIn(one)).toEqual({ 1: [1], 2: [2, 3] });
  });

  it('that was heard and not typed lapses as before: nobody may have said it', async () => {
    const heard = { margin: 1, posterior: 0.5, clip: 'a' };
    await one.session.tell({
      words: 'plot two',
      heard,
      candidates: [{ notes: notes('plot two'), words: 'plot two', posterior: 0.5 }],
    });
    await one.say('hemlock 18');
    expect(one.session.question).toBeNull();
  });
});

describe('a setting that was offered and not answered', () => {
  it('of a pace works out anew what was paced since, and nothing before', async () => {
    await offer('my pace is six feet');
    expect(await one.say('hemlock 18, eleven paces')).toMatch(
      /60 feet.*Not kept yet: .*six feet\. Say yes, and it holds from where it was said; no drops it\.$/,
    );
    const before = picture(one.session.book);
    expect(await one.say('yes')).toMatch(/^Pace 6 feet.* Worked out with it: tree 2 71 feet\.$/);
    expect(one.session.book.treeNumbered(1)?.heightFt).toBeCloseTo(55, 6);
    expect(one.session.book.treeNumbered(2)?.heightFt).toBeCloseTo(71, 6);
    await one.say('undo');
    expect(picture(one.session.book)).toEqual(before);
  });

  it('of an eye height counts for what was sighted since', async () => {
    await offer('eye height six feet');
    await one.say('hemlock 18, eleven paces', 'beech 12', 'laser sixty two feet');
    await one.say('yes');
    expect(one.session.book.treeNumbered(2)?.heightFt).toBeCloseTo(61, 6);
    expect(one.session.book.treeNumbered(3)?.heightFt).toBeCloseTo(62, 6);
  });

  it('of units counts for bare numbers since, and for none that had a unit', async () => {
    await offer('metric');
    await one.say('sugar maple 20', 'laser sixty', 'red maple twelve inches');
    await one.say('yes');
    const { book } = one.session;
    expect(book.treeNumbered(2)?.diameterIn).toBeCloseTo(20 / 2.54, 6);
    expect(book.treeNumbered(2)?.heightFt).toBeCloseTo(60 / 0.3048, 6);
    expect(book.treeNumbered(3)?.diameterIn).toBeCloseTo(12, 6);
    expect(book.treeNumbered(1)?.diameterIn).toBeCloseTo(14, 6);
  });
});

describe('several that were offered in one', () => {
  it('are all put over what came since', async () => {
    await offer('crew wren, metric');
    await one.say('sugar maple 20');
    await one.say('yes');
    expect(one.session.book.treeNumbered(2)?.diameterIn).toBeCloseTo(20 / 2.54, 6);
    expect(one.session.settings.person).toBe('wren');
  });
});

describe('law of a late yes', () => {
  const tells = [
    'sugar maple 18, eleven paces',
    'red maple 12',
    'nine paces',
    'two logs',
    'next tree',
    'tree one was 15 inches',
    'laser sixty two feet',
    'scratch that',
    'undo',
    'remark by the brook',
  ];
  const takesBack = new Set(['scratch that', 'undo']);
  const offers = ['plot two, fifth acre', 'plot two', 'my pace is six feet', 'eye height six feet', 'metric'];
  /** Without what differs as it was said at another time. */
  const come = ({ session: { book } }: Conversation): unknown =>
    [...book.trees()].map((tree) => ({
      number: tree.number,
      plot: book.plot(tree.plot)?.number ?? null,
      species: tree.species,
      logs: tree.logs,
      diameterIn: tree.diameterIn?.toFixed(6),
      heightFt: tree.heightFt?.toFixed(6),
    }));

  it('comes to the same trees as a yes at once, and undo restores what was', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...offers),
        fc.array(fc.constantFrom(...tells), { maxLength: 8 }),
        async (offered, more) => {
          // A height right behind the offer is of the tree in hand, which a plot begun at once would have put down.
          const said = ['red maple 12', ...more];
          const [late, early] = [await converse(), await converse()];
          for (const each of [late, early]) {
            await each.say(
              'my pace is five feet',
              'eye height five feet',
              'plot one, tenth acre',
              'red oak 14',
            );
            await offerTo(each, offered);
          }
          await early.say('yes');
          let asked = false;
          for (const words of said)
            for (const each of [late, early]) asked = (await each.tell(words)).answer.asks !== null || asked;
          // What a question made of a height is by the pace that held then: "next tree" answers one, or begins a tree.
          if (asked) return;
          // Taking back may have gone behind the offer, or stands for the yes where that came at once.
          if (late.session.question?.stays !== true || said.some((words) => takesBack.has(words))) return;
          const before = picture(late.session.book);
          await late.say('yes');
          expect(come(late)).toEqual(come(early));
          await late.say('undo');
          expect(picture(late.session.book)).toEqual(before);
        },
      ),
      { numRuns: Number(process.env.STEMSAY_RUNS ?? 60) },
    );
  });
});
