/**
 * The ledger: trees, plots, stands and strata as they are put and removed, with the sums of every plot and the moments over
 * plots kept up to date. Records may come in any order: a tree before its plot, a plot's size under its trees.
 */
import { Cells, columnCount, firstFilled, stale } from './cells.ts';
import { contribute, contributeFilled, fillable, type HeightCurve, statusNumber } from './contribution.ts';
import { expandsBy, Group, Sheet } from './moments.ts';
import { designOf } from './plots.ts';
import { usualFormClass } from './treevolume.ts';
import type { PlotRecord, StandRecord, StratumRecord, TreeRecord } from './types.ts';

export interface Place {
  readonly stand: string | null;
  readonly stratum: string | null;
}

/** Trees counted by the stand, day and person of the trees themselves. */
export interface Register {
  readonly stand: string | null;
  readonly day: number;
  readonly person: number;
  /** By species x 4 + status. */
  readonly counts: number[];
}

export interface LedgerSettings {
  /** Girard form class where a tree has none, percent. */
  readonly formClass?: number;
  /** Day number of a time in ms; whole UTC days where missing. A book passes its own midnight. */
  readonly dayOf?: (time: number) => number;
}

const none = -1;
const msPerDay = 86_400_000;
/** States of a plot in its group's tally. */
const unseen = 0;
const counting = 1;
const waiting = 2;
/** Filled sums of a plot that do not stand in its group, and of one that waits in the list of those. */
const unfilled = 0;
const listed = -1;

const wider = <T extends Int32Array | Uint8Array | Float64Array>(from: T, to: T): T => {
  to.set(from);
  return to;
};

/** Handles of trees by cell or by key. */
interface Handles {
  [index: number]: number;
}

export class Ledger {
  protected readonly cells = new Cells();
  readonly #handles = new Map<string, number>();
  readonly #free: number[] = [];
  readonly #records: (TreeRecord | undefined)[] = [];
  #plotOf = new Int32Array(1024);
  #nextTree = new Int32Array(1024);
  #previousTree = new Int32Array(1024);

  readonly #plotIndex = new Map<string, number>();
  /** By plot; undefined for trees on no plot, and for plots that are only known by their trees. */
  protected readonly plotRecords: (PlotRecord | undefined)[] = [];
  protected readonly plotIds: string[] = [];
  protected readonly groupOf: Group[] = [];
  protected plotTrees = new Int32Array(64);
  #plotState = new Uint8Array(64);
  #plotHead = new Int32Array(64).fill(none);
  /** Epoch of the curve in which a plot's filled sums stand in its group; 0 or less when they do not. */
  #plotFilled = new Float64Array(64);
  /** The plot whose sums are lifted out of its group while its trees change; -1 none. */
  #open = none;
  #unfilled: number[] = [];

  readonly #sheetIndex = new Map<string, Sheet>();
  readonly #groupIndex = new Map<string, Group>();
  protected readonly groups: Group[] = [];
  readonly #placeIndex = new Map<string, number>();
  protected readonly places: Place[] = [];
  readonly #personIndex = new Map<string, number>();
  readonly #speciesIndex = new Map<number | null, number>();
  protected readonly registers: Register[] = [];
  #register: Register | undefined;

  protected readonly stands = new Map<string, StandRecord>();
  protected readonly strata = new Map<string, StratumRecord>();

  #curve: HeightCurve | null = null;
  #curveVersion: (() => number) | null = null;
  #lastSeen = Number.NaN;
  #epoch = 1;
  readonly #curveMemo = new Map<number, number | null>();
  /** Changes of trees with a height: a curve without a version is taken to have changed with them. */
  #heightChanges = 0;
  #formClass: number;
  readonly #dayOf: (time: number) => number;
  readonly #scratch = new Float64Array(columnCount);
  readonly #keys: number[] = [];
  readonly #sums: Float64Array[] = [];

  constructor(settings: LedgerSettings = {}) {
    this.#formClass = settings.formClass ?? usualFormClass;
    this.#dayOf = settings.dayOf ?? ((time) => Math.floor(time / msPerDay));
  }

  get formClass(): number {
    return this.#formClass;
  }

  /** Form class for trees that have none, percent; every tree is computed anew. */
  setFormClass(percent: number): void {
    if (!(percent > 0)) throw new RangeError(`form class must be above 0, found ${percent}`);
    if (percent === this.#formClass) return;
    const settled = this.#records.filter((tree) => tree !== undefined);
    for (const tree of settled) this.removeTree(tree.id);
    this.#formClass = percent;
    for (const tree of settled) this.putTree(tree);
  }

  /**
   * The curve that fills missing heights of live trees. `version` gives a number that differs when the curve has changed;
   * without it the curve is taken to change with every tree that has a height. The first question on filled heights after a change fills
   * them all anew; others cost the same at any size.
   */
  setCurve(curve: HeightCurve | null, version?: () => number): void {
    this.#curve = curve;
    this.#curveVersion = version ?? null;
    this.#lastSeen = Number.NaN;
  }

  protected get hasCurve(): boolean {
    return this.#curve !== null;
  }

  get treeCount(): number {
    return this.#handles.size;
  }

  tree(id: string): TreeRecord | undefined {
    const handle = this.#handles.get(id);
    return handle === undefined ? undefined : this.#records[handle];
  }

  /** Adds a tree, or replaces the one with its id. */
  putTree(tree: TreeRecord): void {
    let handle = this.#handles.get(tree.id);
    if (handle === undefined) {
      handle = this.#free.pop() ?? this.#records.length;
      this.#handles.set(tree.id, handle);
      if (handle >= this.#plotOf.length) {
        const size = this.#plotOf.length * 2;
        this.#plotOf = wider(this.#plotOf, new Int32Array(size));
        this.#nextTree = wider(this.#nextTree, new Int32Array(size));
        this.#previousTree = wider(this.#previousTree, new Int32Array(size));
      }
    } else {
      this.#account(handle, -1);
      this.#unlink(handle);
    }
    this.#records[handle] = tree;
    const plot = tree.plot === null ? this.#singles(tree) : this.#plot(tree.plot, tree.stand);
    this.#plotOf[handle] = plot;
    const first = this.#plotHead[plot]!;
    this.#nextTree[handle] = first;
    this.#previousTree[handle] = none;
    if (first !== none) this.#previousTree[first] = handle;
    this.#plotHead[plot] = handle;
    this.#account(handle, 1);
  }

  /** Takes a tree out; its sums are exactly as if it had never been put. False when it is not there. */
  removeTree(id: string): boolean {
    const handle = this.#handles.get(id);
    if (handle === undefined) return false;
    this.#account(handle, -1);
    this.#unlink(handle);
    this.#handles.delete(id);
    this.#records[handle] = undefined;
    this.#free.push(handle);
    return true;
  }

  #unlink(handle: number): void {
    const next = this.#nextTree[handle]!;
    const previous = this.#previousTree[handle]!;
    if (previous === none) this.#plotHead[this.#plotOf[handle]!] = next;
    else this.#nextTree[previous] = next;
    if (next !== none) this.#previousTree[next] = previous;
  }

  /** Adds a tree's contribution to its cell, its group's classes and its register, or takes it out. */
  #account(handle: number, sign: 1 | -1): void {
    const tree = this.#records[handle]!;
    if (tree.heightFt !== null) this.#heightChanges++;
    if (!tree.counted) return;
    const plot = this.#plotOf[handle]!;
    this.#lift(plot);
    const group = this.groupOf[plot]!;
    contribute(tree, group.gauge, this.#formClass, this.#scratch);
    const status = statusNumber[tree.status];
    const species = this.#numberOf(tree.species);
    const cell = this.cells.at(plot, species, status);
    this.cells.add(cell, this.#scratch, sign, 0, firstFilled);
    const key = species * 4 + status;
    if (tree.diameterIn !== null) group.sheet.put(key, tree.diameterIn, this.#scratch, sign);
    const counts = this.#registerOf(tree).counts;
    counts[key] = (counts[key] ?? 0) + sign * tree.count;
    this.plotTrees[plot]! += sign;
    if (this.plotTrees[plot] === (sign === 1 ? 1 : 0)) this.#recount(plot);
    if (sign === 1) this.#challenge(cell, group.sheet, key, handle, tree);
    else this.#retire(cell, group.sheet, key, handle);
  }

  /** Takes a plot's sums out of its group, until another plot's trees change or a question is asked. */
  #lift(plot: number): void {
    if (this.#open === plot) return;
    this.settle();
    this.#open = plot;
    const n = this.#sumByKey(plot);
    const group = this.groupOf[plot]!;
    const filled = this.#plotFilled[plot] === this.#epoch;
    for (let i = 0; i < n; i++) {
      group.put(this.#keys[i]!, this.#sums[i]!, -1, false);
      if (filled) group.put(this.#keys[i]!, this.#sums[i]!, -1, true);
    }
    if (filled) this.#plotFilled[plot] = unfilled;
  }

  /** Sets the lifted plot's sums back. Every question does this first. */
  protected settle(): void {
    const plot = this.#open;
    if (plot === none) return;
    this.#open = none;
    const n = this.#sumByKey(plot);
    for (let i = 0; i < n; i++) this.groupOf[plot]!.put(this.#keys[i]!, this.#sums[i]!, 1, false);
    if (this.#plotFilled[plot] !== listed) {
      this.#plotFilled[plot] = listed;
      this.#unfilled.push(plot);
    }
  }

  /** Sums a plot's cells by species and status, and over all of each; returns how many sums there are. */
  #sumByKey(plot: number): number {
    let n = 0;
    for (let cell = this.cells.head(plot); cell !== none; cell = this.cells.next[cell]!) {
      const species = this.cells.species[cell]!;
      const status = this.cells.status[cell]!;
      n = this.#addTo(species * 4 + status, cell, n);
      n = this.#addTo(species * 4 + 3, cell, n);
      n = this.#addTo(status, cell, n);
      n = this.#addTo(3, cell, n);
    }
    return n;
  }

  #addTo(key: number, cell: number, n: number): number {
    let i = 0;
    while (i < n && this.#keys[i] !== key) i++;
    const at = cell * columnCount;
    const from = this.cells.sums;
    if (i === n) {
      this.#keys[i] = key;
      let fresh = this.#sums[i];
      if (fresh === undefined) {
        fresh = new Float64Array(columnCount);
        this.#sums[i] = fresh;
      }
      for (let c = 0; c < columnCount; c++) fresh[c] = from[at + c]!;
      return n + 1;
    }
    const sums = this.#sums[i]!;
    for (let c = 0; c < columnCount; c++) sums[c]! += from[at + c]!;
    return n;
  }

  /** A plot's own sums as a group of one, for questions on that plot alone. */
  protected groupOfOne(plot: number): Group {
    const of = this.groupOf[plot]!;
    const own = new Group(of.place, of.kind, of.expansion, of.day, of.person, new Sheet());
    own.plots = this.#plotState[plot] === counting ? 1 : 0;
    own.waiting = this.#plotState[plot] === waiting ? 1 : 0;
    const n = this.#sumByKey(plot);
    for (let i = 0; i < n; i++) {
      own.put(this.#keys[i]!, this.#sums[i]!, 1, false);
      if (this.#plotFilled[plot] === this.#epoch) own.put(this.#keys[i]!, this.#sums[i]!, 1, true);
    }
    return own;
  }

  /** Adds the classes of a plot's trees to a sheet; looks at the trees of that plot. */
  protected stockOf(plot: number, sheet: Sheet): void {
    const { gauge } = this.groupOf[plot]!;
    for (let handle = this.#plotHead[plot]!; handle !== none; handle = this.#nextTree[handle]!) {
      const tree = this.#records[handle]!;
      if (!tree.counted || tree.diameterIn === null) continue;
      contribute(tree, gauge, this.#formClass, this.#scratch);
      sheet.put(
        this.#numberOf(tree.species) * 4 + statusNumber[tree.status],
        tree.diameterIn,
        this.#scratch,
        1,
      );
    }
  }

  /** The foremost tree of one plot, of the species and statuses that `wanted` lets through. */
  protected foremostOf(
    plot: number,
    by: 'tallest' | 'thickest',
    wanted: (species: number, status: number) => boolean,
  ): TreeRecord[] {
    const found: TreeRecord[] = [];
    for (let cell = this.cells.head(plot); cell !== none; cell = this.cells.next[cell]!) {
      if (!wanted(this.cells.species[cell]!, this.cells.status[cell]!)) continue;
      if (this.cells[by][cell] === stale) this.#lookUp(cell, by);
      const handle = this.cells[by][cell]!;
      if (handle >= 0) found.push(this.#records[handle]!);
    }
    return found;
  }

  #better(
    best: Handles,
    key: number,
    handle: number,
    value: number | null,
    of: 'heightFt' | 'diameterIn',
  ): void {
    const now = best[key] ?? none;
    if (value === null || now === stale) return;
    const than = now === none ? null : this.#records[now]!;
    const ahead = than === null ? 1 : value - than[of]! || than.number - this.#records[handle]!.number;
    if (ahead > 0) best[key] = handle;
  }

  #challenge(cell: number, sheet: Sheet, key: number, handle: number, tree: TreeRecord): void {
    this.#better(this.cells.tallest, cell, handle, tree.heightFt, 'heightFt');
    this.#better(this.cells.thickest, cell, handle, tree.diameterIn, 'diameterIn');
    this.#better(sheet.tallest, key, handle, tree.heightFt, 'heightFt');
    this.#better(sheet.thickest, key, handle, tree.diameterIn, 'diameterIn');
  }

  #retire(cell: number, sheet: Sheet, key: number, handle: number): void {
    for (const by of ['tallest', 'thickest'] as const) {
      if (this.cells[by][cell] === handle) this.cells[by][cell] = stale;
      if (sheet[by][key] === handle) sheet[by][key] = stale;
    }
  }

  /** The foremost tree of a sheet's species and status; looked up in its cells again when the last one was taken out. */
  protected foremost(sheet: Sheet, key: number, by: 'tallest' | 'thickest'): TreeRecord | null {
    const of = by === 'tallest' ? 'heightFt' : 'diameterIn';
    if (sheet[by][key] === stale) {
      sheet[by][key] = none;
      for (let cell = 0; cell < this.cells.count; cell++) {
        const plot = this.cells.plot[cell]!;
        if (this.groupOf[plot]!.sheet !== sheet) continue;
        if (this.cells.species[cell]! * 4 + this.cells.status[cell]! !== key) continue;
        if (this.cells[by][cell] === stale) this.#lookUp(cell, by);
        const handle = this.cells[by][cell]!;
        if (handle >= 0) this.#better(sheet[by], key, handle, this.#records[handle]![of], of);
      }
    }
    const handle = sheet[by][key] ?? none;
    return handle < 0 ? null : this.#records[handle]!;
  }

  #lookUp(cell: number, by: 'tallest' | 'thickest'): void {
    const of = by === 'tallest' ? 'heightFt' : 'diameterIn';
    const best = this.cells[by];
    best[cell] = none;
    for (
      let handle = this.#plotHead[this.cells.plot[cell]!]!;
      handle !== none;
      handle = this.#nextTree[handle]!
    ) {
      const tree = this.#records[handle]!;
      if (!tree.counted || this.#numberOf(tree.species) !== this.cells.species[cell]) continue;
      if (statusNumber[tree.status] === this.cells.status[cell])
        this.#better(best, cell, handle, tree[of], of);
    }
  }

  /** The ledger's number of a species, from 1; 0 stands for all. */
  #numberOf(species: number | null): number {
    let number = this.#speciesIndex.get(species);
    if (number === undefined) {
      number = this.#speciesIndex.size + 1;
      this.#speciesIndex.set(species, number);
    }
    return number;
  }

  /** Number of a species that trees have named; undefined for others. */
  protected speciesNumber(species: number | null): number | undefined {
    return this.#speciesIndex.get(species);
  }

  /** Species that trees have named, with their numbers. */
  protected speciesNumbers(): ReadonlyMap<number | null, number> {
    return this.#speciesIndex;
  }

  protected personNumber(name: string | null): number {
    if (name === null) return none;
    let number = this.#personIndex.get(name);
    if (number === undefined) {
      number = this.#personIndex.size;
      this.#personIndex.set(name, number);
    }
    return number;
  }

  #registerOf(tree: TreeRecord): Register {
    const day = this.#dayOf(tree.time);
    const person = this.personNumber(tree.person);
    const last = this.#register;
    if (last?.day === day && last.person === person && last.stand === tree.stand) return last;
    let found = this.registers.find(
      (each) => each.day === day && each.person === person && each.stand === tree.stand,
    );
    if (found === undefined) {
      found = { stand: tree.stand, day, person, counts: [] };
      this.registers.push(found);
    }
    this.#register = found;
    return found;
  }

  protected indexOfPlot(id: string): number | undefined {
    return this.#plotIndex.get(id);
  }

  #place(stand: string | null, stratum: string | null): number {
    const key = `${stand ?? ''}\0${stratum ?? ''}`;
    let index = this.#placeIndex.get(key);
    if (index === undefined) {
      index = this.places.length;
      this.places.push({ stand, stratum });
      this.#placeIndex.set(key, index);
    }
    return index;
  }

  #group(place: number, kind: number, expansion: number, day: number, person: number): Group {
    const key = `${place} ${kind} ${expansion} ${day} ${person}`;
    let group = this.#groupIndex.get(key);
    if (group === undefined) {
      const sheetKey = `${place} ${kind} ${expansion}`;
      const sheet = this.#sheetIndex.get(sheetKey) ?? new Sheet();
      this.#sheetIndex.set(sheetKey, sheet);
      group = new Group(place, kind, expansion, day, person, sheet);
      this.#groupIndex.set(key, group);
      this.groups.push(group);
    }
    return group;
  }

  /** Trees on no plot stand together by stand, day and person. */
  #singles(tree: TreeRecord): number {
    const day = this.#dayOf(tree.time);
    const person = this.personNumber(tree.person);
    return this.#plot(`\0${tree.stand ?? ''}\0${day}\0${person}`, tree.stand, day, person);
  }

  #plot(id: string, stand: string | null, day = 0, person = none): number {
    const known = this.#plotIndex.get(id);
    if (known !== undefined) return known;
    const index = this.plotIds.length;
    if (index === this.plotTrees.length) {
      const size = index * 2;
      this.plotTrees = wider(this.plotTrees, new Int32Array(size));
      this.#plotState = wider(this.#plotState, new Uint8Array(size));
      this.#plotFilled = wider(this.#plotFilled, new Float64Array(size));
      this.#plotHead = wider(this.#plotHead, new Int32Array(size).fill(none));
    }
    this.#plotIndex.set(id, index);
    this.plotIds.push(id);
    this.plotRecords.push(undefined);
    this.groupOf.push(this.#group(this.#place(stand, null), expandsBy.nothing, 1, day, person));
    return index;
  }

  /** Adds a plot, or replaces the one with its id; its trees follow. */
  putPlot(record: PlotRecord): void {
    const plot = this.#plot(record.id, record.stand);
    this.plotRecords[plot] = record;
    const place = this.#place(record.stand, record.stratum);
    const design = record.size === null ? null : designOf(record.size);
    const [kind, expansion] =
      design === null
        ? [expandsBy.nothing, 1]
        : design.kind === 'fixed'
          ? [expandsBy.area, 1 / design.acres]
          : design.kind === 'factor'
            ? [expandsBy.factor, design.factor]
            : [expandsBy.tally, 1];
    this.#regroup(
      plot,
      this.#group(place, kind, expansion, this.#dayOf(record.time), this.personNumber(record.person)),
    );
  }

  /** Takes a plot out; its trees stay, as trees on no plot. False when it is not there. */
  removePlot(id: string): boolean {
    const plot = this.#plotIndex.get(id);
    if (plot === undefined || this.plotRecords[plot] === undefined) return false;
    const { place, day, person } = this.groupOf[plot]!;
    this.plotRecords[plot] = undefined;
    this.#regroup(plot, this.#group(place, expandsBy.nothing, 1, day, person));
    return true;
  }

  /** Moves a plot with its trees to another group: weights differ between plots of an area and gauges. */
  #regroup(plot: number, group: Group): void {
    if (this.groupOf[plot] !== group) {
      this.#lift(plot);
      const handles: number[] = [];
      for (let handle = this.#plotHead[plot]!; handle !== none; handle = this.#nextTree[handle]!)
        handles.push(handle);
      for (const handle of handles) this.#account(handle, -1);
      this.#setState(plot, unseen);
      this.groupOf[plot] = group;
      for (const handle of handles) this.#account(handle, 1);
    }
    this.#recount(plot);
  }

  #recount(plot: number): void {
    const record = this.plotRecords[plot];
    if (record === undefined) this.#setState(plot, unseen);
    else
      this.#setState(plot, this.plotTrees[plot]! > 0 || record.closed || record.empty ? counting : waiting);
  }

  #setState(plot: number, state: number): void {
    const before = this.#plotState[plot]!;
    if (before === state) return;
    const group = this.groupOf[plot]!;
    if (before === counting) group.plots--;
    if (before === waiting) group.waiting--;
    if (state === counting) group.plots++;
    if (state === waiting) group.waiting++;
    this.#plotState[plot] = state;
  }

  putStand(record: StandRecord): void {
    this.stands.set(record.id, record);
  }

  removeStand(id: string): boolean {
    return this.stands.delete(id);
  }

  putStratum(record: StratumRecord): void {
    this.strata.set(record.id, record);
  }

  removeStratum(id: string): boolean {
    return this.strata.delete(id);
  }

  /** Brings the filled sums up to the curve of now: those of plots that changed, or all when the curve did. */
  protected refill(): void {
    this.settle();
    const seen = this.#curve === null ? 0 : (this.#curveVersion?.() ?? this.#heightChanges);
    if (seen === this.#lastSeen) {
      for (const plot of this.#unfilled) this.#fillPlot(plot);
    } else {
      this.#lastSeen = seen;
      this.#epoch++;
      this.#curveMemo.clear();
      for (const group of this.groups) group.forgetFilled();
      for (let plot = 0; plot < this.plotIds.length; plot++) this.#fillPlot(plot);
    }
    this.#unfilled = [];
  }

  #fillPlot(plot: number): void {
    if (this.#plotFilled[plot] === this.#epoch) return;
    this.#plotFilled[plot] = unfilled;
    if (this.plotTrees[plot] === 0) return;
    for (let cell = this.cells.head(plot); cell !== none; cell = this.cells.next[cell]!)
      this.cells.clearFilled(cell);
    const group = this.groupOf[plot]!;
    if (this.#curve !== null) {
      for (let handle = this.#plotHead[plot]!; handle !== none; handle = this.#nextTree[handle]!) {
        const tree = this.#records[handle]!;
        if (!tree.counted || !fillable(tree)) continue;
        const height = this.#heightFor(tree.species, tree.diameterIn!);
        if (height === null) continue;
        contributeFilled(tree, group.gauge, height, this.#scratch);
        const cell = this.cells.at(plot, this.#numberOf(tree.species), statusNumber.live);
        this.cells.add(cell, this.#scratch, 1, firstFilled, columnCount);
      }
    }
    const n = this.#sumByKey(plot);
    for (let i = 0; i < n; i++) group.put(this.#keys[i]!, this.#sums[i]!, 1, true);
    this.#plotFilled[plot] = this.#epoch;
  }

  /** The curve, asked once for each species and tenth of an inch. */
  #heightFor(species: number | null, diameterIn: number): number | null {
    const tenth = Math.round(diameterIn * 10);
    const key = this.#numberOf(species) * 65536 + tenth;
    let height = this.#curveMemo.get(key);
    if (height === undefined) {
      height = this.#curve!(species, tenth / 10);
      if (height !== null && !(height > 0 && Number.isFinite(height))) height = null;
      this.#curveMemo.set(key, height);
    }
    return height;
  }
}
