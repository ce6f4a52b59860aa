/**
 * Numbers of trees. They follow from the turns in which trees were begun, taken back and put back: a new tree has the next
 * number; numbers of taken-back trees at the end are used again; one in the middle stays free for its tree.
 */
import { countWhile } from './record-table.ts';

/** Between the numbers of neighbours there is room for a million late ones. */
const least = 1e-6;

interface Numbered {
  /** Who began it. */
  readonly entry: string;
  number: number;
}

/** A tree was begun or put back, or is gone, by an entry. */
interface Turn<T> {
  readonly entry: string;
  readonly node: T;
  readonly gone: boolean;
}

export class TreeNumbers<T extends Numbered> implements Iterable<T> {
  /** A tree itself where it was begun. */
  readonly #turns: (T | Turn<T>)[] = [];
  /** By number less one. */
  #numbered: (T | undefined)[] = [];
  readonly #gone = new Set<T>();
  #late = false;

  at(number: number): T | undefined {
    return this.#numbered[number - 1];
  }

  get last(): T | undefined {
    return this.#numbered.at(-1);
  }

  *[Symbol.iterator](): Iterator<T> {
    for (const node of this.#numbered) if (node !== undefined) yield node;
  }

  /** The turn that comes behind all others. */
  take(turn: Turn<T>): void {
    this.#turns.push(turn.entry === turn.node.entry ? turn.node : turn);
    this.#play(turn.node, turn.gone);
  }

  /**
   * A turn that comes before others: numbers follow with `again`. A tree has until then one that is between those of its
   * neighbours, so that of two the earlier can be told.
   */
  insert(turn: Turn<T>, precedes: (entry: string, other: string) => boolean): void {
    const at = countWhile(this.#turns, (other) => !precedes(turn.entry, other.entry));
    if (!turn.gone) turn.node.number = (at === 0 ? 0 : nodeOf(this.#turns[at - 1]!).number) + least;
    this.#turns.splice(at, 0, turn);
    this.#late = true;
  }

  /** Plays all turns, where one was inserted, and tells every tree. */
  again(told: (node: T) => void): void {
    if (!this.#late) return;
    this.#late = false;
    this.#numbered = [];
    this.#gone.clear();
    for (const turn of this.#turns) this.#play(nodeOf(turn), 'node' in turn && turn.gone);
    for (const turn of this.#turns) told(nodeOf(turn));
  }

  #play(node: T, gone: boolean): void {
    const numbered = this.#numbered;
    if (gone) {
      this.#gone.add(node);
      while (numbered.length > 0 && this.#isFree(numbered.at(-1))) numbered.pop();
      return;
    }
    const back = this.#gone.delete(node);
    const there = numbered[node.number - 1];
    if (!back || (there !== undefined && there !== node)) node.number = numbered.length + 1;
    numbered[node.number - 1] = node;
  }

  #isFree(node: T | undefined): boolean {
    return node === undefined || this.#gone.has(node);
  }
}

const nodeOf = <T extends Numbered>(turn: T | Turn<T>): T => ('node' in turn ? turn.node : turn);
