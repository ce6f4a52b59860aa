/** A book's own table put into another book: nothing that the columns hold is lost, nothing comes twice. */

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, test } from 'vitest';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { openStore } from '../../server/journal/sqlite.ts';
import { createLanguage } from '../../server/language/language.ts';
import { deviceId } from '../../shared/note/journal.ts';
import { writeCsv } from '../../shared/report/files/csv.ts';
import { commandLine, ownFolder } from '../server/terminal.ts';

const folder = ownFolder();
const language = createLanguage();
const stemsay = commandLine(language);

const notes: readonly (readonly [words: string, at?: readonly [latitude: number, longitude: number]])[] = [
  ['my pace is five feet'],
  ['eye height five feet'],
  ['crew robin'],
  ['stand alder hollow, twelve acres'],
  ['stratum ridge, seven acres'],
  ['plot one, tenth acre', [44.2, -71.4]],
  ['slope twenty percent'],
  ['red oak sixteen two, two logs, ten percent defect', [44.2001, -71.4]],
  ['thirteen paces'],
  ['red maple nine, forked'],
  ['close plot'],
  ['plot two, tenth acre', [44.201, -71.401]],
  ['empty plot'],
  ['stratum bottom, five acres'],
  ['plot three, factor ten'],
  ['sugar maple fourteen, dead'],
  ['beech twelve'],
  ['top 60 percent, base minus 5, 80 feet'],
  ['three red maple eight inches'],
  ['nine inch beech, centre at forty feet, in or out'],
  ['close plot'],
  ['red oak ten'],
];

describe('a table put into another book', () => {
  const from = join(folder, 'from.book');
  const csv = join(folder, 'wood.csv');
  const to = join(folder, 'to.book');
  beforeAll(async () => {
    const store = openStore(from);
    if (!store.ok) throw new Error(store.error.sentence);
    // A clock that hardly moves: several notes fall in one millisecond, as they do on a quick machine.
    let told = 0;
    const now = () => 1_780_000_000_000 + Math.floor(told++ / 9);
    const desk = await Desk.open({ store: store.value, language, now });
    for (const [words, at] of notes) {
      const position = at && { latitude: at[0], longitude: at[1], accuracyMetres: 5 };
      const { answer } = await desk.note(words, position);
      expect(answer.state, `${words}: ${answer.reply}`).not.toBe('refused');
    }
    await desk.close();
    writeFileSync(csv, (await stemsay(['export', '--format', 'csv', '--book', from])).out);
  });

  test('gives the same table again, to the last cell', async () => {
    const told = await stemsay(['import', '--book', to, csv]);
    expect(told).toMatchObject({ status: 0, err: '' });
    expect(told.out).toMatch(/: 7 trees and 3 plots added, 0 and 0 were there already\.\n$/);
    const again = (await stemsay(['export', '--format', 'csv', '--book', to])).out;
    expect(parse(again)).toEqual(parse(readFileSync(csv, 'utf8')));
    expect((await stemsay(['totals', '--book', to])).out).toBe(
      (await stemsay(['totals', '--book', from])).out,
    );
    const checked = await stemsay(['check', '--book', to]);
    expect(checked, checked.out + checked.err).toMatchObject({ status: 0 });
  });

  test('brings nothing twice, to the other book or back to its own', async () => {
    for (const book of [to, from]) {
      const before = (await stemsay(['export', '--format', 'csv', '--book', book])).out;
      const told = await stemsay(['import', '--book', book, csv]);
      expect(told.out).toMatch(/: 0 trees and 0 plots added, 7 and 3 were there already\.\n$/);
      expect((await stemsay(['export', '--format', 'csv', '--book', book])).out).toBe(before);
    }
  });

  test('adds to a book that has trees of its own: their numbers go on', async () => {
    const store = new MemoryStore();
    const desk = await Desk.open({ store, language });
    await desk.note('stand mill lot, forty acres');
    await desk.note('red oak twenty');
    const { entriesOfTable } = await import('../../shared/report/files/import-tables.ts');
    const { fromCsv } = await import('../../shared/report/files/read-tables.ts');
    const table = fromCsv(readFileSync(csv, 'utf8'));
    if (!table.ok) throw new Error(table.error);
    let n = 0;
    const entries = entriesOfTable(table.value, {
      known: () => false,
      device: deviceId('table-1'),
      id: () => `01990000-0000-7000-8000-${String(++n).padStart(12, '0')}`,
    });
    if (!entries.ok) throw new Error(entries.error);
    await desk.push(entries.value);
    const { book } = desk.session;
    expect([...book.trees()].map(({ number }) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect([...book.stands.values()].map(({ name }) => name).sort()).toEqual(['alder hollow', 'mill lot']);
    // What this device has in hand stays in its hand.
    expect((await desk.note('red maple ten')).answer.reply).toMatch(/^Tree 9, /);
    expect(book.treeNumbered(9)!.plot).toBeNull();
  });

  test('that cannot be used is refused with its line and column, and nothing is kept', async () => {
    const rows = parse(readFileSync(csv, 'utf8')) as string[][];
    const spoiled = (line: number, column: string, value: string): string => {
      const at = rows[0]!.indexOf(column);
      return writeCsv(rows.map((row, i) => (i === line - 1 ? row.with(at, value) : row)));
    };
    const file = join(folder, 'spoiled.csv');
    const book = join(folder, 'none.book');
    for (const [text, sentence] of [
      [spoiled(5, 'dbh_in', 'thick'), 'Line 5, dbh_in: expected a number, found "thick".'],
      [spoiled(5, 'dbh_in', '-3'), 'Line 5, dbh_in: expected a number above 0, found "-3".'],
      [spoiled(6, 'defect_pct', '140'), 'Line 6, defect_pct: expected a number from 0 to 100, found "140".'],
      [spoiled(5, 'latitude', '95'), 'Line 5, latitude: expected latitude, longitude and accuracy_m'],
      [spoiled(6, 'id', rows[4]![rows[0]!.indexOf('id')]!), 'Line 6, id: the same as on line 5.'],
      [
        spoiled(6, 'plot_id', '01990000-0000-7000-8000-00000000ffff'),
        'Line 6, plot_id: the tree stands on a plot',
      ],
      ['a,b\n1,2\n', 'Expected a stemsay table; its first line lacks the columns'],
      ['record,"open\n', 'Line 1: a quote is opened and never closed.'],
    ] as const) {
      writeFileSync(file, text);
      const told = await stemsay(['import', '--book', book, file]);
      expect(told).toMatchObject({ status: 1, out: '' });
      expect(told.err).toContain(`${file}: ${sentence}`);
    }
    expect(
      (await stemsay(['export', '--format', 'csv', '--book', book])).out.trim().split('\n'),
    ).toHaveLength(1);
  });

  test('brings what was set: rule, form class, nicknames, and of each person the pace; remarks and ways of measuring too', async () => {
    const first = new MemoryStore();
    const desk = await Desk.open({ store: first, language });
    for (const words of [
      'metric',
      'log rule doyle',
      'form class eighty',
      'crew robin',
      'my pace is one hundred and fifty five centimetres',
      'eye height one point six metres',
      'assume sight one degree',
      'crew wren',
      'my pace is one hundred and sixty centimetres',
      'stand alder hollow, eight hectares',
      'plot one, factor two',
      'red oak forty centimetres, two logs',
      'twelve paces, eye one point seven metres',
      'remark fork at six metres',
      'close plot',
    ]) {
      const { answer } = await desk.note(words);
      expect(answer.state, `${words}: ${answer.reply}`).not.toBe('refused');
    }
    const table = desk.export('csv', 'all');
    const rows = parse(table, { columns: true }) as Record<string, string>[];
    const tree = rows.find(({ record }) => record === 'tree')!;
    // 40 cm: 0.12566 square metres, 2 / 0.12566 = 15.9 trees a hectare (geometry).
    expect(tree).toMatchObject({
      dbh_cm: '40',
      basal_area_m2: '0.12566',
      per_ha: '15.915',
      method: 'stick',
      remark: 'fork at six metres',
      log_rule: 'Doyle',
      stand_ha: '8',
    });
    expect(Object.keys(tree).filter((name) => /_(in|ft|ft2|ft3|lb|acres)$|per_acre/.test(name))).toEqual([]);

    const { entriesOfTable } = await import('../../shared/report/files/import-tables.ts');
    const { fromCsv } = await import('../../shared/report/files/read-tables.ts');
    const read = fromCsv(table);
    if (!read.ok) throw new Error(read.error);
    let n = 0;
    const entries = entriesOfTable(read.value, {
      known: () => false,
      device: deviceId('table-1'),
      id: () => `01990000-0000-7000-9000-${String(++n).padStart(12, '0')}`,
    });
    if (!entries.ok) throw new Error(entries.error);
    const second = await Desk.open({ store: new MemoryStore(), language });
    await second.push(entries.value);
    const { settings } = second.session.book;
    expect(settings.now).toMatchObject({ units: 'metres', logRule: 'doyle', formClass: 80 });
    // Whoever takes up the name again has the pace that was that person's own.
    for (const [name, metres] of [
      ['robin', 1.55],
      ['wren', 1.6],
    ] as const) {
      await second.note(`crew ${name}`);
      expect(second.session.settings.pace!.feet * 0.3048).toBeCloseTo(metres, 9);
    }
    await second.note('crew robin');
    expect(second.session.settings.deviations).toMatchObject({ sightDegrees: 1 });
    expect(second.session.book.remarks.map(({ text }) => text)).toEqual(['fork at six metres']);
    const again = parse(second.export('csv', 'all'), { columns: true }) as Record<string, string>[];
    expect(again.find(({ record }) => record === 'tree')).toEqual(tree);
    // Told once more, nothing comes twice.
    const twice = entriesOfTable(read.value, {
      known: () => true,
      device: deviceId('table-2'),
      id: () => '',
    });
    expect(twice.ok && twice.value).toEqual([]);
  });

  test('refuses a setting that is none, with its line', async () => {
    const desk = await Desk.open({ store: new MemoryStore(), language });
    await desk.note('log rule doyle');
    const { fromCsv } = await import('../../shared/report/files/read-tables.ts');
    const spoiled = desk.export('csv', 'all').replace('doyle', 'oldest');
    const read = fromCsv(spoiled);
    expect(read.ok ? null : read.error).toMatch(/^Line 2, setting_value: expected the value of "logRule"/);
  });
});
