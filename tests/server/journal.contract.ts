/**
 * The acceptance suite of the Journal interface: every implementation runs it from its own test file,
 * `journalContract('SQLite', { open, reopen })`. It needs no Node API, so that it also runs in a page.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compareEntries, type Entry, type Journal } from '../../shared/note/journal.ts';
import { entriesOf, entryOf } from '../support/entries.ts';

export interface JournalMaker {
  /** A new, empty journal. */
  open(): Promise<Journal>;
  /** Closes it as a program would and opens the same one again; missing where a journal forgets. */
  reopen?: (journal: Journal) => Promise<Journal>;
  /** How many random histories the laws try; fewer where opening is slow. */
  runs?: number;
}

async function all(journal: Journal, page?: number): Promise<Entry[]> {
  const read: Entry[] = [];
  for (let cursor = 0; ; ) {
    const part = await journal.since(cursor, page);
    if (part.entries.length === 0) return read;
    read.push(...part.entries);
    cursor = part.cursor;
  }
}

export function journalContract(name: string, maker: JournalMaker): void {
  describe(`a journal in ${name}`, () => {
    const using = async (work: (journal: Journal) => Promise<Journal | undefined>) => {
      const opened = await maker.open();
      const last = (await work(opened)) ?? opened;
      await last.close();
    };

    test('begins empty, at cursor 0', () =>
      using(async (journal) => {
        expect(await journal.since(0)).toEqual({ entries: [], cursor: 0 });
        return undefined;
      }));

    test('gives back what was appended, field for field, in order of receipt', () =>
      using(async (journal) => {
        const entries = entriesOf(13).reverse();
        const { added } = await journal.append(entries);
        expect(added).toBe(13);
        expect((await journal.since(0)).entries).toEqual(entries);
        return undefined;
      }));

    test('the cursor of an append is the cursor at which nothing more comes', () =>
      using(async (journal) => {
        await journal.append(entriesOf(3));
        const { cursor } = await journal.append([entryOf(4)]);
        expect(await journal.since(cursor)).toEqual({ entries: [], cursor });
        expect((await journal.since(0)).cursor).toBe(cursor);
        return undefined;
      }));

    test('an append of nothing adds nothing and still tells the cursor', () =>
      using(async (journal) => {
        const before = await journal.append(entriesOf(2));
        expect(await journal.append([])).toEqual({ added: 0, cursor: before.cursor });
        return undefined;
      }));

    test('the same entry twice, in one batch or in two, is kept once and is no error', () =>
      using(async (journal) => {
        const [a, b] = [entryOf(1), entryOf(2)];
        expect((await journal.append([a, b, a])).added).toBe(2);
        expect((await journal.append([b, a])).added).toBe(0);
        expect(await all(journal)).toEqual([a, b]);
        return undefined;
      }));

    // RFC 9562, section 4: an identity is the same in capitals, and is written in small letters.
    test('an identity in capitals is the same identity, and is given back in small letters', () =>
      using(async (journal) => {
        const small = entryOf(1);
        const loud: Entry = {
          ...small,
          id: small.id.toUpperCase(),
          settles: small.id.toUpperCase(),
          acts: [{ act: 'retract', targets: [small.id.toUpperCase()] }],
        };
        expect((await journal.append([loud, small])).added).toBe(1);
        expect((await journal.append([small])).added).toBe(0);
        const [kept] = await all(journal);
        expect(kept).toMatchObject({
          id: small.id,
          settles: small.id,
          acts: [{ act: 'retract', targets: [small.id] }],
        });
        return undefined;
      }));

    test('the first to arrive under an id stays; a different entry under it changes nothing', () =>
      using(async (journal) => {
        const first = entryOf(1);
        await journal.append([first]);
        expect((await journal.append([{ ...first, words: 'something else' }])).added).toBe(0);
        expect(await all(journal)).toEqual([first]);
        return undefined;
      }));

    test('since gives only what came after the cursor, however old its time', () =>
      using(async (journal) => {
        const { cursor } = await journal.append(entriesOf(3, 'd-one', 10));
        const late = entryOf(1, 'd-two', 5);
        await journal.append([late]);
        expect((await journal.since(cursor)).entries).toEqual([late]);
        return undefined;
      }));

    test('pages of any size together give everything once', () =>
      using(async (journal) => {
        const entries = entriesOf(11);
        await journal.append(entries);
        for (const page of [1, 2, 5, 11, 100]) expect(await all(journal, page)).toEqual(entries);
        return undefined;
      }));

    test('a cursor beyond the end gives nothing and stays', () =>
      using(async (journal) => {
        await journal.append(entriesOf(2));
        expect(await journal.since(99)).toEqual({ entries: [], cursor: 99 });
        return undefined;
      }));

    test('changing an entry after it was appended or read changes nothing in the journal', () =>
      using(async (journal) => {
        const entry = entryOf(1);
        const as = structuredClone(entry);
        await journal.append([entry]);
        entry.words = 'changed';
        const [read] = (await journal.since(0)).entries;
        expect(read).toEqual(as);
        read!.words = 'changed too';
        expect(await all(journal)).toEqual([as]);
        return undefined;
      }));

    test('a batch with one entry that is none is refused whole: a NaN never enters a book', () =>
      using(async (journal) => {
        const wrong = { ...entryOf(2), note: { kind: 'number', value: Number.NaN } } as Entry;
        await expect(journal.append([entryOf(1), wrong, entryOf(3)])).rejects.toThrow();
        expect(await all(journal)).toEqual([]);
        return undefined;
      }));

    test('awkward words come back as they were', () =>
      using(async (journal) => {
        const words = ['"', "'; DROP TABLE entries; --", '\\u0000', '’5′ 6″', '🌲', 'a\r\nb\tc', ' '];
        const entries = words.map((text, index) => ({ ...entryOf(index + 1), words: text }));
        await journal.append(entries);
        expect(await all(journal)).toEqual(entries);
        return undefined;
      }));

    test('appends that run at once are all kept, none twice', () =>
      using(async (journal) => {
        const entries = entriesOf(40);
        await Promise.all(entries.map((entry) => journal.append([entry])));
        expect((await all(journal)).sort(compareEntries)).toEqual(entries);
        return undefined;
      }));

    test('law: whatever is pushed, how often and in what batches, each entry is there once', async () => {
      const pool = entriesOf(12).concat(entriesOf(12, 'd-two'));
      const batch = fc.array(fc.integer({ min: 0, max: pool.length - 1 }), { maxLength: 6 });
      await fc.assert(
        fc.asyncProperty(fc.array(batch, { maxLength: 6 }), async (batches) => {
          const journal = await maker.open();
          const first: Entry[] = [];
          for (const indices of batches) {
            const entries = indices.map((index) => pool[index]!);
            await journal.append(entries);
            for (const entry of entries) if (!first.includes(entry)) first.push(entry);
          }
          expect(await all(journal, 4)).toEqual(first);
          await journal.close();
        }),
        { numRuns: maker.runs ?? 30 },
      );
    });

    test('closing twice is no error', async () => {
      const journal = await maker.open();
      await journal.close();
      await journal.close();
    });

    const { reopen } = maker;
    if (reopen === undefined) return;

    test('everything is there after it was closed and opened again, and cursors go on', () =>
      using(async (journal) => {
        const { cursor } = await journal.append(entriesOf(5));
        const again = await reopen(journal);
        expect(await all(again)).toEqual(entriesOf(5));
        const next = await again.append([entryOf(2), entryOf(6)]);
        expect(next.added).toBe(1);
        expect((await again.since(cursor)).entries).toEqual([entryOf(6)]);
        return again;
      }));
  });
}
