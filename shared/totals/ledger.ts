/**
 * The ledger: trees, plots, stands and strata as they are put and removed, with the sums of every plot and the moments over
 * plots kept up to date. Records may come in any order: a tree before its plot, a plot's size under its trees.
 */
import { dayNumber } from '../core/moment.ts';
import type { Status } from '../note/note.ts';
import { Cells, columnCount, firstFilled, firstOfHeights, type SumColumn } from './cells.ts';
import { contribute, contributeFilled, type FillingCurve, fillable, statusNumber } from './contribution.ts';
import { CurveFill } from './curve-fill.ts';
import { Extremes } from './extremes.ts';
import { Interning, Registers } from './interning.ts';
import { expandsBy, Group, type PlotGroupKey, Sheet } from './plot-sums.ts';
import { designOf } from './plots.ts';
import { TreeStore, wider } from './tree-store.ts';
import { usualFormClass } from './tree-volume.ts';
import type { PlotRecord, StandRecord, StratumRecord, TreeRecord } from './types.ts';

export interface LedgerSettings {
  /** Girard form class where a tree has none, percent. */
  readonly formClass?: number;
}

const none = -1;
/** States of a plot in its group's tally. */
const unseen = 0;
const counting = 1;
const waiting = 2;
/** Filled sums of a plot that do not stand in its group, and of one that waits in the list of those. */
const unfilled = 0;
const listed = -1;

export class Ledger {
  /** Places, species and persons by number. */
  readonly interning = new Interning();
  readonly registers = new Registers();
  readonly #cells = new Cells();
  readonly #trees = new TreeStore();
  readonly extremes = new Extremes(this.#cells, this.#trees, this.interning);
  readonly #fill = new CurveFill();

  readonly #plotIndex = new Map<string, number>();
  /** By plot; undefined for trees on no plot, and for plots that are only known by their trees. */
  readonly plotRecords: (PlotRecord | undefined)[] = [];
  readonly plotIds: string[] = [];
  readonly groupOf: Group[] = [];
  plotTrees = new Int32Array(64);
  #plotState = new Uint8Array(64);
  /** Epoch of the curve in which a plot's filled sums stand in its group; 0 or less when they do not. */
  #plotFilled = new Float64Array(64);
  /** Plots whose sums are lifted out of their groups while their trees change: of each phone one, or thousands while a book is read. */
  readonly #open: number[] = [];
  #lifted = new Uint8Array(64);
  #lastPlot = 0;
  #unfilled: number[] = [];
  #epoch = 1;
  /** Changes of trees with a height: a curve without a version is taken to have changed with them. */
  #heightChanges = 0;

  readonly #sheetIndex = new Map<string, Sheet>();
  readonly #groupIndex = new Map<string, Group>();
  readonly groups: Group[] = [];
  readonly stands = new Map<string, StandRecord>();
  readonly strata = new Map<string, StratumRecord>();

  #formClass: number;
  readonly #scratch = new Float64Array(columnCount);

  constructor(settings: LedgerSettings = {}) {
    this.#formClass = settings.formClass ?? usualFormClass;
  }

  get formClass(): number {
    return this.#formClass;
  }

  /** Form class for trees that have none, percent; every tree is computed anew. */
  setFormClass(percent: number): void {
    if (!(percent > 0)) throw new RangeError(`form class must be above 0, found ${percent}`);
    if (percent === this.#formClass) return;
    const settled = this.#trees.all();
    for (const tree of settled) this.removeTree(tree.id);
    this.#formClass = percent;
    for (const tree of settled) this.putTree(tree);
  }

  /**
   * The curve that fills missing heights of live trees. `version` gives a number that differs when the curve has changed;
   * without it the curve is taken to change with every tree that has a height. The first question on filled heights after
   * a change fills them all anew; others cost the same at any size.
   */
  setCurve(curve: FillingCurve | null, version?: () => number): void {
    this.#fill.set(curve, version);
  }

  get hasCurve(): boolean {
    return this.#fill.present;
  }

  /** Height that the curve gives a tree with a diameter, feet; null where it cannot say. */
  curveHeight(tree: TreeRecord): number | null {
    if (tree.diameterIn === null) return null;
    return this.#fill.height(tree.species, this.interning.speciesOf(tree), tree.diameterIn);
  }

  get treeCount(): number {
    return this.#trees.size;
  }

  tree(id: string): TreeRecord | undefined {
    const handle = this.#trees.handleOf(id);
    return handle < 0 ? undefined : this.#trees.record(handle);
  }

  /** Adds a tree, or replaces the one with its id. */
  putTree(tree: TreeRecord): void {
    let handle = this.#trees.handleOf(tree.id);
    if (handle < 0) handle = this.#trees.create(tree.id);
    else {
      this.#account(handle, -1);
      this.#trees.unlink(handle);
    }
    const plot = tree.plot === null ? this.#singles(tree) : this.#plot(tree.plot, tree.stand);
    this.#trees.link(handle, tree, plot);
    this.#account(handle, 1);
  }

  /** Takes a tree out; its sums are exactly as if it had never been put. False when it is not there. */
  removeTree(id: string): boolean {
    const handle = this.#trees.handleOf(id);
    if (handle < 0) return false;
    this.#account(handle, -1);
    this.#trees.unlink(handle);
    this.#trees.destroy(id, handle);
    return true;
  }

  /** Adds a tree's contribution to its cell, its sheet and its register, or takes it out. */
  #account(handle: number, sign: 1 | -1): void {
    const tree = this.#trees.record(handle);
    if (tree.heightFt !== null) this.#heightChanges++;
    if (!tree.counted) return;
    const plot = this.#trees.plotOf(handle);
    this.#lift(plot);
    const { gauge, sheet } = this.groupOf[plot]!;
    contribute(tree, gauge, this.#formClass, this.#scratch);
    const status = statusNumber[tree.status];
    const species = this.interning.speciesOf(tree);
    const cell = this.#cells.at(plot, species, status);
    this.#cells.add(cell, this.#scratch, sign, 0, firstFilled);
    const key = species * 4 + status;
    if (tree.diameterIn !== null) sheet.put(key, tree.diameterIn, this.#scratch, sign);
    this.registers.count(tree, dayNumber(tree), this.interning.person(tree.person), key, sign);
    this.plotTrees[plot]! += sign;
    if (this.plotTrees[plot] === (sign === 1 ? 1 : 0)) this.#recount(plot);
    if (sign === 1) this.extremes.challenge(cell, sheet, key, handle);
    else this.extremes.retire(cell, sheet, key, handle);
  }

  /** Takes a plot's sums out of its group, until a question is asked. */
  #lift(plot: number): void {
    if (this.#lifted[plot] === 1) return;
    this.#lifted[plot] = 1;
    this.#open.push(plot);
    const filled = this.#plotFilled[plot] === this.#epoch;
    this.#transfer(plot, this.groupOf[plot]!, -1, true, filled);
    if (filled) this.#plotFilled[plot] = unfilled;
  }

  /** Sets the sums of lifted plots back. Every question does this first. */
  settle(): void {
    for (const plot of this.#open) {
      this.#lifted[plot] = 0;
      this.#transfer(plot, this.groupOf[plot]!, 1, true, false);
      if (this.#plotFilled[plot] !== listed) {
        this.#plotFilled[plot] = listed;
        this.#unfilled.push(plot);
      }
    }
    this.#open.length = 0;
  }

  /** Adds a plot's sums to a group or takes them out: those of the trees themselves, those that the curve filled. */
  #transfer(plot: number, group: Group, sign: 1 | -1, own: boolean, filled: boolean): void {
    const n = this.#cells.sumByKey(plot, own ? 0 : firstOfHeights);
    const { keys, sumsOf } = this.#cells;
    for (let i = 0; i < n; i++) {
      if (own) group.put(keys[i]!, sumsOf[i]!, sign, false);
      if (filled) group.put(keys[i]!, sumsOf[i]!, sign, true);
    }
  }

  /** Whether a plot counts: with trees, closed or empty. */
  counts(plot: number): boolean {
    return this.#plotState[plot] === counting;
  }

  /** Sum of a column over the trees of one plot, of one status or of all. */
  sumOn(plot: number, column: SumColumn, status: Status | null = null): number {
    return this.#cells.sumOn(plot, column, status === null ? null : statusNumber[status]);
  }

  /** A plot's own sums as a group of one, for questions on that plot alone. */
  groupOfOne(plot: number): Group {
    const of = this.groupOf[plot]!;
    const own = new Group(of, new Sheet());
    own.plots = this.#plotState[plot] === counting ? 1 : 0;
    own.waiting = this.#plotState[plot] === waiting ? 1 : 0;
    this.#transfer(plot, own, 1, true, this.#plotFilled[plot] === this.#epoch);
    return own;
  }

  /** Adds the classes of a plot's trees to a sheet; looks at the trees of that plot. */
  stockOf(plot: number, sheet: Sheet): void {
    const { gauge } = this.groupOf[plot]!;
    for (let handle = this.#trees.first(plot); handle !== none; handle = this.#trees.next(handle)) {
      const tree = this.#trees.record(handle);
      if (!tree.counted || tree.diameterIn === null) continue;
      contribute(tree, gauge, this.#formClass, this.#scratch);
      const key = this.interning.speciesOf(tree) * 4 + statusNumber[tree.status];
      sheet.put(key, tree.diameterIn, this.#scratch, 1);
    }
  }

  /** Counted trees of one plot, of any status. */
  treesOnPlot(id: string): number {
    const plot = this.indexOfPlot(id);
    return plot === undefined ? 0 : this.sumOn(plot, 'n');
  }

  indexOfPlot(id: string): number | undefined {
    return this.#plotIndex.get(id);
  }

  #group(of: PlotGroupKey): Group {
    const sheetKey = `${of.place} ${of.kind} ${of.expansion}`;
    const key = `${sheetKey} ${of.day} ${of.person}`;
    let group = this.#groupIndex.get(key);
    if (group === undefined) {
      const sheet = this.#sheetIndex.get(sheetKey) ?? new Sheet();
      this.#sheetIndex.set(sheetKey, sheet);
      group = new Group(of, sheet);
      this.#groupIndex.set(key, group);
      this.groups.push(group);
    }
    return group;
  }

  /** Trees on no plot stand together by stand, day and person. */
  #singles(tree: TreeRecord): number {
    const day = dayNumber(tree);
    const person = this.interning.person(tree.person);
    return this.#plot(`\0${tree.stand ?? ''}\0${day}\0${person}`, tree.stand, day, person);
  }

  #plot(id: string, stand: string | null, day = 0, person = none): number {
    // Trees come plot by plot: the last plot is asked for first.
    if (id === this.plotIds[this.#lastPlot]) return this.#lastPlot;
    const known = this.#plotIndex.get(id);
    if (known !== undefined) {
      this.#lastPlot = known;
      return known;
    }
    const index = this.plotIds.length;
    if (index === this.plotTrees.length) {
      const size = index * 2;
      this.plotTrees = wider(this.plotTrees, new Int32Array(size));
      this.#lifted = wider(this.#lifted, new Uint8Array(size));
      this.#plotState = wider(this.#plotState, new Uint8Array(size));
      this.#plotFilled = wider(this.#plotFilled, new Float64Array(size));
    }
    this.#plotIndex.set(id, index);
    this.plotIds.push(id);
    this.plotRecords.push(undefined);
    const place = this.interning.place(stand, null);
    this.groupOf.push(this.#group({ place, kind: expandsBy.nothing, expansion: 1, day, person }));
    return index;
  }

  /** Adds a plot, or replaces the one with its id; its trees follow. */
  putPlot(record: PlotRecord): void {
    const plot = this.#plot(record.id, record.stand);
    this.plotRecords[plot] = record;
    const place = this.interning.place(record.stand, record.stratum);
    const day = dayNumber(record);
    const [kind, expansion] = expansionOf(record);
    const person = this.interning.person(record.person);
    this.#regroup(plot, this.#group({ place, kind, expansion, day, person }));
  }

  /** Takes a plot out; its trees stay, as trees on no plot. False when it is not there. */
  removePlot(id: string): boolean {
    const plot = this.#plotIndex.get(id);
    if (plot === undefined || this.plotRecords[plot] === undefined) return false;
    const { place, day, person } = this.groupOf[plot]!;
    this.plotRecords[plot] = undefined;
    this.#regroup(plot, this.#group({ place, kind: expandsBy.nothing, expansion: 1, day, person }));
    return true;
  }

  /** Moves a plot with its trees to another group: weights differ between plots of an area and gauges. */
  #regroup(plot: number, group: Group): void {
    if (this.groupOf[plot] !== group) {
      this.#lift(plot);
      const handles = this.#trees.handlesOf(plot);
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

  /** Every question on filled heights does this first. Brings the filled sums up to the curve of now: those of plots that changed, or all when the curve did. */
  refill(): void {
    this.settle();
    if (this.#fill.changed(this.#heightChanges)) {
      this.#epoch++;
      for (const group of this.groups) group.forgetFilled();
      for (let plot = 0; plot < this.plotIds.length; plot++) this.#fillPlot(plot);
    } else {
      for (const plot of this.#unfilled) this.#fillPlot(plot);
    }
    this.#unfilled = [];
  }

  #fillPlot(plot: number): void {
    if (this.#plotFilled[plot] === this.#epoch) return;
    this.#plotFilled[plot] = unfilled;
    if (this.plotTrees[plot] === 0) return;
    for (let cell = this.#cells.head(plot); cell !== none; cell = this.#cells.next[cell]!) {
      this.#cells.clearFilled(cell);
    }
    const group = this.groupOf[plot]!;
    for (let handle = this.#trees.first(plot); handle !== none; handle = this.#trees.next(handle)) {
      const tree = this.#trees.record(handle);
      if (!tree.counted || tree.diameterIn === null || !fillable(tree)) continue;
      const species = this.interning.speciesOf(tree);
      const height = this.#fill.height(tree.species, species, tree.diameterIn);
      if (height === null) continue;
      contributeFilled(tree, group.gauge, height, this.#scratch);
      const cell = this.#cells.at(plot, species, statusNumber[tree.status]);
      this.#cells.add(cell, this.#scratch, 1, firstFilled, columnCount);
    }
    this.#transfer(plot, group, 1, false, true);
    this.#plotFilled[plot] = this.#epoch;
  }
}

function expansionOf(record: PlotRecord): readonly [kind: number, expansion: number] {
  if (record.size === null) return [expandsBy.nothing, 1];
  const design = designOf(record.size);
  if (design.kind === 'fixed') return [expandsBy.area, 1 / design.acres];
  return design.kind === 'factor' ? [expandsBy.factor, design.factor] : [expandsBy.tally, 1];
}
