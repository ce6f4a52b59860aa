/**
 * The tolerant reader on slipped sentences: one wrong, missing or added phone in a sentence heard without word
 * borders; one word dropped or doubled in a written sentence. Sentences are drawn by the grammar's sampler. Slips
 * that spell another sentence of the grammar are counted apart. Seeds differ from those of tune-decision.ts.
 */
import { createSlips, type SlipKind, tally } from '../grammar/slips.ts';

export const name = 'slips';

const seeds: Readonly<Record<SlipKind, number>> = { phone: 1, 'dropped word': 2, 'doubled word': 3 };
const counts: Readonly<Record<SlipKind, number>> = {
  phone: 10_000,
  'dropped word': 5000,
  'doubled word': 5000,
};

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const trials = createSlips();
  const percent = (part: number, whole: number) => Number(((100 * part) / whole).toFixed(2));
  const times: number[] = [];
  for (const kind of Object.keys(counts) as SlipKind[]) {
    const list = trials(kind, counts[kind], seeds[kind]);
    const sum = tally(list);
    const counted = list.length - sum.apart;
    const label = kind.replace(' ', '-');
    print(`${label}.right`, percent(sum.right, counted), '%');
    print(`${label}.right-or-asked`, percent(sum.right + sum.askedRightly, counted), '%');
    print(`${label}.asked-beside-the-point`, percent(sum.askedWrongly, counted), '%');
    print(`${label}.refused`, percent(sum.refused, counted), '%');
    print(`${label}.wrong-and-unasked`, percent(sum.wrong, counted), '%');
    print(`${label}.another-sentence`, percent(sum.apart, list.length), '%');
    times.push(...list.map(({ milliseconds }) => milliseconds));
  }
  times.sort((a, b) => a - b);
  const quantile = (q: number) => Number(times[Math.floor(q * (times.length - 1))]!.toFixed(3));
  print('tolerant.p50', quantile(0.5), 'ms');
  print('tolerant.p99', quantile(0.99), 'ms');
}
