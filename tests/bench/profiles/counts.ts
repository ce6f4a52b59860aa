/** Counts of what became of one person's clips, and the figures of several voices from them. */
import { seeded } from '../../../shared/core/random.ts';
import type { PersonRun } from './person-trials.ts';

/** Clips by what became of them: right, kept right, kept wrong, asked, refused, of so many. */
export type Fates = readonly [
  right: number,
  kept: number,
  wrong: number,
  asked: number,
  refused: number,
  of: number,
];
/** By set, ratio, profiles and notes learnt from: "day.10dB.both.40". */
export type PersonCounts = Readonly<Record<string, Fates>>;

export interface VoiceResult {
  /** Who it is, and with it what is said. */
  readonly seed: number;
  readonly counts: PersonCounts;
  readonly lessons: readonly {
    readonly learnt: number;
    readonly used: boolean;
    readonly processorSeconds: number;
  }[];
  /** Milliseconds in which the profile of the language took in all that was said. */
  readonly noteMs: number;
}

const ratioName = (decibels: number) => (Number.isFinite(decibels) ? `${decibels}dB` : 'clean');

export function countsOf({ outcomes }: Pick<PersonRun, 'outcomes'>): PersonCounts {
  const counts: Record<string, number[]> = {};
  for (const outcome of outcomes) {
    const { set, decibels, kind, learnt, right, fate } = outcome;
    const key = `${set}.${ratioName(decibels)}.${kind}.${learnt}`;
    const row = counts[key] ?? [0, 0, 0, 0, 0, 0];
    counts[key] = row;
    const what = [
      right,
      right && fate === 'kept',
      !right && fate === 'kept',
      fate === 'asked',
      fate === 'refused',
      true,
    ];
    what.forEach((is, i) => {
      if (is) row[i]!++;
    });
  }
  return counts as Record<string, number[]> & PersonCounts;
}

const rounds = 2000;

/**
 * A share over voices with its 95 % interval: voices are drawn, and of each drawn voice its clips anew (bootstrap in two
 * stages, Efron and Tibshirani 1993, percentile method), so that six voices count as six.
 */
export function overVoices(rows: readonly (readonly [hits: number, of: number])[]): {
  percent: number;
  low: number;
  high: number;
} {
  const share = (some: readonly (readonly [number, number])[]) =>
    (100 * some.reduce((sum, [hits]) => sum + hits, 0)) / some.reduce((sum, [, of]) => sum + of, 0);
  const random = seeded(1);
  const drawn = Array.from({ length: rounds }, () =>
    share(
      rows.map(() => {
        const [hits, of] = rows[Math.floor(random() * rows.length)]!;
        let again = 0;
        for (let i = 0; i < of; i++) if (random() * of < hits) again++;
        return [again, of] as const;
      }),
    ),
  ).sort((a, b) => a - b);
  return {
    percent: share(rows),
    low: drawn[Math.floor(0.025 * rounds)] ?? Number.NaN,
    high: drawn[Math.ceil(0.975 * rounds) - 1] ?? Number.NaN,
  };
}

const columns = ['right', 'kept_right', 'kept_wrong', 'asked', 'refused'] as const;
type Print = (name: string, value: number | string, unit: string) => void;

export function printVoices(print: Print, results: Readonly<Record<string, VoiceResult>>): void {
  const voices = Object.entries(results);
  const keys = voices[0] ? Object.keys(Object.assign({}, ...voices.map(([, { counts }]) => counts))) : [];
  for (const key of keys) {
    const some = voices.flatMap(([voice, { counts }]) =>
      counts[key] ? [[voice, counts[key]] as const] : [],
    );
    const set = key.split('.')[0]!;
    const wanted = set === 'day' || set === 'odd' ? columns : (['kept_wrong', 'asked'] as const);
    for (const column of wanted) {
      const at = columns.indexOf(column);
      const { percent, low, high } = overVoices(some.map(([, row]) => [row[at]!, row[5]] as const));
      const each = some.map(([voice, row]) => `${voice} ${row[at]}`).join(', ');
      print(
        `${key}.${column}`,
        percent.toFixed(1),
        `% (${low.toFixed(1)} to ${high.toFixed(1)}) of ${some.reduce((sum, [, row]) => sum + row[5], 0)}: ${each}`,
      );
    }
  }
  for (const [voice, { lessons, noteMs }] of voices) {
    for (const { learnt, used, processorSeconds } of lessons)
      print(
        `${voice}.lesson.${learnt}`,
        used ? 'used' : 'not used',
        `${processorSeconds} s of processor time`,
      );
    print(`${voice}.language`, noteMs, 'ms to take in all that was said');
  }
}
