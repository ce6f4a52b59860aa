/**
 * Stands, or the strata of stands, by name: who says the name again means the same one, on whatever device, and the
 * area said last holds. Each is the merge of what still stands of it.
 */
import { lastOf } from '../core/required.ts';
import { placeKey } from '../note/place-key.ts';
import type { StandRecord } from '../totals/types.ts';

interface Said {
  readonly entry: string;
  readonly acres: number | null;
  /** Of an area that was measured. */
  readonly sdAcres?: number | null;
  readonly paceSdAcres?: number | undefined;
  /** False where it only measures what others named. */
  readonly names?: false;
}

interface Measured {
  /** Id of the stand or stratum. */
  readonly target: string;
  readonly acres: number;
  readonly sdAcres: number | null;
  readonly paceSdAcres?: number | undefined;
}

interface AreaNode {
  /** Id of the entry that named it first. */
  readonly id: string;
  readonly name: string;
  /** The stand that a stratum is of. */
  readonly of: string | null;
  readonly said: Said[];
}

export class Areas {
  readonly #byName = new Map<string, AreaNode>();
  #records = new Map<string, StandRecord>();
  readonly #byEntry = new Map<string, AreaNode>();

  /** `stands`: whether an entry was not taken back. */
  constructor(
    private readonly stands: (entry: string) => boolean,
    private readonly put: (record: StandRecord, of: string | null) => void,
    private readonly remove: (id: string) => void,
  ) {}

  /** Those that stand, in the order in which they were first named. */
  get records(): ReadonlyMap<string, StandRecord> {
    return this.#records;
  }

  /** Those of another, such as the strata of a stand, in the order in which they were first named. */
  within(of: string | null): StandRecord[] {
    return [...this.#byName.values()].flatMap((node) =>
      node.of === of ? (this.#records.get(node.id) ?? []) : [],
    );
  }

  /** The id that everything said of it goes under. */
  begin(entry: string, name: string, acres: number | null, of: string | null = null): string {
    let node = this.#byName.get(keyOf(name, of));
    if (node === undefined) {
      node = { id: entry, name, of, said: [] };
      this.#byName.set(keyOf(name, of), node);
    }
    node.said.push({ entry, acres });
    this.#byEntry.set(entry, node);
    this.#refresh(node);
    return node.id;
  }

  /** Its area as it was measured and agreed to. */
  measured(entry: string, { target, acres, sdAcres, paceSdAcres }: Measured): void {
    const node = this.#byEntry.get(target);
    if (node === undefined) return;
    node.said.push({ entry, acres, sdAcres, paceSdAcres, names: false });
    this.#byEntry.set(entry, node);
    this.#refresh(node);
  }

  /** The entries that gave one its id and that named it last; null where nobody did. */
  saidOf(name: string, of: string | null = null): readonly [first: string, last: string] | null {
    const node = this.#byName.get(keyOf(name, of));
    return node === undefined ? null : [node.id, lastOf(node.said).entry];
  }

  /** The one of that name, of a stand where it is a stratum. */
  named(name: string, of: string | null = null): StandRecord | null {
    return this.#records.get(this.#byName.get(keyOf(name, of))?.id ?? '') ?? null;
  }

  /** The id under which goes what an entry named. */
  idOf(entry: string): string | null {
    return this.#byEntry.get(entry)?.id ?? null;
  }

  /** Looks again at what an entry named, after it was taken back or put back; what nobody names any more is gone. */
  again(entry: string): void {
    const node = this.#byEntry.get(entry);
    if (node !== undefined) this.#refresh(node);
  }

  #refresh(node: AreaNode): void {
    const said = node.said.filter((one) => this.stands(one.entry));
    if (said.every(({ names }) => names === false)) {
      this.#records.delete(node.id);
      this.remove(node.id);
      return;
    }
    const last = said.findLast((one) => one.acres !== null);
    const record: StandRecord = {
      id: node.id,
      name: node.name,
      acres: last?.acres ?? null,
      ...(last?.sdAcres == null ? {} : { sdAcres: last.sdAcres }),
      ...(last?.paceSdAcres === undefined ? {} : { paceSdAcres: last.paceSdAcres }),
    };
    const back = !this.#records.has(node.id);
    this.#records.set(node.id, record);
    if (back) this.#order();
    this.put(record, node.of);
  }

  /** In the order in which they were first named, also where one was put back. */
  #order(): void {
    const inOrder = [...this.#byName.values()].flatMap(({ id }) => this.#records.get(id) ?? []);
    this.#records = new Map(inOrder.map((record) => [record.id, record]));
  }
}

const keyOf = (name: string, of: string | null): string => `${of ?? ''} ${placeKey(name)}`;
