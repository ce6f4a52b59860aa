/** Days of a book by the clock of those who measured; the sums of hours and minutes are done by hand beside each case. */

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { clockOf, dateOf } from '../../shared/core/moment.ts';
import { Session } from '../../shared/dialogue/session.ts';
import { deviceId, type Entry, entrySchema, MemoryJournal, momentOf } from '../../shared/note/journal.ts';
import { limits } from '../../shared/note/limits.ts';
import { ids, tongue } from '../support/conversation.ts';
import { reader } from '../support/language.ts';

const at = (hours: number, minutes = 0): number => Date.UTC(2026, 4, 1, hours, minutes);

async function evening(zone: number, times: readonly number[], lines: readonly string[]) {
  let turn = 0;
  const journal = new MemoryJournal();
  const session = await Session.open(journal, tongue, {
    device: deviceId('device-1'),
    now: () => times[Math.min(turn, times.length - 1)]!,
    zone: () => zone,
    id: ids(),
  });
  const replies: string[] = [];
  for (const words of lines) {
    const read = reader.read(words);
    if (!read.ok) throw new Error(read.error.message);
    const candidates = read.value.map(({ notes, posterior }) => ({ notes, words, posterior }));
    replies.push((await session.tell({ words, candidates })).answer.reply);
    turn++;
  }
  return { session, journal, replies };
}

describe('a day of the book', () => {
  test('ends at midnight of the place, not of universal time', async () => {
    // Five hours west: 03:30 and 04:30 universal time are 22:30 and 23:30 of the day before; 05:30 is half past midnight.
    const { replies } = await evening(
      -300,
      [at(3, 30), at(4, 30), at(5, 30), at(5, 40), at(5, 41)],
      [
        'red oak twelve',
        'red oak thirteen',
        'red oak fourteen',
        'how many trees today',
        'how many trees yesterday',
      ],
    );
    expect(replies.slice(-2)).toEqual(['1 tree today.', '2 trees yesterday.']);
  });

  test('is universal time for entries of before the clock was recorded', async () => {
    const { journal } = await evening(0, [at(23)], ['red oak twelve']);
    const { entries } = await journal.since(0);
    expect(entries[0]).not.toHaveProperty('zone');
    expect(dateOf(momentOf(entries[0]!))).toBe('2026-05-01');
    expect(clockOf(momentOf(entries[0]!))).toBe('23:00');
  });

  test('stays what it was wherever the book is read, and follows a clock that is set forward', () => {
    // 05:59 - 5 h = 00:59; 06:00 - 4 h = 02:00
    expect(clockOf({ time: at(5, 59), zone: -300 })).toBe('00:59');
    expect(clockOf({ time: at(6), zone: -240 })).toBe('02:00');
    // 04:30 - 5 h is 23:30 of 30 April
    expect(dateOf({ time: at(4, 30), zone: -300 })).toBe('2026-04-30');
    // Nepal: 5 h 45 min ahead; 18:20 + 5:45 = 00:05 of the next day
    const east = { time: at(18, 20), zone: 345 };
    expect([dateOf(east), clockOf(east)]).toEqual(['2026-05-02', '00:05']);
  });

  test('is refused where the clock cannot be: more than 14 hours off', async () => {
    const { journal } = await evening(600, [at(1)], ['red oak twelve']);
    const [entry] = (await journal.since(0)).entries;
    expect(entry!.zone).toBe(600);
    expect(entrySchema.safeParse({ ...entry, zone: 900 }).success).toBe(false);
  });
});

const year = 365 * 86_400_000;
const minute = 60_000;

/** A minute more at every look. */
function ticking(time: number): () => number {
  return () => {
    time += minute;
    return time;
  };
}

/** A phone that knows what the others said as far as it was told, with a clock of its own. */
async function phone(device: number, clock: () => number) {
  const journal = new MemoryJournal();
  const session = await Session.open(journal, tongue, {
    device: deviceId(`device-${device}`),
    now: clock,
    zone: () => 0,
    id: ids(device),
  });
  return {
    session,
    async tell(words: string): Promise<Entry> {
      const read = reader.read(words);
      if (!read.ok) throw new Error(read.error.message);
      const candidates = read.value.map(({ notes, posterior }) => ({ notes, words, posterior }));
      return (await session.tell({ words, candidates })).entry!;
    },
    async take(entries: readonly Entry[]): Promise<void> {
      await journal.append(entries);
      await session.refresh();
    },
  };
}

describe('a clock that is wrong', () => {
  test('by a year on one phone drags the days of no other along, and what follows still follows', async () => {
    const tick = ticking(at(9));
    const wrong = await phone(1, () => tick() + year);
    const right = await phone(2, tick);
    const ahead = await wrong.tell('red oak fourteen inches');
    await right.take([ahead]);
    const after = await right.tell('tree one was sixteen inches');
    // Behind what it mends, with its own hour of its own day.
    expect(after.time).toBe(ahead.time + 1);
    expect(dateOf(momentOf(after))).toBe('2026-05-01');
    expect(clockOf(momentOf(after))).toBe('09:02');
    expect(right.session.book.treeNumbered(1)?.diameterIn).toBe(16);
    await right.tell('red maple twelve inches');
    expect(right.session.book.treeNumbered(2)).toMatchObject({ time: at(9, 3) });
    const trees = (day: number) => totalsOf(right.session.book).trees({ day }).value;
    expect([trees(20_574), trees(20_574 + 365)]).toEqual([1, 1]);
  });

  test('that is set back a year in the middle of a day, and forward again, changes no order and loses no note', async () => {
    const tick = ticking(at(10));
    let off = 0;
    const one = await phone(1, () => tick() + off);
    const said = [await one.tell('red oak fourteen inches')];
    off = -year;
    said.push(await one.tell('make that fifteen inches'), await one.tell('red maple ten inches'));
    off = 0;
    said.push(await one.tell('beech eleven inches'));
    expect(said.map(({ seq }) => seq)).toEqual([1, 2, 3, 4]);
    expect([...one.session.book.entries].map(({ id }) => id)).toEqual(said.map(({ id }) => id));
    // Each with what its clock showed; only those of the wrong clock need to say so.
    expect(said.map((entry) => dateOf(momentOf(entry)))).toEqual([
      '2026-05-01',
      '2025-05-01',
      '2025-05-01',
      '2026-05-01',
    ]);
    expect(said.map((entry) => 'clock' in entry)).toEqual([false, true, true, false]);
    expect([...one.session.book.trees()].map(({ diameterIn }) => diameterIn)).toEqual([15, 10, 11]);
    expect(said.every((entry) => entrySchema.safeParse(entry).success)).toBe(true);
  });

  test('at the last moment of the year 9999 stops nobody from speaking', async () => {
    const last = limits.time.most;
    const end = await phone(1, () => last);
    const other = await phone(2, ticking(at(8)));
    await other.take([await end.tell('red oak fourteen inches')]);
    for (const words of ['red maple twelve inches', 'make that thirteen inches', 'how many trees'])
      expect(dateOf(momentOf(await other.tell(words)))).toBe('2026-05-01');
    expect(other.session.book.treeNumbered(2)?.diameterIn).toBe(13);
  });
});

describe('law: whatever the clocks show', () => {
  const steps = fc.array(
    fc.record({
      at: fc.nat({ max: 2 }),
      say: fc.nat({ max: 5 }),
      off: fc.constantFrom(0, 0, 0, year, -year, 7 * minute, -30 * minute),
      meet: fc.boolean(),
    }),
    { minLength: 2, maxLength: 25 },
  );
  const sayings = [
    'red oak fourteen inches',
    'red maple eleven inches',
    'make that twelve inches',
    'stick spans, seventy feet',
    'scratch that',
    'plot one, tenth acre',
  ];

  test('all phones come to one book, in an order in which each knew what it had heard, and every day is that of its own clock', async () => {
    await fc.assert(
      fc.asyncProperty(steps, async (turns) => {
        let now = at(7);
        const offs = [0, 0, 0];
        const phones = await Promise.all([0, 1, 2].map((each) => phone(each + 1, () => now + offs[each]!)));
        const shown = new Map<string, number>();
        const before = new Map<string, number>();
        const all = () => phones.flatMap(({ session }) => [...session.book.entries]);
        for (const turn of turns) {
          now += minute;
          offs[turn.at] = turn.off;
          const one = phones[turn.at]!;
          if (turn.meet) await one.take(all());
          const known = one.session.book.entries.length;
          const entry = await one.tell(sayings[turn.say]!);
          if (entry === null) continue;
          shown.set(entry.id, now + turn.off);
          before.set(entry.id, known);
        }
        for (const one of phones) await one.take(all());
        const [first, ...others] = phones.map(({ session }) => session.book);
        const order = [...first!.entries].map(({ id }) => id);
        for (const other of others) {
          expect([...other.entries].map(({ id }) => id)).toEqual(order);
          expect([...other.trees()]).toEqual([...first!.trees()]);
        }
        for (const [place, entry] of [...first!.entries].entries()) {
          // At least as many lie before it as its phone knew: none of those may come later.
          expect(place).toBeGreaterThanOrEqual(before.get(entry.id)!);
          expect(momentOf(entry).time).toBe(shown.get(entry.id));
        }
      }),
      { numRuns: 60 },
    );
  });
});
