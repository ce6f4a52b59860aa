/** Which blocks have run so far, and about how often in one input: what leads the fuzzer to new code. */

/** How often, coarsely: 1, 2, 3, 4 to 7, 8 to 15, 16 to 31, 32 to 127, more. A bit each. */
const steps = Uint8Array.from({ length: 256 }, (_, count) => {
  if (count === 0) return 0;
  return 1 << [1, 2, 3, 7, 15, 31, 127, 255].findIndex((most) => count <= most);
});

export class Coverage {
  readonly #counts: Uint8Array;
  /** The same counters, four at a time. */
  readonly #words: Uint32Array;
  readonly #seen: Uint8Array;

  /** `counts`: the counters of an instrumented script, a multiple of four of them. */
  constructor(counts: Uint8Array) {
    this.#counts = counts;
    this.#words = new Uint32Array(counts.buffer, 0, counts.length / 4);
    this.#seen = new Uint8Array(counts.length);
  }

  /** Forgets what ran since the last look: it is of nobody. */
  clear(): void {
    this.#words.fill(0);
  }

  /** Whether what ran since the last look reached a block that none had reached, or more often than any; known from now on. */
  news(): boolean {
    const words = this.#words;
    let found = false;
    for (let word = 0; word < words.length; word++) {
      if (words[word] === 0) continue;
      for (let at = 4 * word; at < 4 * word + 4; at++) {
        const step = steps[this.#counts[at]!]!;
        if ((this.#seen[at]! | step) === this.#seen[at]) continue;
        this.#seen[at]! |= step;
        found = true;
      }
      words[word] = 0;
    }
    return found;
  }

  /** Blocks that have run. */
  get reached(): number {
    return this.#seen.reduce((sum, seen) => sum + (seen === 0 ? 0 : 1), 0);
  }
}
