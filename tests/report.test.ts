import { describe, expect, test } from 'vitest';
import { Desk, MemoryStore } from '../server/desk.ts';
import { cautions, type Report, reportOf, reportPage, reportText } from '../shared/export/report.ts';
import { fakeLanguage, noon } from './fakes.ts';

const book = async (...notes: string[]) => {
  const desk = await Desk.open({ store: new MemoryStore(), language: fakeLanguage, now: noon });
  for (const note of notes) await desk.note(note);
  return reportOf({ book: desk.session.book, answers: desk.totals(), made: noon() });
};
const headings = (report: Report) => report.sections.map((section) => section.heading);

describe('the report', () => {
  test('of an empty book says so and still says what it is not', async () => {
    const report = await book();
    expect(headings(report)).toContain('Totals');
    expect(headings(report)).not.toContain('Trees');
    const text = reportText(report);
    expect(text).toContain('nothing said yet');
    for (const caution of cautions) expect(text).toContain(caution);
  });

  test('names every tree with its species, diameter and height, and how it was measured', async () => {
    const report = await book('pace is five feet', 'red oak sixteen inches', 'nine paces');
    const trees = report.sections.find((section) => section.heading === 'Trees')!.table!;
    expect(trees[1]!.slice(0, 3)).toEqual(['1', '', 'northern red oak, 16 inches']);
    // 9 paces x 5 ft + eye 5 ft.
    expect(trees[1]![3]).toMatch(/^50 feet, give or take/);
    const how = report.sections.find((section) => section.heading === 'How it was measured')!.lines!;
    expect(how[0]).toMatch(/^Pace 5 feet/);
  });

  test('carries only the day on which it was measured and made', async () => {
    const report = await book('nine paces');
    expect(report.sections[0]!.lines![0]).toBe(
      'Measured: 2026-05-01. Report of 2026-05-01. Days are of universal time.',
    );
  });

  test('as a page runs nothing of what was said', () => {
    const page = reportPage({
      title: '<script>alert(1)</script>',
      sections: [{ heading: '"&', lines: ['<img src=x onerror=y>'], table: [['<b>'], ["'</td>"]] }],
    });
    expect(page).not.toMatch(/<script|<img|<b>|'<\/td>/);
    expect(page).toContain('&#60;script&#62;');
    expect(page.match(/<td>/g)).toHaveLength(1);
  });

  test('as text keeps its columns under each other', () => {
    const text = reportText({
      title: 'T',
      sections: [
        {
          heading: 'H',
          table: [
            ['a', 'b'],
            ['long', 'c'],
          ],
        },
      ],
    });
    expect(text.split('\n').slice(-3)).toEqual(['a     b', 'long  c', '']);
  });
});
