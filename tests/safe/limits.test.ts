/** No entry that a book accepts can hurt it: what lies out of the table of limits is refused at every door. */
import { describe, expect, test } from 'vitest';
import type { Act } from '../../shared/note/acts.ts';
import { type Entry, entrySchema, MemoryJournal } from '../../shared/note/journal.ts';
import { type LimitName, limits, within } from '../../shared/note/limits.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { entryOf } from '../support/entries.ts';

const base = entryOf(1);
const withActs = (...acts: unknown[]): unknown => ({ ...base, acts });
const tree = (fields: object) => withActs({ act: 'tree', id: base.id, fields });
const set = (of: object) => withActs({ act: 'setting', set: of });

describe('an entry is refused', () => {
  test.each<[string, unknown]>([
    ['of 1e9 logs', tree({ logs: 1e9 })],
    ['of 1e300 logs', tree({ logs: 1e300 })],
    ['of a merchantable height of 1e308 feet', tree({ merchFt: 1e308 })],
    ['of a diameter of 1e308 inches', tree({ diameterIn: 1e308 })],
    ['of a diameter of 5e-324 inches', tree({ diameterIn: 5e-324 })],
    ['of a mark of nothing', tree({ marks: [''] })],
    ['of a mark with the signs of a pattern', tree({ marks: ['{}'] })],
    ['of a thousand marks', tree({ marks: Array.from({ length: 1000 }, (_, i) => `mark ${i}`) })],
    ['of more trees alike than stand anywhere', tree({ count: Number.MAX_SAFE_INTEGER })],
    ['of a height whose error is 5e-324', sdOf(5e-324)],
    ['of a height whose error is 1e308', sdOf(1e308)],
    ['of a time that no identity can hold', { ...base, time: 2 ** 48 }],
    ['of the last whole number', { ...base, seq: Number.MAX_SAFE_INTEGER }],
    [
      'of a plot without a radius',
      withActs({
        act: 'plot',
        id: base.id,
        number: 1,
        size: { by: 'radius', length: { value: 0, unit: 'ft' } },
      }),
    ],
    ['of a scatter of 1e308', set({ what: 'scatter', device: 'laser', feet: 1e308 })],
    ['of a supposed error of 5e-324', set({ what: 'deviation', error: 'sightDegrees', value: 5e-324 })],
    ['of a pace of 1e308', set({ what: 'pace', feet: 1e308 })],
    [
      'of a word of two thousand words',
      withActs({ act: 'word', word: Array.from({ length: 2000 }, () => 'a').join(' '), species: 833 }),
    ],
    ['of a word of nine words', withActs({ act: 'word', word: 'a b c d e f g h i', species: 833 })],
    ['of a word that is a pattern', withActs({ act: 'word', word: 'oak | {x=1}', species: 833 })],
    [
      'of a stand whose name is a megabyte long',
      withActs({ act: 'stand', id: base.id, name: 'a'.repeat(1e6), acres: 1 }),
    ],
    ['of a person whose name is a megabyte long', set({ what: 'person', name: 'a'.repeat(1e6) })],
    ['of a person without a name', set({ what: 'person', name: ' ' })],
    ['of a remark of a megabyte', withActs({ act: 'remark', text: 'a'.repeat(1e6), tree: null, plot: null })],
    ['of a hundred thousand acts', withActs(...Array.from({ length: 100_000 }, () => ({ act: 'next' })))],
    ['of numbers that are none', tree({ diameterIn: Number.NaN })],
  ])('%s', (_, entry) => {
    expect(entrySchema.safeParse(base).success).toBe(true);
    expect(entrySchema.safeParse(entry).success).toBe(false);
  });
});

function sdOf(sdFeet: number): unknown {
  const measurement = { method: 'reading', takes: [{ value: 60, unit: 'ft' }], sdFeet };
  return withActs({ act: 'height', id: base.id, tree: null, measurement });
}

describe('a note that is typed', () => {
  test.each([
    ['plot radius 0 feet'],
    ['red oak sixteen inches 1000000000 logs'],
    ['red oak 900000000000 inches'],
    ['plot one tenth acre'],
    ['900000000000000000000 paces'],
    ['tree 99999999999 was sixteen inches'],
    ['laser 9e300'],
  ])('is answered with a sentence and stops nothing: %s', async (words) => {
    const { tell } = await converse();
    const told = await tell(words);
    expect(told.answer.reply).not.toBe('');
    expect(told.answer.reply).not.toMatch(/NaN|Infinity|undefined/);
    expect((await tell('red oak sixteen inches')).answer.state).toBe('kept');
  });
});

describe('a note whose act no book can hold', () => {
  test('is refused with a sentence that names the limit, and nothing of it is kept', async () => {
    const { session } = await converse();
    const note = noteSchema.parse({ kind: 'tree', facts: { species: 833, merch: { value: 99_999 } } });
    const words = 'red oak merchantable 99999 feet';
    const told = await session.tell({ words, candidates: [{ notes: [note], words, posterior: 1 }] });
    expect(told.answer.state).toBe('refused');
    expect(told.answer.reply).toContain('from 0.01 to 10000 feet');
    expect(session.book.entries.length).toBe(0);
  });
});

describe('names that mean something to the language that the program is written in', () => {
  const names = ['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty'];
  test('are names of people, stands, strata and marks like any other', async () => {
    const journal = new MemoryJournal();
    const entries = names.flatMap((name, at): Entry[] => {
      const entry = (step: number, acts: (id: string) => Act[]): Entry => {
        const made = entryOf(4 * at + step, 'd-one');
        return { ...made, acts: acts(made.id), person: name };
      };
      return [
        entry(1, () => [{ act: 'setting', set: { what: 'person', name } }]),
        entry(2, (id) => [{ act: 'stand', id, name, acres: 10 }]),
        entry(3, (id) => [{ act: 'stratum', id, name, acres: 10 }]),
        entry(4, (id) => [{ act: 'tree', id, fields: { species: 833, diameterIn: 12, marks: [name] } }]),
      ];
    });
    await journal.append(entries);
    const { session } = await converse({ journal });
    const { book } = session;
    expect([...book.stands.values()].map(({ name }) => name)).toEqual(names);
    expect([...book.strata.values()].map(({ name }) => name)).toEqual(names);
    expect([...book.trees()].flatMap(({ marks }) => marks)).toEqual(names);
    expect([...book.trees()].map(({ person }) => person)).toEqual(names);
  });
  test('name no device where a list of devices could not hold them', () => {
    expect(entrySchema.safeParse({ ...base, device: '__proto__' }).success).toBe(false);
    const seen = { constructor: 4, toString: 2 };
    expect(entrySchema.parse({ ...base, device: 'constructor', seen }).seen).toEqual(seen);
  });
});

describe('the table of limits', () => {
  test.each(Object.keys(limits) as LimitName[])('%s lets in its ends and nothing beyond', (name) => {
    const { least, most } = limits[name];
    const schema = within(name);
    for (const value of [least, most]) expect(schema.safeParse(value).success).toBe(true);
    for (const value of [least - 1, most * 1.01 + 1, Number.NaN, 1e308, -1e308])
      expect(schema.safeParse(value).success).toBe(false);
  });
});
