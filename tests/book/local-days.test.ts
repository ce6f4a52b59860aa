/** Days of a book by the clock of those who measured; the sums of hours and minutes are done by hand beside each case. */
import { describe, expect, test } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import { LocalDays } from '../../shared/book/local-days.ts';
import { Session } from '../../shared/dialogue/session.ts';
import { entrySchema, MemoryJournal } from '../../shared/note/journal.ts';
import { ids, tongue } from '../support/conversation.ts';
import { reader } from '../support/language.ts';

const at = (hours: number, minutes = 0): number => Date.UTC(2026, 4, 1, hours, minutes);

async function evening(zone: number, times: readonly number[], lines: readonly string[]) {
  let turn = 0;
  const journal = new MemoryJournal();
  const session = await Session.open(journal, tongue, {
    device: 'device-1',
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
    expect(replies.slice(-2)).toEqual(['1 tree on today.', '2 trees on yesterday.']);
  });

  test('is universal time for entries of before the clock was recorded', async () => {
    const { journal } = await evening(0, [at(23)], ['red oak twelve']);
    const { entries } = await journal.since(0);
    expect(entries[0]).not.toHaveProperty('zone');
    const book = new Book();
    book.applyAll(entries);
    expect(book.days.date(entries[0]!.time)).toBe('2026-05-01');
    expect(book.days.clock(entries[0]!.time)).toBe('23:00');
  });

  test('stays what it was wherever the book is read, and follows a clock that is set forward', () => {
    const days = new LocalDays();
    days.take(at(0), -300);
    days.take(at(6), -240);
    // 05:59 - 5 h = 00:59; 06:00 - 4 h = 02:00
    expect([days.clock(at(5, 59)), days.clock(at(6))]).toEqual(['00:59', '02:00']);
    // 04:30 - 5 h is 23:30 of 30 April
    expect(days.date(at(4, 30))).toBe('2026-04-30');
    // Nepal: 5 h 45 min ahead; 18:20 + 5:45 = 00:05 of the next day
    const east = new LocalDays();
    east.take(at(0), 345);
    expect([east.date(at(18, 20)), east.clock(at(18, 20))]).toEqual(['2026-05-02', '00:05']);
  });

  test('is refused where the clock cannot be: more than 14 hours off', async () => {
    const { journal } = await evening(600, [at(1)], ['red oak twelve']);
    const [entry] = (await journal.since(0)).entries;
    expect(entry!.zone).toBe(600);
    expect(entrySchema.safeParse({ ...entry, zone: 900 }).success).toBe(false);
  });
});
