/**
 * Edges, plans and prices in the report and in the files. Figures of the square are geometry; GeoJSON is judged by an
 * independent checker, the edge's area on the earth by geographiclib-geodesic (Karney 2013).
 */

import { check } from '@placemarkio/check-geojson';
import { parse } from 'csv-parse/sync';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, test } from 'vitest';
import type { Book } from '../../shared/book/book.ts';
import { svgText } from '../../shared/report/charts/drawing.ts';
import { edgeDrawing } from '../../shared/report/charts/edge-sketch.ts';
import { columnList } from '../../shared/report/files/csv.ts';
import { toGeoJson } from '../../shared/report/files/geojson.ts';
import { groundsOf } from '../../shared/report/files/grounds.ts';
import { landFeatures, legColumns, legsToCsv } from '../../shared/report/files/land-files.ts';
import { woodOf } from '../../shared/report/files/wood.ts';
import { reportPage } from '../../shared/report/page/page.ts';
import { reportOf, reportText } from '../../shared/report/page/report.ts';
import { converse } from '../support/conversation.ts';
import { noon } from '../support/fakes.ts';
import { squareWalk } from './square-walk.ts';

const position = { latitude: 44.05, longitude: -71.29, accuracyMetres: 6 };

const told = (...lines: readonly string[]): Promise<Book> => toldAt(null, ...lines);

/** The same with a position where the walk begins. */
async function toldAt(at: typeof position | null, ...lines: readonly string[]): Promise<Book> {
  const { session, tell } = await converse();
  for (const line of lines) {
    if (at !== null && line === 'start a traverse') {
      const candidates = [{ notes: [{ kind: 'traverse', op: 'start' }], words: line, posterior: 1 } as const];
      await session.tell({ words: line, candidates, position: at });
      continue;
    }
    const { answer } = await tell(line);
    expect(answer.state, `${line}: ${answer.reply}`).not.toBe('refused');
  }
  return session.book;
}

const planned = [...squareWalk, 'yes', 'lay out six plots'] as const;
const cruised = [
  ...planned,
  'plot one, tenth acre',
  'red oak sixteen inches, two logs',
  'close plot',
  'plot two, tenth acre',
  'red oak twelve inches, one log',
  'close plot',
  'red oak is 450 dollars a thousand',
] as const;

const sectionsOf = (book: Book) => reportOf({ book, answers: [], made: noon() }).sections;
const section = (book: Book, heading: string) => sectionsOf(book).find((one) => one.heading === heading)!;

describe('the report', () => {
  test('shows the legs with their adjustment, the misclosure and the area', async () => {
    const book = await told(...squareWalk, 'yes');
    const { lines, table, notes, drawings } = section(book, 'Edge, Mill Lot');
    // Two paces of 5.5 feet are 11 feet in 2651: the second leg takes 671/2651 of it.
    expect(lines![0]).toContain('Round 2651 feet; it misses by 11 feet at bearing 90, 1 in 240.');
    expect([...table!.rows].map((row) => row.slice(0, 7))).toEqual([
      ['1', 'bearing 0, 120 paces', '660.0', '660.0', '0.0', '0.0', '−2.7'],
      ['2', 'bearing 90, 122 paces', '671.0', '0.0', '671.0', '0.0', '−2.8'],
      ['3', 'bearing 180, 120 paces', '660.0', '−660.0', '0.0', '0.0', '−2.7'],
      ['4', 'bearing 270, 120 paces', '660.0', '0.0', '−660.0', '0.0', '−2.7'],
    ]);
    expect(lines![1]).toMatch(/^10\.\d acres, give or take 0\.\d\. Before adjustment 10\.\d+ acres\./);
    expect(lines![1]).toContain('The length of a pace alone makes it');
    expect(notes!.join(' ')).toContain('magnetic north, as no declination was said');
    expect(notes!.join(' ')).toContain('no legal survey');
    expect(drawings).toHaveLength(1);
  });

  test('sets the plan beside what was taken, and says what leaving plots out does', async () => {
    const book = await told(...cruised);
    const { lines, table } = section(book, 'Plan, Mill Lot');
    expect([...table!.rows].map((row) => row.at(-1))).toEqual(['yes', 'yes', 'no', 'no', 'no', 'no']);
    expect(lines![0]).toMatch(
      /^6 plots laid out by chance with the seed \d+, one for 1\.\d+ acres; 2 were taken\.$/,
    );
    expect(lines![1]).toMatch(/^Left out: plot 3, 4, 5 and 6\. The totals speak for what was taken/);
  });

  test('gives the worth with its limits and says what it is not', async () => {
    const book = await told(...cruised);
    const { lines, table, notes } = section(book, 'Worth');
    expect(lines![0]).toMatch(
      /^About [\d,]+ dollars, from [\d,]+ to [\d,]+ \(95 percent limits\)\. An estimate, not an appraisal\.$/,
    );
    expect([...table!.rows][0]!.slice(0, 2)).toEqual([
      'northern red oak',
      '450 for thousand board feet, International quarter-inch',
    ]);
    expect(notes!.at(-1)).toBe('An estimate, not an appraisal.');
  });

  test('is a page and a text without a gap, in feet and in metres, and without any of it as before', async () => {
    for (const units of ['my pace is five and a half feet', 'use metres']) {
      const book = await told(units, ...cruised);
      const report = reportOf({ book, answers: [], made: noon() });
      expect(reportPage(report)).not.toMatch(/NaN|undefined|null/);
      expect(reportText(report)).not.toMatch(/NaN|undefined|null/);
      const edge = report.sections.find(({ heading }) => heading.startsWith('Edge'))!;
      expect(edge.lines!.join(' ')).toMatch(units !== 'use metres' ? /acres/ : /hectares/);
      if (units === 'use metres') expect(edge.lines!.join(' ')).not.toMatch(/acre|feet/);
    }
    const headings = sectionsOf(await told('new stand mill lot')).map(({ heading }) => heading);
    expect(headings.join(' ')).not.toMatch(/Edge|Plan|Worth/);
  });
});

describe('the sketch', () => {
  test('lies within its sheet, to scale, with every leg, plot, north and a bar', async () => {
    const book = await told(...cruised);
    const drawing = edgeDrawing(book, groundsOf(book)[0]!);
    if (typeof drawing === 'string') throw new Error(drawing);
    const svg = svgText(drawing);
    expect(drawing.says).toContain(
      'Walked in 4 legs, after adjustment; as it was walked, dashed; 6 plots planned, 4 of them not taken',
    );
    for (const [, x, y] of svg.matchAll(/ (?:cx|x)="([-\d.]+)" (?:cy|y)="([-\d.]+)"/g)) {
      expect(Number(x)).toBeGreaterThanOrEqual(0);
      expect(Number(x)).toBeLessThanOrEqual(drawing.width);
      expect(Number(y)).toBeGreaterThanOrEqual(0);
      expect(Number(y)).toBeLessThanOrEqual(drawing.height);
    }
    // The side of 660 feet and the bar are to one scale.
    const edge = /class="curve" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)/.exec(svg)!.slice(1).map(Number);
    const side = Math.hypot(edge[2]! - edge[0]!, edge[3]! - edge[1]!);
    const bar = Number(/class="scalebar" d="M[\d.]+ [\d.]+v6h([\d.]+)/.exec(svg)![1]);
    const feet = Number(/>(\d+) ft</.exec(svg)![1]);
    expect(Math.abs((side * feet) / bar / 660 - 1)).toBeLessThan(0.02);
    expect(svg).toContain('>N<');
    for (const number of ['1', '2', '3', '4', '5', '6']) expect(svg).toContain(`>${number}<`);
  });
});

describe('the files', () => {
  const geojson = (book: Book) => toGeoJson(woodOf(book), landFeatures(book));

  test('GeoJSON has edge and planned plots: valid, of the right area, where the walk began', async () => {
    const book = await told(...cruised);
    const nowhere = geojson(book);
    expect(() => check(JSON.stringify(nowhere))).not.toThrow();
    expect(nowhere.features.filter(({ properties }) => properties.record === 'planned plot')).toHaveLength(6);
    // Without a position at the start there is no place on the earth, but the feet are there.
    expect(nowhere.features.at(-1)).toMatchObject({
      geometry: null,
      properties: { eastFt: expect.any(Number) },
    });

    const collection = geojson(await toldAt(position, ...cruised));
    expect(() => check(JSON.stringify(collection))).not.toThrow();
    const edge = collection.features.find(({ properties }) => properties.record === 'edge')!;
    if (edge.geometry?.type !== 'Polygon') throw new Error('expected a polygon');
    const polygon = geodesic.Geodesic.WGS84.Polygon(false);
    for (const [longitude, latitude] of edge.geometry.coordinates[0]!.slice(0, -1))
      polygon.AddPoint(latitude, longitude);
    const { area } = polygon.Compute(false, true) as { area: number };
    // Anticlockwise, as RFC 7946 3.1.6 wants it; corners are rounded to about 0.1 metre.
    expect(area).toBeGreaterThan(0);
    expect(area / 4046.8564224 / (edge.properties.acres as number)).toBeCloseTo(1, 3);
    expect(edge.properties).toMatchObject({
      stand: 'mill lot',
      north: 'magnetic',
      positionAccuracyMetres: 6,
    });
    const plots = collection.features.filter(({ properties }) => properties.record === 'planned plot');
    for (const { geometry } of plots) expect(geometry?.type).toBe('Point');
  });

  test('the table of legs says each column and reads by an independent reader', async () => {
    const rows: Record<string, string>[] = parse(legsToCsv(await told(...squareWalk, 'yes')), {
      columns: true,
      bom: true,
    });
    expect(rows).toHaveLength(4);
    expect(rows[1]).toMatchObject({
      stand: 'mill lot',
      leg: '2',
      said: 'bearing 90, 122 paces',
      level_ft: '671',
      departure_ft: '671',
    });
    expect(Object.keys(rows[0]!)).toEqual(columnList(legColumns).map((line) => line.split(' ')[0]));
    const sum = (name: string) => rows.reduce((total, row) => total + Number(row[name]), 0);
    expect(sum('departure_ft') + sum('departure_correction_ft')).toBeCloseTo(0, 1);
    expect(Number(rows[3]!.east_ft)).toBeCloseTo(0, 1);
  });
});
