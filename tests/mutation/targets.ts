/**
 * What is mutated, and by which tests: the sources in which a number or a comparison decides what people are told. A source
 * is run by the tests that are about it, not by all that touch it, so that each is held where one would look for it.
 */
export interface Target {
  readonly source: string;
  /** Files, the one that is most about it first: those behind it are run only where it noticed nothing. */
  readonly tests: readonly string[];
}

const thresholds = 'tests/measuring/thresholds.test.ts';
const doubts = [thresholds, 'tests/measuring/doubts.test.ts', 'tests/measuring/doubt-rules.test.ts'];
const slips = ['tests/measuring/slips.test.ts', 'tests/measuring/doubts.test.ts', thresholds];
const heights = [thresholds, 'tests/measuring/height.test.ts', 'tests/measuring/budget.test.ts'];
const volumes = [thresholds, 'tests/totals/volumes.test.ts', 'tests/totals/sources.test.ts'];
const reading = ['tests/grammar/tolerant.test.ts', 'tests/grammar/understand.test.ts'];

export const targets: readonly Target[] = [
  { source: 'shared/measuring/doubt/limits.ts', tests: doubts },
  { source: 'shared/measuring/doubt/doubts.ts', tests: doubts },
  {
    source: 'shared/measuring/doubt/second-look.ts',
    tests: ['tests/measuring/second-look.test.ts', 'tests/dialogue/second-look.test.ts'],
  },
  { source: 'shared/measuring/doubt/slip-posterior.ts', tests: slips },
  { source: 'shared/measuring/doubt/slips.ts', tests: slips },
  { source: 'shared/note/deviations.ts', tests: ['tests/measuring/deviations.test.ts', ...heights] },
  { source: 'shared/measuring/height/formulas.ts', tests: heights },
  { source: 'shared/measuring/height/pace.ts', tests: ['tests/measuring/pace.test.ts', ...heights] },
  { source: 'shared/measuring/height/takes.ts', tests: ['tests/measuring/takes.test.ts', ...heights] },
  { source: 'shared/measuring/height/readings.ts', tests: ['tests/measuring/readings.test.ts', ...heights] },
  { source: 'shared/measuring/height/sighted.ts', tests: ['tests/measuring/sighted.test.ts', ...heights] },
  { source: 'shared/note/log-rules.ts', tests: volumes },
  { source: 'shared/totals/tree-volume.ts', tests: volumes },
  { source: 'shared/totals/biomass.ts', tests: volumes },
  { source: 'shared/totals/plots.ts', tests: [thresholds, 'tests/totals/plots.test.ts'] },
  { source: 'shared/totals/estimators.ts', tests: ['tests/totals/estimators.test.ts'] },
  { source: 'shared/core/units.ts', tests: ['tests/core/units.test.ts'] },
  {
    source: 'shared/note/journal.ts',
    tests: [
      'tests/book/entries.test.ts',
      'tests/book/order.test.ts',
      'tests/book/clocks.test.ts',
      'tests/book/book.test.ts',
    ],
  },
  { source: 'grammar/reading/decide.ts', tests: reading },
  { source: 'grammar/reading/edit-evidence.ts', tests: reading },
  { source: 'grammar/reading/edit-costs.ts', tests: reading },
];
