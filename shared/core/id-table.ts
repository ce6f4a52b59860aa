/**
 * Ids to numbers: open addressing with linear probing over one typed array. At a million fresh ids it takes about half
 * the time of a Map, which was the largest single part of putting a tree.
 */

const empty = 0;
const gone = -1;

export class IdTable {
  /** Number + 1; 0 where empty, -1 where one was taken out. */
  #slots = new Int32Array(1024);
  /** By number. */
  readonly #ids: (string | undefined)[] = [];
  #hashes = new Int32Array(1024);
  #used = 0;
  size = 0;
  /** The id asked for last, and its hash: who finds nothing often sets it next. */
  #asked = '';
  #hash = hashOf('');

  /** Number of an id; -1 when it is not there. */
  get(id: string): number {
    const hash = hashOf(id);
    this.#asked = id;
    this.#hash = hash;
    const mask = this.#slots.length - 1;
    for (let at = hash & mask; ; at = (at + 1) & mask) {
      const slot = this.#slots[at]!;
      if (slot === empty) return -1;
      if (slot !== gone && this.#hashes[slot - 1] === hash && this.#ids[slot - 1] === id) return slot - 1;
    }
  }

  /** The id of a number in use. */
  idOf(number: number): string {
    return this.#ids[number]!;
  }

  /** Gives a new id a number that no other id has at the time. */
  set(id: string, number: number): void {
    if (2 * (this.#used + 1) > this.#slots.length) this.#rebuild();
    if (number >= this.#hashes.length) {
      const wider = new Int32Array(Math.max(this.#hashes.length * 2, number + 1));
      wider.set(this.#hashes);
      this.#hashes = wider;
    }
    const hash = id === this.#asked ? this.#hash : hashOf(id);
    this.#ids[number] = id;
    this.#hashes[number] = hash;
    this.#place(hash, number);
    this.#used++;
    this.size++;
  }

  delete(id: string): void {
    const number = this.get(id);
    if (number < 0) return;
    const mask = this.#slots.length - 1;
    let at = this.#hashes[number]! & mask;
    while (this.#slots[at] !== number + 1) at = (at + 1) & mask;
    this.#slots[at] = gone;
    this.#ids[number] = undefined;
    this.size--;
  }

  /** Takes the first empty slot; slots of ids taken out stay marked until the next rebuild. */
  #place(hash: number, number: number): void {
    const mask = this.#slots.length - 1;
    let at = hash & mask;
    while (this.#slots[at] !== empty) at = (at + 1) & mask;
    this.#slots[at] = number + 1;
  }

  #rebuild(): void {
    let length = this.#slots.length;
    while (4 * (this.size + 1) > length) length *= 2;
    this.#slots = new Int32Array(length);
    this.#used = this.size;
    for (let number = 0; number < this.#ids.length; number++) {
      if (this.#ids[number] !== undefined) this.#place(this.#hashes[number]!, number);
    }
  }
}

/** FNV-1a over the UTF-16 units, with a last mix so that the low bits serve as an address. */
function hashOf(id: string): number {
  let hash = 0x811c9dc5 | 0;
  for (let i = 0; i < id.length; i++) hash = Math.imul(hash ^ id.charCodeAt(i), 0x01000193);
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
  return hash ^ (hash >>> 13);
}
