/**
 * What a book taught, learnt behind the answers. Who says something meanwhile is read with the language as it was,
 * unless one of the words that are being learnt stands in it: then it waits for them.
 */
import { nothingTaught, type Taught, type TaughtWord } from '../../shared/book/taught.ts';
import type { Language } from '../language/language.ts';

interface LearnerParts {
  /** All that is known from now on. */
  readonly learnt: (taught: Taught) => void;
  /** Why something could not be learnt, a sentence. */
  readonly failed: (sentence: string) => void;
}

export class Learner {
  readonly #own: Language;
  readonly #parts: LearnerParts;
  #language: Language;
  #known: Taught = nothingTaught;
  #wanted: Taught = nothingTaught;
  #learning: Promise<void> | null = null;
  readonly #stop = new AbortController();

  constructor(own: Language, parts: LearnerParts) {
    this.#own = own;
    this.#parts = parts;
    this.#language = own;
  }

  get language(): Language {
    return this.#language;
  }

  /** Begins to learn all that holds now; the same again costs nothing. */
  teach(taught: Taught): void {
    if (this.#stop.signal.aborted || isSame(taught, this.#wanted)) return;
    this.#wanted = taught;
    this.#learning ??= this.#learn().finally(() => {
      this.#learning = null;
    });
  }

  /** Resolves when everything that was taught so far is known. */
  async settled(): Promise<void> {
    await this.#learning;
  }

  /** Resolves at once unless some of these words are being learnt, then when they are known. */
  async knows(words: string): Promise<void> {
    if (this.#learning === null) return;
    const said = words.toLowerCase();
    const changed = [
      ...besides(this.#wanted.words, this.#known.words),
      ...besides(this.#known.words, this.#wanted.words),
    ];
    if (changed.some(({ word }) => said.includes(word))) await this.#learning;
  }

  /** Stops learning; what is known stays. */
  close(): void {
    this.#stop.abort();
  }

  async #learn(): Promise<void> {
    while (!isSame(this.#wanted, this.#known)) {
      const taught = this.#wanted;
      try {
        this.#language = isSame(taught, nothingTaught)
          ? this.#own
          : await this.#own.taught(taught, this.#stop.signal);
        this.#parts.learnt(taught);
      } catch (cause) {
        if (this.#stop.signal.aborted) return;
        const why = cause instanceof Error ? cause.name : typeof cause;
        this.#parts.failed(`New words of the book could not be learnt (${why}); the others are understood.`);
      }
      this.#known = taught;
    }
  }
}

const isSame = (a: Taught, b: Taught): boolean => a === b || JSON.stringify(a) === JSON.stringify(b);

function besides(words: readonly TaughtWord[], others: readonly TaughtWord[]): readonly TaughtWord[] {
  const known = new Set(others.map((one) => JSON.stringify(one)));
  return words.filter((one) => !known.has(JSON.stringify(one)));
}
