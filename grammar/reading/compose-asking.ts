/** Questions put together: the quantity that is asked for, what it is narrowed to and what it is broken down by. */
import type { Note, NoteOf, Scope } from '../../shared/note/note.ts';
import type { Breakdown, QuestionTopic } from '../../shared/note/question-topics.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { targetOf } from './compose-targets.ts';
import { type Draft, explain, type Scan } from './scan.ts';

interface Topic {
  readonly about: QuestionTopic;
  /** Words of each of these must stand there. */
  readonly needs: readonly (readonly Concept[])[];
  /** Words that may stand there besides. */
  readonly with?: readonly Concept[];
  /** Only where it is plain that something is asked. */
  readonly asked?: boolean;
  /** It can be narrowed and broken down. */
  readonly scoped?: boolean;
}

/** The first that fits is meant: what needs more words stands before what needs fewer. */
const topics: readonly Topic[] = [
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
    with: ['basalArea', 'volume', 'density', 'mean', 'perAcre', 'biomass', 'carbon'],
    scoped: false,
  },
  {
    about: 'plotsNeeded',
    needs: [['need'], ['plot', 'howMany', 'need']],
    with: ['howMany', 'plot', 'error', 'to', 'here', 'one', 'guess'],
  },
  { about: 'quadraticDiameter', needs: [['quadratic']], with: ['mean', 'dbh'], scoped: true },
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
  {
    about: 'tallest',
    needs: [['tallest']],
    with: ['tree', 'one', 'tall', 'plot', 'here', 'that', 'in'],
    scoped: true,
  },
  {
    about: 'thickest',
    needs: [['thickest']],
    with: ['tree', 'one', 'dbh', 'girth', 'plot', 'that'],
    scoped: true,
  },
  { about: 'spread', needs: [['spread']], with: ['plot', 'howMuch', 'basalArea', 'volume'], scoped: true },
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
  { about: 'plots', needs: [['plot'], ['close', 'howMany']], with: ['close'], asked: true },
  {
    about: 'plots',
    needs: [['plot'], ['howMany']],
    with: ['close', 'totals', 'tree', 'has', 'that', 'walk', 'open', 'ask'],
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
  { about: 'why', needs: [['why']], with: ['ask', 'eye', 'tall', 'that', 'stick', 'error', 'thickest'] },
  { about: 'howSure', needs: [['sure']], with: ['ask', 'last', 'that', 'tall', 'one', 'error'] },
  {
    about: 'doubts',
    needs: [['doubts'], ['ask', 'doubts']],
    with: ['ask', 'tree', 'one', 'that', 'has', 'not', 'again', 'last', 'tall', 'remark', 'walk'],
    asked: true,
  },
  { about: 'pace', needs: [['pace'], ['ask']], with: ['that'], asked: true },
  { about: 'eye', needs: [['eye'], ['ask']], with: ['that'], asked: true },
  { about: 'settings', needs: [['settingsAsked'], ['ask']], asked: true },
  {
    about: 'help',
    needs: [['helpAsked'], ['helpAsked']],
    with: ['ask', 'tree', 'tall', 'top', 'defect', 'that', 'not', 'off', 'next', 'walk'],
  },
  { about: 'totals', needs: [['totals']], with: ['ask', 'has', 'that', 'here', 'one'] },
  {
    about: 'thisPlot',
    needs: [['here', 'plot'], ['ask']],
    with: ['has', 'plot', 'that', 'one', 'walk', 'tree'],
    asked: true,
  },
];

const statuses: readonly (readonly [Concept, 'dead' | 'live' | 'cull'])[] = [
  ['dead', 'dead'],
  ['live', 'live'],
  ['cull', 'cull'],
];
const rules = ['doyle', 'scribner', 'international'] as const;
const errorsOf: readonly (readonly [Concept, QuestionTopic])[] = [
  ['basalArea', 'basalArea'],
  ['volume', 'volumePerAcre'],
  ['density', 'density'],
  ['biomass', 'biomass'],
  ['carbon', 'carbon'],
  ['mean', 'meanHeight'],
];

/** A question in the making. */
interface Asking {
  readonly scan: Scan;
  readonly topic: Topic;
  readonly note: NoteOf<'ask'>;
  /** Places and concepts that it takes. */
  readonly places: number[];
  readonly concepts: Concept[];
}

const alwaysAsked: readonly Concept[] = ['ask', 'guess', 'to', 'totals', 'allOf', 'that'];

/** A question; what only names a quantity is one too. */
export function askDraft(scan: Scan): Draft | undefined {
  if (scan.has('scratch', 'restore', 'person')) return undefined;
  const asks = isAsking(scan);
  const lookUp = treeAsked(scan, asks);
  const topic = topics.find(
    ({ needs, asked }) => needs.every((any) => scan.has(...any)) && (asked !== true || asks),
  );
  if (topic === undefined) return lookUp;
  if (!asks && !namesOnly(scan, topic)) return undefined;
  if (lookUp !== undefined) return lookUp;
  // "And in Doyle?": of an acre.
  const about = topic.about === 'volume' && !scan.has('volume') ? 'volumePerAcre' : topic.about;
  const asking: Asking = {
    scan,
    topic,
    note: { kind: 'ask', about },
    places: [],
    concepts: [...topic.needs.flat(), ...(topic.with ?? []), ...alwaysAsked],
  };
  if (!narrow(asking)) return undefined;
  numbersAsked(asking);
  const { places, note, concepts } = asking;
  if ([...scan.numbers, ...scan.species].some((at) => !places.includes(at))) return undefined;
  // What asks for no quantity is said of much else: only plain words stand beside it.
  if (topic.scoped !== true && !numbered.has(topic.about) && !isPlainly(scan)) return undefined;
  // How to do something may be asked in any words.
  const all = topic.about === 'help' ? scan.pieces.map((_, at) => at) : places;
  return {
    notes: [note],
    used: explain(scan, all, concepts),
    against: asks ? 0 : 0.3,
    ...(isHalf(scan, asks) ? { unsure: true } : {}),
  };
}

/** Questions that take numbers or any words. */
const numbered: ReadonlySet<QuestionTopic> = new Set<QuestionTopic>([
  'samplingError',
  'plotsNeeded',
  'plots',
  'help',
]);

function isAsking(scan: Scan): boolean {
  const first = scan.pieces.find(({ is }) => is === 'words')?.text ?? '';
  if (wondering.test(first) || scan.has('howMany', 'howMuch')) return true;
  if (scan.asked && (opening.test(first) || scan.pieces.length < 5)) return true;
  return scan.has('ask') && scan.pieces.slice(0, scan.at('ask')).every(({ light }) => light);
}

/** One word may be half of something else; short forms are typed alone. */
function isHalf(scan: Scan, asks: boolean): boolean {
  const words = scan.pieces.filter(({ light, is }) => !light && is !== 'break');
  if (asks) return words.length < 2 && scan.pieces.length > 3;
  const own = words.filter(({ is }) => is === 'words');
  return (own.length < 2 || scan.pieces.length > 2 * words.length + 1) && (own[0]?.text.length ?? 9) > 3;
}

/** Species, place, state, breakdown and log rule; false where something of them is left over. */
function narrow({ scan, topic, note, places, concepts }: Asking): boolean {
  if (topic.scoped !== true) return true;
  const scope = scopeOf(scan, places, concepts);
  if (scope === null) return false;
  if (scope !== undefined) note.scope = scope;
  const by = scan.has('by') && !scan.has('need') && canBreak(topic.about) ? breakdownOf(scan) : undefined;
  if (by !== undefined) {
    note.by = by;
    concepts.push('by', 'speciesAsked', 'plot', 'stratum', 'person');
  }
  const rule = rules.find((one) => scan.has(one));
  if (rule !== undefined && (note.about === 'volume' || note.about === 'volumePerAcre')) {
    note.rule = rule;
    concepts.push(rule, 'by');
  }
  return true;
}

/** The percent that an error is asked at, or that is to be reached. */
function numbersAsked({ scan, topic, note, places }: Asking): void {
  const [percent] = scan.numbers;
  if (topic.about === 'samplingError') {
    const of = errorsOf.find(([concept]) => scan.has(concept));
    if (of !== undefined) note.of = of[1];
    if (percent === undefined || scan.number(percent).value < 50) return;
    note.confidence = scan.number(percent).value;
    places.push(percent);
  } else if (topic.about === 'plotsNeeded' && percent !== undefined) {
    note.percent = scan.number(percent).value;
    places.push(percent);
  }
}

const canBreak = (about: QuestionTopic): boolean =>
  !['tallest', 'thickest', 'spread', 'totals', 'worth', 'species', 'plots'].includes(about);

const wondering = /^(?:how|what|which|who|where|why)\b/;
const opening =
  /^(?:is|are|was|were|do|does|did|can|could|have|has|am|should|will|would|any|how|what|which|who|where|why|so|and)$/;

const plainWords =
  /^(?:is|are|was|were|it|that|this|the|an?|of|on|about|so|and|please|now|any|there|i|we|have|got|do|did|does|me|my|for|to|at|right|again|still|one|ones|tell|show|its?|be|should|can|'s)$/;
/** Words of the question alone, and nobody but the asker in it. */
const isPlainly = (scan: Scan): boolean =>
  scan.pieces.every(
    ({ is, light, concepts, text }) => is !== 'words' || !light || plainWords.test(text) || concepts.size > 0,
  ) && !scan.pieces.some(({ text }) => /^(?:you|he|she|they|with|said|says|not)$/.test(text));

/** Nothing but the quantity, its scope and light words. */
function namesOnly(scan: Scan, { needs, with: more = [] }: Topic): boolean {
  const own: readonly Concept[] = [
    ...needs.flat(),
    ...more,
    'perAcre',
    'allOf',
    'by',
    'here',
    'doyle',
    'scribner',
    'international',
    'today',
    'speciesAsked',
    'plot',
    'totals',
    'guess',
  ];
  return scan.pieces.every(
    (piece) =>
      piece.light ||
      piece.is === 'species' ||
      piece.is === 'break' ||
      (piece.is === 'number' && scan.has('plot', 'need', 'error')) ||
      own.some((concept) => piece.concepts.has(concept)),
  );
}

/** What a question is narrowed to; null where something would be left over. */
function scopeOf(scan: Scan, places: number[], concepts: Concept[]): Scope | undefined | null {
  const scope: Scope = {};
  const [species, ...others] = scan.species;
  if (others.length > 0) return null;
  if (species !== undefined) {
    scope.species = scan.name(species);
    places.push(species);
    concepts.push('tree');
  }
  const [plot, ...plots] = scan.of('plot');
  if (plots.length > 0) return null;
  if (plot !== undefined) {
    scope.plot = scan.number(plot).value;
    places.push(plot);
    concepts.push('plot', 'here');
  } else if (
    scan.pieces.some(({ text }) => /^(?:this|right) (?:plot|stop|point)$|^right here$|^here$/.test(text)) ||
    /\b(?:this|the) (?:plot|stop|point)\b/.test(scan.text())
  ) {
    scope.plot = 'this';
    concepts.push('here', 'plot');
  }
  for (const [concept, status] of statuses)
    if (scan.has(concept)) {
      scope.status = status;
      concepts.push(concept);
      break;
    }
  if (scan.has('today')) {
    scope.day = 'today';
    concepts.push('today');
  }
  return Object.keys(scope).length > 0 ? scope : undefined;
}

function breakdownOf(scan: Scan): Breakdown | undefined {
  if (scan.has('speciesAsked')) return 'species';
  if (scan.has('stratum')) return 'stratum';
  if (scan.has('plot')) return 'plot';
  if (scan.has('person')) return 'person';
  return undefined;
}

/** "What was the cherry again", "the hemlock in plot one, what was it": what is known of one tree. */
function treeAsked(scan: Scan, asks: boolean): Draft | undefined {
  if (!asks && !scan.has('ask')) return undefined;
  if (scan.has('howMany', 'howMuch', 'mean', 'basalArea', 'volume', 'density', 'error', 'need'))
    return undefined;
  const target = targetOf(scan);
  if (target === undefined) return undefined;
  if (
    (!scan.asked && scan.numbers.some((at) => !target.used.includes(at))) ||
    scan.species.some((at) => !target.used.includes(at))
  )
    return undefined;
  const note: Note =
    target.tree === undefined
      ? { kind: 'ask', about: 'treeNumbered', which: target.which! }
      : { kind: 'ask', about: 'treeNumbered', tree: target.tree };
  return {
    notes: [note],
    used: explain(
      scan,
      [...target.used, ...scan.numbers],
      ['ask', 'tall', 'dbh', 'girth', 'that', 'again', 'last', 'has', 'remark', 'log', 'tree', 'one', 'that'],
    ),
    against: 0.1,
  };
}
