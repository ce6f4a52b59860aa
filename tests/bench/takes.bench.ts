/**
 * Ways to make one height of several takes, on made-up takes: root mean square error in sd of one take, for takes that
 * scatter as expected, with one take in ten off by 4 to 25 sd (a number misheard, the top of another tree), and for a
 * device that scatters twice or half as much as expected. The one chosen is `shared/measuring/height/takes.ts`.
 */
import { median, sum } from '../../shared/core/statistics.ts';
import { middleOf } from '../../shared/measuring/height/takes.ts';
import { Random } from './doubts/random.ts';

export const name = 'takes';

type Way = (takes: readonly number[]) => number;
const draws = 20_000;

/** Expected sd 1, pooled at four takes' worth with the median absolute deviation of four takes and more. */
function pooled(takes: readonly number[]): number {
  const n = takes.length;
  if (n < 4) return 1;
  const centre = median(takes);
  const found = 1.4826 * median(takes.map((take) => Math.abs(take - centre)));
  return Math.sqrt((4 + (n - 1) * found * found) / (n + 3));
}

function weighed(takes: readonly number[], weight: (apart: number) => number): number {
  let centre = median(takes);
  for (let i = 0; i < 60; i++) {
    const weights = takes.map((take) => weight(take - centre));
    const total = sum(weights);
    if (!(total > 0)) return centre;
    centre = sum(takes.map((take, j) => take * weights[j]!)) / total;
  }
  return centre;
}

const huberWith = (sd: number): ((apart: number) => number) => {
  return (apart) => Math.min(1, (1.5 * sd) / Math.max(Math.abs(apart), 1e-12));
};
const biweight = (sd: number): ((apart: number) => number) => {
  return (apart) => Math.max(0, 1 - (apart / (4.685 * sd)) ** 2) ** 2;
};

const ways: Readonly<Record<string, Way>> = {
  mean: (takes) => sum(takes) / takes.length,
  median,
  huberExpected: (takes) => weighed(takes, huberWith(1)),
  huberPooled: (takes) => weighed(takes, huberWith(pooled(takes))),
  biweightPooled: (takes) => weighed(takes, biweight(pooled(takes))),
  leftOutFrom3: (takes) => weighed(takes, (apart) => (Math.abs(apart) <= 3 * pooled(takes) ? 1 : 0)),
  leftOutFrom2p5: (takes) => weighed(takes, (apart) => (Math.abs(apart) <= 2.5 * pooled(takes) ? 1 : 0)),
  ours: (takes) => middleOf(takes, 1).feet,
};

export function run(print: (name: string, value: number | string, unit: string) => void): void {
  for (const [title, sd, grossShare] of [
    ['asExpected', 1, 0],
    ['oneInTenFarOff', 1, 0.1],
    ['twiceTheScatter', 2, 0],
    ['halfTheScatter', 0.5, 0],
  ] as const) {
    for (const n of [3, 4, 5, 8]) {
      const random = new Random(7 + n);
      const squares = new Map(Object.keys(ways).map((way) => [way, 0]));
      for (let draw = 0; draw < draws; draw++) {
        const takes = Array.from({ length: n }, () => {
          const far = random.next() < grossShare ? random.between(4, 25) * (random.next() < 0.5 ? -1 : 1) : 0;
          return sd * random.normal() + far;
        });
        for (const [way, of] of Object.entries(ways)) squares.set(way, squares.get(way)! + of(takes) ** 2);
      }
      for (const [way, total] of squares)
        print(`${title}.takes${n}.${way}`, Math.sqrt(total / draws).toFixed(3), 'sd');
    }
  }
}
