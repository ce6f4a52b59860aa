/**
 * How far belief can be believed with both profiles on: usual and odd notes apart, by the weights of the program, and by
 * weights that were fitted on the other voices, whose sentences are others, too.
 */
import { takeHeardFrom } from '../../../shared/dialogue/choosing.ts';
import { confidenceWeights } from '../../../shared/sound/confidence.ts';
import { beliefBy, type Judged, regress } from '../hearing/regression.ts';
import type { Outcome } from './person-trials.ts';

type Print = (name: string, value: number | string, unit: string) => void;

interface Row extends Judged {
  readonly voice: string;
  readonly outcome: Outcome;
}

const edges = [0, 0.25, 0.5, 0.7, 0.93, 0.97, 0.99, 1.0001];
const own = Object.values(confidenceWeights);

export function printReliability(print: Print, outcomes: Readonly<Record<string, readonly Outcome[]>>): void {
  const rows = Object.entries(outcomes).flatMap(([voice, list]) =>
    list.flatMap((outcome): Row[] =>
      outcome.measures !== null && outcome.kind === 'both' && outcome.learnt === 40
        ? [{ voice, outcome, x: outcome.measures, y: outcome.rightBySound ? 1 : 0 }]
        : [],
    ),
  );
  const voices = Object.keys(outcomes);
  const fitted = new Map(voices.map((voice) => [voice, regress(rows.filter((row) => row.voice !== voice))]));
  const ways = {
    own: () => own,
    out_of_sample: (row: Row) => fitted.get(row.voice) ?? own,
  };
  for (const [way, weightsOf] of Object.entries(ways)) {
    const belief = (row: Row) =>
      Math.min(beliefBy(row.x, weightsOf(row), row.outcome.noise), row.outcome.posterior);
    for (const [name, sets] of [
      ['usual', ['day']],
      ['odd', ['odd']],
      ['all', ['day', 'odd', 'near', 'others']],
    ] as const) {
      const some = rows.filter(({ outcome }) => (sets as readonly string[]).includes(outcome.set));
      let apart = 0;
      for (let i = 0; i + 1 < edges.length; i++) {
        const bin = some.filter((row) => belief(row) >= edges[i]! && belief(row) < edges[i + 1]!);
        if (bin.length === 0) continue;
        const mean = bin.reduce((sum, row) => sum + belief(row), 0) / bin.length;
        const right = bin.reduce((sum, { y }) => sum + y, 0) / bin.length;
        apart += (Math.abs(mean - right) * bin.length) / some.length;
        print(
          `reliability.${way}.${name}.${edges[i]}`,
          (100 * right).toFixed(1),
          `% right, ${(100 * mean).toFixed(1)} % believed, ${bin.length} clips`,
        );
      }
      print(`reliability.${way}.${name}.apart`, (100 * apart).toFixed(2), 'points between belief and truth');
    }
    for (const set of ['day', 'odd', 'near', 'others'] as const)
      for (const decibels of [null, 10, 0]) {
        const some = rows.filter(
          ({ outcome }) => outcome.set === set && (outcome.decibels ?? null) === decibels,
        );
        if (some.length === 0) continue;
        const kept = some.filter((row) => belief(row) >= takeHeardFrom);
        const right = kept.filter(({ y }) => y === 1).length;
        print(
          `believed.${way}.${set}.${decibels === null ? 'clean' : `${decibels}dB`}`,
          right,
          `kept right, ${kept.length - right} kept wrong, of ${some.length} by sound alone`,
        );
      }
  }
}
