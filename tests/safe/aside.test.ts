/** An entry that cannot be worked out is set aside and told; it never stops the others. */
import { describe, expect, test } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { logByLogBoardFeet } from '../../shared/totals/tree-volume.ts';
import { entriesOf, entryOf } from '../support/entries.ts';

/** What no schema lets in, as a program with a fault might have written it. */
function broken(seq: number): Entry {
  const entry = entryOf(seq);
  const fields = JSON.parse('{"species":833,"diameterIn":12,"marks":7}');
  const height = { act: 'height' as const, id: entry.id, tree: entry.id, measurement: entryMeasurement };
  return { ...entry, acts: [{ act: 'tree', id: entry.id, fields }, height] };
}
const entryMeasurement = {
  method: 'reading' as const,
  device: 'laser' as const,
  takes: [{ value: 60, unit: 'ft' as const }],
};

describe('a book with entries that fail', () => {
  test('holds everything else, as if they had never been said', () => {
    const good = entriesOf(20);
    const book = new Book();
    book.applyAll([...good.slice(0, 10), broken(30), ...good.slice(10)].sort((a, b) => a.seq - b.seq));
    book.apply(broken(40));
    book.applyAll(entriesOf(5, 'd-one', 50));
    const plain = new Book();
    plain.applyAll([...good, ...entriesOf(5, 'd-one', 50)]);
    expect([...book.aside.keys()]).toEqual([broken(30).id, broken(40).id]);
    expect([...book.heights()].map(({ id }) => id)).toEqual([...plain.heights()].map(({ id }) => id));
    expect([...book.trees()]).toEqual([]);
    expect(book.entries).toHaveLength(27);
  });
  test('is the same whether they come early, late or again', () => {
    const all = [...entriesOf(10), broken(11), ...entriesOf(10, 'd-one', 12)];
    const forward = new Book();
    forward.applyAll(all);
    const backward = new Book();
    for (const entry of [...all].reverse()) backward.apply(entry);
    backward.apply(broken(11));
    expect([...backward.aside.keys()]).toEqual([...forward.aside.keys()]);
    expect([...backward.heights()].length).toBe([...forward.heights()].length);
  });
  test('costs one replay more, not one for each that fails', () => {
    const all = [...entriesOf(300), ...Array.from({ length: 300 }, (_, i) => broken(301 + i))];
    const book = new Book();
    book.applyAll(all);
    expect(book.aside.size).toBe(300);
  });
});

describe('more logs than a stem has room for', () => {
  test.each(['doyle', 'scribner', 'international'] as const)(
    'hold nothing by %s, and cost no time',
    (rule) => {
      const all = logByLogBoardFeet(rule, 20, 9, 80);
      expect(logByLogBoardFeet(rule, 20, 1e9, 80)).toBeCloseTo(all, 9);
      expect(logByLogBoardFeet(rule, 20, 1e300, 80)).toBeCloseTo(all, 9);
      // No log is thinner than nothing: the sum never rises again above the tip.
      expect(logByLogBoardFeet(rule, 8, 30, 78)).toBeCloseTo(logByLogBoardFeet(rule, 8, 4, 78), 9);
    },
  );
});
