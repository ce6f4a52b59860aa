/** The law of late entries: one that comes after its time leaves the book as if it had come in it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import { compareEntries, deviceId, type Entry, MemoryJournal } from '../../shared/note/journal.ts';
import { madeBook } from '../bench/large/made-book.ts';
import { clock, converse, ids } from '../support/conversation.ts';
import { pictureOf } from './picture.ts';

const sayings = [
  'i am robin',
  'i am wren',
  'my pace is five point two feet',
  'my pace is six feet',
  'eye height five foot four',
  'nineteen paces in one hundred feet',
  'stand mill lot, nine acres',
  'stand alder hollow',
  'stratum ridge, four acres',
  'plot one, tenth acre',
  'plot two, factor ten',
  'close plot',
  'red oak fourteen two, two logs',
  'red maple eleven',
  'fir twelve',
  'balsam fir',
  'twelve paces',
  'eleven and a half paces',
  'laser seventy',
  'eighty paces',
  'eight',
  'keep it',
  'make that nine paces',
  'tree one was sixteen inches',
  'scratch that',
  'scratch the last two',
  'undo',
  'put tree one back',
  'next tree',
  'same again',
  'metric',
  'volume by doyle',
  'form class eighty',
  'call sugar maple hard rock',
  'remark fork at twenty feet',
] as const;

interface Turn {
  readonly at: number;
  readonly say: number;
  readonly meet: boolean;
  readonly jump: number;
}

const turn: fc.Arbitrary<Turn> = fc.record({
  at: fc.nat({ max: 2 }),
  say: fc.nat({ max: sayings.length - 1 }),
  meet: fc.boolean(),
  jump: fc.constantFrom(0, 0, 0, 0, -400_000, 90_000_000),
});

/** What three people say, some of it knowing what the others said. */
async function told(turns: readonly Turn[]): Promise<Entry[]> {
  const offs = [0, 0, 0];
  const now = clock(Date.UTC(2026, 9, 1, 8));
  const journals = offs.map(() => new MemoryJournal());
  const people = await Promise.all(
    journals.map((journal, at) =>
      converse({ journal, device: at + 1, id: ids(at + 1), now: () => now() + offs[at]! }),
    ),
  );
  const all = () => people.flatMap(({ session }) => [...session.book.entries]);
  for (const { at, say, meet, jump } of turns) {
    offs[at]! += jump;
    if (meet) {
      await journals[at]!.append(all());
      await people[at]!.session.refresh();
    }
    await people[at]!.tell(sayings[say]!);
  }
  const byId = new Map(all().map((entry) => [entry.id, entry]));
  return [...byId.values()].sort(compareEntries);
}

const inOrder = (entries: readonly Entry[]): Book => {
  const book = new Book();
  book.applyAll(entries);
  return book;
};

const devices = ['device-1', 'device-2', 'device-3'].map(deviceId);

describe('law: an entry that comes late', () => {
  it('of three people who met now and then leaves the same book as in its time, however many come at once', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(turn, { minLength: 4, maxLength: 60 }),
        fc.array(fc.nat({ max: 2 }), { minLength: 4, maxLength: 12 }),
        async (turns, comings) => {
          const entries = await told(turns);
          const picture = pictureOf(inOrder(entries), devices);
          // Each phone comes home with what it said, in its own order, part by part.
          const left = devices.map((device) => entries.filter((entry) => entry.device === device));
          const book = new Book();
          for (const at of comings) book.applyAll(left[at]!.splice(0, 1 + (left[at]!.length >> 1)));
          for (const rest of left) for (const entry of rest) book.apply(entry);
          expect(pictureOf(book, devices)).toEqual(picture);
        },
      ),
      {
        numRuns: 150,
        // Two trees of one size, of which the earlier came late.
        examples: [
          [
            [
              [0, 12],
              [1, 14],
              [0, 24],
              [0, 14],
              [0, 0],
            ].map(([at, say]) => ({ at: at!, say: say!, meet: false, jump: 0 })),
            [0, 0, 0, 0],
          ],
        ],
      },
    );
  });

  it('in any order at all leaves the same book', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(turn, { minLength: 4, maxLength: 25 }),
        fc.infiniteStream(fc.nat()),
        async (turns, draws) => {
          const entries = await told(turns);
          const shuffled = entries
            .map((entry) => ({ entry, draw: draws.next().value as number }))
            .sort((a, b) => a.draw - b.draw)
            .map(({ entry }) => entry);
          const book = new Book();
          for (const entry of shuffled) book.apply(entry);
          expect(pictureOf(book, devices)).toEqual(pictureOf(inOrder(entries), devices));
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('a phone that comes home', () => {
  const entries = [...madeBook(3000)];
  const phones = ['p-robin', 'p-wren', 'p-jay'].map(deviceId);

  it('with a day among the days of others leaves the book of all in their order, and nothing was played again', () => {
    const [own, others] = [true, false].map((mine) =>
      entries.filter(({ device, time }) => (device === 'p-jay' && time > entries[40]!.time) === mine),
    );
    const book = inOrder(others!);
    let replays = 0;
    const { replay } = book;
    book.replay = () => {
      replays++;
      replay.call(book);
    };
    for (let from = 0; from < own!.length; from += 100) book.applyAll(own!.slice(from, from + 100));
    expect(replays).toBe(0);
    expect(pictureOf(book, phones)).toEqual(pictureOf(inOrder(entries), phones));
  });
});
