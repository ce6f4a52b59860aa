/** What an entry may hold, each limit from both sides, and the journal that forgets. */
import { describe, expect, it } from 'vitest';
import {
  type Entry,
  entrySchema,
  fitting,
  journalFormat,
  MemoryJournal,
  momentOf,
  treeOfEntry,
} from '../../shared/note/journal.ts';
import { entriesOf, entryOf, idOf } from '../support/entries.ts';

const entry = entryOf(1);
const fits = (more: Record<string, unknown>): boolean => entrySchema.safeParse({ ...entry, ...more }).success;
const at = (latitude: number, longitude: number): boolean =>
  fits({ position: { latitude, longitude, accuracyMetres: 5 } });

describe('an entry', () => {
  it('is of the second format', () => {
    expect(journalFormat).toBe(2);
  });

  it('holds latitudes to 90 and longitudes to 180 degrees (RFC 7946, WGS 84)', () => {
    expect([at(90, 180), at(-90, -180), at(0, 0), at(89, -179)]).toEqual([true, true, true, true]);
    for (const [latitude, longitude] of [
      [90.1, 0],
      [-90.1, 0],
      [0, 180.1],
      [0, -180.1],
    ] as const)
      expect(at(latitude, longitude)).toBe(false);
  });

  it('holds zones to fourteen hours, the farthest that are in use (IANA, Pacific/Kiritimati)', () => {
    expect([840, -840, 0].map((zone) => fits({ zone }))).toEqual([true, true, true]);
    expect([841, -841, 0.5].map((zone) => fits({ zone }))).toEqual([false, false, false]);
  });

  it('holds shares from nothing to one', () => {
    const posterior = (value: number) => fits({ heard: { margin: 0, posterior: value } });
    expect([0, 1, -0.01, 1.01].map(posterior)).toEqual([true, true, false, false]);
  });

  it('is one of two to eight in a breath, counted from nought', () => {
    const breath = (place: number, of: number) => fits({ breath: { id: entry.id, at: place, of } });
    expect([breath(0, 2), breath(7, 8)]).toEqual([true, true]);
    expect([breath(-1, 2), breath(8, 8), breath(0, 1), breath(0, 9), breath(0.5, 2)]).toEqual(
      Array(5).fill(false),
    );
  });

  it('knows of a thousand other devices at most', () => {
    const seen = (count: number) =>
      Object.fromEntries(Array.from({ length: count }, (_, i) => [`device ${i}`, 1]));
    expect([fits({ seen: seen(1000) }), fits({ seen: seen(1001) })]).toEqual([true, false]);
  });

  it('that fits no book is named by its first wrong field, and nothing of what came with it is taken', () => {
    expect(() => fitting([entry, { ...entry, seq: Number.NaN }])).toThrow(/^No book can hold that \(seq: /);
    expect(() => fitting([null as never])).toThrow(/^No book can hold that \(entry: /);
  });

  it('was said when its clock showed, else at its time; by universal time where no zone is told', () => {
    expect(momentOf({ time: 1000 })).toEqual({ time: 1000, zone: 0 });
    expect(momentOf({ time: 1000, clock: 400, zone: -300 })).toEqual({ time: 400, zone: -300 });
  });

  it('is about the first tree that it began, mended or measured', () => {
    const [one, two] = [idOf(1, 1), idOf(1, 2)];
    const of = (...acts: Entry['acts']) => treeOfEntry({ acts });
    expect(of()).toBeNull();
    expect(of({ act: 'remark', text: 'fork', tree: one, plot: null })).toBeNull();
    const height: Entry['acts'][number] = {
      act: 'height',
      id: idOf(1, 3),
      tree: two,
      measurement: { method: 'reading', takes: [{ value: 60, unit: 'ft' }] },
    };
    expect(of({ act: 'amend', target: two, fields: {} })).toBe(two);
    expect(of({ act: 'tree', id: one, fields: {} }, height)).toBe(one);
    expect(of(height)).toBe(two);
  });
});

describe('the journal that forgets', () => {
  it('adds what is not there yet, and pages by what it has received', async () => {
    const journal = new MemoryJournal();
    const entries = entriesOf(5);
    expect(await journal.since(0)).toEqual({ entries: [], cursor: 0 });
    expect(await journal.append(entries.slice(0, 3))).toEqual({ added: 3, cursor: 3 });
    expect(await journal.append(entries)).toEqual({ added: 2, cursor: 5 });
    const page = await journal.since(1, 2);
    expect(page.cursor).toBe(3);
    expect(page.entries.map(({ id }) => id)).toEqual(entries.slice(1, 3).map(({ id }) => id));
    expect((await journal.since(3)).entries).toHaveLength(2);
    page.entries[0]!.words = 'changed';
    expect((await journal.since(1, 1)).entries[0]!.words).toBe(entries[1]!.words);
  });
});
