/** How sure a measured share is, and whether two models differ on the same clips. */
import { seeded } from '../../../shared/core/random.ts';

/** A share with its 95 % interval, all in percent. */
export interface Share {
  readonly percent: number;
  readonly low: number;
  readonly high: number;
  readonly of: number;
}

const rounds = 1000;

/**
 * Share of `hits` with a bootstrap interval (Efron 1979, percentile method). Clips of one sentence share their luck,
 * so whole sentences are drawn: `groups` names the sentence of each.
 */
export function shareOf(hits: readonly boolean[], groups: readonly string[]): Share {
  const byGroup = new Map<string, { hit: number; all: number }>();
  hits.forEach((hit, i) => {
    const group = byGroup.get(groups[i]!) ?? { hit: 0, all: 0 };
    group.hit += hit ? 1 : 0;
    group.all++;
    byGroup.set(groups[i]!, group);
  });
  const list = [...byGroup.values()];
  const share = (some: Iterable<{ hit: number; all: number }>): number => {
    let hit = 0;
    let all = 0;
    for (const group of some) {
      hit += group.hit;
      all += group.all;
    }
    return all === 0 ? Number.NaN : (100 * hit) / all;
  };
  const random = seeded(1);
  const drawn = Array.from({ length: list.length === 0 ? 0 : rounds }, () =>
    share(list.map(() => list[Math.floor(random() * list.length)]!)),
  ).sort((a, b) => a - b);
  return {
    percent: share(list),
    low: drawn[Math.floor(0.025 * rounds)] ?? Number.NaN,
    high: drawn[Math.ceil(0.975 * rounds) - 1] ?? Number.NaN,
    of: hits.length,
  };
}

/**
 * McNemar's exact test of two models on the same clips (McNemar 1947; exact binomial form): probability of so uneven a
 * split of the clips that only one of them got right, were they equally good.
 *
 * @example mcnemar(0, 5) // 0.0625
 */
export function mcnemar(onlyFirst: number, onlySecond: number): number {
  const n = onlyFirst + onlySecond;
  const k = Math.min(onlyFirst, onlySecond);
  // log C(n, i) grows by log((n - i + 1) / i).
  let logChoose = 0;
  let tail = 0;
  for (let i = 0; i <= k; i++) {
    if (i > 0) logChoose += Math.log((n - i + 1) / i);
    tail += Math.exp(logChoose - n * Math.LN2);
  }
  return Math.min(1, 2 * tail);
}

/** Value below which the share `part` of the list lies. */
export function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;
}
