import { execFile, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'csv-parse/sync';
import { describe, expect, test } from 'vitest';
import { openStore } from '../../server/journal/sqlite.ts';
import { writeWav } from '../../server/speech/audio.ts';
import { answerSchema } from '../../shared/wire.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { fakeHearing, fakeLanguage } from '../support/fakes.ts';
import { openRaw } from '../support/sqlite.ts';
import { commandLine, ownFolder } from './terminal.ts';

const folder = ownFolder();
let files = 0;
const fresh = (ending = 'book') => join(folder, `${files++}.${ending}`);

const stemsay = commandLine(fakeLanguage, fakeHearing);

/** A book with a pace, a height and a tree. */
async function bookOf(...notes: string[]): Promise<string> {
  const book = fresh();
  await stemsay(['note', '--book', book], `${notes.join('\n')}\n`);
  return book;
}
const usual = () => bookOf('pace is five feet', 'nine paces', 'red oak sixteen inches');

describe('note', () => {
  test('answers the words it was given', async () => {
    const { status, answers, err } = await stemsay(['note', '--json', 'nine paces']);
    expect(answers()).toHaveLength(1);
    expect(answers()[0]).toMatchObject({ words: 'nine paces', note: { kind: 'height' }, heard: null });
    expect([status, err]).toEqual([0, '']);
  });

  test('answers one line after another on one book, one answer a line', async () => {
    const { status, answers } = await stemsay(['note', '--json'], 'pace is five feet\nnine paces\n');
    expect(answers().map((answer) => answer.state)).toEqual(['kept', 'kept']);
    // 9 paces x 5 ft + eye 5 ft.
    expect(answers()[1]?.height).toMatchObject({ feet: 50, metres: 15.24, method: 'stick' });
    expect(status).toBe(0);
  });

  test('keeps one answer a line when a line is empty, unreadable, too long or without its end', async () => {
    const lines = ['nine paces', '', 'purple', 'x'.repeat(3000), 'nine paces'];
    const { status, answers } = await stemsay(['note', '--json'], lines.join('\r\n'));
    expect(answers().map((answer) => answer.state === 'refused')).toEqual([false, true, true, true, false]);
    expect(answers()[3]?.reply).toContain('2000');
    expect(status).toBe(1);
  });

  test('says plain sentences without --json', async () => {
    const { out } = await stemsay(['note'], 'pace is five feet\nnine paces\n');
    expect(out.split('\n')[1]).toMatch(/^50 feet/);
  });

  test('goes on in the book of the last time', async () => {
    const book = await bookOf('pace is five feet');
    const { answers } = await stemsay(['note', '--json', '--book', book, 'nine paces']);
    expect(answers()[0]?.height?.feet).toBe(50);
  });
});

describe('hear', () => {
  const tone = Float32Array.from({ length: 8000 }, (_, at) => 0.3 * Math.sin(at / 10));
  const clip = fresh('wav');
  writeFileSync(clip, writeWav(tone));

  test('answers clips and lists of clips in their order', async () => {
    const list = fresh('txt');
    writeFileSync(list, `${clip}\n\n${clip}\n`);
    const { status, answers } = await stemsay(['hear', '--json', clip, '--list', list]);
    expect(answers().map((answer) => answer.words)).toEqual(['nine paces', 'nine paces', 'nine paces']);
    expect(answers()[0]?.heard).toEqual({ margin: 0.1, posterior: 0.95 });
    expect(status).toBe(0);
  });

  test('refuses what is no clip with its path, and hears the others', async () => {
    const text = fresh('wav');
    writeFileSync(text, 'no sound');
    const { status, answers } = await stemsay(['hear', '--json', text, join(folder, 'none.wav'), clip]);
    expect(answers().map((answer) => answer.state)).toEqual(['refused', 'refused', 'asking']);
    expect(answers()[0]?.reply).toContain(text);
    expect(answers()[1]?.reply).toContain('none.wav');
    expect(status).toBe(1);
  });

  test('tells how far a long list is, not on standard output', async () => {
    const { out, err } = await stemsay(['hear', '--json', '--list', '-'], `${clip}\n`.repeat(25));
    expect(err).toContain('25 of 25 heard');
    expect(out).not.toContain('of 25');
  });
});

describe('a written session', () => {
  test('is told note by note, remarks and earlier answers passed over', async () => {
    const file = join(folder, 'session.txt');
    writeFileSync(file, '# a remark\npace is five feet\n  an earlier answer\n\nnine paces\n');
    const told = await stemsay(['note', '--list', file]);
    expect(told.lines.map((line) => line.split(',')[0])).toEqual([
      'pace is five feet',
      '  Pace 5 feet',
      'nine paces',
      '  50 feet',
    ]);
    expect((await stemsay(['note', '--list', file, 'nine paces'])).status).toBe(2);
  });
});

describe('a book', () => {
  test('can be totalled, doubted, reported and exported', async () => {
    const book = await usual();
    expect((await stemsay(['totals', '--book', book])).lines[0]).toMatch(/^Trees: .*1/);
    expect(JSON.parse((await stemsay(['totals', '--json', '--book', book])).out).answers[0].about).toBe(
      'trees',
    );
    expect((await stemsay(['doubts', '--book', book])).status).toBe(0);
    const report = await stemsay(['report', '--book', book]);
    expect(report.out).toContain('never a felling clearance');
    expect(report.out).toMatch(/northern red oak +16\.0/);
    const page = await stemsay(['report', '--format', 'html', '--book', book]);
    expect(page.out).toMatch(/^<!doctype html>/);
    expect(page.out).not.toMatch(/https?:/);
    const file = `${book}.html`;
    const saved = await stemsay(['report', '--book', book, '--out', file]);
    expect(saved.out).toBe(`The report is in ${file}.\n`);
    expect(readFileSync(file, 'utf8').slice(0, 15)).toBe('<!doctype html>');
    const nowhere = await stemsay(['report', '--book', book, '--out', `${book}/no/such.html`]);
    expect([nowhere.status, nowhere.err]).toEqual([1, expect.stringContaining('cannot be written')]);
    const csv = await stemsay(['export', '--format', 'csv', '--book', book]);
    const rows = parse(csv.out, { columns: true }) as Record<string, string>[];
    // What was set comes behind, a row each.
    expect(rows.filter(({ record }) => record === 'setting').map(({ setting }) => setting)).toEqual([
      'pace',
      'eye',
    ]);
    expect(
      rows.filter(({ record }) => record === 'tree').map((row) => [row.record, row.species_fia, row.dbh_in]),
    ).toEqual([['tree', '833', '16']]);
    expect(
      JSON.parse((await stemsay(['export', '--format', 'geojson', '--book', book])).out).features,
    ).toHaveLength(1);
  });

  test('moves to another file through its JSON export, whole and once', async () => {
    const book = await usual();
    const file = fresh('json');
    writeFileSync(file, (await stemsay(['export', '--format', 'json', '--book', book])).out);
    const copy = fresh();
    expect((await stemsay(['import', '--book', copy, file])).out).toContain('3 entries added, 0 were there');
    expect((await stemsay(['import', '--book', copy, file])).out).toContain('0 entries added, 3 were there');
    expect((await stemsay(['export', '--format', 'json', '--book', copy])).out).toBe(
      readFileSync(file, 'utf8'),
    );
  });

  test('that is sound is checked as such', async () => {
    const { status, out } = await stemsay(['check', '--book', await usual()]);
    expect(out).toBe('3 entries of 1 device, 3 read again: nothing wrong.\n');
    expect(status).toBe(0);
  });

  test('that is not sound is checked line by line: gap, double, order, words, targets, rows', async () => {
    const book = fresh();
    const store = openStore(book);
    if (!store.ok) throw new Error(store.error.sentence);
    const [one, , three, four, five] = entriesOf(5);
    const other = entryOf(90).id;
    await store.value.append([
      one!,
      { ...three!, time: one!.time },
      { ...four!, seq: 3 },
      { ...five!, seq: 4, acts: [{ act: 'retract', targets: [other] }] },
      { ...entryOf(1, 'd-two'), grammar: 'fake', words: 'pace is five feet' },
      { ...entryOf(2, 'd-two'), grammar: 'fake', words: 'purple' },
    ]);
    await store.value.close();
    const database = openRaw(book);
    database.prepare('INSERT INTO entries (id, body) VALUES (?, ?)').run('x', '{}');
    database.close();
    const { status, out } = await stemsay(['check', '--json', '--book', book]);
    const { problems, ...counts } = JSON.parse(out);
    expect(counts).toEqual({ entries: 6, devices: 2, reread: 2, notCompared: 4 });
    expect(problems).toEqual([
      expect.stringMatching(/^Row 7 is no entry: /),
      'Device d-one: entry 2 is missing.',
      'Entry 3 of d-one is not later than the one before it.',
      'Device d-one: two entries have number 3.',
      `Entry 4 of d-one names ${other}, which is not in the book.`,
      'Entry 1 of d-two, "pace is five feet", was kept with another meaning than it has now.',
      'Entry 2 of d-two, "purple", can no longer be read: Expected paces, found "purple".',
    ]);
    expect(status).toBe(1);
  });

  test.each([
    ['that is not there', ['totals', '--book', join(folder, 'none.book')], 'There is no book'],
    ['that is no book', ['check', '--book', fileURLToPath(import.meta.url)], 'not a stemsay book'],
    ['import of something else', ['import', '--book', fresh(), fileURLToPath(import.meta.url)], 'not JSON'],
    ['import of nothing', ['import', '--book', fresh(), join(folder, 'none.json')], 'cannot be read'],
  ])('%s is refused with status 1', async (_, args, words) => {
    const { status, err } = await stemsay(args);
    expect(err).toContain(words);
    expect(status).toBe(1);
  });
});

describe('the command', () => {
  // Newer versions of Node have one of their own.
  const newer = Number(process.versions.node.split('.')[0]) >= 22;
  test.skipIf(newer)('a machine without any SQLite is told what to do, in a sentence', () => {
    const { status, stdout, stderr } = spawnSync(
      process.execPath,
      ['server/stemsay.mjs', 'note', '--book', join(folder, 'none.book'), 'nine paces'],
      {
        cwd: fileURLToPath(new URL('../..', import.meta.url)),
        encoding: 'utf8',
        env: { ...process.env, STEMSAY_SQLITE: 'node' },
      },
    );
    expect([status, stdout]).toEqual([1, '']);
    expect(stderr).toMatch(/^No SQLite can be loaded here\. Use Node 22\.13 or newer, .*\.\n$/);
  });

  test('--version says the version of the package, and nothing else with it', async () => {
    const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));
    expect(await stemsay(['--version'])).toMatchObject({ status: 0, out: `stemsay ${version}\n` });
  });

  test('--help lists every command, and the grammar can be printed', async () => {
    const { status, out } = await stemsay(['--help']);
    for (const name of [
      'note',
      'hear',
      'totals',
      'doubts',
      'export',
      'report',
      'grammar',
      'check',
      'import',
    ]) {
      expect(out).toContain(`stemsay ${name}`);
    }
    expect(status).toBe(0);
    expect((await stemsay(['grammar', '--format', 'jsgf'])).out).toBe('the language as jsgf\n');
    expect((await stemsay(['export', '--columns'])).out).toContain('dbh_in (inches)');
  });

  test.each([
    [[], 'Expected a command'],
    [['sing'], 'no command "sing"'],
    [['note', '--loud'], '--loud'],
    [['note', '--format', 'csv'], 'takes no --format'],
    [['totals'], 'needs --book'],
    [['totals', 'extra', '--book', 'x'], 'takes no "extra"'],
    [['export', '--book', 'x'], 'csv|json|geojson'],
    [['export', '--format', 'pdf', '--book', 'x'], 'found pdf'],
    [
      ['export', '--format', 'csv', '--table', 'shrubs', '--book', 'x'],
      '--table all|trees|plots|legs, found shrubs',
    ],
    [['grammar', '--format', 'pdf'], 'help|examples|srgs|abnf|jsgf'],
    [['hear'], 'Expected WAV files'],
    [['import', '--book', 'x'], 'Expected JSON or CSV exports'],
    [['note', '--book'], '--book'],
  ])('%j is a wrong command: status 2 and what was expected', async (args, words) => {
    const { status, err, out } = await stemsay(args);
    expect(err).toContain(words);
    expect(out).toBe('');
    expect(status).toBe(2);
  });

  test('runs as a program of its own, with the real language', async () => {
    const program = fileURLToPath(new URL('../../server/stemsay.mjs', import.meta.url));
    const { stdout, code } = await new Promise<{ stdout: string; code: unknown }>((resolve) => {
      const child = execFile(process.execPath, [program, 'note', '--json'], (error, out) => {
        resolve({ stdout: out, code: error?.code ?? 0 });
      });
      child.stdin!.end(
        [
          'my pace is five point three feet',
          'eight paces, eye five and a half',
          'purple monkey',
          'call sugar maple hard rock',
          'hard rock fourteen inches',
          '',
        ].join('\n'),
      );
    });
    const [, height, refused, , taught] = stdout
      .trim()
      .split('\n')
      .map((line) => answerSchema.parse(JSON.parse(line)));
    // 8 x 5.3 + 5.5 = 47.9 ft: the worked value of the design's own example.
    expect(height?.height?.feet).toBeCloseTo(47.9, 2);
    expect(refused).toMatchObject({ state: 'refused', note: null });
    // 318: sugar maple, FIA Field Guide, appendix of species codes.
    expect(taught?.note).toMatchObject({ kind: 'tree', facts: { species: 318, diameter: { value: 14 } } });
    expect(code).toBe(1);
  });
});
