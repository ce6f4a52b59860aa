/**
 * A table's trees and plots as entries of a book, so that they can be put into one. Ids stay, so the same table brings
 * nothing twice. Each plot is told by a device of its own, which has that plot in hand as whoever measured it had.
 */

import { required } from '../../core/required.ts';
import { err, ok, type Result } from '../../core/result.ts';
import type { Act, TreeFields } from '../../note/acts.ts';
import { asSaid } from '../../note/deviations.ts';
import { type DeviceId, deviceId, type Entry, entrySchema } from '../../note/journal.ts';
import type { Measurement, Note } from '../../note/note.ts';
import { type SettingAct, settingSaidSchema } from '../../note/settings.ts';
import type { PlotRecord, StandRecord, TreeRecord } from '../../totals/types.ts';
import type { ReadTable } from './read-tables.ts';
import type { KeptSetting } from './wood.ts';

interface TableImport {
  /** Whether the book has the entry of this id. */
  readonly known: (id: string) => boolean;
  /** Begins the names of the devices; not used before in the book. */
  readonly device: DeviceId;
  /** A fresh UUIDv7 for a time. */
  readonly id: (time: number) => string;
}

/** In place of the version of a grammar: these words were never read by one. */
const grammar = 'table';

interface Group {
  readonly plot: PlotRecord | null;
  readonly stand: string | null;
  readonly trees: TreeRecord[];
  from: number;
}

/** Entries for what the book does not have; the error names the line that cannot go in. */
export function entriesOfTable(table: ReadTable, how: TableImport): Result<Entry[], string> {
  const groups = new Map<string, Group>();
  const plots = new Map(table.plots.map((plot) => [plot.id, plot]));
  for (const plot of table.plots) {
    if (!how.known(plot.id)) groups.set(plot.id, { plot, stand: plot.stand, trees: [], from: plot.time });
  }
  for (const tree of table.trees) {
    if (how.known(tree.id)) continue;
    const where = `Line ${table.lines.get(tree.id)}, plot_id`;
    if (tree.plot !== null && !plots.has(tree.plot))
      return err(`${where}: the tree stands on a plot that is not in the table; export it whole.`);
    if (tree.plot !== null && how.known(tree.plot))
      return err(`${where}: the plot is in the book already, without this tree; tell the tree by voice.`);
    const key = tree.plot ?? `no plot ${tree.stand ?? ''}`;
    const group = groups.get(key) ?? { plot: null, stand: tree.stand, trees: [], from: tree.time };
    group.trees.push(tree);
    group.from = Math.min(group.from, tree.time);
    groups.set(key, group);
  }
  const named = new Set<string>();
  const placed: Placed[] = settingEntries(table.settings, how).map((entry) => ({ entry, place: 0 }));
  const numbers = new Map(table.trees.map(({ id, number }) => [id, number]));
  const inOrder = [...groups.values()].sort((a, b) => a.from - b.from);
  const firsts = inOrder.map(({ trees }) => Math.min(...trees.map(({ number }) => number)));
  for (const [at, group] of inOrder.entries()) {
    const device = deviceId(`${how.device}-${String(at + 1).padStart(5, '0')}`);
    // A plot without trees stands before the next one with some.
    const first = firsts.slice(at).find(Number.isFinite) ?? Number.MAX_VALUE;
    for (const entry of entriesOf(group, table, { ...how, device }, named))
      placed.push({ entry, place: numbers.get(entry.id) ?? first - 0.5 });
  }
  const entries = apart(placed);
  for (const entry of entries) {
    const read = entrySchema.safeParse(entry);
    if (read.success) continue;
    const issue = read.error.issues[0]!;
    const line = table.lines.get(entry.id);
    return err(
      `${line === undefined ? 'The table' : `Line ${line}`}: ${String(issue.path.at(-1))}: ${issue.message}.`,
    );
  }
  return ok(entries);
}

/** An entry at its moment, and its place among those of the same one: trees by their numbers, a plot before its trees. */
interface Placed {
  readonly entry: Entry;
  readonly place: number;
}

/** What was told within one millisecond keeps its moment; each has a place in the order behind the one before. */
function apart(placed: Placed[]): Entry[] {
  let last = -1;
  return placed
    .sort((a, b) => a.entry.time - b.entry.time || a.place - b.place)
    .map(({ entry }) => {
      last = Math.max(entry.time, last + 1);
      return last === entry.time ? entry : { ...entry, time: last, clock: entry.time };
    });
}

function entriesOf(group: Group, table: ReadTable, how: TableImport, named: Set<string>): Entry[] {
  const entries: Entry[] = [];
  const { plot } = group;
  const put = (id: string, time: number, note: Note, acts: Act[], person: string | null) => {
    const position = table.positions.get(id);
    const line = table.lines.get(id);
    entries.push({
      id,
      device: how.device,
      seq: entries.length + 1,
      time,
      words: line === undefined ? 'from a table' : `from a table, line ${line}`,
      note,
      grammar,
      acts,
      ...(position ? { position } : {}),
      ...(person === null ? {} : { person }),
    });
  };
  const remark = (of: PlotRecord | TreeRecord, tree: string | null, person: string | null) => {
    for (const text of table.remarks.get(of.id) ?? [])
      put(
        how.id(of.time),
        Math.max(of.time, group.from),
        { kind: 'remark', text },
        [{ act: 'remark', text, tree, plot: plot?.id ?? null }],
        person,
      );
  };
  const area = (kind: 'stand' | 'stratum', { id, name, acres }: StandRecord, before: number) => {
    // Named first, it has the id that it had; named again, by another plot, it is the same by its name.
    const first = !named.has(id) && !how.known(id);
    named.add(id);
    const own = first ? id : how.id(before);
    const area = acres === null ? {} : { area: { value: acres, unit: 'acre' as const } };
    put(own, before, { kind, name, ...area }, [{ act: kind, id: own, name, acres }], null);
  };
  const stand = table.stands.find(({ id }) => id === group.stand);
  const stratum = table.strata.find(({ id }) => id === plot?.stratum);
  // A moment before what stands in them, so that each entry of a device is later than the one before.
  if (stand) area('stand', stand, Math.max(0, group.from - 2));
  if (stratum) area('stratum', stratum, Math.max(0, group.from - 1));
  const trees = [...group.trees].sort((a, b) => a.time - b.time || a.number - b.number);
  // What would put the plot out of hand is said with its last tree.
  const empty = plot?.empty === true && trees.length > 0;
  const closing: Act[] =
    plot && (plot.closed || empty)
      ? [
          {
            act: 'plotAmend',
            target: plot.id,
            ...(plot.closed ? { closed: true } : {}),
            ...(empty ? { empty: true } : {}),
          },
        ]
      : [];
  if (plot)
    put(
      plot.id,
      plot.time,
      plotNote(plot),
      [plotAct(empty ? { ...plot, empty: false } : plot), ...(trees.length === 0 ? closing : [])],
      plot.person,
    );
  if (plot) remark(plot, null, plot.person);
  for (const [at, tree] of trees.entries()) {
    const acts = [...treeActs(tree, table), ...(at === trees.length - 1 ? closing : [])];
    put(tree.id, Math.max(tree.time, group.from), treeNote(tree, table), acts, tree.person);
    remark(tree, tree.id, tree.person);
  }
  return entries;
}

/**
 * What was set, told by a device of its own for each person, and by one for what nobody's name stood behind; so a pace
 * stays that of who said it. What one entry set comes as one.
 */
function settingEntries(settings: readonly KeptSetting[], how: TableImport): Entry[] {
  const entries: Entry[] = [];
  const devices = new Map<string | null, { readonly device: DeviceId; seq: number }>();
  const put = (person: string | null, of: Pick<Entry, 'id' | 'time' | 'note' | 'acts'>) => {
    const own = required(devices.get(person), 'the device of a person');
    entries.push({
      ...of,
      device: own.device,
      seq: ++own.seq,
      words: 'from a table',
      grammar,
      ...(person === null ? {} : { person }),
    });
  };
  const done = new Set<string>();
  for (const { entry, time, person } of settings) {
    if (how.known(entry) || done.has(entry)) continue;
    done.add(entry);
    if (!devices.has(person)) {
      devices.set(person, {
        device: deviceId(`${how.device}-set-${String(devices.size + 1).padStart(3, '0')}`),
        seq: 0,
      });
      if (person !== null) {
        const set = { what: 'person' as const, name: person };
        const before = Math.max(0, time - 1);
        const note: Note = { kind: 'setting', set };
        put(person, { id: how.id(before), time: before, note, acts: [{ act: 'setting', set }] });
      }
    }
    const own = settings.filter((one) => one.entry === entry);
    const acts: Act[] = own.map(({ set }) => ({ act: 'setting', set }));
    put(person, { id: entry, time, note: noteOfSetting(own[0]!.set), acts });
  }
  return entries;
}

/** The note that says a setting; a remark of it where none does, as for a nickname that was an answer. */
function noteOfSetting(set: SettingAct): Note {
  const lengthOf = (feet: number) => ({ length: { value: feet, unit: 'ft' } });
  const said = settingSaidSchema.safeParse(
    set.what === 'pace' || set.what === 'eye'
      ? { what: set.what, ...lengthOf(set.feet) }
      : set.what === 'walk'
        ? { what: 'walk', count: set.count, of: set.of, ...lengthOf(set.feet) }
        : set.what === 'scatter'
          ? { what: 'scatter', device: set.device, ...lengthOf(set.feet) }
          : set.what === 'deviation'
            ? { what: 'deviation', error: set.error, value: asSaid(set.error, set.value) }
            : set.what === 'declination'
              ? { what: 'declination', value: set.degrees }
              : set,
  );
  return said.success ? { kind: 'setting', set: said.data } : { kind: 'remark', text: `set ${set.what}` };
}

const plotNote = ({ number, size, empty }: PlotRecord): Note => ({
  kind: 'plot',
  op: empty ? 'empty' : 'open',
  number,
  ...(size ? { size } : {}),
});

const plotAct = ({ id, number, size, slopePct, empty }: PlotRecord): Act => ({
  act: 'plot',
  id,
  number,
  ...(size ? { size } : {}),
  ...(slopePct === null ? {} : { slopePct }),
  ...(empty ? { empty } : {}),
});

function treeNote(tree: TreeRecord, table: ReadTable): Note {
  const height = heightOf(tree, table);
  return {
    kind: 'tree',
    facts: {
      ...(tree.species === null ? {} : { species: tree.species }),
      ...(tree.diameterIn === null ? {} : { diameter: { value: tree.diameterIn, unit: 'in' } }),
    },
    ...(height ? { height } : {}),
  };
}

function treeActs(tree: TreeRecord, table: ReadTable): Act[] {
  const fields: TreeFields = {
    ...(tree.species === null ? {} : { species: tree.species }),
    ...(tree.diameterIn === null ? {} : { diameterIn: tree.diameterIn }),
    ...(tree.logs === null ? {} : { logs: tree.logs }),
    ...(tree.merchFt === null ? {} : { merchFt: tree.merchFt }),
    ...(tree.status === 'live' ? {} : { status: tree.status }),
    ...(tree.marks.length === 0 ? {} : { marks: [...tree.marks] }),
    ...(tree.defectPct === 0 ? {} : { defectPct: tree.defectPct }),
    ...(tree.count === 1 ? {} : { count: tree.count }),
    ...(tree.formClass === null ? {} : { formClass: tree.formClass }),
    ...(tree.counted ? {} : { counted: false }),
    ...(tree.half ? { half: true } : {}),
  };
  const measurement = heightOf(tree, table);
  return [
    { act: 'tree', id: tree.id, fields },
    ...(measurement ? [{ act: 'height' as const, id: tree.id, tree: tree.id, measurement }] : []),
  ];
}

/** A height of a table: a reading with the error that it has there. */
function heightOf({ id, heightFt, heightSdFt }: TreeRecord, table: ReadTable): Measurement | null {
  const was = table.methods.get(id);
  if (heightFt === null) return null;
  return {
    method: 'reading',
    device: 'other',
    takes: [{ value: heightFt, unit: 'ft' }],
    ...(heightSdFt !== null && heightSdFt > 0 ? { sdFeet: heightSdFt } : {}),
    ...(was === undefined ? {} : { was }),
  };
}
