/** Records by id, in the order of the entries that began them: a Map of its own kind, twice as quick to fill. */
import { IdTable } from '../core/id-table.ts';

export class RecordTable<T> {
  readonly #ids = new IdTable();
  readonly #nodes: T[] = [];
  /** In their order, once one came late. */
  #ordered: T[] | null = null;

  get(id: string): T | undefined {
    const at = this.#ids.get(id);
    return at < 0 ? undefined : this.#nodes[at];
  }

  /** Puts one behind all others, or in the place of the one with its id; where it is late, behind those that `precede` it. */
  set(id: string, node: T, precede?: (other: T) => boolean): void {
    const at = this.#ids.get(id);
    if (at >= 0) {
      const before = this.#nodes[at]!;
      this.#nodes[at] = node;
      if (this.#ordered !== null) this.#ordered[this.#ordered.indexOf(before)] = node;
      return;
    }
    this.#ids.set(id, this.#nodes.length);
    if (precede !== undefined) this.#ordered ??= [...this.#nodes];
    this.#nodes.push(node);
    if (this.#ordered === null) return;
    this.#ordered.splice(
      precede === undefined ? this.#ordered.length : countWhile(this.#ordered, precede),
      0,
      node,
    );
  }

  values(): readonly T[] {
    return this.#ordered ?? this.#nodes;
  }
}

/** How many at the beginning of a list `precede`; none of those behind them does. */
export function countWhile<T>(list: readonly T[], precede: (one: T) => boolean): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (precede(list[middle]!)) low = middle + 1;
    else high = middle;
  }
  return low;
}
