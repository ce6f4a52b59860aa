/** Which characters of one script have run so far, by the engine's own block counts: what leads the fuzzer to new code. */
import { type Profiler, Session } from 'node:inspector';

export class Coverage {
  readonly #session = new Session();
  readonly #isWatched: (url: string) => boolean;
  /** By character of the script: 1 where it has run. */
  #ran = new Uint8Array(1 << 20);

  constructor(isWatched: (url: string) => boolean) {
    this.#isWatched = isWatched;
    this.#session.connect();
    this.#session.post('Profiler.enable');
    this.#session.post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
  }

  /** Characters that have run since the last look and never before; they count as known from now on when `keep`. */
  news(keep: boolean): number {
    let found = 0;
    for (const script of this.#take()) {
      if (!this.#isWatched(script.url)) continue;
      for (const { ranges } of script.functions) {
        if (ranges[0]!.count > 0) found += this.#paint(ranges, keep);
      }
    }
    return found;
  }

  close(): void {
    this.#session.disconnect();
  }

  #take(): Profiler.ScriptCoverage[] {
    let result: Profiler.ScriptCoverage[] = [];
    // In the same process the answer is there before this returns.
    this.#session.post('Profiler.takePreciseCoverage', (_, taken) => {
      result = taken.result;
    });
    return result;
  }

  /** Ranges lie in each other, the outer before the inner. */
  #paint(ranges: readonly Profiler.CoverageRange[], keep: boolean): number {
    const open: Profiler.CoverageRange[] = [];
    let at = ranges[0]!.startOffset;
    let found = 0;
    const upTo = (end: number) => {
      if ((open.at(-1)?.count ?? 0) > 0 && end > at) found += this.#mark(at, end, keep);
      at = Math.max(at, end);
    };
    for (const range of ranges) {
      while (open.length > 0 && open.at(-1)!.endOffset <= range.startOffset) {
        upTo(open.at(-1)!.endOffset);
        open.pop();
      }
      upTo(range.startOffset);
      open.push(range);
    }
    while (open.length > 0) {
      upTo(open.at(-1)!.endOffset);
      open.pop();
    }
    return found;
  }

  #mark(from: number, to: number, keep: boolean): number {
    if (to > this.#ran.length) {
      const larger = new Uint8Array(2 * to);
      larger.set(this.#ran);
      this.#ran = larger;
    }
    let found = 0;
    for (let i = from; i < to; i++) if (this.#ran[i] === 0) found++;
    if (keep && found > 0) this.#ran.fill(1, from, to);
    return found;
  }
}
