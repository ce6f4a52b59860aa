/** The height curve as the totals see it: when it has changed, and what it gives, asked once for each species and tenth of an inch. */
import type { FillingCurve } from './contribution.ts';

/** Diameters below 100 inches are remembered. */
const tenths = 1000;

export class CurveFill {
  #curve: FillingCurve | null = null;
  #version: (() => number) | null = null;
  #lastSeen = Number.NaN;
  /** By species number: heights by tenth of an inch; NaN not asked yet, 0 where the curve cannot say. */
  #memo: Float64Array[] = [];

  get present(): boolean {
    return this.#curve !== null;
  }

  set(curve: FillingCurve | null, version: (() => number) | undefined): void {
    this.#curve = curve;
    this.#version = version ?? null;
    this.#lastSeen = Number.NaN;
  }

  /** True when the curve differs from the last time this was asked. `fallback` stands in for a version. */
  changed(fallback: number): boolean {
    const seen = this.#curve === null ? 0 : (this.#version?.() ?? fallback);
    if (seen === this.#lastSeen) return false;
    this.#lastSeen = seen;
    this.#memo = [];
    return true;
  }

  /** Height in feet; null where the curve cannot say. `number` is the ledger's number of the species. */
  height(species: number | null, number: number, diameterIn: number): number | null {
    if (this.#curve === null) return null;
    // No stem is nought thick: the curve says nothing there.
    const tenth = Math.max(1, Math.round(diameterIn * 10));
    if (tenth >= tenths) return this.#ask(species, tenth) || null;
    this.#memo[number] ??= new Float64Array(tenths).fill(Number.NaN);
    const memo = this.#memo[number]!;
    let height = memo[tenth]!;
    if (Number.isNaN(height)) {
      height = this.#ask(species, tenth);
      memo[tenth] = height;
    }
    return height || null;
  }

  #ask(species: number | null, tenth: number): number {
    const height = this.#curve?.(species, tenth / 10) ?? null;
    return height !== null && height > 0 && Number.isFinite(height) ? height : 0;
  }
}
