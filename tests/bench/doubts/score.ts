/** Shares with bootstrap intervals: trees are drawn again, with all notes of a tree together. */

import { Random } from './random.ts';
import type { Judged } from './stream.ts';

export const share = (judged: readonly Judged[], test: (j: Judged) => boolean): number =>
  judged.length === 0 ? Number.NaN : judged.filter(test).length / judged.length;

export const percent = (value: number): string => (Number.isNaN(value) ? 'none' : (100 * value).toFixed(1));

/** 95 percent interval of a share; 400 draws of the trees. */
export function interval(
  judged: readonly Judged[],
  test: (j: Judged) => boolean,
): [low: number, high: number] {
  const byTree = new Map<string, { n: number; hits: number }>();
  for (const j of judged) {
    const key = `${j.stand}/${j.tree}`;
    const at = byTree.get(key) ?? { n: 0, hits: 0 };
    at.n++;
    if (test(j)) at.hits++;
    byTree.set(key, at);
  }
  const trees = [...byTree.values()];
  const random = new Random(9);
  const draws = Array.from({ length: 400 }, () => {
    let n = 0;
    let hits = 0;
    for (let i = 0; i < trees.length; i++) {
      const tree = random.pick(trees);
      n += tree.n;
      hits += tree.hits;
    }
    return hits / n;
  }).sort((a, b) => a - b);
  return [draws[10]!, draws[389]!];
}

/** "91.2 (90.1-92.3)" */
export function withInterval(judged: readonly Judged[], test: (j: Judged) => boolean): string {
  if (judged.length === 0) return 'none';
  const [low, high] = interval(judged, test);
  return `${percent(share(judged, test))} (${percent(low)}-${percent(high)})`;
}
