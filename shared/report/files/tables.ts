/**
 * The trees, plots and settings of a book as one table: a row each. Every column is described here, with its unit; the
 * writer, the reader (`read-tables.ts`) and the column list for the user all follow this description. Lengths, areas and
 * weights are in the units of the book, their columns named so, and as fine as they are known.
 */
import {
  centimetresPerInch,
  hectaresPerAcre,
  kilogramsPerPound,
  metresPerFoot,
  type Units,
} from '../../core/units.ts';
import type { Entry } from '../../note/journal.ts';
import { logRules } from '../../note/log-rules.ts';
import { statuses } from '../../note/note.ts';
import { speciesByCode } from '../../note/species.ts';
import type { TreeValues } from '../../totals/totals.ts';
import type { PlotRecord, StandRecord, TreeRecord } from '../../totals/types.ts';
import { type Cell, type CsvColumn, writeCsv } from './csv.ts';
import type { Besides, KeptSetting, Wood } from './wood.ts';

/** Where the device was when a tree or a plot was begun: not a survey of the stem. */
export type Position = NonNullable<Entry['position']>;

export function positionsOf(entries: readonly Entry[]): ReadonlyMap<string, Position> {
  const positions = new Map<string, Position>();
  for (const entry of entries) if (entry.position) positions.set(entry.id, entry.position);
  return positions;
}

type Row = (
  | { readonly record: 'tree'; readonly tree: TreeRecord }
  | { readonly record: 'plot'; readonly plot: PlotRecord }
  | { readonly record: 'setting'; readonly setting: KeptSetting }
) & { readonly place: Place; readonly wood: Wood };

interface Place {
  readonly plot: PlotRecord | null;
  readonly stand: StandRecord | null;
  readonly stratum: StandRecord | null;
  readonly position: Position | null;
}
const nowhere: Place = { plot: null, stand: null, stratum: null, position: null };

interface Column extends CsvColumn {
  /** Null where the row has no such value. */
  cell(row: Row): Cell;
  /** Whether a table can be read without it: columns of values that follow from others, and later ones. */
  readonly spare?: true;
}

/** A column in the units of the book. */
interface SizedColumn {
  readonly feet: readonly [name: string, unit: string, decimals: number];
  /** `factor` brings feet, inches, acres or pounds to it. */
  readonly metres: readonly [name: string, unit: string, decimals: number, factor: number];
  readonly meaning: string;
  readonly spare?: true;
  cell(row: Row): number | null;
}

const ofTree =
  <T extends Cell>(pick: (tree: TreeRecord) => T) =>
  (row: Row): T | null =>
    row.record === 'tree' ? pick(row.tree) : null;
const ofPlot =
  (pick: (plot: PlotRecord) => Cell) =>
  (row: Row): Cell =>
    row.record === 'plot' ? pick(row.plot) : null;
const ofBoth =
  (pick: (record: TreeRecord | PlotRecord) => Cell) =>
  (row: Row): Cell =>
    row.record === 'setting' ? null : pick(row.record === 'tree' ? row.tree : row.plot);
const ofSetting =
  (pick: (setting: KeptSetting) => Cell) =>
  (row: Row): Cell =>
    row.record === 'setting' ? pick(row.setting) : null;
const besidesOf = ({ wood }: Row, id: string): Besides | undefined => wood.besides.get(id);
/** Of what a tree comes to by itself. */
const ofValues =
  (pick: (values: TreeValues) => number | null) =>
  (row: Row): number | null => {
    const values = row.record === 'tree' ? besidesOf(row, row.tree.id)?.values : null;
    return values ? pick(values) : null;
  };

/** Milliseconds since 1970 as ISO 8601 in universal time. */
const isoTime = (ms: number): string => new Date(ms).toISOString();

/** The columns, in their order in the file. */
const columns: readonly (Column | SizedColumn)[] = [
  { name: 'record', unit: 'tree, plot or setting', meaning: 'what the row is', cell: (row) => row.record },
  {
    name: 'number',
    unit: 'count from 1',
    meaning: 'number of the tree in the book, or of the plot in its stand',
    cell: ofBoth((r) => r.number),
  },
  { name: 'stand', unit: 'name', meaning: 'stand', cell: (row) => row.place.stand?.name ?? null },
  {
    feet: ['stand_acres', 'acres', 3],
    metres: ['stand_ha', 'hectares', 4, hectaresPerAcre],
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
    feet: ['stratum_acres', 'acres', 3],
    metres: ['stratum_ha', 'hectares', 4, hectaresPerAcre],
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
    feet: ['dbh_in', 'inches', 2],
    metres: ['dbh_cm', 'centimetres', 1, centimetresPerInch],
    meaning: 'diameter outside bark at breast height',
    cell: ofTree((t) => t.diameterIn),
  },
  {
    feet: ['height_ft', 'feet', 1],
    metres: ['height_m', 'metres', 2, metresPerFoot],
    meaning: 'measured total height; empty where none was measured',
    cell: ofTree((t) => t.heightFt),
  },
  {
    feet: ['height_sd_ft', 'feet', 2],
    metres: ['height_sd_m', 'metres', 3, metresPerFoot],
    meaning: 'standard deviation of the height',
    cell: ofTree((t) => t.heightSdFt),
  },
  {
    name: 'method',
    unit: 'words',
    meaning: 'how the height was measured',
    cell: (row) => (row.record === 'tree' ? besidesOf(row, row.tree.id)?.methods.join('; ') || null : null),
    spare: true,
  },
  { name: 'logs_16ft', unit: '16-foot logs', meaning: 'merchantable logs', cell: ofTree((t) => t.logs) },
  {
    feet: ['merch_ft', 'feet', 1],
    metres: ['merch_m', 'metres', 2, metresPerFoot],
    meaning: 'merchantable height',
    cell: ofTree((t) => t.merchFt),
  },
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
    name: 'remark',
    unit: 'words, "; " between',
    meaning: 'what was remarked of it',
    cell: (row) =>
      row.record === 'setting'
        ? null
        : besidesOf(row, row.record === 'tree' ? row.tree.id : row.plot.id)?.remarks.join('; ') || null,
    spare: true,
  },
  {
    feet: ['per_acre', 'trees an acre', 3],
    metres: ['per_ha', 'trees a hectare', 3, 1 / hectaresPerAcre],
    meaning:
      'expansion factor: trees of an area that one stem stands for; empty off plots and in full tallies',
    cell: ofValues(({ perAcre }) => perAcre),
    spare: true,
  },
  {
    feet: ['basal_area_ft2', 'square feet', 4],
    metres: ['basal_area_m2', 'square metres', 5, metresPerFoot ** 2],
    meaning: 'basal area of one stem',
    cell: ofValues(({ basalAreaFt2 }) => basalAreaFt2),
    spare: true,
  },
  {
    name: 'board_feet',
    unit: 'board feet',
    meaning: 'sawlogs of one stem by log_rule, net of defect; empty where no logs were said',
    cell: (row) => rounded(ofValues(({ boardFeet }) => boardFeet)(row), 0),
    spare: true,
  },
  {
    name: 'log_rule',
    unit: 'name',
    meaning: 'rule of board_feet',
    cell: (row) => (row.record === 'tree' ? logRules[row.wood.rule].name : null),
    spare: true,
  },
  {
    feet: ['stem_ft3', 'cubic feet', 2],
    metres: ['stem_m3', 'cubic metres', 4, metresPerFoot ** 3],
    meaning: 'whole stem with bark, one stem',
    cell: ofValues(({ cubicFt }) => cubicFt),
    spare: true,
  },
  {
    name: 'stem_height',
    unit: 'measured or curve',
    meaning: 'which height the whole stem was reckoned from',
    cell: (row) => {
      const values = row.record === 'tree' ? besidesOf(row, row.tree.id)?.values : null;
      return values == null || values.cubicFt === null ? null : values.filled ? 'curve' : 'measured';
    },
    spare: true,
  },
  {
    feet: ['biomass_lb', 'pounds', 0],
    metres: ['biomass_kg', 'kilograms', 1, kilogramsPerPound],
    meaning: 'oven-dry above ground, one stem; empty outside the diameters behind the equations',
    cell: ofValues(({ pounds }) => pounds),
    spare: true,
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
    meaning: 'when the tree or plot was begun, or the setting said',
    cell: (row) =>
      isoTime(
        row.record === 'setting' ? row.setting.time : row.record === 'tree' ? row.tree.time : row.plot.time,
      ),
  },
  {
    name: 'person',
    unit: 'name',
    meaning: 'who measured',
    cell: (row) => (row.record === 'setting' ? row.setting.person : ofBoth((r) => r.person)(row)),
  },
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
  {
    name: 'id',
    unit: 'UUID',
    meaning: 'entry that began the tree or plot, or said the setting',
    cell: (row) => (row.record === 'setting' ? row.setting.entry : ofBoth((r) => r.id)(row)),
  },
  { name: 'plot_id', unit: 'UUID', meaning: 'id of the plot', cell: ofTree((t) => t.plot) },
  { name: 'stand_id', unit: 'UUID', meaning: 'id of the stand', cell: ofBoth((r) => r.stand) },
  {
    name: 'stratum_id',
    unit: 'UUID',
    meaning: 'id of the stratum',
    cell: (row) => row.place.stratum?.id ?? null,
  },
  {
    name: 'setting',
    unit: 'name',
    meaning: 'what was set',
    cell: ofSetting(({ set }) => set.what),
    spare: true,
  },
  {
    name: 'setting_value',
    unit: 'JSON',
    meaning: 'to what, in feet, degrees and parts',
    cell: ofSetting(({ set: { what: _, ...value } }) => JSON.stringify(value)),
    spare: true,
  },
];

/** To so many decimals; what would come to nothing keeps two figures. */
function rounded(value: number | null, decimals: number): number | null {
  if (value === null) return null;
  const near = Number(value.toFixed(decimals));
  return near === 0 ? Number(value.toPrecision(2)) : near;
}

/** A column as a table in these units has it. */
function columnIn(column: Column | SizedColumn, units: Units): Column {
  if ('name' in column) return column;
  const [name, unit, decimals, factor = 1] = units === 'metres' ? column.metres : column.feet;
  const cell = (row: Row): Cell => {
    const value = column.cell(row);
    return rounded(value === null ? null : value * factor, decimals);
  };
  return { name, unit, meaning: column.meaning, cell, ...(column.spare ? { spare: true } : {}) };
}

/** The columns of a table in these units. */
export const fileColumns = (units: Units): readonly Column[] =>
  columns.map((column) => columnIn(column, units));

/** Columns that a metric table has in place of others: its name, that in feet, and the factor from those. */
export const metricColumns: readonly (readonly [name: string, inFeet: string, factor: number])[] =
  columns.flatMap((column) =>
    'name' in column ? [] : [[column.metres[0], column.feet[0], column.metres[3]] as const],
  );

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

/** The table of a book: plots, then trees, then what was set, each in the order of the book. */
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
  const columns = fileColumns(wood.units);
  const cells = (row: Row): Cell[] => columns.map((column) => column.cell(row));
  yield columns.map((column) => column.name);
  if (table !== 'trees') {
    for (const plot of wood.plots) {
      const place = {
        plot,
        stand: find(stands, plot.stand),
        stratum: find(strata, plot.stratum),
        position: find(positions, plot.id),
      };
      yield cells({ record: 'plot', plot, place, wood });
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
      yield cells({ record: 'tree', tree, place, wood });
    }
  }
  if (table === 'all')
    for (const setting of wood.settings) yield cells({ record: 'setting', setting, place: nowhere, wood });
}
