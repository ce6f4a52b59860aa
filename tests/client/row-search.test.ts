/** The rows of the Book: what a search finds, and that it finds the same in slices as at once. */

import { describe, expect, test } from 'vitest';
import { type BookFilter, RowSearch, speakersOf } from '../../client/screens/row-search.ts';
import { Book } from '../../shared/book/book.ts';
import { deviceId } from '../../shared/note/journal.ts';
import { madeBook } from '../bench/large/made-book.ts';

const book = new Book();
book.applyAll(madeBook(800));

const search = (filter: BookFilter) => new RowSearch(book, deviceId('p-robin'), filter, speakersOf(book));
const plot = [...book.plots()][3];

describe('a search through the book', () => {
  test.each<[string, BookFilter]>([
    ['everything', {}],
    ['words', { find: 'sugar map' }],
    ['who said it', { find: 'wren' }],
    ['a plot', plot === undefined ? {} : { plot: plot.id }],
    ['a species', { species: 318 }],
    ['what is in doubt', { doubt: true }],
    ['nothing', { find: 'no such words' }],
  ])('in slices finds what it finds at once: %s', (_, filter) => {
    const whole = search(filter);
    whole.lookOn(Number.POSITIVE_INFINITY, () => false);
    const sliced = search(filter);
    let slices = 0;
    for (; !sliced.isDone(Number.POSITIVE_INFINITY); slices++)
      sliced.lookOn(Number.POSITIVE_INFINITY, () => true);
    expect(sliced.rows).toEqual(whole.rows);
    expect(slices).toBeGreaterThan(10);
  });

  test('ends with as many rows as are wanted, the newest', () => {
    const few = search({});
    few.lookOn(5, () => false);
    expect(few.rows.map(({ entry }) => entry.id)).toEqual(
      [...book.entries.slice(-5)].reverse().map(({ id }) => id),
    );
    expect(few.isDone(5)).toBe(true);
    expect(few.isDone(6)).toBe(false);
  });

  test('knows words by their beginnings, of what was said, of what stands, and of who said it', () => {
    const found = search({ find: 'rob map' });
    found.lookOn(Number.POSITIVE_INFINITY, () => false);
    expect(found.rows.length).toBeGreaterThan(3);
    for (const { who, entry, stands } of found.rows)
      expect(`${who} ${entry.words} ${stands}`).toMatch(/robin.* map/);
  });
});
