/**
 * The pairing code: eight digits on the computer's screen, typed or scanned on the phone. One code lives at a time, for
 * ten minutes, for one phone. Whoever guesses, and from wherever, twenty wrong tries spend it: one guess in five
 * million comes in. Only a person at the computer makes the next.
 */
import { createHash, randomInt, timingSafeEqual } from 'node:crypto';

export const codeLimits = {
  digits: 8,
  /** Milliseconds that a code lives. */
  life: 10 * 60_000,
  /** Wrong tries that spend a code. */
  tries: 20,
  /** Wrong tries of one address, and the milliseconds in which they count. */
  ofOne: 5,
  within: 60_000,
} as const;

/** Addresses remembered at most; the oldest makes room. */
const mostAddresses = 1000;

export type CodeState =
  | { readonly kind: 'none' }
  | { readonly kind: 'open'; readonly code: string; readonly until: number; readonly wrong: number }
  | { readonly kind: 'used' | 'old' | 'spent' };

/** What became of a try: let in, or the sentence why not. */
type Tried = { readonly ok: true } | { readonly ok: false; readonly sentence: string };

const no = (sentence: string): Tried => ({ ok: false, sentence });
const another = 'Press "New code" on the computer.';

export class Codes {
  #code: string | null = null;
  #made = 0;
  #wrong = 0;
  #end: 'used' | 'spent' | null = null;
  /** Times of wrong tries, by address, oldest address first. */
  readonly #tries = new Map<string, number[]>();

  constructor(
    private readonly now: () => number = Date.now,
    private readonly digits: () => string = randomDigits,
  ) {}

  /** A new code; the one before is void. */
  make(): string {
    this.#code = this.digits();
    this.#made = this.now();
    this.#wrong = 0;
    this.#end = null;
    return this.#code;
  }

  get state(): CodeState {
    if (this.#code === null) return { kind: 'none' };
    if (this.#end !== null) return { kind: this.#end };
    const until = this.#made + codeLimits.life;
    if (this.now() >= until || this.now() < this.#made) return { kind: 'old' };
    return { kind: 'open', code: this.#code, until, wrong: this.#wrong };
  }

  /** Tries a code from an address; the right one is used up by it. Spaces and dashes in it do not count. */
  try(given: string, address: string): Tried {
    if (this.#lately(address) >= codeLimits.ofOne)
      return no('Too many wrong codes from this phone. Wait a minute, then read the code again.');
    const { state } = this;
    switch (state.kind) {
      case 'none':
        return no(`There is no code now. ${another}`);
      case 'used':
        return this.#wrongly(address, `That code was used already. ${another}`);
      case 'old':
        return this.#wrongly(address, `That code is too old. ${another}`);
      case 'spent':
        return this.#wrongly(address, `Too many wrong codes were tried: that code is void. ${another}`);
      case 'open':
        if (!same(given.replace(/[\s-]/g, ''), state.code)) {
          if (++this.#wrong >= codeLimits.tries) this.#end = 'spent';
          return this.#wrongly(address, 'That is not the code on the computer. Read its eight digits again.');
        }
        this.#end = 'used';
        return { ok: true };
    }
  }

  #wrongly(address: string, sentence: string): Tried {
    const times = this.#tries.get(address) ?? [];
    this.#tries.delete(address);
    const [oldest] = this.#tries.keys();
    if (this.#tries.size >= mostAddresses && oldest !== undefined) this.#tries.delete(oldest);
    this.#tries.set(address, [...times.slice(1 - codeLimits.ofOne), this.now()]);
    return no(sentence);
  }

  #lately(address: string): number {
    const since = this.now() - codeLimits.within;
    return (this.#tries.get(address) ?? []).filter((time) => time > since && time <= this.now()).length;
  }
}

const randomDigits = (): string =>
  String(randomInt(10 ** codeLimits.digits)).padStart(codeLimits.digits, '0');

/** In the same time, wherever they differ. */
function same(a: string, b: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(a), digest(b));
}
