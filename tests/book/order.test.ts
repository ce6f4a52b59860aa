/** The order of entries: the same on every device, whatever the order in which they arrive. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import { compareEntries, deviceId, type Entry, momentOf, treeOfEntry } from '../../shared/note/journal.ts';
import { idOf } from '../support/entries.ts';

let made = 0;
/** A remark of a device. */
const remark = (device: string, seq: number, time: number): Entry => {
  const text = `${device} ${seq}`;
  return {
    id: idOf(77, ++made),
    device: deviceId(device),
    seq,
    time,
    words: text,
    note: { kind: 'remark', text },
    grammar: 'test',
    acts: [{ act: 'remark', text, tree: null, plot: null }],
  };
};
const said = (entries: readonly Entry[]): string[] => entries.map(({ words }) => words);
const sorted = (...entries: Entry[]): string[] => said([...entries].sort(compareEntries));
const told = (entries: readonly Entry[]): string[] => {
  const book = new Book();
  book.applyAll(entries);
  return book.remarks.map(({ text }) => text);
};

describe('entries are in order', () => {
  it('by their time first', () => {
    expect(sorted(remark('a', 2, 2000), remark('b', 1, 1000))).toEqual(['b 1', 'a 2']);
    expect(compareEntries(remark('a', 1, 1000), remark('z', 9, 1001))).toBeLessThan(0);
  });

  it('of one millisecond by the device, as its name stands in the alphabet, whatever their numbers', () => {
    expect(sorted(remark('b', 1, 1000), remark('a', 9, 1000), remark('c', 5, 1000))).toEqual([
      'a 9',
      'b 1',
      'c 5',
    ]);
    expect(compareEntries(remark('a', 9, 1000), remark('b', 1, 1000))).toBeLessThan(0);
    expect(compareEntries(remark('b', 1, 1000), remark('a', 9, 1000))).toBeGreaterThan(0);
  });

  it('of one millisecond and one device by their number, nine before ten', () => {
    expect(sorted(remark('a', 10, 1000), remark('a', 9, 1000), remark('a', 2, 1000))).toEqual([
      'a 2',
      'a 9',
      'a 10',
    ]);
    expect(compareEntries(remark('a', 3, 1000), remark('a', 3, 1000))).toBe(0);
  });

  it('and the book holds them so, in whatever order they come', () => {
    const place = fc.record({
      device: fc.constantFrom('a', 'b', 'c'),
      time: fc.integer({ min: 1000, max: 1004 }),
    });
    fc.assert(
      fc.property(fc.array(place, { maxLength: 12 }), fc.infiniteStream(fc.nat()), (places, keys) => {
        const counts = new Map<string, number>();
        // A device numbers what it says in the order of its own time.
        const entries = [...places]
          .sort((x, y) => x.time - y.time)
          .map(({ device, time }) => {
            const seq = (counts.get(device) ?? 0) + 1;
            counts.set(device, seq);
            return remark(device, seq, time);
          });
        const shuffled = entries
          .map((entry) => ({ entry, key: keys.next().value as number }))
          .sort((x, y) => x.key - y.key)
          .map(({ entry }) => entry);
        expect(told(shuffled)).toEqual(said([...entries].sort(compareEntries)));
      }),
      { numRuns: 60 },
    );
  });
});

describe('the moment of an entry', () => {
  it('is that of its own clock, else its place in the order; without a zone it is universal time', () => {
    expect(momentOf({ time: 5000 })).toEqual({ time: 5000, zone: 0 });
    expect(momentOf({ time: 5000, clock: 3000, zone: -240 })).toEqual({ time: 3000, zone: -240 });
  });
});

describe('the tree of an entry', () => {
  it('is the one that it began, mended or measured', () => {
    const id = idOf(5, 5);
    expect(treeOfEntry({ acts: [{ act: 'tree', id, fields: {} }] })).toBe(id);
    expect(treeOfEntry({ acts: [{ act: 'amend', target: id, fields: {} }] })).toBe(id);
    const measurement = { method: 'reading' as const, takes: [{ value: 60 }] };
    expect(treeOfEntry({ acts: [{ act: 'height', id: idOf(6, 6), tree: id, measurement }] })).toBe(id);
    expect(treeOfEntry({ acts: [{ act: 'remark', text: 'x', tree: id, plot: null }] })).toBeNull();
  });
});
