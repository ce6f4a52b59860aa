/** A breath of several notes in the talk: as if they were said one after another, and no harm where one is in doubt. */
import { describe, expect, it } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { MemoryJournal } from '../../shared/note/journal.ts';
import { mostNotes, type Note } from '../../shared/note/note.ts';
import { toldSchema } from '../../shared/wire.ts';
import { converse } from '../support/conversation.ts';
import { reader } from '../support/language.ts';

const set = ['my pace is five point three feet', 'eye height five and a half feet'];
const notes = (words: string): readonly [Note, ...Note[]] => {
  const read = reader.read(words);
  if (!read.ok) throw new Error(read.error.message);
  return read.value[0]!.notes;
};

describe('several notes in one breath', () => {
  it('become an entry each, which share words and breath, and are answered together', async () => {
    const { tell, say, session } = await converse();
    await say(...set, 'plot one, tenth acre');
    const told = await tell('red oak sixteen two, twelve paces, two logs, next plot');
    expect(told.parts.map(({ state }) => state)).toEqual(['kept', 'kept', 'kept']);
    const entries = session.book.entries.slice(-3);
    const [first] = entries;
    expect(entries.map(({ breath }) => breath)).toEqual(
      [0, 1, 2].map((at) => ({ id: first!.id, at, of: 3 })),
    );
    expect(new Set(entries.map(({ words }) => words)).size).toBe(1);
    expect(session.book.treeNumbered(1)).toMatchObject({ species: 833, diameterIn: 16.2, logs: 2 });
    expect(told.answer.reply).toBe(told.parts.map(({ reply }) => reply).join(' '));
    expect(told.answer.notes).toEqual(entries.map(({ note }) => note));
    expect(told.answer.note).toEqual(first!.note);
    expect(told.height?.feet).toBeCloseTo(12 * 5.3 + 5.5, 6);
    expect(toldSchema.safeParse(told).success).toBe(true);
  });

  it('one alone has no breath', async () => {
    const { tell } = await converse();
    expect((await tell('red oak sixteen two')).entry).not.toHaveProperty('breath');
  });

  it('see what those before them did: a tree, then its height', async () => {
    const { say, session } = await converse();
    await say(...set, 'beech twelve, next tree, red oak sixteen, and then twelve paces');
    expect(session.book.treeNumbered(2)).toMatchObject({ species: 833 });
    expect(session.book.treeNumbered(2)?.heightFt).toBeCloseTo(12 * 5.3 + 5.5, 6);
    expect(session.book.treeNumbered(1)?.heightFt).toBeNull();
  });

  it('ask for what is missing once, and go on where the note is in the book', async () => {
    const { tell, session } = await converse();
    const told = await tell('red oak sixteen, twelve paces, two logs');
    expect(told.answer.asks).toMatch(/pace/);
    expect(session.book.treeNumbered(1)).toMatchObject({ logs: 2, heightFt: null });
  });

  it('behind one that is refused are named and not kept', async () => {
    const { tell, session } = await converse();
    const told = await tell('next tree, two logs, next plot');
    expect(told.parts.map(({ state }) => state)).toEqual(['kept', 'refused']);
    expect(told.answer.state).toBe('kept');
    expect(told.answer.reply).toMatch(/Not kept: new plot\.$/);
    expect(session.book.entries).toHaveLength(1);
  });
});

describe('notes behind a question', () => {
  const stand = async () => {
    const conversation = await converse();
    await conversation.say(...set);
    for (const inches of [12, 13, 14, 15, 16]) await conversation.say(`beech ${inches} inches`, '12 paces');
    await conversation.say('beech 14 inches');
    return conversation;
  };
  const doubted = 'eighty paces, two logs';

  it('wait for the answer and are taken with it', async () => {
    const { tell, session } = await stand();
    const asked = await tell(doubted);
    expect(asked.answer.state).toBe('asking');
    expect(session.book.treeNumbered(6)).toMatchObject({ heightFt: null, logs: null });
    const told = await tell('eleven paces');
    expect(told.parts).toHaveLength(2);
    expect(session.book.treeNumbered(6)).toMatchObject({ logs: 2 });
    expect(session.book.treeNumbered(6)?.heightFt).toBeCloseTo(11 * 5.3 + 5.5, 6);
    const [answered, waited] = session.book.entries.slice(-2);
    expect(answered!.breath).toBeUndefined();
    expect(waited).toMatchObject({ words: doubted, breath: { id: asked.entry!.id, at: 1, of: 2 } });
  });

  it('lapse with a note that is dropped, and it is told', async () => {
    const { tell, session } = await stand();
    await tell(doubted);
    expect((await tell('never mind')).answer.reply).toMatch(/Not kept: two logs\.$/);
    expect(session.book.treeNumbered(6)?.logs).toBeNull();
  });

  it('lapse when another note comes before the answer: it may be about another tree', async () => {
    const { tell, session } = await stand();
    await tell(doubted);
    const between = await tell('beech ten inches, nine paces');
    expect(between.answer.reply).toMatch(/Not kept: two logs\./);
    await tell('keep it');
    expect([...session.book.entries].some(({ note }) => note.kind === 'tree' && note.facts.logs)).toBe(false);
  });

  it('of a breath that was heard in two ways: what both agree on is kept, the rest is asked', async () => {
    const { session, tell } = await stand();
    const candidates = [
      { notes: notes('eleven paces, two logs, next'), words: '', posterior: 0.5 },
      { notes: notes('eleven paces, three logs, next plot'), words: '', posterior: 0.45 },
    ];
    const told = await session.tell({ words: '', candidates });
    expect(told.answer.asks).toBe('Did you say two logs, next tree or three logs, new plot?');
    expect(session.book.treeNumbered(6)).toMatchObject({ logs: null });
    expect(session.book.treeNumbered(6)?.heightFt).toBeCloseTo(11 * 5.3 + 5.5, 6);
    const picked = await tell('the first one');
    expect(picked.parts.map(({ reply }) => reply)).toEqual([expect.any(String), 'Next tree.']);
    expect(session.book.treeNumbered(6)).toMatchObject({ logs: 2 });
  });
});

describe('the law of a breath', () => {
  const sayings = [
    'red oak sixteen two',
    'beech twelve',
    '12 paces',
    '9 paces, eye five',
    'two logs',
    'dead',
    'next tree',
    'next plot',
    'plot one, tenth acre',
    'my pace is five feet',
    'eye height five and a half feet',
    'how many trees',
    'remark by the brook',
    'scratch that',
    'make that ten paces',
    'same again',
    'top forty percent, base minus five, sixty feet',
  ];

  it('of k notes comes to the same book as k utterances', async () => {
    const random = seeded(14);
    let compared = 0;
    for (let run = 0; run < 150; run++) {
      const [together, apart] = [new MemoryJournal(), new MemoryJournal()];
      const [one, two] = [await converse({ journal: together }), await converse({ journal: apart })];
      for (let breath = 0; breath < 3; breath++) {
        const all = Array.from(
          { length: 1 + Math.floor(random() * Math.min(4, mostNotes)) },
          () => sayings[Math.floor(random() * sayings.length)]!,
        );
        const candidates = [
          {
            notes: all.flatMap((words) => notes(words)) as unknown as readonly [Note, ...Note[]],
            words: '',
            posterior: 1,
          },
        ];
        const told = await one.session.tell({ words: 'all', candidates });
        // Where one is refused or asked about before it is kept, the rest waits or is left.
        if (told.parts.some(({ state }) => state !== 'kept') || told.parts.length < all.length) break;
        for (const words of all) await two.tell(words);
        compared++;
        const bare = async (journal: MemoryJournal) =>
          (await journal.since(0)).entries.map(({ note, acts }) => ({ note, acts }));
        expect(await bare(together)).toEqual(await bare(apart));
        expect([...one.session.book.trees()].map(({ heightFt, logs }) => [heightFt, logs])).toEqual(
          [...two.session.book.trees()].map(({ heightFt, logs }) => [heightFt, logs]),
        );
      }
    }
    expect(compared).toBeGreaterThan(60);
  });
});
