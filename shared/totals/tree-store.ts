/** Trees by number (handle) and by plot: records in one table, trees of a plot linked, so that any can be put or taken at once. */
import { IdTable } from '../core/id-table.ts';
import type { TreeRecord } from './types.ts';

const none = -1;

/** A copy of a typed array in a larger one. */
export function wider<T extends Int32Array | Uint8Array | Float64Array>(from: T, to: T): T {
  to.set(from);
  return to;
}

export class TreeStore {
  readonly #handles = new IdTable();
  readonly #free: number[] = [];
  readonly #records: (TreeRecord | undefined)[] = [];
  #plotOf = new Int32Array(1024);
  #next = new Int32Array(1024);
  #previous = new Int32Array(1024);
  /** First tree of each plot. */
  #head = new Int32Array(64).fill(none);

  get size(): number {
    return this.#handles.size;
  }

  /** -1 when there is no such tree. */
  handleOf(id: string): number {
    return this.#handles.get(id);
  }

  /** The record of a handle in use. */
  record(handle: number): TreeRecord {
    return this.#records[handle]!;
  }

  plotOf(handle: number): number {
    return this.#plotOf[handle]!;
  }

  /** First tree of a plot, -1 when it has none; go on by `next`. */
  first(plot: number): number {
    return plot < this.#head.length ? this.#head[plot]! : none;
  }

  next(handle: number): number {
    return this.#next[handle]!;
  }

  /** Handles of a plot's trees, as a list that stays as it is while trees move. */
  handlesOf(plot: number): number[] {
    const handles: number[] = [];
    for (let handle = this.first(plot); handle !== none; handle = this.#next[handle]!) handles.push(handle);
    return handles;
  }

  /** A handle for a new id. */
  create(id: string): number {
    const handle = this.#free.pop() ?? this.#records.length;
    this.#handles.set(id, handle);
    if (handle >= this.#plotOf.length) {
      const size = this.#plotOf.length * 2;
      this.#plotOf = wider(this.#plotOf, new Int32Array(size));
      this.#next = wider(this.#next, new Int32Array(size));
      this.#previous = wider(this.#previous, new Int32Array(size));
    }
    return handle;
  }

  /** Sets a handle's record and links it into its plot. */
  link(handle: number, tree: TreeRecord, plot: number): void {
    this.#records[handle] = tree;
    this.#plotOf[handle] = plot;
    if (plot >= this.#head.length) {
      this.#head = wider(this.#head, new Int32Array(Math.max(this.#head.length * 2, plot + 1)).fill(none));
    }
    const first = this.#head[plot]!;
    this.#next[handle] = first;
    this.#previous[handle] = none;
    if (first !== none) this.#previous[first] = handle;
    this.#head[plot] = handle;
  }

  unlink(handle: number): void {
    const next = this.#next[handle]!;
    const previous = this.#previous[handle]!;
    if (previous === none) this.#head[this.#plotOf[handle]!] = next;
    else this.#next[previous] = next;
    if (next !== none) this.#previous[next] = previous;
  }

  /** Gives a handle back. */
  destroy(id: string, handle: number): void {
    this.#handles.delete(id);
    this.#records[handle] = undefined;
    this.#free.push(handle);
  }

  /** All records, in no order that means anything. */
  all(): TreeRecord[] {
    return this.#records.filter((tree) => tree !== undefined);
  }
}
