/**
 * The ledger: trees, plots, stands and strata as they are put and removed, with the sums of every plot kept up to date.
 * Records may come in any order: a tree may be put before its plot, a plot's size may change under its trees.
 */
import type { Status } from '../note.ts';
import { Cells, columnCount, columns, firstFilled, stale } from './cells.ts';
import { contribute, contributeFilled, fillable, type HeightCurve, statusNumber } from './contribution.ts';
import { type Design, designOf } from './plots.ts';
import { usualFormClass } from './treevolume.ts';
import type { PlotRecord, StandRecord, StratumRecord, TreeRecord } from './types.ts';

/** How a plot expands to an acre: not at all (no size, or no plot), by its area, by a factor, or as a part of a full tally. */
export const expandsBy = { nothing: 0, area: 1, factor: 2, tally: 3 } as const;

export interface Place {
  readonly stand: string | null;
  readonly stratum: string | null;
}

export interface LedgerSettings {
  /** Girard form class where a tree has none, percent. */
  formClass?: number;
  /** Day number of a time in ms; whole UTC days where missing. A book passes its own midnight. */
  dayOf?: (time: number) => number;
}

const none = -1;
/** What stands for "no species" and "no person" in the cells. */
const noSpecies = -1;
const msPerDay = 86_400_000;

const grown = <T extends Int32Array | Uint8Array | Float64Array>(from: T, to: T): T => {
  to.set(from);
  return to;
};

export class Ledger {
  /** Cells over all species, and cells by species. */
  protected readonly whole = new Cells();
  protected readonly kinds = new Cells();

  readonly #handles = new Map<string, number>();
  readonly #free: number[] = [];
  /** By handle. */
  protected readonly records: (TreeRecord | undefined)[] = [];
  #plotOf = new Int32Array(1024);
  #nextTree = new Int32Array(1024);
  #previousTree = new Int32Array(1024);

  readonly #plotIndex = new Map<string, number>();
  /** By plot index; undefined for trees on no plot, and for plots that are only known by their trees. */
  protected readonly plotRecords: (PlotRecord | undefined)[] = [];
  protected readonly plotIds: string[] = [];
  protected plotKind = new Uint8Array(64);
  /** 1 / acres, or the basal area factor in square feet an acre. */
  protected plotExpansion = new Float64Array(64);
  protected plotPlace = new Int32Array(64);
  protected plotTrees = new Int32Array(64);
  protected plotMarked = new Uint8Array(64);
  protected plotDay = new Int32Array(64);
  protected plotPerson = new Int32Array(64);
  protected plotHead = new Int32Array(64).fill(none);

  readonly #placeIndex = new Map<string, number>();
  protected readonly places: Place[] = [];
  readonly #personIndex = new Map<string, number>();

  protected readonly stands = new Map<string, StandRecord>();
  protected readonly strata = new Map<string, StratumRecord>();

  #curve: HeightCurve | null = null;
  #curveVersion: (() => number) | null = null;
  #version = 1;
  #lastSeen = Number.NaN;
  readonly #curveMemo = new Map<number, number | null>();
  /** Changes with every tree, so that a curve without a version is taken to have changed too. */
  #changes = 0;
  #formClass: number;
  readonly #dayOf: (time: number) => number;
  readonly #scratch = new Float64Array(columnCount);

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
    const settled = this.records.filter((tree) => tree !== undefined);
    for (const tree of settled) this.removeTree(tree.id);
    this.#formClass = percent;
    for (const tree of settled) this.putTree(tree);
  }

  /**
   * The curve that fills missing heights of live trees. `version` says when the curve has changed (any number that
   * differs); without it the curve is taken to change with every tree. Filled sums are made when they are asked for.
   */
  setCurve(curve: HeightCurve | null, version?: () => number): void {
    this.#curve = curve;
    this.#curveVersion = version ?? null;
    this.#lastSeen = Number.NaN;
  }

  get treeCount(): number {
    return this.#handles.size;
  }

  tree(id: string): TreeRecord | undefined {
    const handle = this.#handles.get(id);
    return handle === undefined ? undefined : this.records[handle];
  }

  /** Adds a tree, or replaces the one with its id. */
  putTree(tree: TreeRecord): void {
    this.#changes++;
    let handle = this.#handles.get(tree.id);
    if (handle === undefined) {
      handle = this.#free.pop() ?? this.records.length;
      this.#handles.set(tree.id, handle);
      if (handle >= this.#plotOf.length) {
        const size = this.#plotOf.length * 2;
        this.#plotOf = grown(this.#plotOf, new Int32Array(size));
        this.#nextTree = grown(this.#nextTree, new Int32Array(size));
        this.#previousTree = grown(this.#previousTree, new Int32Array(size));
      }
    } else {
      this.#account(handle, -1);
      this.#unlink(handle);
    }
    this.records[handle] = tree;
    const plot =
      tree.plot === null
        ? this.#plot(`\0${tree.stand ?? ''}`, tree.stand)
        : this.#plot(tree.plot, tree.stand);
    this.#plotOf[handle] = plot;
    const first = this.plotHead[plot]!;
    this.#nextTree[handle] = first;
    this.#previousTree[handle] = none;
    if (first !== none) this.#previousTree[first] = handle;
    this.plotHead[plot] = handle;
    this.#account(handle, 1);
  }

  /** Takes a tree out; its sums are exactly as if it had never been put. False when it is not there. */
  removeTree(id: string): boolean {
    const handle = this.#handles.get(id);
    if (handle === undefined) return false;
    this.#changes++;
    this.#account(handle, -1);
    this.#unlink(handle);
    this.#handles.delete(id);
    this.records[handle] = undefined;
    this.#free.push(handle);
    return true;
  }

  #unlink(handle: number): void {
    const next = this.#nextTree[handle]!;
    const previous = this.#previousTree[handle]!;
    if (previous === none) this.plotHead[this.#plotOf[handle]!] = next;
    else this.#nextTree[previous] = next;
    if (next !== none) this.#previousTree[next] = previous;
  }

  /** Adds a tree's contribution to its two cells, or takes it out. */
  #account(handle: number, sign: 1 | -1): void {
    const tree = this.records[handle]!;
    if (!tree.counted) return;
    const plot = this.#plotOf[handle]!;
    const gauge = this.plotKind[plot] === expandsBy.factor;
    this.plotTrees[plot]! += sign;
    contribute(tree, gauge, this.#formClass, this.#scratch);
    const status = statusNumber[tree.status];
    const day = this.#dayOf(tree.time);
    const person = this.personOf(tree.person);
    const whole = this.whole.at(plot, 0, status, day, person);
    const kind = this.kinds.at(plot, tree.species ?? noSpecies, status, day, person);
    this.whole.add(whole, this.#scratch, sign, 0, firstFilled);
    this.kinds.add(kind, this.#scratch, sign, 0, firstFilled);
    if (fillable(tree)) {
      // Filled sums are made anew when they are next asked for.
      this.whole.version[whole] = 0;
      this.kinds.version[kind] = 0;
    }
    if (sign === 1) {
      this.#challenge(this.whole, whole, handle, tree);
      this.#challenge(this.kinds, kind, handle, tree);
    } else {
      for (const [cells, cell] of [
        [this.whole, whole],
        [this.kinds, kind],
      ] as const) {
        if (cells.tallest[cell] === handle) cells.tallest[cell] = stale;
        if (cells.thickest[cell] === handle) cells.thickest[cell] = stale;
      }
    }
  }

  #challenge(cells: Cells, cell: number, handle: number, tree: TreeRecord): void {
    const tallest = cells.tallest[cell]!;
    if (tree.heightFt !== null && tallest !== stale) {
      if (tallest === none || tree.heightFt > this.records[tallest]!.heightFt!) cells.tallest[cell] = handle;
    }
    const thickest = cells.thickest[cell]!;
    if (tree.diameterIn !== null && thickest !== stale) {
      if (thickest === none || tree.diameterIn > this.records[thickest]!.diameterIn!)
        cells.thickest[cell] = handle;
    }
  }

  /** Trees of a plot, by index. */
  protected *treesOf(plot: number): Generator<TreeRecord> {
    for (let handle = this.plotHead[plot]!; handle !== none; handle = this.#nextTree[handle]!) {
      yield this.records[handle]!;
    }
  }

  protected handlesOf(plot: number): number[] {
    const handles: number[] = [];
    for (let handle = this.plotHead[plot]!; handle !== none; handle = this.#nextTree[handle]!)
      handles.push(handle);
    return handles;
  }

  protected personOf(name: string | null): number {
    if (name === null) return none;
    let index = this.#personIndex.get(name);
    if (index === undefined) {
      index = this.#personIndex.size;
      this.#personIndex.set(name, index);
    }
    return index;
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

  #plot(id: string, stand: string | null): number {
    const known = this.#plotIndex.get(id);
    if (known !== undefined) return known;
    const index = this.plotIds.length;
    if (index === this.plotKind.length) {
      const size = index * 2;
      this.plotKind = grown(this.plotKind, new Uint8Array(size));
      this.plotExpansion = grown(this.plotExpansion, new Float64Array(size));
      this.plotPlace = grown(this.plotPlace, new Int32Array(size));
      this.plotTrees = grown(this.plotTrees, new Int32Array(size));
      this.plotMarked = grown(this.plotMarked, new Uint8Array(size));
      this.plotDay = grown(this.plotDay, new Int32Array(size));
      this.plotPerson = grown(this.plotPerson, new Int32Array(size));
      this.plotHead = grown(this.plotHead, new Int32Array(size).fill(none));
    }
    this.#plotIndex.set(id, index);
    this.plotIds.push(id);
    this.plotRecords.push(undefined);
    this.plotPlace[index] = this.#place(stand, null);
    return index;
  }

  /** Adds a plot, or replaces the one with its id; its trees follow. */
  putPlot(record: PlotRecord): void {
    const plot = this.#plot(record.id, record.stand);
    this.plotRecords[plot] = record;
    const design = record.size === null ? null : designOf(record.size);
    this.#setDesign(plot, design);
    this.plotPlace[plot] = this.#place(record.stand, record.stratum);
    this.plotMarked[plot] = record.closed || record.empty ? 1 : 0;
    this.plotDay[plot] = this.#dayOf(record.time);
    this.plotPerson[plot] = this.personOf(record.person);
  }

  /** Takes a plot out; its trees stay, as trees on no plot. False when it is not there. */
  removePlot(id: string): boolean {
    const plot = this.#plotIndex.get(id);
    if (plot === undefined || this.plotRecords[plot] === undefined) return false;
    this.plotRecords[plot] = undefined;
    this.#setDesign(plot, null);
    this.plotMarked[plot] = 0;
    return true;
  }

  #setDesign(plot: number, design: Design | null): void {
    const kind =
      design === null
        ? expandsBy.nothing
        : { fixed: expandsBy.area, factor: expandsBy.factor, tally: expandsBy.tally }[design.kind];
    const before = this.plotKind[plot]!;
    const turned = (before === expandsBy.factor) !== (kind === expandsBy.factor);
    // Weights of trees differ between plots of an area and gauges: the plot's sums are made anew.
    const handles = turned ? this.handlesOf(plot) : [];
    for (const handle of handles) this.#account(handle, -1);
    this.plotKind[plot] = kind;
    this.plotExpansion[plot] =
      design?.kind === 'fixed' ? 1 / design.acres : design?.kind === 'factor' ? design.factor : 1;
    for (const handle of handles) this.#account(handle, 1);
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

  protected get hasCurve(): boolean {
    return this.#curve !== null;
  }

  /** Brings the filled columns of the picked cells up to the curve of now. */
  protected fill(cells: Cells, picked: Int32Array, count: number): void {
    const seen = this.#curveVersion?.() ?? this.#changes;
    if (seen !== this.#lastSeen) {
      this.#lastSeen = seen;
      this.#version++;
      this.#curveMemo.clear();
    }
    for (let i = 0; i < count; i++) {
      const cell = picked[i]!;
      if (cells.version[cell] !== this.#version) this.#fillPlot(cells.plot[cell]!);
    }
  }

  #fillPlot(plot: number): void {
    for (const cells of [this.whole, this.kinds]) {
      for (let cell = cells.head(plot); cell !== none; cell = cells.next[cell]!) {
        cells.clearFilled(cell);
        cells.version[cell] = this.#version;
      }
    }
    if (this.#curve === null) return;
    const gauge = this.plotKind[plot] === expandsBy.factor;
    this.#scratch.fill(0);
    for (let handle = this.plotHead[plot]!; handle !== none; handle = this.#nextTree[handle]!) {
      const tree = this.records[handle]!;
      if (!tree.counted || !fillable(tree)) continue;
      const height = this.#heightFor(tree.species, tree.diameterIn!);
      if (height === null) continue;
      contributeFilled(tree, gauge, height, this.#scratch);
      const day = this.#dayOf(tree.time);
      const person = this.personOf(tree.person);
      const whole = this.whole.at(plot, 0, 0, day, person);
      const kind = this.kinds.at(plot, tree.species ?? noSpecies, 0, day, person);
      this.whole.add(whole, this.#scratch, 1, firstFilled, columnCount);
      this.kinds.add(kind, this.#scratch, 1, firstFilled, columnCount);
    }
  }

  /** The curve, asked once for each species and tenth of an inch. */
  #heightFor(species: number | null, diameterIn: number): number | null {
    const tenth = Math.round(diameterIn * 10);
    const key = ((species ?? noSpecies) + 1) * 65536 + tenth;
    let height = this.#curveMemo.get(key);
    if (height === undefined) {
      height = this.#curve!(species, tenth / 10);
      if (height !== null && !(height > 0 && Number.isFinite(height))) height = null;
      this.#curveMemo.set(key, height);
    }
    return height;
  }

  /** The tallest or thickest tree of a cell, looked up again when the last one was taken out. */
  protected foremost(cells: Cells, cell: number, by: 'tallest' | 'thickest'): TreeRecord | null {
    if (cells[by][cell] === stale) {
      cells[by][cell] = none;
      const plot = cells.plot[cell]!;
      for (const handle of this.handlesOf(plot)) {
        const tree = this.records[handle]!;
        const species = cells === this.whole ? 0 : (tree.species ?? noSpecies);
        const same =
          tree.counted &&
          species === cells.species[cell] &&
          statusNumber[tree.status] === cells.status[cell] &&
          this.#dayOf(tree.time) === cells.day[cell] &&
          this.personOf(tree.person) === cells.person[cell];
        if (!same) continue;
        const value = by === 'tallest' ? tree.heightFt : tree.diameterIn;
        const best = cells[by][cell]!;
        const bestTree = best === none ? null : this.records[best]!;
        const bestValue =
          bestTree === null ? null : by === 'tallest' ? bestTree.heightFt : bestTree.diameterIn;
        if (value !== null && (bestValue === null || value > bestValue)) cells[by][cell] = handle;
      }
    }
    const handle = cells[by][cell]!;
    return handle < 0 ? null : (this.records[handle] ?? null);
  }
}

export { columns, noSpecies };
export const statusOrder: readonly Status[] = ['live', 'dead', 'cull'];
