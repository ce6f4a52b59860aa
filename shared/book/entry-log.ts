/**
 * The entries of a book in their order, and by id. Where the journal can give an entry again (`recall`), only the latest
 * that came are held; of the others their place in the order.
 */

import { IdTable } from '../core/id-table.ts';
import { required } from '../core/required.ts';
import type { DeviceId, Entry } from '../note/journal.ts';

/** Entries that are held where the journal can give the others again. */
const held = 2048;

export class EntryLog implements Iterable<Entry> {
  /** Entries by id, in the order in which they came. */
  readonly #ids = new IdTable();
  readonly #came: (Entry | undefined)[] = [];
  readonly #names: string[] = [];
  readonly #numbers = new Map<string, number>();
  #times = new Float64Array(64);
  #devices = new Int32Array(64);
  #seqs = new Int32Array(64);
  /** In their order: numbers in which they came. */
  #order = new Int32Array(64);
  /** Numbers of those that brought a position. */
  readonly #placed: number[] = [];
  /** Given again last, by number. */
  readonly #given = new Map<number, Entry>();

  /** What went wrong when the journal could not give an entry again: no fault of the entry that is at work. */
  failed: unknown = null;

  constructor(private readonly recall?: (id: string) => Entry) {}

  get length(): number {
    return this.#came.length;
  }

  /** Takes in an entry that is not there yet. Gives whether it is the last in the order; null where it was there. */
  add(entry: Entry): boolean | null {
    if (this.#ids.get(entry.id) >= 0) return null;
    const number = this.#came.length;
    if (number === this.#times.length) this.#widen();
    this.#ids.set(entry.id, number);
    this.#came.push(entry);
    if (entry.position) this.#placed.push(number);
    this.#times[number] = entry.time;
    this.#devices[number] = this.#numberOf(entry.device);
    this.#seqs[number] = entry.seq;
    if (this.recall !== undefined && number >= held) this.#came[number - held] = undefined;
    const place = this.#placeOf(number);
    if (place < number) this.#order.copyWithin(place + 1, place, number);
    this.#order[place] = number;
    return place === number;
  }

  has(id: string): boolean {
    return this.#ids.get(id) >= 0;
  }

  get(id: string): Entry | undefined {
    const number = this.#ids.get(id);
    return number < 0 ? undefined : this.#entry(number, id);
  }

  /** The entry of a place in the order; from the end where it is negative. */
  at(place: number): Entry | undefined {
    const from = place < 0 ? place + this.length : place;
    return from >= 0 && from < this.length ? this.#entry(this.#order[from]!) : undefined;
  }

  /** Whether an entry comes before another in the order; both are there. */
  precedes(id: string, other: string): boolean {
    return this.#compare(this.#ids.get(id), this.#ids.get(other)) < 0;
  }

  *[Symbol.iterator](): Iterator<Entry> {
    for (let place = 0; place < this.length; place++) yield this.#entry(this.#order[place]!);
  }

  /** Those that brought a position, in no order that means anything. */
  *placed(): Iterable<Entry> {
    for (const number of this.#placed) yield this.#entry(number);
  }

  slice(from: number): Entry[] {
    const entries: Entry[] = [];
    for (let place = from < 0 ? Math.max(0, from + this.length) : from; place < this.length; place++)
      entries.push(this.#entry(this.#order[place]!));
    return entries;
  }

  /** Time of the last in the order, as `Entry.time`; 0 where there is none. */
  get lastTime(): number {
    return this.length === 0 ? 0 : this.#times[this.#order[this.length - 1]!]!;
  }

  #entry(number: number, id = this.#ids.idOf(number)): Entry {
    const entry = this.#came[number] ?? this.#given.get(number);
    if (entry !== undefined) return entry;
    const again = this.#again(id);
    if (this.#given.size >= held) this.#given.clear();
    this.#given.set(number, again);
    return again;
  }

  #again(id: string): Entry {
    try {
      return required(this.recall, 'a journal to read from')(id);
    } catch (cause) {
      this.failed = cause;
      throw cause;
    }
  }

  #placeOf(number: number): number {
    let [low, high] = [0, number];
    if (number === 0 || this.#compare(this.#order[number - 1]!, number) < 0) return number;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#compare(this.#order[middle]!, number) < 0) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** As `compareEntries`. */
  #compare(a: number, b: number): number {
    if (this.#times[a] !== this.#times[b]) return this.#times[a]! - this.#times[b]!;
    if (this.#devices[a] === this.#devices[b]) return this.#seqs[a]! - this.#seqs[b]!;
    return this.#names[this.#devices[a]!]! < this.#names[this.#devices[b]!]! ? -1 : 1;
  }

  #numberOf(device: DeviceId): number {
    let number = this.#numbers.get(device);
    if (number === undefined) {
      number = this.#names.push(device) - 1;
      this.#numbers.set(device, number);
    }
    return number;
  }

  #widen(): void {
    const size = 2 * this.#times.length;
    const [times, devices, seqs, order] = [this.#times, this.#devices, this.#seqs, this.#order];
    this.#times = new Float64Array(size);
    this.#devices = new Int32Array(size);
    this.#seqs = new Int32Array(size);
    this.#order = new Int32Array(size);
    this.#times.set(times);
    this.#devices.set(devices);
    this.#seqs.set(seqs);
    this.#order.set(order);
  }
}
