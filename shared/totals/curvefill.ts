/** The height curve as the totals see it: when it has changed, and what it gives, asked once for each species and tenth of an inch. */
import type { HeightCurve } from './contribution.ts';

export class CurveFill {
  #curve: HeightCurve | null = null;
  #version: (() => number) | null = null;
  #lastSeen = Number.NaN;
  readonly #memo = new Map<number, number | null>();

  get present(): boolean {
    return this.#curve !== null;
  }

  set(curve: HeightCurve | null, version: (() => number) | undefined): void {
    this.#curve = curve;
    this.#version = version ?? null;
    this.#lastSeen = Number.NaN;
  }

  /** True when the curve differs from the last time this was asked. `fallback` stands in for a version. */
  changed(fallback: number): boolean {
    const seen = this.#curve === null ? 0 : (this.#version?.() ?? fallback);
    if (seen === this.#lastSeen) return false;
    this.#lastSeen = seen;
    this.#memo.clear();
    return true;
  }

  /** Height in feet; null where the curve cannot say. `number` is the ledger's number of the species. */
  height(species: number | null, number: number, diameterIn: number): number | null {
    if (this.#curve === null) return null;
    const tenth = Math.round(diameterIn * 10);
    const key = number * 65536 + tenth;
    let height = this.#memo.get(key);
    if (height === undefined) {
      height = this.#curve(species, tenth / 10);
      if (height !== null && !(height > 0 && Number.isFinite(height))) height = null;
      this.#memo.set(key, height);
    }
    return height;
  }
}
