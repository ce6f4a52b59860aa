/** What can be asked, by the words that must stand there: the table behind the questions that are put together. */
import type { QuestionTopic } from '../../shared/note/question-topics.ts';
import type { Concept } from '../description/other-words/concepts.ts';

export interface AskedTopic {
  readonly about: QuestionTopic;
  /** Words of each of these must stand there. */
  readonly needs: readonly (readonly Concept[])[];
  /** Words that may stand there besides. */
  readonly with?: readonly Concept[];
  /** Only where it is plain that something is asked. */
  readonly asked?: boolean;
  /** It can be narrowed and broken down. */
  readonly scoped?: boolean;
  /** Said in metric units where it names them. */
  readonly metric?: boolean;
  /** It is of any tree that is named, and takes a number of any kind. */
  readonly ofTree?: boolean;
  /** Only where a percentage is said. */
  readonly percent?: boolean;
}

/** The first that fits is meant: what needs more words stands before what needs fewer. */
export const askedTopics: readonly AskedTopic[] = [
  {
    about: 'help',
    needs: [['helpAsked'], ['helpAsked']],
    with: ['ask', 'tree', 'tall', 'top', 'defect', 'that', 'not', 'off', 'next', 'walk'],
  },
  // "Why don't you believe that height": what is doubted, not how it was worked out.
  {
    about: 'doubts',
    needs: [['why'], ['doubts']],
    with: ['ask', 'tree', 'one', 'that', 'has', 'not', 'again', 'last', 'tall', 'fix', 'open'],
    asked: true,
  },
  {
    about: 'why',
    needs: [['why'], ['error', 'sure', 'tall', 'dbh']],
    with: ['thickest', 'that', 'one', 'tree', 'howMuch', 'ask', 'not', 'last', 'eye', 'stick'],
    ofTree: true,
  },
  // "How sure is the total": of a sum it is its error, not that of the last height.
  {
    about: 'samplingError',
    needs: [['sure'], ['totals', 'volume', 'basalArea', 'density', 'biomass', 'carbon']],
    with: [
      'totals',
      'volume',
      'basalArea',
      'density',
      'biomass',
      'carbon',
      'mean',
      'perAcre',
      'howMuch',
      'ask',
    ],
  },
  {
    about: 'samplingError',
    needs: [['error']],
    with: [
      'basalArea',
      'volume',
      'density',
      'mean',
      'perAcre',
      'biomass',
      'carbon',
      'howMuch',
      'ask',
      'that',
      'size',
    ],
    scoped: false,
  },
  {
    about: 'plotsNeeded',
    needs: [['need'], ['plot', 'howMany', 'need']],
    with: ['howMany', 'plot', 'error', 'to', 'here', 'one', 'guess'],
  },
  {
    about: 'plotsNeeded',
    needs: [['howMany'], ['plot']],
    with: ['error', 'to', 'here', 'stand', 'allOf', 'ask', 'need', 'off'],
    percent: true,
  },
  { about: 'ready', needs: [['ready']], with: ['ask', 'that', 'here', 'has'] },
  {
    about: 'counted',
    needs: [
      ['counted'],
      ['dead', 'cull', 'in', 'totals', 'density', 'basalArea', 'volume', 'lacking', 'noHeight'],
    ],
    with: ['ask', 'tree', 'one', 'that', 'perAcre', 'not', 'tall', 'dbh', 'here', 'plot'],
    asked: true,
    ofTree: true,
  },
  {
    about: 'slenderness',
    needs: [['slender']],
    with: ['ask', 'tall', 'dbh', 'to', 'tree', 'that', 'one', 'last', 'by'],
    ofTree: true,
  },
  {
    about: 'howSure',
    needs: [['sure', 'limit'], ['tall']],
    with: ['ask', 'last', 'that', 'one', 'error', 'tree', 'out', 'off', 'has'],
    asked: true,
    ofTree: true,
  },
  {
    about: 'limit',
    needs: [['limit']],
    with: ['ask', 'tree', 'borderline', 'in', 'out', 'dbh', 'off', 'that', 'one', 'here', 'plot', 'to'],
    ofTree: true,
  },
  {
    about: 'compared',
    needs: [['compare'], ['mean']],
    with: ['ask', 'tree', 'tall', 'that', 'last', 'one', 'dbh'],
    ofTree: true,
  },
  {
    about: 'compared',
    needs: [['compare']],
    with: [
      'ask',
      'howMuch',
      'tree',
      'tall',
      'mean',
      'that',
      'last',
      'one',
      'howMany',
      'taller',
      'here',
      'dbh',
      'off',
    ],
    asked: true,
    ofTree: true,
  },
  { about: 'quadraticDiameter', needs: [['quadratic']], with: ['mean', 'dbh'], scoped: true },
  {
    about: 'spread',
    needs: [['spread']],
    with: ['plot', 'howMuch', 'basalArea', 'volume'],
    scoped: true,
  },
  { about: 'lorey', needs: [['lorey']], with: ['mean', 'tall'], scoped: true },
  { about: 'topHeight', needs: [['topHeight']], scoped: true },
  { about: 'meanHeight', needs: [['mean'], ['tall']], scoped: true },
  { about: 'meanDiameter', needs: [['mean'], ['dbh']], scoped: true },
  { about: 'cubic', needs: [['cubic']], with: ['perAcre', 'volume', 'howMany', 'howMuch'], scoped: true },
  { about: 'cords', needs: [['cords']], with: ['perAcre', 'howMany'], scoped: true },
  { about: 'biomass', needs: [['biomass']], with: ['perAcre', 'howMany', 'howMuch'], scoped: true },
  { about: 'carbon', needs: [['carbon']], with: ['perAcre', 'howMuch'], scoped: true },
  {
    about: 'basalArea',
    needs: [['basalArea']],
    with: ['perAcre', 'mean', 'totals', 'howMuch'],
    scoped: true,
  },
  { about: 'density', needs: [['density']], with: ['howMany', 'tree', 'perAcre', 'plot'], scoped: true },
  { about: 'density', needs: [['tree'], ['perAcre'], ['howMany', 'mean', 'ask']], scoped: true },
  {
    about: 'volumePerAcre',
    needs: [['volume'], ['perAcre']],
    with: ['howMany', 'howMuch', 'mean'],
    scoped: true,
  },
  {
    about: 'volume',
    needs: [
      ['volume', 'doyle', 'scribner', 'international'],
      ['volume', 'ask', 'by', 'doyle', 'scribner', 'international'],
    ],
    with: ['howMany', 'howMuch', 'totals', 'taller'],
    scoped: true,
  },
  ...(['shortest', 'thinnest'] as const).map((about) => ({
    about,
    needs: [[about]],
    with: ['ask', 'tree', 'one', 'tall', 'dbh', 'girth', 'plot', 'here', 'that', 'in', 'has'] as const,
    scoped: true,
  })),
  {
    about: 'tallest',
    needs: [['tallest']],
    with: [
      'borderline',
      'ask',
      'tree',
      'one',
      'tall',
      'plot',
      'here',
      'that',
      'in',
      'has',
      'totals',
      'allOf',
    ],
    scoped: true,
  },
  {
    about: 'thickest',
    needs: [['thickest']],
    with: [
      'borderline',
      'ask',
      'tree',
      'one',
      'dbh',
      'girth',
      'plot',
      'that',
      'has',
      'in',
      'totals',
      'allOf',
    ],
    scoped: true,
  },
  {
    about: 'species',
    needs: [['speciesAsked'], ['howMany', 'ask']],
    with: ['tree', 'totals', 'has', 'plot', 'walk'],
    asked: true,
    scoped: true,
  },
  { about: 'worth', needs: [['worth'], ['ask', 'howMuch', 'worth']], with: ['that', 'here'], scoped: true },
  {
    about: 'list',
    needs: [['listing'], ['tree', 'tall']],
    with: ['has', 'last', 'next', 'that', 'one', 'dbh'],
    asked: true,
    scoped: true,
  },
  {
    about: 'trees',
    needs: [['plot'], ['howMany'], ['by']],
    with: ['ask', 'has', 'tree', 'totals', 'each', 'in'],
    scoped: true,
  },
  {
    about: 'plots',
    needs: [['plot'], ['close', 'howMany']],
    with: ['close', 'has'],
    asked: true,
    scoped: true,
  },
  {
    about: 'plots',
    needs: [['plot'], ['howMany']],
    with: ['close', 'totals', 'tree', 'has', 'that', 'walk', 'open', 'ask'],
    scoped: true,
  },
  {
    about: 'trees',
    needs: [['howMany']],
    with: [
      'tree',
      'dead',
      'live',
      'cull',
      'totals',
      'in',
      'here',
      'plot',
      'has',
      'that',
      'walk',
      'dbh',
      'one',
      'out',
    ],
    scoped: true,
  },
  { about: 'lastNotes', needs: [['lastNotes']], with: ['ask', 'last', 'that'] },
  {
    about: 'why',
    needs: [['why']],
    with: [
      'ask',
      'eye',
      'tall',
      'that',
      'stick',
      'error',
      'thickest',
      'tree',
      'one',
      'not',
      'last',
      'dbh',
      'howMuch',
    ],
    ofTree: true,
  },
  {
    about: 'howSure',
    needs: [['sure']],
    with: ['ask', 'last', 'that', 'tall', 'one', 'error', 'tree', 'dbh', 'off'],
    ofTree: true,
  },
  {
    about: 'doubts',
    needs: [['doubts'], ['ask', 'doubts']],
    with: ['ask', 'tree', 'one', 'that', 'has', 'not', 'again', 'last', 'tall', 'remark', 'walk', 'fix'],
    asked: true,
  },
  { about: 'pace', needs: [['pace'], ['ask']], with: ['that'], asked: true },
  { about: 'eye', needs: [['eye'], ['ask']], with: ['that'], asked: true },
  { about: 'settings', needs: [['settingsAsked'], ['ask']], asked: true },
  // "Give me the lot for today".
  {
    about: 'totals',
    needs: [['allOf'], ['listing', 'ask'], ['today']],
    with: ['has'],
    asked: true,
    scoped: true,
  },
  { about: 'totals', needs: [['totals']], with: ['ask', 'has', 'that', 'here', 'one'] },
  {
    about: 'thisPlot',
    needs: [
      ['here', 'plot'],
      ['ask', 'howMuch', 'size', 'radius'],
    ],
    with: ['has', 'plot', 'that', 'one', 'walk', 'tree', 'radius', 'size', 'perAcre', 'howMuch', 'metric'],
    asked: true,
    metric: true,
  },
  // "What does that do to the mean": of which, the sums say.
  { about: 'totals', needs: [['mean'], ['ask']], with: ['that', 'to'], asked: true },
  {
    about: 'lastHeight',
    needs: [['tall'], ['ask']],
    with: ['that', 'one', 'last', 'tree', 'has', 'metric', 'imperial', 'to', 'again'],
    asked: true,
  },
  {
    about: 'thisTree',
    needs: [
      ['dbh', 'girth', 'last', 'tree'],
      ['ask', 'howMuch'],
    ],
    with: ['that', 'one', 'last', 'tree', 'has', 'to', 'again', 'here', 'girth'],
    asked: true,
  },
];

/** What help is wanted with. */
export const helpTopics: readonly (readonly [Concept, string])[] = [
  ['shadow', 'shadow'],
  ['lean', 'heights'],
  ['pole', 'pole'],
  ['stick', 'stick'],
  ['slope', 'slope'],
  ['angle', 'angles'],
  ['scratch', 'mending'],
  ['fix', 'mending'],
  ['restore', 'mending'],
  ['girth', 'girth'],
  ['log', 'logs'],
  ['defect', 'defect'],
  ['borderline', 'borderline'],
  ['radius', 'plots'],
  ['factor', 'plots'],
  ['plot', 'plots'],
  ['pace', 'pace'],
  ['eye', 'eye'],
  ['remark', 'remark'],
  ['stratum', 'stratum'],
  ['stand', 'stand'],
  ['person', 'crew'],
  ['off', 'heights'],
  ['tall', 'heights'],
  ['dbh', 'trees'],
  ['tree', 'trees'],
];
