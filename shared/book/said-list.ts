/** What entries said of one kind, in the order of the entries, of which some were taken back. */
import { countWhile } from './record-table.ts';

/** What records ask of the entries. */
export interface EntryOrder {
  /** True where the entry was not taken back. */
  standing(entry: string): boolean;
  /** True where the entry comes before the other. */
  precedes(entry: string, other: string): boolean;
}

export class SaidList<T extends { readonly entry: string }> {
  readonly #all: T[] = [];
  #standing: readonly T[] | null = null;

  constructor(private readonly order: EntryOrder) {}

  /** What stands. */
  get standing(): readonly T[] {
    this.#standing ??= thatStand(this.#all, this.order);
    return this.#standing;
  }

  add(one: T): void {
    const { precedes } = this.order;
    const last = this.#all.at(-1);
    const late = last !== undefined && precedes(one.entry, last.entry);
    const at = late ? countWhile(this.#all, (other) => !precedes(one.entry, other.entry)) : this.#all.length;
    this.#all.splice(at, 0, one);
    this.#standing = null;
  }

  /** Looks again at what stands, after an entry was taken back or put back. */
  again(): void {
    this.#standing = null;
  }
}

/** What stands of what was said. */
export const thatStand = <T extends { readonly entry: string }>(
  said: readonly T[],
  { standing }: EntryOrder,
): readonly T[] => said.filter(({ entry }) => standing(entry));
