/**
 * Thresholds that must not move unseen, one by one: each is changed a little, and the test that is named beside it has to
 * notice. `npm run mutation -- named`.
 */
export interface Named {
  readonly name: string;
  readonly source: string;
  /** Text that stands once in the source, and what is put there. */
  readonly find: string;
  readonly instead: string;
  readonly test: string;
}

const doubts = 'shared/measuring/doubt/doubts.ts';
const limits = 'shared/measuring/doubt/limits.ts';
const deviations = 'shared/note/deviations.ts';
const formulas = 'shared/measuring/height/formulas.ts';
const thresholds = 'tests/measuring/thresholds.test.ts';
const rules = 'tests/measuring/doubt-rules.test.ts';
const held = 'tests/measuring/deviations.test.ts';

const rows: readonly (readonly [string, string, string, string, string])[] = [
  ['askFrom', doubts, 'export const askFrom = 0.5;', 'export const askFrom = 0.55;', rules],
  ['believedFrom, least', doubts, 'Math.max(0.82, believedFor', 'Math.max(0.85, believedFor', rules],
  ['believedFrom, slope', doubts, '- 0.5 * Math.max(0, scatter', '- 0.6 * Math.max(0, scatter', rules],
  [
    'believedFrom, cost of a question',
    'shared/measuring/doubt/costs.ts',
    'question: { seconds: 12,',
    'question: { seconds: 14,',
    rules,
  ],
  [
    'believedFrom, cost of a mistake',
    'shared/measuring/doubt/costs.ts',
    'seconds: 200,',
    'seconds: 220,',
    rules,
  ],
  ['secondShare', doubts, 'const secondShare = 0.7;', 'const secondShare = 0.8;', rules],
  ['strayFrom', doubts, 'question: 2.8,', 'question: 2.9,', rules],
  ['slenderness, warn', limits, 'const slenderWarn = 120;', 'const slenderWarn = 121;', thresholds],
  ['slenderness, very', limits, 'const verySlender = 170;', 'const verySlender = 171;', thresholds],
  ['slenderness, saplings', limits, 'const saplingIn = 4;', 'const saplingIn = 4.1;', thresholds],
  ['stoutness', limits, 'const stoutWarn = 12;', 'const stoutWarn = 12.1;', thresholds],
  ['nearShare', limits, 'const nearShare = 0.6;', 'const nearShare = 0.62;', thresholds],
  ['thickIn', limits, 'const thickIn = 120;', 'const thickIn = 121;', thresholds],
  ['ground deviation', deviations, 'value: 0.045,', 'value: 0.046,', thresholds],
  [
    'shadow deviation',
    deviations,
    "value: 0.5,\n    unit: 'feet',\n    about: \"the end of a tree's shadow\"",
    "value: 0.55,\n    unit: 'feet',\n    about: \"the end of a tree's shadow\"",
    held,
  ],
  ['shadow’s blur', deviations, 'value: 0.27,', 'value: 0.28,', held],
  ['range deviation', deviations, 'rangeFeet: { value: 0.5,', 'rangeFeet: { value: 0.55,', thresholds],
  ['stated-pace deviation', deviations, 'value: 0.03,', 'value: 0.031,', thresholds],
  [
    'lean sideways',
    formulas,
    'Math.hypot(distanceFeet, leanFeet)',
    'Math.sqrt(distanceFeet ** 2 - leanFeet ** 2)',
    thresholds,
  ],
  [
    'lean sideways, by its angle',
    formulas,
    '1 - (topTangent * leanTangent) ** 2',
    '1 + (topTangent * leanTangent) ** 2',
    'tests/measuring/height.test.ts',
  ],
  [
    'part-section of the International rule',
    'shared/note/log-rules.ts',
    'Math.min(1, left / 4)',
    '1',
    'tests/totals/volumes.test.ts',
  ],
  [
    'a tree exactly on the limit',
    'shared/totals/plots.ts',
    'inside: margin >= 0,',
    'inside: margin > 0,',
    thresholds,
  ],
  [
    'device ties',
    'shared/note/journal.ts',
    'a.device < b.device ? -1 : a.device > b.device ? 1',
    'a.device < b.device ? 1 : a.device > b.device ? -1',
    'tests/book/order.test.ts',
  ],
  [
    'seq in the order of entries',
    'shared/note/journal.ts',
    'a.seq - b.seq',
    'b.seq - a.seq',
    'tests/book/order.test.ts',
  ],
];

export const named: readonly Named[] = rows.map(([name, source, find, instead, test]) => ({
  name,
  source,
  find,
  instead,
  test,
}));
