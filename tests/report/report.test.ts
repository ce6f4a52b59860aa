/**
 * The evening's report. Figures are reckoned by hand from what was said, beside each; that the page is well formed is
 * judged by an independent XML reader where it can be (the drawings are XML, SVG 2).
 */

import { describe, expect, test } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { svgText } from '../../shared/report/charts/drawing.ts';
import { heightsDrawing, runningDrawing } from '../../shared/report/charts/drawings.ts';
import { mapDrawing } from '../../shared/report/charts/map.ts';
import { reportPage } from '../../shared/report/page/page.ts';
import { cautions, reportOf, reportText } from '../../shared/report/page/report.ts';
import type { Report } from '../../shared/report/page/sections.ts';
import { madeBook } from '../bench/large/made-book.ts';
import { converse } from '../support/conversation.ts';
import { noon } from '../support/fakes.ts';

const told = async (...notes: string[]) => {
  const { session, tell } = await converse();
  for (const note of notes) {
    const { answer } = await tell(note);
    expect(answer.state, `${note}: ${answer.reply}`).not.toBe('refused');
  }
  const { book } = session;
  return { book, session, report: reportOf({ book, answers: [], made: noon() }) };
};

const headings = (report: Report) => report.sections.map((section) => section.heading);
const sectionOf = (report: Report, heading: string) =>
  report.sections.find((section) => section.heading === heading)!;
const rowsOf = (report: Report, heading: string) => [...sectionOf(report, heading).table!.rows];

const day = [
  'my pace is five feet',
  'eye height five feet',
  'stand mill lot, 40 acres',
  'plot one, tenth acre',
  'red oak sixteen inches, two logs',
  'thirteen paces',
  'red maple twelve inches',
  'close plot',
  'plot two, tenth acre',
  'red oak twelve inches',
  'ten paces',
  'make that eleven paces',
  'sugar maple ten inches, dead',
  'close plot',
] as const;

describe('the report', () => {
  test('of an empty book says so and still says what it is not', async () => {
    const { report } = await told();
    expect(headings(report)).toEqual(['Summary', 'Doubts', 'How it was measured', 'Please note']);
    const text = reportText(report);
    expect(text).toContain('Nothing said yet');
    for (const caution of cautions) expect(text).toContain(caution);
    expect(reportPage(report)).not.toMatch(/NaN|undefined|null/);
  });

  test('names the pace and the eye of each who measured, not only those said last', async () => {
    const { report } = await told(
      'i am linnet',
      'my pace is five feet',
      'eye height five feet',
      'red oak sixteen inches',
      'twelve paces',
      'i am robin',
      'my pace is six feet',
      'red maple twelve inches',
      'ten paces, eye five foot six',
      'red oak twelve inches',
      'nine paces, eye five foot six',
      'i am wren',
      'my pace is four feet',
    );
    const lines = sectionOf(report, 'How it was measured').lines!;
    // Common practice, no source: a pace that was only said is uncertain by three percent, so 0.15 and 0.18 feet.
    expect(lines.filter((line) => /^(Pace|Eye|An error)/.test(line))).toEqual([
      'Pace of Linnet 5 feet, standard deviation 0.15 feet: 1 height.',
      'Pace of Robin 6 feet, standard deviation 0.18 feet: 2 heights.',
      'An error of a pace is common to all heights paced with it, 3 percent of each, and does not average out.',
      'Eye height of Linnet 5 feet.',
      'Eye height of Robin 5 feet 6.',
    ]);
  });

  test('names a pace that was walked anew beside the one before it', async () => {
    const { report } = await told(
      'eye height five feet',
      'my pace is five feet',
      'red oak sixteen inches',
      'twelve paces',
      'my pace is six feet',
      'i count single steps',
      'red oak twelve inches',
      'twenty steps',
    );
    const lines = sectionOf(report, 'How it was measured').lines!.filter((line) => /^Pace/.test(line));
    expect(lines.map((line) => line.replace(/, standard deviation [\d.]+ feet/, ''))).toEqual([
      'Pace 5 feet: 1 height.',
      'Pace 6 feet, single steps counted: 1 height.',
    ]);
  });

  test('has every part of a document that can be defended', async () => {
    const { report } = await told(...day);
    expect(headings(report)).toEqual([
      'Summary',
      'Stand and stock table',
      'By species',
      'Volume by species',
      'Left out',
      'Precision',
      'Charts',
      'Plots',
      'Doubts',
      'Corrections',
      'How it was measured',
      'Heights',
      'Supposed errors',
      'Tables and formulas',
      'Every tree',
      'Please note',
    ]);
    expect(report.title).toBe('Mill Lot');
    expect(report.facts).toContain('Mill Lot, 40 acres');
  });

  test('sums up what hand reckoning gives', async () => {
    const { report } = await told(...day);
    const value = (name: string) => rowsOf(report, 'Summary').find((row) => row[0] === name)![1];
    // Live: 0.005454 x 10 x (16^2 + 12^2) = 21.816 and 0.005454 x 10 x 12^2 = 7.854: mean 14.8
    expect(value('Basal area')).toBe('15 ft² an acre');
    // (2 + 1) x 10 / 2
    expect(value('Trees')).toBe('15 trees an acre');
    // 13 x 5 + 5 = 70, 11 x 5 + 5 = 60: mean of equal weights 65
    expect(value('Mean height')).toBe('65.0 ft');
  });

  test('adds its stock table up to the values of the stand', async () => {
    const { report } = await told(...day);
    const rows = rowsOf(report, 'Stand and stock table');
    // Trees an acre by class: oak 12 and 16, 10 an acre on one of two plots; the dead maple is not in it.
    expect(rows.map((row) => row.slice(0, 5))).toEqual([
      ['northern red oak', '12', '1', '5.0', '3.9'],
      ['', '16', '1', '5.0', '7.0'],
      ['in all', '', '2', '10.0', '10.9'],
      ['red maple', '12', '1', '5.0', '3.9'],
      ['All species', '', '3', '15.0', '14.8'],
    ]);
  });

  test('tells the doubts with what was said to them, and the corrections with what they changed', async () => {
    const { report } = await told(...day, 'red oak sixteen inches', 'thirty paces', 'thirteen');
    const doubts = rowsOf(report, 'Doubts');
    expect(doubts[0]!.slice(1, 2)).toEqual(['5']);
    expect(doubts[0]![2]).toMatch(/155 feet/);
    expect(doubts[0]!.slice(3)).toEqual(['“thirteen”', 'mended']);
    expect(rowsOf(report, 'Corrections').map((row) => row.slice(1))).toEqual([
      ['3', '“make that eleven paces”', 'replaces “ten paces”'],
    ]);
  });

  test('names the table, formula and edition behind each value, and what was left out of it', async () => {
    const { report } = await told(...day);
    const sources = rowsOf(report, 'Tables and formulas').map((row) => row.join(' | '));
    expect(sources.find((row) => row.startsWith('Sawlogs'))).toMatch(/Wiant 1986.*2 trees have no logs/);
    expect(sources.find((row) => row.startsWith('Biomass'))).toMatch(/Jenkins et al\. 2003/);
    expect(rowsOf(report, 'Heights')[0]![3]).toMatch(/45 degrees/);
  });

  test('in a metric book is metric throughout', async () => {
    const { report } = await told('metric', ...day.slice(0, 8));
    const text = reportText(report);
    // 21.816 ft2/acre x 0.09290304 / 0.40468564 = 5.008
    expect(text).toMatch(/Basal area +5 m² a hectare/);
    expect(text).not.toMatch(/ ft\b| inches\b.*dbh/);
  });

  test('as a page runs nothing of what was said, and asks nothing of anyone', () => {
    const page = reportPage({
      title: '<script>alert(1)</script>',
      facts: ['<i>'],
      sections: [
        { heading: '"&', lines: ['<img src=x onerror=y>'], table: { head: ['<b>'], rows: [["'</td>"]] } },
      ],
    });
    expect(page).not.toMatch(/<script|<img|<b>|<i>|'<\/td>/);
    expect(page).toContain('&#60;script&#62;');
    expect(page.match(/<td>/g)).toHaveLength(1);
  });

  test('as a page of a whole day names no other address', async () => {
    const { report } = await told(...day);
    expect(reportPage(report)).not.toMatch(/https?:|src=|href=|@import|<script/);
  });

  test('as text keeps its columns under each other', () => {
    const text = reportText({
      title: 'T',
      facts: [],
      sections: [{ heading: 'H', table: { head: ['a', 'b'], rows: [['long', 'c']] } }],
    });
    expect(text.split('\n').slice(-3)).toEqual(['a     b', 'long  c', '']);
  });
});

describe('drawings', () => {
  test('mark a doubted height as an open square, at the edge when it is absurd', async () => {
    const { book } = await told(...day, 'red oak sixteen inches', 'ninety paces');
    const drawn = heightsDrawing(book, null);
    if (typeof drawn === 'string') throw new Error(drawn);
    expect(drawn.says).toContain('In doubt, as open squares: tree 5.');
    // 90 x 5 + 5
    expect(svgText(drawn)).toMatch(/<g class="point doubted"><title>Tree 5<\/title>.*5\? 455 ft<\/text>/);
  });

  test('say why there is nothing to draw', async () => {
    const { book } = await told();
    expect(heightsDrawing(book, null)).toMatch(/^No tree has both/);
    expect(runningDrawing(book)).toMatch(/^No plot has a size/);
    expect(mapDrawing(book)).toMatch(/^No plot has a position/);
  });

  test('of more plots than can be drawn keep within their paper', () => {
    const book = new Book();
    book.applyAll(madeBook(6000));
    const drawn = runningDrawing(book);
    if (typeof drawn === 'string') throw new Error(drawn);
    expect([...book.plots()].length).toBeGreaterThan(300);
    const dots = drawn.marks.filter((mark) => mark.mark === 'circle');
    expect(dots).toHaveLength(150);
    for (const { at } of dots) expect(at[0]).toBeLessThanOrEqual(drawn.width);
    expect(drawn.says).toContain(`from ${totalsOf(book).plots().value} plots`);
  });

  test('of plots with positions have north, a scale bar and every number', async () => {
    const { session } = await told();
    for (const [number, latitude] of [
      [1, 44],
      [2, 44.001],
    ] as const) {
      await session.tell({
        words: `plot ${number}`,
        candidates: [
          {
            notes: [{ kind: 'plot', op: 'open', number, size: { by: 'area', value: 0.1, unit: 'acre' } }],
            words: '',
            posterior: 1,
          },
        ],
        position: { latitude, longitude: -71, accuracyMetres: 5 },
      });
    }
    const drawn = mapDrawing(session.book);
    if (typeof drawn === 'string') throw new Error(drawn);
    const svg = svgText(drawn);
    // 0.001 degrees of latitude at 44 north: 111.1 m = 365 ft (length of a degree there: 111 109 m, WGS 84)
    expect(svg).toMatch(/>3[67]0 ft</);
    for (const text of ['N', '1', '2']) expect(svg).toContain(`>${text}</text>`);
    expect(svg).toMatch(/class="scalebar"/);
    expect(svg).not.toMatch(/NaN|undefined/);
  });
});
