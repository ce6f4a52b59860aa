/** Short words that one was taken for another: notes that hold either, right and kept wrong. */
import type { Trial } from '../voices/trials.ts';
import { fate } from './fate.ts';

const pairs = [['forked', 'four'], ['no', 'wrong'], ['fir', 'third'], ['beech', 'eight'], ['elm']] as const;

export function printPairs(
  print: (name: string, value: number | string, unit: string) => void,
  trials: readonly Trial[],
): void {
  for (const pair of pairs)
    for (const decibels of [Number.POSITIVE_INFINITY, 10, 0]) {
      const some = trials.filter(
        ({ clip, readable, decibels: ratio }) =>
          readable && ratio === decibels && pair.some((word) => clip.text.split(/[\s,]+/).includes(word)),
      );
      const wrong = some.filter(({ right, candidates }) => !right && fate(candidates) === 'kept').length;
      print(
        `pair.${pair.join('_')}.${decibels === Number.POSITIVE_INFINITY ? 'clean' : `${decibels}dB`}`,
        some.filter(({ right }) => right).length,
        `right, ${wrong} kept wrong, of ${some.length}`,
      );
    }
}
