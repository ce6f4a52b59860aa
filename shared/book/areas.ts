/**
 * Stands, or the strata of stands, by name: who says the name again means the same one, on whatever device, and the
 * area said last holds. Each is the merge of what still stands of it.
 */
import type { StandRecord } from '../totals/types.ts';

interface Said {
  readonly entry: string;
  readonly acres: number | null;
}

interface AreaNode {
  /** Id of the entry that named it first. */
  readonly id: string;
  readonly name: string;
  /** The stand that a stratum is of. */
  readonly of: string | null;
  said: readonly Said[];
}

export class Areas {
  readonly #byName = new Map<string, AreaNode>();
  readonly #records = new Map<string, StandRecord>();
  readonly #byEntry = new Map<string, AreaNode>();

  constructor(
    private readonly put: (record: StandRecord, of: string | null) => void,
    private readonly remove: (id: string) => void,
  ) {}

  /** Those that stand, in the order in which they were first named. */
  get records(): ReadonlyMap<string, StandRecord> {
    return this.#records;
  }

  /** The id that everything said of it goes under. */
  begin(entry: string, name: string, acres: number | null, of: string | null = null): string {
    let node = this.#byName.get(keyOf(name, of));
    if (node === undefined || node.said.length === 0) {
      node = { id: entry, name, of, said: [] };
      this.#byName.set(keyOf(name, of), node);
    }
    node.said = [...node.said, { entry, acres }];
    this.#byEntry.set(entry, node);
    this.#refresh(node);
    return node.id;
  }

  /** The one of that name, of a stand where it is a stratum. */
  named(name: string, of: string | null = null): StandRecord | null {
    return this.#records.get(this.#byName.get(keyOf(name, of))?.id ?? '') ?? null;
  }

  /** Forgets what an entry said; a name that nobody said any more is gone. */
  forget(entry: string): void {
    const node = this.#byEntry.get(entry);
    if (node === undefined) return;
    node.said = node.said.filter((said) => said.entry !== entry);
    this.#refresh(node);
  }

  #refresh(node: AreaNode): void {
    if (node.said.length === 0) {
      this.#records.delete(node.id);
      this.remove(node.id);
      return;
    }
    const acres = node.said.findLast((said) => said.acres !== null)?.acres ?? null;
    const record: StandRecord = { id: node.id, name: node.name, acres };
    this.#records.set(node.id, record);
    this.put(record, node.of);
  }
}

const keyOf = (name: string, of: string | null): string => `${of ?? ''} ${name}`;
