import { check } from '@placemarkio/check-geojson';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Cell, columnList, readCsv, writeCsv } from '../../shared/report/files/csv.ts';
import { fromJson, toJson } from '../../shared/report/files/entries.ts';
import { toGeoJson } from '../../shared/report/files/geojson.ts';
import { fromCsv } from '../../shared/report/files/read-tables.ts';
import { fileColumns, toCsv } from '../../shared/report/files/tables.ts';
import type { Wood } from '../../shared/report/files/wood.ts';
import type { PlotRecord, TreeRecord } from '../../shared/totals/types.ts';
import { entriesOf, entryOf, idOf } from '../support/entries.ts';

const standId = idOf(1, 1);
const plotId = entryOf(4).id;
const treeId = entryOf(8).id;
const time = Date.UTC(2026, 4, 1, 9, 30);
const plot: PlotRecord = {
  id: plotId,
  number: 1,
  stand: standId,
  stratum: null,
  size: { by: 'area', value: 0.1, unit: 'acre' },
  slopePct: 12.5,
  closed: true,
  empty: false,
  time,
  person: null,
};
const tree: TreeRecord = {
  id: treeId,
  number: 1,
  plot: plotId,
  stand: standId,
  species: 833,
  diameterIn: 16.2,
  status: 'live',
  marks: ['forked', 'hollow'],
  count: 1,
  logs: 2,
  merchFt: null,
  defectPct: 10,
  formClass: null,
  heightFt: 73.25,
  heightSdFt: 2.5,
  counted: true,
  time,
  person: 'Ada',
};
const wood: Wood = {
  trees: [tree],
  plots: [plot],
  stands: [{ id: standId, name: 'Alder Hollow', acres: 12 }],
  strata: [],
  entries: [entryOf(4), entryOf(8)],
  units: 'feet',
  rule: 'international',
  formClass: 78,
  besides: new Map(),
  settings: [],
};

const awkward = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.constantFrom(
    '=1+1',
    "'=x",
    '-5',
    '+a',
    '@b',
    '\tx',
    'a,b',
    '"',
    'a"b',
    'x\r\ny',
    ' pad ',
    "''",
    "'",
    '–',
    '=',
    'no',
  ),
);

describe('comma-separated text', () => {
  test('law: what is written reads back, cell for cell', () => {
    fc.assert(
      fc.property(fc.array(fc.array(awkward, { minLength: 2, maxLength: 4 })), (rows) => {
        expect(readCsv(writeCsv(rows))).toEqual({ ok: true, value: rows });
      }),
      { numRuns: 300 },
    );
  });

  test('another reader (csv-parse) sees the same rows, guarded formulas apart', () => {
    fc.assert(
      fc.property(fc.array(fc.array(awkward, { minLength: 2, maxLength: 2 }), { minLength: 1 }), (rows) => {
        const theirs: string[][] = parse(writeCsv(rows), { record_delimiter: '\r\n' });
        const guard = (text: string) => (/^'*[=+\-@\t\r]/.test(text) ? `'${text}` : text);
        expect(theirs).toEqual(rows.map((row) => row.map(guard)));
      }),
      { numRuns: 200 },
    );
  });

  test('no text cell can begin a formula, but a negative number stays a number', () => {
    const cells: Cell[] = ['=HYPERLINK("x")', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', -71.29];
    const written = parse(writeCsv([cells]), { record_delimiter: '\r\n' })[0] as unknown as string[];
    for (const cell of written.slice(0, -1)) expect(cell).toMatch(/^'/);
    expect(written.at(-1)).toBe('-71.29');
  });

  test('the examples of RFC 4180, section 2, read as it says', () => {
    const rows = (text: string) => {
      const read = readCsv(text);
      return read.ok ? read.value : read.error.sentence;
    };
    expect(rows('aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n')).toEqual([
      ['aaa', 'bbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ]);
    expect(rows('aaa,bbb,ccc\r\nzzz,yyy,xxx')).toEqual([
      ['aaa', 'bbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ]);
    expect(rows('"aaa","bbb","ccc"\r\nzzz,yyy,xxx')).toEqual([
      ['aaa', 'bbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ]);
    expect(rows('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx')).toEqual([
      ['aaa', 'b\r\nbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ]);
    expect(rows('"aaa","b""bb","ccc"')).toEqual([['aaa', 'b"bb', 'ccc']]);
  });

  test('broken text is refused with its line', () => {
    const sentence = (text: string) => {
      const read = readCsv(text);
      return read.ok ? read.value : read.error.sentence;
    };
    expect(sentence('a,b\n"c,d\n')).toBe('Line 2: a quote is opened and never closed.');
    expect(sentence('a,b"c\n')).toContain('Line 1: a quote stands inside');
    expect(sentence('"a"b,c\n')).toContain('found "b"');
    expect(sentence('')).toEqual([]);
  });
});

describe('the table of a book', () => {
  test('has a row a plot and a row a tree, with codes, units in the names and universal time', () => {
    const [plotRow, treeRow, ...rest] = parse(toCsv(wood), { columns: true }) as Record<string, string>[];
    expect(rest).toEqual([]);
    expect(plotRow).toMatchObject({
      record: 'plot',
      number: '1',
      plot_by: 'area',
      plot_size: '0.1',
      plot_unit: 'acre',
    });
    expect(plotRow).toMatchObject({
      slope_pct: '12.5',
      closed: 'yes',
      empty: 'no',
      stand_acres: '12',
      dbh_in: '',
    });
    // FIA code and PLANTS symbol of northern red oak: FIA Field Guide, appendix of species codes.
    expect(treeRow).toMatchObject({
      record: 'tree',
      species: 'northern red oak',
      species_fia: '833',
      species_plants: 'QURU',
    });
    expect(treeRow).toMatchObject({
      dbh_in: '16.2',
      height_ft: '73.3',
      height_sd_ft: '2.5',
      logs_16ft: '2',
      merch_ft: '',
    });
    expect(treeRow).toMatchObject({
      marks: 'forked; hollow',
      counted: 'yes',
      plot: '1',
      stand: 'Alder Hollow',
      person: 'Ada',
    });
    expect(treeRow).toMatchObject({
      time: '2026-05-01T09:30:00.000Z',
      latitude: '44.05',
      longitude: '-71.29',
    });
  });

  test('can be had as trees alone or plots alone', () => {
    const records = (table: 'trees' | 'plots') =>
      (parse(toCsv(wood, table), { columns: true }) as Record<string, string>[]).map((row) => row.record);
    expect(records('trees')).toEqual(['tree']);
    expect(records('plots')).toEqual(['plot']);
  });

  test('describes every column once', () => {
    for (const units of ['feet', 'metres'] as const) {
      const columns = fileColumns(units);
      expect(new Set(columns.map((column) => column.name)).size).toBe(columns.length);
      expect(columnList(columns)).toHaveLength(columns.length);
    }
    expect(columnList(fileColumns('metres'))).toContain(
      'dbh_cm (centimetres): diameter outside bark at breast height',
    );
    expect(columnList(fileColumns('feet'))).toContain(
      'dbh_in (inches): diameter outside bark at breast height',
    );
  });

  const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });
  const positive = fc.double({ min: 0.2, max: 1e6, noNaN: true });
  /** What a book can hold of plots, see shared/note/limits.ts; the edges are tested with the limits. */
  const sizeIn = (least: number, most: number) => fc.double({ min: least, max: most * 0.999, noNaN: true });
  const name = fc.string({ unit: 'binary', minLength: 1, maxLength: 12 });
  const ids = fc.integer({ min: 1, max: 9 }).map((n) => idOf(9, n));
  const treeOf: fc.Arbitrary<TreeRecord> = fc
    .record({
      id: ids,
      number: fc.integer({ min: 1, max: 999 }),
      plot: fc.constantFrom(null, plotId),
      stand: fc.constantFrom(null, standId),
      species: maybe(fc.constantFrom(833, 316, 12)),
      diameterIn: maybe(positive),
      status: fc.constantFrom('live', 'dead', 'cull'),
      marks: fc.array(fc.constantFrom('forked', '=broken', 'a,b'), { maxLength: 3 }),
      count: fc.integer({ min: 1, max: 50 }),
      logs: maybe(positive),
      merchFt: maybe(positive),
      defectPct: fc.integer({ min: 0, max: 100 }),
      formClass: maybe(positive),
      heightFt: maybe(positive),
      heightSdFt: maybe(positive),
      border: fc.constantFrom('in', 'out', 'half'),
      time: fc.integer({ min: 0, max: 4e12 }),
      person: maybe(name),
    })
    .map(({ border, ...tree }) => ({
      ...tree,
      counted: border !== 'out',
      ...(border === 'half' ? { half: true } : {}),
    }));
  const plotOf: fc.Arbitrary<PlotRecord> = fc.record({
    id: ids,
    number: fc.integer({ min: 1, max: 999 }),
    stand: fc.constantFrom(null, standId),
    stratum: fc.constant(null),
    size: maybe(
      fc.oneof(
        fc.record({ by: fc.constant('area' as const), value: positive, unit: fc.constantFrom('acre', 'ha') }),
        fc.record({ by: fc.constant('factor' as const), value: sizeIn(0.001, 100_000) }),
        fc.record({
          by: fc.constant('factor' as const),
          value: sizeIn(0.001, 100_000),
          unit: fc.constant('m2/ha' as const),
        }),
        fc.record({
          by: fc.constant('radius' as const),
          length: fc.record({ value: sizeIn(0.1, 10_000), unit: fc.constantFrom('ft', 'm') }),
        }),
        fc.record({ by: fc.constant('radius' as const), length: fc.record({ value: sizeIn(0.1, 10_000) }) }),
        fc.constant({ by: 'tally' as const }),
      ),
    ),
    slopePct: maybe(fc.double({ min: -100, max: 100, noNaN: true }).filter((slope) => !Object.is(slope, -0))),
    closed: fc.boolean(),
    empty: fc.boolean(),
    time: fc.integer({ min: 0, max: 4e12 }),
    person: maybe(name),
  });

  /** Half of the last decimal that a column has, in feet and inches; a value that would come to nothing keeps two figures. */
  const near = (was: number | null, now: number | null, half: number) => {
    if (was === null || now === null) expect(now).toBe(was);
    else expect(Math.abs(was - now)).toBeLessThanOrEqual(Math.max(1.01 * half, 1e-9 * was));
  };

  test('law: trees and plots read back from their own table as fine as they are known, and a second time to the last digit', () => {
    fc.assert(
      fc.property(
        fc.array(treeOf, { maxLength: 5 }),
        fc.array(plotOf, { maxLength: 4 }),
        fc.constantFrom('feet' as const, 'metres' as const),
        (some, others, units) => {
          const trees = some.map((one, i) => ({ ...one, id: idOf(1000, i) }));
          const plots = others.map((one, i) => ({ ...one, id: idOf(2000, i) }));
          const csv = toCsv({ ...wood, units, trees, plots });
          const read = fromCsv(csv);
          if (!read.ok) throw new Error(read.error);
          expect(read.value.plots).toEqual(plots);
          for (const [i, tree] of trees.entries()) {
            const now = read.value.trees[i]!;
            const metric = units === 'metres';
            near(tree.diameterIn, now.diameterIn, metric ? 0.05 / 2.54 : 0.005);
            near(tree.heightFt, now.heightFt, metric ? 0.005 / 0.3048 : 0.05);
            near(tree.heightSdFt, now.heightSdFt, metric ? 0.0005 / 0.3048 : 0.005);
            near(tree.merchFt, now.merchFt, metric ? 0.005 / 0.3048 : 0.05);
            const { diameterIn, heightFt, heightSdFt, merchFt } = now;
            expect(now).toEqual({ ...tree, diameterIn, heightFt, heightSdFt, merchFt });
          }
          const again = { ...wood, ...read.value, stands: wood.stands, units };
          expect(toCsv(again)).toBe(csv);
          const standing = [...trees, ...plots].some((record) => record.stand !== null);
          expect(read.value.stands.map(({ name }) => name)).toEqual(standing ? ['Alder Hollow'] : []);
        },
      ),
      { numRuns: 200 },
    );
  });

  test('reads back with its columns moved, others added and a byte order mark', () => {
    const rows = parse(toCsv(wood)) as string[][];
    const moved = rows.map((row, index) => [index === 0 ? 'my column' : 'x', ...[...row].reverse()]);
    const read = fromCsv(`\uFEFF${writeCsv(moved)}`);
    expect(read.ok ? read.value.trees : read.error).toEqual([{ ...tree, heightFt: 73.3 }]);
  });

  test('that someone spoiled is refused with row, column, and what was expected and found', () => {
    const error = (change: (csv: string) => string) => {
      const read = fromCsv(change(toCsv(wood)));
      return read.ok ? null : read.error;
    };
    expect(error((csv) => csv.replace('16.2', 'sixteen'))).toBe(
      'Line 3, dbh_in: expected a number, found "sixteen".',
    );
    expect(error((csv) => csv.replace('acre,12.5', 'mile,12.5'))).toContain('Line 2, plot_size');
    expect(error((csv) => csv.replace('\r\nplot,', '\r\nshrub,'))).toContain(
      'Line 2, record: expected tree, plot or setting',
    );
    expect(error((csv) => csv.replace('dbh_in', 'dbh'))).toContain('lacks the columns dbh_in');
    expect(error((csv) => csv.replace('live,1', 'live'))).toContain('Line 3: expected');
    expect(error(() => '')).toContain('lacks');
  });
});

describe('GeoJSON of a book', () => {
  const whole: Wood = {
    ...wood,
    trees: [tree, { ...tree, id: idOf(7, 7), number: 2, species: null, plot: null }],
  };

  test('is valid by an independent checker, longitude first', () => {
    const collection = toGeoJson(whole);
    expect(() => check(JSON.stringify(collection))).not.toThrow();
    expect(collection.features[1]).toMatchObject({
      type: 'Feature',
      id: treeId,
      geometry: { type: 'Point', coordinates: [-71.29, 44.05] },
      properties: {
        fia: 833,
        plants: 'QURU',
        scientificName: 'Quercus rubra',
        dbhIn: 16.2,
        plot: 1,
        positionAccuracyMetres: 6,
      },
    });
    expect(collection.bbox).toEqual([-71.29, 44.05, -71.29, 44.05]);
  });

  test('gives a null geometry where no position is known, and no box where none is (RFC 7946, 3.2 and 5)', () => {
    expect(toGeoJson(whole).features[2]!.geometry).toBeNull();
    const nowhere = toGeoJson({ ...whole, entries: [] });
    expect('bbox' in nowhere).toBe(false);
    expect(() => check(JSON.stringify(nowhere))).not.toThrow();
  });
});

describe('the JSON of a journal', () => {
  test('reads back without loss', () => {
    const entries = entriesOf(25);
    expect(fromJson(toJson(entries))).toEqual({ ok: true, value: entries });
    expect(fromJson(toJson([]))).toEqual({ ok: true, value: [] });
    // With the byte order mark that editors put before it.
    expect(fromJson(`\ufeff${toJson(entries)}`)).toEqual({ ok: true, value: entries });
  });

  test('is refused with a reason when it is something else, newer or spoiled', () => {
    const error = (text: string) => {
      const read = fromJson(text);
      return read.ok ? null : read.error;
    };
    expect(error('tree')).toContain('not JSON');
    expect(error('[]')).toContain('"kind"');
    expect(error(toJson([]).replace('"format":2', '"format":3'))).toContain('format 3');
    expect(error(toJson(entriesOf(2)).replace('"seq":2', '"seq":-2'))).toMatch(/^Entry 2, seq: /);
  });
});
