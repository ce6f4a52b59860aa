/**
 * Three reports, ten numbers of each reckoned by hand from what was said, the reckoning beside each. From outside: basal area
 * 0.005454154 d^2 (Service Forester's Handbook), board feet printed by Mesavage & Girard 1946, form class 78 (the regressions
 * lie within 2 percent of them), biomass coefficients of Jenkins et al. 2003, Table 4, the composite factor 0.42.
 */
import { describe, expect, test } from 'vitest';
import { reportOf } from '../../shared/report/page/report.ts';
import type { Report } from '../../shared/report/page/sections.ts';
import { converse } from '../support/conversation.ts';
import { noon } from '../support/fakes.ts';
import { days } from './days.ts';

async function reportOfDay(day: keyof typeof days): Promise<Report> {
  const { session, tell } = await converse();
  for (const note of days[day]) expect((await tell(note)).answer.state, note).toBe('kept');
  return reportOf({ book: session.book, answers: [], made: noon() });
}

/** Cells of the row that begins so, under their heads. */
function rowOf(report: Report, heading: string, first: string): Record<string, string> {
  const table = report.sections.find((section) => section.heading === heading)!.table!;
  const row = [...table.rows].find(([name]) => name === first)!;
  return Object.fromEntries(table.head.map((name, at) => [name, row[at]!]));
}
const number = (text: string): number => Number(/[\d,.]+/.exec(text)![0].replaceAll(',', ''));
const notesOf = (report: Report, heading: string): string =>
  report.sections.find((section) => section.heading === heading)!.notes!.join('\n');

describe('a day of tenth-acre plots', () => {
  test('ten numbers', async () => {
    const report = await reportOfDay('fixed');
    const tree = (n: string) => rowOf(report, 'Every tree', n);
    // 1: basal area of plot 1: 10 x 0.005454154 x (256 + 196 + 100) = 30.107; plot 2: (900 + 144) 56.941; plot 3: 144, 7.854
    expect(['1', '2', '3'].map((plot) => rowOf(report, 'Plots', plot)['ft² an acre'])).toEqual([
      '30',
      '57',
      '7.9',
    ]);
    // 2: their mean 31.634; the cull is in it, the dead maple not
    expect(rowOf(report, 'Summary', 'Basal area').value).toBe('32 ft² an acre');
    // 3: sd 24.58, over root 3, times root (1 - 3 / 400): 14.14
    expect(rowOf(report, 'Precision', 'Basal area')['standard error']).toBe('14');
    // 4: 10 trees an acre for each stem of a tenth of an acre; (3 + 2 + 1) x 10 / 3
    expect(tree('1')['trees an acre']).toBe('10.0');
    expect(rowOf(report, 'Summary', 'Trees').value).toBe('20 trees an acre');
    // 5: basal area of 16 inches: 0.005454154 x 256 = 1.396
    expect(tree('1')['ft²']).toBe('1.396');
    // 6: heights 13 x 5 + 5 = 70, 65, 85, 60: mean 70
    expect(rowOf(report, 'Summary', 'Mean height').value).toBe('70.0 ft');
    // 7: whole stem of tree 1: 0.42 x 1.396 x 70 = 41.05
    expect(tree('1')['ft³']).toBe('41.1');
    // 8: printed Doyle, form class 78: 16 in 2 logs 116; 14 in 1 log 48; 30 in 3 logs 898, less a tenth: 808; 12 in 1 log 29
    for (const [n, printed] of [
      ['1', 116],
      ['2', 48],
      ['4', 808],
      ['6', 29],
    ] as const)
      expect(Math.abs(number(tree(n)['board feet']!) / printed - 1), n).toBeLessThan(0.025);
    // 9: oak of 16 in, 40.64 cm: exp(-2.0127 + 2.4342 ln 40.64) = 1102.6 kg = 2431 lb
    expect(tree('1').lb).toBe('2431');
    // 10: of the live basal area 94.902 the oak of 30 inches has 49.087: 52 percent, beyond 73 cm = 28.7 in
    const left = rowOf(report, 'Left out', '4');
    expect(left.because).toMatch(/^thicker than 28\.7 inches/);
    expect(notesOf(report, 'Left out')).toMatch(/biomass and carbon hold 52 percent of the live basal area/);
    expect(rowOf(report, 'Left out', '3')['is not in']).toBe('sawlogs');
    // A cull holds no board feet, and is told so, not left out.
    expect(tree('5')).toMatchObject({ 'board feet': '0', besides: 'cull' });
  });

  test('remarks stand with their tree and plot, the log rule with the settings', async () => {
    const report = await reportOfDay('fixed');
    expect(
      rowOf(
        report,
        'Remarks',
        [...report.sections.find(({ heading }) => heading === 'Remarks')!.table!.rows][0]![0]!,
      ),
    ).toMatchObject({
      tree: '1',
      plot: '1',
      remark: 'fork at twenty feet',
    });
    const lines = report.sections.find(({ heading }) => heading === 'How it was measured')!.lines!;
    expect(lines).toContain('Board feet by Doyle; Girard form class 78 where none was said.');
  });
});

describe('a metric day of gauge points', () => {
  test('ten numbers', async () => {
    const report = await reportOfDay('gauge');
    const tree = (n: string) => rowOf(report, 'Every tree', n);
    const summary = (name: string) => rowOf(report, 'Summary', name).value;
    // 1: 3, 1 and 2 trees of 2 square metres each: 6, 2, 4; mean 4
    expect(summary('Basal area')).toBe('4 m² a hectare');
    // 2: sd 2 over root 3 = 1.155; points have no area, so no finite population
    expect(rowOf(report, 'Precision', 'Basal area')['standard error']).toBe('1.2');
    // 3: t of 2 degrees 4.303 x 1.155 / 4 = 124 percent (t: any table)
    expect(rowOf(report, 'Precision', 'Basal area')['sampling error']).toBe('124 %');
    // 4: basal area of 30 cm: pi / 4 x 0.09 = 0.0707; 2 / 0.0707 = 28.3 trees a hectare; of 20 cm 63.7
    expect(tree('1')).toMatchObject({ 'm²': '0.0707', 'trees a hectare': '28.3' });
    expect(tree('2')['trees a hectare']).toBe('63.7');
    // 5: (28.29 + 63.66 + 15.92 + 10.19 + 28.29 + 15.92) / 3 = 54.1
    expect(summary('Trees')).toBe('54 trees a hectare');
    // 6: root (4 / 54.1 / 0.00007854) = 30.7 cm
    expect(summary('Quadratic mean diameter')).toBe('30.7 cm');
    // 7: measured heights weighed by trees a hectare: (20 x 28.29 + 16 x 63.66 + 24 x 10.19 + 22 x 15.92) / 118.06 = 18.46
    expect(summary('Mean height')).toBe('18.5 m');
    // 8: whole stem of 30 cm and 20 m: 0.42 x 0.0707 x 20 = 0.594
    expect(tree('1')['m³']).toBe('0.594');
    // 9: soft maple exp(-1.9123 + 2.3651 ln 30) = 460 kg, beech exp(-2.0127 + 2.4342 ln 40) = 1061 kg
    expect([tree('1').kg, tree('3').kg]).toEqual(['460', '1061']);
    // 10: 28.29 x 460 + 63.66 x 176 + 15.92 x 1061; 10.19 x 1826; 28.29 x 460 + 15.92 x 1061: mean 29.9 tonnes a hectare
    expect(summary('Biomass above ground')).toBe('30 tonnes a hectare');
  });

  test('has nothing in feet, inches, acres or pounds', async () => {
    const report = await reportOfDay('gauge');
    for (const { heading, table } of report.sections)
      if (!['Heights', 'Tables and formulas', 'Supposed errors'].includes(heading))
        expect([...(table?.head ?? []), ...[...(table?.rows ?? [])].flat()].join(' '), heading).not.toMatch(
          /\b(ft|acres?|(?<!board )feet|lb|tons|inches)\b/,
        );
  });
});

describe('a stratified day', () => {
  test('ten numbers', async () => {
    const report = await reportOfDay('stratified');
    const ridge = rowOf(report, 'Volume by stratum', 'stratum Ridge, 30 acres');
    const bottom = rowOf(report, 'Volume by stratum', 'stratum Bottom, 10 acres');
    const all = rowOf(report, 'Volume by stratum', 'In all');
    // 1: ridge 7.854 and 7.854 + 13.963 = 21.817: mean 14.84, se 13.963 / 2 x root (1 - 2 / 300) = 6.96
    expect(ridge['ft² an acre']).toBe('15 ± 7');
    // 2: bottom 21.817 and 13.963 + 21.817 = 35.779: mean 28.80, se 6.98 x root (1 - 2 / 100) = 6.91
    expect(bottom['ft² an acre']).toBe('29 ± 6.9');
    // 3: 0.75 x 14.84 + 0.25 x 28.80 = 18.33; root ((0.75 x 6.96)^2 + (0.25 x 6.91)^2) = 5.50
    expect(all['ft² an acre']).toBe('18 ± 5.5');
    // 4: trees 10 and 20 an acre in both: 15 each and in all
    expect([ridge, bottom, all].map((row) => number(row['trees an acre']!))).toEqual([15, 15, 15]);
    // 5 to 7: printed International, form class 78: 12 in 1 log 56, 16 in 2 logs 180, 20 in 3 logs 401;
    // ridge (560 + 560 + 1800) / 2 = 1460, bottom (4010 + 1800 + 4010) / 2 = 4910, in all 0.75 x 1460 + 0.25 x 4910 = 2322.5
    for (const [row, printed] of [
      [ridge, 1460],
      [bottom, 4910],
      [all, 2322.5],
    ] as const)
      expect(Math.abs(number(row['board feet an acre']!) / printed - 1)).toBeLessThan(0.025);
    // 8: in all 40 acres x 2322.5 = 92 900
    expect(
      Math.abs(
        number(rowOf(report, 'Summary', 'Sawlogs, International quarter-inch, in all').value!) / 92_900 - 1,
      ),
    ).toBeLessThan(0.025);
    // 9: Satterthwaite by strata of one degree each: (27.23 + 2.98)^2 / (27.23^2 + 2.98^2) = 1.2
    expect(rowOf(report, 'Precision', 'Basal area').df).toBe('1.2');
    // 10: by species: white oak 0.75 x (7.854 + 21.817) / 2 = 11.13, yellow-poplar 0.25 x (21.817 + 35.779) / 2 = 7.20
    expect(number(rowOf(report, 'Volume by species', 'white oak')['ft² an acre']!)).toBe(11);
    expect(number(rowOf(report, 'Volume by species', 'yellow-poplar')['ft² an acre']!)).toBe(7.2);
  });
});

describe('plots of a size and points of a gauge', () => {
  test('are pooled only with a word', async () => {
    const { session, tell } = await converse();
    for (const note of [
      'plot one, tenth acre',
      'red oak twelve inches',
      'close plot',
      'plot two, factor ten',
      'red oak fourteen inches',
      'close plot',
    ])
      await tell(note);
    const report = reportOf({ book: session.book, answers: [], made: noon() });
    expect(notesOf(report, 'Summary')).toContain('Plots of a size and points of an angle gauge are pooled');
    expect(notesOf(await reportOfDay('fixed'), 'Summary')).not.toContain('pooled');
  });
});

describe('a tree that is counted in doubt', () => {
  test('is told with its part of the basal area', async () => {
    const { session, say } = await converse();
    // The first oak does not fit what the others teach: told at the closing, and counted meanwhile.
    await say('plot one, tenth acre', 'red oak 14 inches', 'laser 108 feet');
    for (const inches of [12, 13, 14, 15, 16, 13, 17, 18, 14, 15])
      await say(`red oak ${inches} inches`, `laser ${10 + 4 * inches - Math.round(inches / 8)} feet`);
    await say('close plot');
    const open = session.book.doubts.filter(({ state }) => state === 'open');
    const report = reportOf({ book: session.book, answers: [], made: noon() });
    const told =
      /(\d+) trees? that (?:is|are) counted ha(?:s|ve) (?:an )?open doubts?; (?:it|they) holds? ([\d.]+) percent/.exec(
        notesOf(report, 'Summary'),
      );
    const doubtful = [...session.book.trees()].filter(({ id }) => open.some(({ tree }) => tree === id));
    const squares = (trees: readonly { diameterIn: number | null }[]) =>
      trees.reduce((sum, { diameterIn }) => sum + diameterIn! ** 2, 0);
    expect(doubtful.map(({ number }) => number)).toEqual([1]);
    expect(Number(told![1])).toBe(doubtful.length);
    expect(Number(told![2])).toBeCloseTo((100 * squares(doubtful)) / squares([...session.book.trees()]), 0);
  });
});
