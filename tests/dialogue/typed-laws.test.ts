/**
 * Laws of what only typing can tell (species that are not heard, plots by their sides, trees counted from the end, marks
 * and reports mended, prices): taking it back leaves nothing of it, and a breath of several is the same as one after another.
 */
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { withTypedSpecies } from '../../grammar/description/typed-species.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import type { Told } from '../../shared/dialogue/types.ts';
import { MemoryJournal } from '../../shared/note/journal.ts';
import { mostNotes, type Note, type Notes } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';
import { picture } from './book-picture.ts';

/** Invented. Each is read for sure; a test below says so. */
const tells = [
  'my pace is five point three feet',
  'eye height five and a half feet',
  'rimu 14 inches',
  'kauri 30 inches, two logs',
  'holm oak 12',
  'monterey pine 22 inches',
  'red oak 14.2 in, dead, hollow',
  'beech 9 inches',
  'nine paces',
  'plot four, 66 feet by 66 feet',
  'plot one, tenth acre',
  'plot 20 by 20 metres',
  'plot four is 20 by 30 feet',
  'close plot',
  'tree 1 is hollow',
  'tree 1 is alive',
  'tree one is a rimu',
  'tree 2 is dead',
  'tree two was 13 inches',
  'make the rimu 15 inches',
  'the last kauri was 31 inches',
  'price of pine 40 dollars a cord',
  'pulpwood 12 dollars a ton',
  'stand mill lot, nine acres',
  'remark by the brook',
  'next tree',
  'swap the diameters of the last two',
  'second to last was 15',
  'the middle one was a rimu',
  'the 12 was a 13',
  'not the rimu, the kauri',
  'I meant tree two',
  "I'll shoot it again",
  'knocking off at ten past four',
  'beech, nine inches, on the edge at 24 foot 2, does it count',
  'on plot four the beech was 12',
  'the second tree on plot one was 14',
  'no, basswood I meant',
  'make that seven beech',
  'it was a basswood, same size',
  'Wren shoots and I write',
] as const;
const takes = [
  'scratch that',
  'scratch the one before last',
  'scrap the second one',
  'undo that last one, just the one beech',
  'delete the beech on plot four',
  'delete the tree before last',
  'scratch the last two trees',
  'take back the last two beeches',
  'delete the rimu',
  'delete plot four',
  'undo',
  'put it back',
  'restore the beech',
  'restore tree one',
  'restore plot four',
] as const;
type Saying = (typeof tells)[number] | (typeof takes)[number];

const read = new Map<string, Notes>();
beforeAll(() => {
  const understand = withTypedSpecies(understandTyped);
  for (const words of [...tells, ...takes]) {
    const [best] = required(understand(words));
    expect([words, best!.posterior >= takeFrom]).toEqual([words, true]);
    read.set(words, best!.notes);
  }
});
function required<T>(given: { ok: true; value: T } | { ok: false; error: unknown }): T {
  if (!given.ok) throw new Error(String(given.error));
  return given.value;
}

const tellNotes = (one: Conversation, notes: Notes): Promise<Told> =>
  one.session.tell({ words: 'as typed', candidates: [{ notes, words: 'as typed', posterior: 1 }] });
const tell = (one: Conversation, words: Saying): Promise<Told> => tellNotes(one, read.get(words)!);
const sayings = (maxLength: number) =>
  fc.array(fc.constantFrom<Saying[]>(...tells, ...tells, ...takes), { minLength: 1, maxLength });

/** What was told moved the book or a question: every note of the breath is an entry, all of which are taken back together. */
const moved = ({ entry }: Told): boolean =>
  entry !== null && (entry.acts.length > 0 || entry.asks !== undefined || entry.settles !== undefined);

describe('law of what only typing can tell', () => {
  it('undo after it restores state and totals exactly', async () => {
    await fc.assert(
      fc.asyncProperty(
        sayings(20),
        fc.constantFrom<Saying[]>(...tells, ...takes.filter((words) => words !== 'undo')),
        async (before, last) => {
          const one = await converse();
          for (const words of before) await tell(one, words);
          // Of a breath of several notes, undo turns round the last: here each is told by itself.
          for (const note of read.get(last)!) {
            const was = picture(one.session.book);
            const { length } = one.session.book.entries;
            const told = await tellNotes(one, [note]);
            // An answer that lets go what waited behind it is a breath of several notes, too.
            if (!moved(told) || one.session.book.entries.length > length + 1) continue;
            await tell(one, 'undo');
            expect(picture(one.session.book)).toEqual(was);
            await tell(one, 'undo');
          }
        },
      ),
      { numRuns: Number(process.env.STEMSAY_RUNS ?? 120) },
    );
  });

  it('undo and undo again leaves what was typed', async () => {
    await fc.assert(
      fc.asyncProperty(sayings(20), async (said) => {
        const one = await converse();
        for (const words of said) await tell(one, words);
        const was = picture(one.session.book);
        const { answer } = await tell(one, 'undo');
        if (answer.state !== 'refused') await tell(one, 'undo');
        expect(picture(one.session.book)).toEqual(was);
      }),
      { numRuns: Number(process.env.STEMSAY_RUNS ?? 80) },
    );
  });

  it('any sequence of taking back and restoring ends where a replay of the journal ends', async () => {
    await fc.assert(
      fc.asyncProperty(sayings(30), async (said) => {
        const journal = new MemoryJournal();
        const one = await converse({ journal });
        for (const words of said) await tell(one, words);
        const again = await converse({ journal });
        expect(picture(again.session.book)).toEqual(picture(one.session.book));
        one.session.book.replay();
        expect(picture(one.session.book)).toEqual(picture(again.session.book));
      }),
      { numRuns: Number(process.env.STEMSAY_RUNS ?? 80) },
    );
  });

  it('a breath of k notes comes to the same book as k utterances', async () => {
    let compared = 0;
    await fc.assert(
      fc.asyncProperty(sayings(10), sayings(4), async (before, said) => {
        const [first, ...others] = said.flatMap((words): readonly Note[] => read.get(words)!);
        const notes: Notes = [first!, ...others.slice(0, mostNotes - 1)];
        const [together, apart] = [await converse(), await converse()];
        for (const words of before) for (const one of [together, apart]) await tell(one, words);
        const told = await tellNotes(together, notes);
        // Where one is refused or asked about before it is kept, the rest waits or is left.
        if (told.parts.some(({ state }) => state !== 'kept') || told.parts.length < notes.length) return;
        for (const note of notes) await tellNotes(apart, [note]);
        compared++;
        // "Close plot" with none open is refused alone, and behind other notes said to be done: neither does anything.
        const bare = ({ session }: Conversation) =>
          [...session.book.entries]
            .filter(({ acts }) => acts.length > 0)
            .map(({ note, acts }) => ({ note, acts }));
        expect(bare(together)).toEqual(bare(apart));
        expect(picture(together.session.book)).toEqual(picture(apart.session.book));
      }),
      { numRuns: Number(process.env.STEMSAY_RUNS ?? 150) },
    );
    expect(compared).toBeGreaterThan(0);
  });
});
