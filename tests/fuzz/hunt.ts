/** The hunt for an input that breaks a promise: inputs are changed from those that reached new code, as the counters tell. */
import type { Coverage } from './coverage.ts';

/** Bytes of the longest input. */
const longest = 4096;
/** Milliseconds of processor time, which others on the machine do not lengthen much, after which an input has hung. */
const patience = 10_000;

export interface Hunt {
  /** Throws, or rejects, where the input breaks a promise. */
  readonly fuzz: (data: Uint8Array) => void | Promise<void>;
  /** Inputs to begin with; at least one. */
  readonly known: readonly Uint8Array[];
  /** What to put into inputs now and then: texts and numbers that the code compares with. */
  readonly tokens: readonly Uint8Array[];
  /** Null: without looking at what has run. */
  readonly coverage: Coverage | null;
  /** Inputs to try, those to begin with not counted. */
  readonly wanted: number;
  /** A number from 0 to 1. */
  readonly random: () => number;
  /** Milliseconds of whatever clock: cheap inputs are changed more often than dear ones. */
  readonly clock: () => number;
  /** Told of an input that reached something new. */
  readonly keep?: (input: Uint8Array) => void;
  /** Whether it shall end before it has tried as many as are wanted; asked every so often. */
  readonly enough?: () => boolean;
  /** Told how far it is, every so often. */
  readonly progress?: (so: Hunted) => void;
}

export interface Hunted {
  /** Inputs tried, those to begin with not counted. */
  readonly done: number;
  /** Of them, how many reached what none had reached before. */
  readonly news: number;
  /** Inputs that it changes by now. */
  readonly known: number;
  readonly broken: { readonly input: Uint8Array; readonly cause: unknown } | null;
}

interface Known {
  readonly input: Uint8Array;
  readonly cost: number;
}

/** Inputs between two words about how far it is, and between two looks at whether it is enough. */
const between = 10_000;
const looksUp = 100;

export async function hunt(on: Hunt): Promise<Hunted> {
  const { coverage, clock } = on;
  const pick = (n: number) => Math.floor(on.random() * n);
  const known: Known[] = [];
  let done = 0;
  let news = 0;
  let broken: Hunted['broken'] = null;
  let usual = Number.POSITIVE_INFINITY;
  const hunted = (): Hunted => ({ done, news, known: known.length, broken });

  /** Tries one; true where it is worth changing. */
  const attempt = async (input: Uint8Array): Promise<boolean> => {
    coverage?.clear();
    const from = clock();
    try {
      const running = on.fuzz(input);
      if (running !== undefined) await running;
      const took = clock() - from;
      if (took > patience && (await processorTime(() => on.fuzz(input))) > patience)
        throw new Error('it hung');
      if (coverage?.news() !== true) return false;
      known.push({ input, cost: took });
      return true;
    } catch (cause) {
      broken ??= { input, cause };
      return false;
    }
  };
  for (const input of on.known) {
    const isNew = await attempt(input);
    if (broken !== null) return hunted();
    // Without counters all of them are as good as any.
    if (!isNew && (coverage === null || known.length === 0)) known.push({ input, cost: 0 });
  }
  const mutator = new Mutator(pick, on.tokens, () => {
    // The newest reached what is hardest to reach; the dear ones come less often.
    for (;;) {
      const at = pick(2) === 0 ? pick(known.length) : Math.max(0, known.length - 1 - pick(16));
      const one = known[at]!;
      if (one.cost <= 2 * usual || pick(8) === 0) return one.input;
    }
  });
  while (done < on.wanted && broken === null) {
    if (done % between === 0) {
      const costs = known.map(({ cost }) => cost).sort((a, b) => a - b);
      usual = costs[costs.length >> 1] ?? usual;
      if (done > 0) on.progress?.(hunted());
    }
    if (done % looksUp === 0 && on.enough?.()) break;
    const input = mutator.next();
    done++;
    if (!(await attempt(input))) continue;
    news++;
    on.keep?.(input);
  }
  return hunted();
}

/** Milliseconds of processor time. */
async function processorTime(work: () => void | Promise<void>): Promise<number> {
  const from = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1000;
}

/** Changes an input in one to six places: bytes put in, changed, doubled, cut out, pieces of another, tokens. */
class Mutator {
  readonly #bytes = new Uint8Array(2 * longest);
  #length = 0;

  constructor(
    private readonly pick: (n: number) => number,
    private readonly tokens: readonly Uint8Array[],
    private readonly any: () => Uint8Array,
  ) {}

  next(): Uint8Array {
    const from = this.any().subarray(0, longest);
    this.#bytes.set(from);
    this.#length = from.length;
    for (let changes = this.pick(6); changes >= 0; changes--) this.#splice(...this.#change());
    return this.#bytes.slice(0, Math.min(longest, this.#length));
  }

  /** Where, how many bytes go out there, and what comes in. */
  #change(): readonly [at: number, out: number, put: ArrayLike<number>] {
    const { pick } = this;
    const at = pick(this.#length + 1);
    const was = at < this.#length ? this.#bytes[at]! : 0;
    switch (pick(8)) {
      case 0:
        return [at, 1, [pick(256)]];
      case 1:
        return [at, 0, Array.from({ length: 1 + pick(16) }, () => pick(256))];
      case 2:
        return [at, 1 + pick(8), []];
      case 3:
        return [at, 0, this.#bytes.slice(at, Math.min(this.#length, at + pick(16)))];
      case 4: {
        const other = this.any();
        const begin = pick(other.length);
        return [at, pick(16), other.subarray(begin, begin + 1 + pick(32))];
      }
      case 5:
        return [at, 1, [was ^ (1 << pick(8))]];
      case 6:
        return [at, 1, [was + pick(33) - 16]];
      default: {
        const token = this.tokens.length === 0 ? [] : this.tokens[pick(this.tokens.length)]!;
        return [at, pick(2) * token.length, token];
      }
    }
  }

  /** Puts bytes in at a place instead of so many; what no longer fits is cut off. */
  #splice(at: number, out: number, put: ArrayLike<number>): void {
    const room = this.#bytes.length;
    const tail = Math.min(this.#length, at + out);
    const to = Math.min(room, at + put.length);
    this.#bytes.copyWithin(to, tail, Math.min(this.#length, tail + room - to));
    for (let n = at; n < to; n++) this.#bytes[n] = put[n - at]!;
    this.#length = Math.min(room, to + this.#length - tail);
  }
}
