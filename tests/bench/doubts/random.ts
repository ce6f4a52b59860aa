/** Seeded random numbers for simulations (mulberry32; public domain). */
export class Random {
  #a: number;
  constructor(seed: number) {
    this.#a = seed >>> 0;
  }

  /** Uniform in 0..1, 1 left out. */
  next(): number {
    this.#a = (this.#a + 0x6d2b79f5) | 0;
    let t = Math.imul(this.#a ^ (this.#a >>> 15), 1 | this.#a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  between(from: number, to: number): number {
    return from + (to - from) * this.next();
  }

  below(n: number): number {
    return Math.floor(this.next() * n);
  }

  pick<T>(items: readonly T[]): T {
    return items[this.below(items.length)]!;
  }

  /** Standard normal (Box and Muller 1958). */
  normal(): number {
    return Math.sqrt(-2 * Math.log(1 - this.next())) * Math.cos(2 * Math.PI * this.next());
  }

  shuffled<T>(items: readonly T[]): T[] {
    const copy = [...items];
    for (let i = copy.length - 1; i > 0; i--) {
      const j = this.below(i + 1);
      [copy[i], copy[j]] = [copy[j]!, copy[i]!];
    }
    return copy;
  }
}
