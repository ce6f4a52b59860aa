/** Small numbers for species, persons and places, in the order in which they first come; and trees counted by day and person. */
import { type SpeciesKey, speciesKey, type TreeRecord, treesIn } from './types.ts';

/** A stand, or a stratum of it, by ids. */
interface TotalsPlace {
  readonly stand: string | null;
  readonly stratum: string | null;
}

export class Interning {
  readonly #species = new Map<SpeciesKey, number>();
  #inOrder: readonly (readonly [SpeciesKey, number])[] = [];
  readonly #persons = new Map<string, number>();
  readonly #places = new Map<string, number>();
  readonly places: TotalsPlace[] = [];

  /** Of a tree, from 1; 0 stands for all species. A genus, and a species that was not said, have numbers of their own. */
  speciesOf(tree: Pick<TreeRecord, 'species' | 'called'>): number {
    const code = speciesKey(tree);
    let number = this.#species.get(code);
    if (number === undefined) {
      number = this.#species.size + 1;
      this.#species.set(code, number);
    }
    return number;
  }

  /** Number of a species that some tree has had; undefined for others. */
  knownSpecies(code: SpeciesKey): number | undefined {
    return this.#species.get(code);
  }

  /** By code, then by name, those not said last: in one order whatever came first. */
  allSpecies(): readonly (readonly [SpeciesKey, number])[] {
    if (this.#inOrder.length !== this.#species.size) this.#inOrder = [...this.#species].sort(byKey);
    return this.#inOrder;
  }

  /** From 0; -1 for nobody. */
  person(name: string | null): number {
    if (name === null) return -1;
    let number = this.#persons.get(name);
    if (number === undefined) {
      number = this.#persons.size;
      this.#persons.set(name, number);
    }
    return number;
  }

  place(stand: string | null, stratum: string | null): number {
    const key = `${stand ?? ''}\0${stratum ?? ''}`;
    let number = this.#places.get(key);
    if (number === undefined) {
      number = this.places.length;
      this.places.push({ stand, stratum });
      this.#places.set(key, number);
    }
    return number;
  }
}

function byKey([a]: readonly [SpeciesKey, number], [b]: readonly [SpeciesKey, number]): number {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  if (a === null || b === null) return a === b ? 0 : a === null ? 1 : -1;
  if (typeof a === 'number' || typeof b === 'number') return typeof a === 'number' ? -1 : 1;
  return a < b ? -1 : 1;
}

interface Register {
  readonly stand: string | null;
  readonly day: number;
  readonly person: number;
  /** By species x 4 + status. */
  readonly counts: number[];
}

/** Trees counted by the stand, the day and the person of the trees themselves. */
export class Registers {
  readonly #registers: Register[] = [];
  #last: Register | undefined;

  count(tree: TreeRecord, day: number, person: number, key: number, sign: 1 | -1): void {
    let found = this.#last;
    if (found === undefined || found.day !== day || found.person !== person || found.stand !== tree.stand) {
      found = this.#registers.find(
        (each) => each.day === day && each.person === person && each.stand === tree.stand,
      );
      if (found === undefined) {
        found = { stand: tree.stand, day, person, counts: [] };
        this.#registers.push(found);
      }
      this.#last = found;
    }
    found.counts[key] = (found.counts[key] ?? 0) + sign * treesIn(tree);
  }

  /** Trees of a status (`key` with species 0: of all species). */
  sum(key: number, of: { stand?: string; day?: number; person?: number | undefined }): number {
    let sum = 0;
    for (const { stand, day, person, counts } of this.#registers) {
      if (of.day !== undefined && day !== of.day) continue;
      if (of.person !== undefined && person !== of.person) continue;
      if (of.stand !== undefined && stand !== of.stand) continue;
      if (key >= 4) sum += counts[key] ?? 0;
      else for (let each = key; each < counts.length; each += 4) sum += counts[each] ?? 0;
    }
    return sum;
  }
}
