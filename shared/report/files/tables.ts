/**
 * The trees and plots of a book as one table: a row a plot, a row a tree. Every column is described here, with its unit;
 * the writer, the reader (`read-tables.ts`) and the column list for the user all follow this description.
 */
import type { Entry } from '../../note/journal.ts';
import { statuses } from '../../note/note.ts';
import { speciesByCode } from '../../note/species.ts';
import type { PlotRecord, StandRecord, TreeRecord } from '../../totals/types.ts';
import { type Cell, type CsvColumn, writeCsv } from './csv.ts';

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

interface Column extends CsvColumn {
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
export const fileColumns: readonly Column[] = [
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
    meaning: 'common name, or what it was called where the species is not known',
    cell: ofTree((t) => speciesOf(t)?.commonName ?? t.called ?? null),
  },
  {
    name: 'species_fia',
    unit: 'code',
    meaning: 'FIA numeric species code; from 90000 on a number of our own, for trees that have none',
    cell: ofTree((t) => t.species),
  },
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
    unit: 'yes, no or half',
    meaning: 'no: measured at the border and found out; half: on the border, counted as half a tree',
    cell: ofTree((t) => (t.counted && t.half ? 'half' : t.counted)),
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

/** Which rows go into the file; legs of walks are a table of their own (`land-files.ts`). */
export type FileTable = 'all' | 'trees' | 'plots' | 'legs';
type WoodTable = Exclude<FileTable, 'legs'>;

/** The table of a book: plots first, then trees, each in the order of the book. */
export function toCsv(wood: Wood, table: WoodTable = 'all'): string {
  return writeCsv(rowsOf(wood, table));
}

function* rowsOf(wood: Wood, table: WoodTable): Generator<Cell[]> {
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
  yield fileColumns.map((column) => column.name);
  if (table !== 'trees') {
    for (const plot of wood.plots) {
      const place = {
        plot,
        stand: find(stands, plot.stand),
        stratum: find(strata, plot.stratum),
        position: find(positions, plot.id),
      };
      yield fileColumns.map((column) => column.cell({ record: 'plot', plot, place }));
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
      yield fileColumns.map((column) => column.cell({ record: 'tree', tree, place }));
    }
  }
}
