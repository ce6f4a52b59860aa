/** Reads the table that `tables.ts` writes, also with its columns moved or others added; says the line and column that is wrong. */
import * as z from 'zod/mini';
import { err, ok, type Result } from '../../core/result.ts';
import { positionSchema } from '../../note/journal.ts';
import { statuses } from '../../note/note.ts';
import { plotSizeSchema } from '../../note/quantities.ts';
import { settingActSchema } from '../../note/settings.ts';
import type { PlotRecord, StandRecord, TreeRecord } from '../../totals/types.ts';
import { readCsv } from './csv.ts';
import { fileColumns, metricColumns, type Position } from './tables.ts';
import type { KeptSetting, Wood } from './wood.ts';

/** What a table holds, each record with the line on which it stands. */
export interface ReadTable extends Pick<Wood, 'trees' | 'plots' | 'stands' | 'strata' | 'settings'> {
  /** Remarks by tree or plot. */
  readonly remarks: ReadonlyMap<string, readonly string[]>;
  /** How heights were measured, by tree. */
  readonly methods: ReadonlyMap<string, string>;
  readonly positions: ReadonlyMap<string, Position>;
  readonly lines: ReadonlyMap<string, number>;
}

const text = z.pipe(
  z.string(),
  z.transform((cell) => (cell === '' ? null : cell)),
);
const number = z.pipe(
  z.string().check(z.regex(/^-?\d+(\.\d+)?(e[+-]?\d+)?$|^$/, 'a number')),
  z.transform((cell) => (cell === '' ? null : Number(cell))),
);
/** Where a value is, it is above nothing; no tree is 0 inches thick. */
const positive = number.check(z.refine((value) => value === null || value > 0, 'a number above 0'));
const percent = number.check(
  z.refine((value) => value === null || (value >= 0 && value <= 100), 'a number from 0 to 100'),
);
const notLess = number.check(z.refine((value) => value === null || value >= 0, 'a number, 0 or more'));
const yes = z.pipe(
  z.enum(['yes', 'no'], 'yes or no'),
  z.transform((cell) => cell === 'yes'),
);
const id = z.uuid('a UUID').check(z.toLowerCase());
const maybeId = z.union([
  id,
  z.pipe(
    z.literal(''),
    z.transform(() => null),
  ),
]);
const whole = z.pipe(z.string().check(z.regex(/^[1-9]\d*$/, 'a whole number from 1')), z.transform(Number));
const time = z.pipe(
  z.iso.datetime('a time like 2026-05-01T09:30:00.000Z'),
  z.transform((cell) => Date.parse(cell)),
);

const treeRow = z.object({
  number: whole,
  plot_id: maybeId,
  stand_id: maybeId,
  species_fia: z.union([
    whole,
    z.pipe(
      z.literal(''),
      z.transform(() => null),
    ),
  ]),
  dbh_in: positive,
  status: z.enum(statuses, statuses.join(', ')),
  marks: z.pipe(
    z.string(),
    z.transform((cell) => (cell === '' ? [] : cell.split('; '))),
  ),
  count: whole,
  logs_16ft: notLess,
  merch_ft: positive,
  defect_pct: z.pipe(
    percent,
    z.transform((value) => value ?? 0),
  ),
  form_class_pct: positive,
  height_ft: positive,
  height_sd_ft: notLess,
  counted: z.enum(['yes', 'no', 'half'], 'yes, no or half'),
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

/** Reads a whole table; the error names the first line that is wrong, its column, what was expected and found. */
export function fromCsv(csv: string): Result<ReadTable, string> {
  const read = readCsv(csv);
  if (!read.ok) return err(read.error.sentence);
  const [header, ...rows] = read.value;
  const metric = header?.includes('dbh_cm') ?? false;
  const missing = fileColumns(metric ? 'metres' : 'feet')
    .filter((column) => !column.spare)
    .map((column) => column.name)
    .filter((name) => !header?.includes(name));
  if (header === undefined || missing.length > 0) {
    return err(`Expected a stemsay table; its first line lacks the columns ${missing.join(', ')}.`);
  }
  const table = new TableRows(metric);
  let line = 1;
  let above = header;
  for (const cells of rows) {
    // A cell may hold line ends of its own.
    line += 1 + above.reduce((sum, cell) => sum + cell.split('\n').length - 1, 0);
    above = cells;
    const wrong =
      cells.length !== header.length
        ? `: expected ${header.length} cells, found ${cells.length}.`
        : table.take(Object.fromEntries(header.map((name, at) => [name, cells[at]!])), line);
    if (wrong !== null) return err(`Line ${line}${wrong}`);
  }
  return ok(table.read());
}

/** What the rows of a table hold so far. */
class TableRows {
  readonly #trees: TreeRecord[] = [];
  readonly #plots: PlotRecord[] = [];
  readonly #stands = new Map<string, StandRecord>();
  readonly #strata = new Map<string, StandRecord>();
  readonly #positions = new Map<string, Position>();
  readonly #lines = new Map<string, number>();
  readonly #remarks = new Map<string, readonly string[]>();
  readonly #methods = new Map<string, string>();
  readonly #settings: KeptSetting[] = [];

  constructor(private readonly metric: boolean) {}

  /** Takes a row in; the end of a sentence that says what is wrong with it, null for nothing. */
  take(row: Record<string, string>, line: number): string | null {
    if (this.metric) inFeet(row);
    if (row.record === 'setting') {
      const setting = settingOf(row);
      if (typeof setting === 'string') return `, ${setting}`;
      this.#settings.push(setting);
      return null;
    }
    const parsed = rowSchema(row.record).safeParse(row);
    if (!parsed.success) {
      const issue = parsed.error.issues[0]!;
      const field = String(issue.path[0] ?? 'record');
      const name = this.metric ? (metricColumns.find(([, feet]) => feet === field)?.[0] ?? field) : field;
      return `, ${name}: expected ${issue.message}, found ${JSON.stringify(row[name] ?? '')}.`;
    }
    keepArea(this.#stands, row, 'stand');
    keepArea(this.#strata, row, 'stratum');
    const record = parsed.data.record === 'tree' ? parsed.data.tree : parsed.data.plot;
    const twice = this.#lines.get(record.id);
    if (twice !== undefined) return `, id: the same as on line ${twice}.`;
    this.#lines.set(record.id, line);
    if (parsed.data.record === 'tree') this.#trees.push(parsed.data.tree);
    else this.#plots.push(parsed.data.plot);
    const position = positionOf(row);
    if (typeof position === 'string') return `, latitude: ${position}`;
    if (position !== null) this.#positions.set(record.id, position);
    if (row.method) this.#methods.set(record.id, row.method);
    if (row.remark) this.#remarks.set(record.id, row.remark.split('; '));
    return null;
  }

  read(): ReadTable {
    return {
      trees: this.#trees,
      plots: this.#plots,
      stands: [...this.#stands.values()],
      strata: [...this.#strata.values()],
      settings: this.#settings,
      remarks: this.#remarks,
      methods: this.#methods,
      positions: this.#positions,
      lines: this.#lines,
    };
  }
}

/** Gives a row of a metric table its values in feet, inches and acres, too; what is no number stays as it is. */
function inFeet(row: Record<string, string>): void {
  for (const [name, feet, factor] of metricColumns) {
    const cell = row[name];
    if (cell === undefined) continue;
    row[feet] = cell === '' || Number.isNaN(Number(cell)) ? cell : String(Number(cell) / factor);
  }
}

const settingRow = z.object({ time, person: text, id });

/** What a row says was set; a sentence about the column that is wrong. */
function settingOf(row: Record<string, string>): KeptSetting | string {
  const parsed = settingRow.safeParse(row);
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!;
    return `${String(issue.path[0])}: expected ${issue.message}, found ${JSON.stringify(row[String(issue.path[0])] ?? '')}.`;
  }
  let value: unknown = null;
  try {
    value = JSON.parse(row.setting_value ?? '');
  } catch {
    // Judged below: what is no JSON is no value of any setting.
  }
  const set = settingActSchema.safeParse({ what: row.setting, ...(value as object | null) });
  if (!set.success)
    return `setting_value: expected the value of "${row.setting}" as it was exported, found ${JSON.stringify(row.setting_value ?? '')}.`;
  const { time: at, person, id: entry } = parsed.data;
  return { entry, time: at, person, set: set.data };
}

/** Null where the row has none; a sentence where it has a part of one, or one that no place on earth has. */
function positionOf({ latitude, longitude, accuracy_m }: Record<string, string>): Position | string | null {
  if (!latitude && !longitude && !accuracy_m) return null;
  const read = positionSchema.safeParse({
    latitude: Number(latitude || Number.NaN),
    longitude: Number(longitude || Number.NaN),
    accuracyMetres: Number(accuracy_m || Number.NaN),
  });
  return read.success
    ? read.data
    : `expected latitude, longitude and accuracy_m together, as degrees and metres; found "${latitude}", "${longitude}", "${accuracy_m}".`;
}

function rowSchema(record: string | undefined) {
  if (record === 'tree') {
    return z.pipe(
      treeRow,
      z.transform((r) => ({
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
          counted: r.counted !== 'no',
          ...(r.counted === 'half' ? { half: true } : {}),
          time: r.time,
          person: r.person,
        } satisfies TreeRecord,
      })),
    );
  }
  return z.pipe(
    z.extend(plotRow, { record: z.literal('plot', 'tree, plot or setting') }),
    z.transform((r, context) => {
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
      const checked = z.nullable(plotSizeSchema).safeParse(size);
      if (!checked.success) {
        context.issues.push({
          code: 'custom',
          input: size,
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
    }),
  );
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
