/**
 * The trees and plots of a book as one table: a row a plot, a row a tree, and back. Every column is described here,
 * with its unit; the writer, the reader and the column list for the user all follow this description.
 */
import { z } from 'zod';
import type { Entry } from '../journal.ts';
import { plotSizeSchema, statuses } from '../note.ts';
import { err, ok, type Result } from '../result.ts';
import { speciesByCode } from '../species.ts';
import type { PlotRecord, StandRecord, TreeRecord } from '../totals/types.ts';
import { type Cell, readCsv, writeCsv } from './csv.ts';

/** What a book holds at the moment it is exported. */
export interface Wood {
  readonly trees: readonly TreeRecord[];
  readonly plots: readonly PlotRecord[];
  readonly stands: readonly StandRecord[];
  readonly strata: readonly StandRecord[];
  readonly entries: readonly Entry[];
}

/** Where the device was when a tree or a plot was begun: not a survey of the stem. */
export type Position = NonNullable<Entry['position']>;

export function positionsOf(entries: readonly Entry[]): ReadonlyMap<string, Position> {
  const positions = new Map<string, Position>();
  for (const entry of entries) if (entry.position) positions.set(entry.id, entry.position);
  return positions;
}

type Row =
  | { readonly record: 'tree'; readonly tree: TreeRecord; readonly place: Place }
  | { readonly record: 'plot'; readonly plot: PlotRecord; readonly place: Place };

interface Place {
  readonly plot: PlotRecord | null;
  readonly stand: StandRecord | null;
  readonly stratum: StandRecord | null;
  readonly position: Position | null;
}

interface Column {
  readonly name: string;
  /** Unit or form of the values, for the column list. */
  readonly unit: string;
  readonly meaning: string;
  /** Null where the row has no such value. */
  cell(row: Row): Cell;
}

const ofTree =
  (pick: (tree: TreeRecord) => Cell) =>
  (row: Row): Cell =>
    row.record === 'tree' ? pick(row.tree) : null;
const ofPlot =
  (pick: (plot: PlotRecord) => Cell) =>
  (row: Row): Cell =>
    row.record === 'plot' ? pick(row.plot) : null;
const ofBoth =
  (pick: (record: TreeRecord | PlotRecord) => Cell) =>
  (row: Row): Cell =>
    pick(row.record === 'tree' ? row.tree : row.plot);

/** Milliseconds since 1970 as ISO 8601 in universal time. */
const isoTime = (ms: number): string => new Date(ms).toISOString();

/** The columns, in their order in the file. */
export const columns: readonly Column[] = [
  { name: 'record', unit: 'tree or plot', meaning: 'what the row is', cell: (row) => row.record },
  {
    name: 'number',
    unit: 'count from 1',
    meaning: 'number of the tree in the book, or of the plot in its stand',
    cell: ofBoth((r) => r.number),
  },
  { name: 'stand', unit: 'name', meaning: 'stand', cell: (row) => row.place.stand?.name ?? null },
  {
    name: 'stand_acres',
    unit: 'acres',
    meaning: 'area of the stand',
    cell: (row) => row.place.stand?.acres ?? null,
  },
  {
    name: 'stratum',
    unit: 'name',
    meaning: 'stratum of the stand',
    cell: (row) => row.place.stratum?.name ?? null,
  },
  {
    name: 'stratum_acres',
    unit: 'acres',
    meaning: 'area of the stratum',
    cell: (row) => row.place.stratum?.acres ?? null,
  },
  {
    name: 'plot',
    unit: 'number',
    meaning: 'plot on which the tree stands',
    cell: (row) => row.place.plot?.number ?? null,
  },
  {
    name: 'species',
    unit: 'name',
    meaning: 'common name',
    cell: ofTree((t) => speciesOf(t)?.commonName ?? null),
  },
  { name: 'species_fia', unit: 'code', meaning: 'FIA numeric species code', cell: ofTree((t) => t.species) },
  {
    name: 'species_plants',
    unit: 'symbol',
    meaning: 'PLANTS symbol',
    cell: ofTree((t) => speciesOf(t)?.symbol ?? null),
  },
  { name: 'status', unit: statuses.join(', '), meaning: 'state of the tree', cell: ofTree((t) => t.status) },
  {
    name: 'count',
    unit: 'trees',
    meaning: 'how many trees alike the row stands for',
    cell: ofTree((t) => t.count),
  },
  {
    name: 'dbh_in',
    unit: 'inches',
    meaning: 'diameter outside bark at breast height',
    cell: ofTree((t) => t.diameterIn),
  },
  {
    name: 'height_ft',
    unit: 'feet',
    meaning: 'measured total height; empty where none was measured',
    cell: ofTree((t) => t.heightFt),
  },
  {
    name: 'height_sd_ft',
    unit: 'feet',
    meaning: 'standard deviation of the height',
    cell: ofTree((t) => t.heightSdFt),
  },
  { name: 'logs_16ft', unit: '16-foot logs', meaning: 'merchantable logs', cell: ofTree((t) => t.logs) },
  { name: 'merch_ft', unit: 'feet', meaning: 'merchantable height', cell: ofTree((t) => t.merchFt) },
  {
    name: 'defect_pct',
    unit: 'percent',
    meaning: 'part of the volume lost to defect',
    cell: ofTree((t) => t.defectPct),
  },
  { name: 'form_class_pct', unit: 'percent', meaning: 'Girard form class', cell: ofTree((t) => t.formClass) },
  {
    name: 'marks',
    unit: 'words, "; " between',
    meaning: 'forked, hollow and the like',
    cell: ofTree((t) => t.marks.join('; ') || null),
  },
  {
    name: 'counted',
    unit: 'yes or no',
    meaning: 'no: measured at the border and found out',
    cell: ofTree((t) => t.counted),
  },
  {
    name: 'plot_by',
    unit: 'area, radius, factor, tally',
    meaning: 'how the plot takes its trees',
    cell: ofPlot((p) => p.size?.by ?? null),
  },
  {
    name: 'plot_size',
    unit: 'as plot_unit says',
    meaning: 'area, radius or basal area factor',
    cell: ofPlot(sizeValue),
  },
  {
    name: 'plot_unit',
    unit: 'unit',
    meaning: 'unit of plot_size; empty: the usual one',
    cell: ofPlot(sizeUnit),
  },
  { name: 'slope_pct', unit: 'percent', meaning: 'slope of the plot', cell: ofPlot((p) => p.slopePct) },
  {
    name: 'closed',
    unit: 'yes or no',
    meaning: 'whether the plot was closed',
    cell: ofPlot((p) => p.closed),
  },
  {
    name: 'empty',
    unit: 'yes or no',
    meaning: 'whether the plot was said to be empty',
    cell: ofPlot((p) => p.empty),
  },
  {
    name: 'time',
    unit: 'ISO 8601, universal time',
    meaning: 'when the tree or plot was begun',
    cell: ofBoth((r) => isoTime(r.time)),
  },
  { name: 'person', unit: 'name', meaning: 'who measured', cell: ofBoth((r) => r.person) },
  {
    name: 'latitude',
    unit: 'degrees, WGS 84',
    meaning: 'where the device was then',
    cell: (row) => row.place.position?.latitude ?? null,
  },
  {
    name: 'longitude',
    unit: 'degrees, WGS 84',
    meaning: 'where the device was then',
    cell: (row) => row.place.position?.longitude ?? null,
  },
  {
    name: 'accuracy_m',
    unit: 'metres',
    meaning: 'radius of the position’s error',
    cell: (row) => row.place.position?.accuracyMetres ?? null,
  },
  { name: 'id', unit: 'UUID', meaning: 'entry that began the tree or plot', cell: ofBoth((r) => r.id) },
  { name: 'plot_id', unit: 'UUID', meaning: 'id of the plot', cell: ofTree((t) => t.plot) },
  { name: 'stand_id', unit: 'UUID', meaning: 'id of the stand', cell: ofBoth((r) => r.stand) },
  {
    name: 'stratum_id',
    unit: 'UUID',
    meaning: 'id of the stratum',
    cell: (row) => row.place.stratum?.id ?? null,
  },
];

function speciesOf(tree: TreeRecord) {
  return tree.species === null ? undefined : speciesByCode(tree.species);
}

function sizeValue({ size }: PlotRecord): Cell {
  if (size === null || size.by === 'tally') return null;
  return size.by === 'radius' ? size.length.value : size.value;
}

function sizeUnit({ size }: PlotRecord): Cell {
  if (size === null || size.by === 'tally') return null;
  return (size.by === 'radius' ? size.length.unit : size.unit) ?? null;
}

/** Which rows go into the file. */
export type Table = 'all' | 'trees' | 'plots';

/** The table of a book: plots first, then trees, each in the order of the book. */
export function toCsv(wood: Wood, table: Table = 'all'): string {
  return writeCsv(rowsOf(wood, table));
}

function* rowsOf(wood: Wood, table: Table): Generator<Cell[]> {
  const by = <T extends { id: string }>(records: readonly T[]) =>
    new Map(records.map((one) => [one.id, one]));
  const [plots, stands, strata, positions] = [
    by(wood.plots),
    by(wood.stands),
    by(wood.strata),
    positionsOf(wood.entries),
  ];
  const find = <T>(map: ReadonlyMap<string, T>, id: string | null) =>
    id === null ? null : (map.get(id) ?? null);
  yield columns.map((column) => column.name);
  if (table !== 'trees') {
    for (const plot of wood.plots) {
      const place = {
        plot,
        stand: find(stands, plot.stand),
        stratum: find(strata, plot.stratum),
        position: find(positions, plot.id),
      };
      yield columns.map((column) => column.cell({ record: 'plot', plot, place }));
    }
  }
  if (table !== 'plots') {
    for (const tree of wood.trees) {
      const plot = find(plots, tree.plot);
      const place = {
        plot,
        stand: find(stands, tree.stand),
        stratum: find(strata, plot?.stratum ?? null),
        position: find(positions, tree.id),
      };
      yield columns.map((column) => column.cell({ record: 'tree', tree, place }));
    }
  }
}

/** A line of help for every column: `dbh_in (inches): diameter outside bark at breast height`. */
export function columnList(): string[] {
  return columns.map((column) => `${column.name} (${column.unit}): ${column.meaning}`);
}

const text = z.string().transform((cell) => (cell === '' ? null : cell));
const number = z
  .string()
  .regex(/^-?\d+(\.\d+)?(e[+-]?\d+)?$|^$/, 'a number')
  .transform((cell) => (cell === '' ? null : Number(cell)));
const yes = z.enum(['yes', 'no'], 'yes or no').transform((cell) => cell === 'yes');
const id = z.uuid('a UUID');
const maybeId = z.union([id, z.literal('').transform(() => null)]);
const whole = z
  .string()
  .regex(/^[1-9]\d*$/, 'a whole number from 1')
  .transform(Number);
const time = z.iso.datetime('a time like 2026-05-01T09:30:00.000Z').transform((cell) => Date.parse(cell));

const treeRow = z.object({
  number: whole,
  plot_id: maybeId,
  stand_id: maybeId,
  species_fia: z.union([whole, z.literal('').transform(() => null)]),
  dbh_in: number,
  status: z.enum(statuses, statuses.join(', ')),
  marks: z.string().transform((cell) => (cell === '' ? [] : cell.split('; '))),
  count: whole,
  logs_16ft: number,
  merch_ft: number,
  defect_pct: number.transform((value) => value ?? 0),
  form_class_pct: number,
  height_ft: number,
  height_sd_ft: number,
  counted: yes,
  time,
  person: text,
  id,
});
const plotRow = z.object({
  number: whole,
  stand_id: maybeId,
  stratum_id: maybeId,
  plot_by: z.enum(['area', 'radius', 'factor', 'tally', ''], 'area, radius, factor or tally'),
  plot_size: number,
  plot_unit: z.string(),
  slope_pct: number,
  closed: yes,
  empty: yes,
  time,
  person: text,
  id,
});

/** Reads a table that `toCsv` wrote, also with its columns moved or others added. Says the first line that is wrong. */
export function fromCsv(csv: string): Result<Pick<Wood, 'trees' | 'plots' | 'stands' | 'strata'>, string> {
  const read = readCsv(csv);
  if (!read.ok) return err(read.error.sentence);
  const [header, ...rows] = read.value;
  const missing = columns.map((column) => column.name).filter((name) => !header?.includes(name));
  if (header === undefined || missing.length > 0) {
    return err(`Expected a stemsay table; its first line lacks the columns ${missing.join(', ')}.`);
  }
  const trees: TreeRecord[] = [];
  const plots: PlotRecord[] = [];
  const stands = new Map<string, StandRecord>();
  const strata = new Map<string, StandRecord>();
  for (const [index, cells] of rows.entries()) {
    const where = `Row ${index + 2}`;
    if (cells.length !== header.length) {
      return err(`${where}: expected ${header.length} cells, found ${cells.length}.`);
    }
    const row: Record<string, string> = Object.fromEntries(header.map((name, at) => [name, cells[at]!]));
    const parsed = rowSchema(row.record).safeParse(row);
    if (!parsed.success) {
      const issue = parsed.error.issues[0]!;
      const name = String(issue.path[0] ?? 'record');
      return err(`${where}, ${name}: expected ${issue.message}, found ${JSON.stringify(row[name] ?? '')}.`);
    }
    keepArea(stands, row, 'stand');
    keepArea(strata, row, 'stratum');
    if (parsed.data.record === 'tree') trees.push(parsed.data.tree);
    else plots.push(parsed.data.plot);
  }
  return ok({ trees, plots, stands: [...stands.values()], strata: [...strata.values()] });
}

function rowSchema(record: string | undefined) {
  if (record === 'tree') {
    return treeRow.transform((r) => ({
      record: 'tree' as const,
      tree: {
        id: r.id,
        number: r.number,
        plot: r.plot_id,
        stand: r.stand_id,
        species: r.species_fia,
        diameterIn: r.dbh_in,
        status: r.status,
        marks: r.marks,
        count: r.count,
        logs: r.logs_16ft,
        merchFt: r.merch_ft,
        defectPct: r.defect_pct,
        formClass: r.form_class_pct,
        heightFt: r.height_ft,
        heightSdFt: r.height_sd_ft,
        counted: r.counted,
        time: r.time,
        person: r.person,
      } satisfies TreeRecord,
    }));
  }
  return plotRow.extend({ record: z.literal('plot', 'tree or plot') }).transform((r, context) => {
    const { plot_by: by, plot_size: value, plot_unit } = r;
    const unit = plot_unit === '' ? {} : { unit: plot_unit };
    const size =
      by === ''
        ? null
        : by === 'tally'
          ? { by }
          : by === 'radius'
            ? { by, length: { value, ...unit } }
            : { by, value, ...unit };
    const checked = plotSizeSchema.nullable().safeParse(size);
    if (!checked.success) {
      context.addIssue({
        code: 'custom',
        path: ['plot_size'],
        message: `a size and unit that go with "${by}"`,
      });
      return z.NEVER;
    }
    return {
      record: 'plot' as const,
      plot: {
        id: r.id,
        number: r.number,
        stand: r.stand_id,
        stratum: r.stratum_id,
        size: checked.data,
        slopePct: r.slope_pct,
        closed: r.closed,
        empty: r.empty,
        time: r.time,
        person: r.person,
      } satisfies PlotRecord,
    };
  });
}

function keepArea(
  areas: Map<string, StandRecord>,
  row: Record<string, string>,
  kind: 'stand' | 'stratum',
): void {
  const id = row[`${kind}_id`];
  if (!id || areas.has(id)) return;
  const acres = number.safeParse(row[`${kind}_acres`] ?? '');
  areas.set(id, { id, name: row[kind] ?? '', acres: acres.success ? acres.data : null });
}
