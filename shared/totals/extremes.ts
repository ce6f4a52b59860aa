/** The tallest and the thickest tree of every cell and sheet, kept as trees come; looked up again when a foremost one goes. */
import type { Cells } from './cells.ts';
import { statusNumber } from './contribution.ts';
import type { Interning } from './interning.ts';
import type { Sheet } from './plot-sums.ts';
import type { TreeStore } from './tree-store.ts';
import type { TreeRecord } from './types.ts';

type ExtremeBy = 'tallest' | 'thickest';

const none = -1;
/** A foremost tree that was taken out: to be looked up again. */
const stale = -2;

/** Handles of trees by cell or by key. */
interface Handles {
  [index: number]: number;
}

export class Extremes {
  constructor(
    private readonly cells: Cells,
    private readonly trees: TreeStore,
    private readonly interning: Interning,
  ) {}

  /** A tree has come into a cell. */
  challenge(cell: number, sheet: Sheet, key: number, handle: number): void {
    const tree = this.trees.record(handle);
    if (tree.heightFt !== null) {
      this.#taller(this.cells.tallest, cell, handle, tree, tree.heightFt);
      this.#taller(sheet.tallest, key, handle, tree, tree.heightFt);
    }
    if (tree.diameterIn !== null) {
      this.#thicker(this.cells.thickest, cell, handle, tree, tree.diameterIn);
      this.#thicker(sheet.thickest, key, handle, tree, tree.diameterIn);
    }
  }

  /** A tree has gone from a cell. */
  retire(cell: number, sheet: Sheet, key: number, handle: number): void {
    for (const by of ['tallest', 'thickest'] as const) {
      if (this.cells[by][cell] === handle) this.cells[by][cell] = stale;
      if (sheet[by][key] === handle) sheet[by][key] = stale;
    }
  }

  // Two functions of one shape: a field read by a name that varies costs several times as much.

  /** Puts a tree in the place of a lower one; of equals the earlier stands, by its id: numbers move when one comes late. */
  #taller(best: Handles, at: number, handle: number, tree: TreeRecord, feet: number): void {
    const now = best[at] ?? none;
    if (now === stale) return;
    if (now !== none) {
      const than = this.trees.record(now);
      const more = feet - (than.heightFt ?? 0);
      if (more < 0 || (more === 0 && tree.id >= than.id)) return;
    }
    best[at] = handle;
  }

  /** The same by diameter. */
  #thicker(best: Handles, at: number, handle: number, tree: TreeRecord, inches: number): void {
    const now = best[at] ?? none;
    if (now === stale) return;
    if (now !== none) {
      const than = this.trees.record(now);
      const more = inches - (than.diameterIn ?? 0);
      if (more < 0 || (more === 0 && tree.id >= than.id)) return;
    }
    best[at] = handle;
  }

  #better(best: Handles, at: number, handle: number, by: ExtremeBy): void {
    const tree = this.trees.record(handle);
    if (by === 'tallest' && tree.heightFt !== null) this.#taller(best, at, handle, tree, tree.heightFt);
    if (by === 'thickest' && tree.diameterIn !== null) this.#thicker(best, at, handle, tree, tree.diameterIn);
  }

  /** The foremost tree of a sheet's species and status (`key`); `inSheet` says which plots are its own. */
  ofSheet(sheet: Sheet, key: number, by: ExtremeBy, inSheet: (plot: number) => boolean): TreeRecord | null {
    if (sheet[by][key] === stale) {
      sheet[by][key] = none;
      const { count, plot, species, status } = this.cells;
      for (let cell = 0; cell < count; cell++) {
        if (species[cell]! * 4 + status[cell]! !== key || !inSheet(plot[cell]!)) continue;
        const handle = this.#ofCell(cell, by);
        if (handle >= 0) this.#better(sheet[by], key, handle, by);
      }
    }
    const handle = sheet[by][key] ?? none;
    return handle < 0 ? null : this.trees.record(handle);
  }

  /** The foremost trees of one plot, one for each species and status that `wanted` lets through. */
  ofPlot(plot: number, by: ExtremeBy, wanted: (species: number, status: number) => boolean): TreeRecord[] {
    const found: TreeRecord[] = [];
    for (let cell = this.cells.head(plot); cell !== none; cell = this.cells.next[cell]!) {
      if (!wanted(this.cells.species[cell]!, this.cells.status[cell]!)) continue;
      const handle = this.#ofCell(cell, by);
      if (handle >= 0) found.push(this.trees.record(handle));
    }
    return found;
  }

  #ofCell(cell: number, by: ExtremeBy): number {
    const best = this.cells[by];
    if (best[cell] !== stale) return best[cell]!;
    best[cell] = none;
    for (
      let handle = this.trees.first(this.cells.plot[cell]!);
      handle !== none;
      handle = this.trees.next(handle)
    ) {
      const tree = this.trees.record(handle);
      if (!tree.counted || this.interning.speciesOf(tree) !== this.cells.species[cell]) continue;
      if (statusNumber[tree.status] === this.cells.status[cell]) this.#better(best, cell, handle, by);
    }
    return best[cell]!;
  }
}
