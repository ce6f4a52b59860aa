/** Questions put together: the quantity that is asked for, what it is narrowed to and what it is broken down by. */
import type { NoteOf, Scope } from '../../shared/note/note.ts';
import type { Breakdown, QuestionTopic } from '../../shared/note/question-topics.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { bareTarget, treeAsked, treesAsked } from './compose-looking.ts';
import { spokenRules } from './compose-people.ts';
import { targetOf } from './compose-targets.ts';
import { type AskedTopic, askedTopics, helpTopics } from './compose-topics.ts';
import { nobody } from './said-shape.ts';
import { type Draft, everyPlace, explain, plainDiameter, type Scan } from './scan.ts';

const statuses: readonly (readonly [Concept, 'dead' | 'live' | 'cull'])[] = [
  ['dead', 'dead'],
  ['live', 'live'],
  ['cull', 'cull'],
];
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
  readonly topic: AskedTopic;
  readonly note: NoteOf<'ask'>;
  /** Places and concepts that it takes. */
  readonly places: number[];
  readonly concepts: Concept[];
}

const alwaysAsked: readonly Concept[] = [
  'ask',
  'guess',
  'to',
  'totals',
  'allOf',
  'that',
  'ofThem',
  'listing',
];
/** Which trees, and what of them: where one of these is asked, a name among it is no question of its own. */
const quantities: readonly Concept[] = [
  'howMuch',
  'mean',
  'basalArea',
  'volume',
  'density',
  'error',
  'need',
  'cords',
  'biomass',
  'carbon',
  'cubic',
  'tallest',
  'thickest',
  'shortest',
  'thinnest',
  'spread',
  'perAcre',
  'worth',
  'compare',
  'slender',
  'limit',
  'counted',
  'sure',
  'why',
  'doubts',
  'helpAsked',
  'topHeight',
  'lorey',
  'quadratic',
  'ready',
  'lastNotes',
];

const isNoQuestion = (scan: Scan, asks: boolean): boolean =>
  (scan.has('scratch', 'restore', 'person') && !scan.has('helpAsked')) ||
  // "The smallest is a beech" tells of it.
  (!asks && targetOf(scan)?.which?.most !== undefined);

/** A question; what only names a quantity is one too. */
export function askDraft(scan: Scan): Draft | undefined {
  const asks = isAsking(scan);
  if (isNoQuestion(scan, asks)) return undefined;
  if (asks && isEither(scan))
    return {
      notes: [{ kind: 'ask', about: 'thisTree' }],
      used: explain(scan, scan.numbers, [...alwaysAsked, 'last', 'has', 'one', 'tree']),
      against: 0.1,
    };
  const ofSums = scan.has(...quantities);
  const lookUp = ofSums ? undefined : lookedUp(scan, asks);
  const topic = askedTopics.find(
    ({ about, needs, asked, percent }) =>
      // "How many in the circle": what stands in it is asked, not how many circles.
      (about !== 'plots' || !scan.isThisPlot()) &&
      needs.every((any) => scan.has(...any)) &&
      (asked !== true || asks) &&
      (percent !== true || scan.numbers.some((at) => scan.number(at).unit === 'pct')),
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
  if (isOfOther(scan, about, asks)) return undefined;
  if (!narrow(asking) || !name(asking)) return undefined;
  numbersAsked(asking);
  const { places, note, concepts } = asking;
  const help = about === 'help' ? helpTopics.find(([concept]) => scan.has(concept)) : undefined;
  if (help !== undefined) note.topic = help[1];
  if ([...scan.numbers, ...scan.species].some((at) => !places.includes(at))) return undefined;
  // What asks for no quantity is said of much else: only plain words stand beside it.
  if (topic.scoped !== true && !numbered.has(topic.about) && !isPlainly(scan)) return undefined;
  // How to do something may be asked in any words.
  const all = topic.about === 'help' ? [...everyPlace(scan)] : places;
  return {
    notes: [note],
    used: explain(scan, all, concepts),
    against: asks ? 0 : 0.3,
    ...((isHalf(scan, asks) && about !== 'compared' && !isWhole(scan, about)) ||
    isScattered(scan, topic, asks) ||
    isOfUnknownPlace(scan, about, asks)
      ? { unsure: true }
      : {}),
  };
}

/** "Thinnest tree", "smallest beech": a name or a word for trees beside it says what is asked for. */
const isWhole = (scan: Scan, about: QuestionTopic): boolean =>
  (about === 'limit' && scan.numbers.length === 1) ||
  ((about === 'shortest' || about === 'thinnest') &&
    (scan.has('tree') || scan.species.length > 0 || /\btree\b/.test(scan.text())));

/** "Walk tally", "weight uncertain": an amount is named, and a word beside it that only goes with a question. */
const isScattered = (scan: Scan, { about, needs }: AskedTopic, asks: boolean): boolean =>
  !asks &&
  ((about === 'samplingError' && scan.has('sure')) ||
    ((about === 'trees' || about === 'plots') &&
      scan.pieces.some(
        ({ is, light, concepts }) =>
          is === 'words' &&
          !light &&
          ![...concepts].some((one) => counting.has(one) || needs.flat().includes(one)),
      )));
const counting: ReadonlySet<Concept> = new Set<Concept>([
  'tree',
  'dead',
  'live',
  'cull',
  'here',
  'plot',
  'totals',
  'today',
  'each',
  'by',
  'perAcre',
  'allOf',
]);

/** What is asked of trees one by one; asked about where no word of asking leads a clause of it. */
function lookedUp(scan: Scan, asks: boolean): Draft | undefined {
  const draft = treesAsked(scan, asks) ?? treeAsked(scan, asks);
  const at = scan.at('ask') >= 0 ? scan.at('ask') : scan.at('listing');
  const leads = at <= 0 || scan.pieces[at - 1]?.is === 'break' || scan.before(at, /^(?:please|and|so)$/);
  const words = scan.pieces.filter(({ is, light }) => is === 'words' && !light);
  return draft === undefined || (asks && words.length > 0 && !isLoose(scan)) || (!asks && leads && at >= 0)
    ? draft
    : { ...draft, unsure: true };
}

/** "Now by any redcedars roughly": a word of asking among words that lead to no question. */
const isLoose = (scan: Scan): boolean =>
  !scan.asked && /^(?:now|by|roughly|about|maybe|of|for|with|from)$/.test(scan.pieces[0]?.text ?? '');

/** The words of a question that are said of something else. */
function isOfOther(scan: Scan, about: QuestionTopic, asks: boolean): boolean {
  const text = scan.text();
  switch (about) {
    case 'plotsNeeded':
      // "That is enough" asks for no plots.
      return !asks && !scan.has('plot', 'howMany', 'error') && scan.numbers.length === 0;
    case 'totals':
      // "What do you mean" asks for no mean.
      return !scan.has('totals') && !/\b(?:the|our|my|that) (?:mean|average|avg)\b/.test(text);
    case 'thisPlot':
      // "Who is that over there" is of no plot.
      return !/\b(?:plot|stop|point|sample|circle|station|here)\b/.test(text);
    default:
      return false;
  }
}

/** The tree that is asked about, and units that are named; false where what is named has no place. */
function name({ scan, topic, note, places }: Asking): boolean {
  const units = topic.scoped === true || topic.metric === true;
  if (units && inMetric.test(scan.text())) note.units = 'metres';
  if (topic.ofTree !== true) return true;
  const target = targetOf(scan) ?? bareTarget(scan);
  places.push(...scan.numbers);
  if (topic.about === 'counted') {
    places.push(...scan.species);
    return true;
  }
  if (topic.about === 'limit') return limitAsked(scan, note, places);
  if (topic.about === 'compared') {
    // "The two trees": not two readings of one.
    if (scan.has('tree') || scan.species.length > 0) note.first = 'tallest';
    places.push(...scan.species);
    return scan.numbers.every((at) => scan.number(at).value === 2) && scan.species.length < 2;
  }
  if (target === undefined) return scan.numbers.length === 0 && scan.species.length === 0;
  if (target.tree !== undefined) note.tree = target.tree;
  else if (target.which !== undefined) note.which = target.which;
  places.push(...target.used);
  return (
    scan.numbers.every((at) => target.used.includes(at)) &&
    scan.species.every((at) => target.used.includes(at))
  );
}

/** Of which diameter; false where other numbers stand beside it, or a tree of its own. */
function limitAsked(scan: Scan, note: Asking['note'], places: number[]): boolean {
  // "White oak 20.6 borderline, limiting distance?": a tree, and a question behind it.
  const end = scan.pieces.findIndex(({ is }) => is === 'break');
  const behind = end >= 0 && end < Math.max(scan.at('limit'), scan.at('ask'));
  if (behind && [...scan.numbers, ...scan.species].some((at) => at < end)) return false;
  const [thick] = scan.of('diameter', 'bare');
  if (thick !== undefined) {
    note.diameter = plainDiameter(scan.number(thick));
  }
  places.push(...scan.species);
  return scan.numbers.length <= 1 && !scan.numbers.some((at) => at !== thick);
}

const inMetric = /\b(?:ha|hectares?|metres|meters|cubic metres|metric)\b/;

/** "Was that nineteen or ninety": which of the two was kept. */
const isEither = (scan: Scan): boolean =>
  scan.numbers.length === 2 &&
  scan.species.length === 0 &&
  /^or$/.test(scan.text(scan.numbers[0]! + 1, scan.numbers[1]));

/** Questions that take numbers or any words. */
const numbered: ReadonlySet<QuestionTopic> = new Set<QuestionTopic>([
  'samplingError',
  'plotsNeeded',
  'plots',
  'help',
]);

function isAsking(scan: Scan): boolean {
  const first =
    scan.pieces.find(({ is, light }) => is === 'words' && !light)?.text ?? scan.pieces[0]?.text ?? '';
  if (wondering.test(first) || scan.has('howMany', 'howMuch')) return true;
  if (scan.asked && (opening.test(scan.pieces[0]?.text ?? '') || scan.pieces.length < 6)) return true;
  if (turned.test(scan.text())) return true;
  return scan.has('ask') && scan.pieces.slice(0, scan.at('ask')).every(({ light }) => light);
}

/** "Is the dead one": the verb before what it is said of. */
const turned =
  /^(?:so |and |ok |okay )?(?:is|are|was|were|do|does|did|can|could|have|has|am|should|will|would) (?:the|that|this|it|they|he|she|i|we|you|these|those|any|there|my|our|all)\b/;

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
  const scope = scopeSaid(scan, places, concepts);
  if (scope === null) return false;
  if (scope !== undefined) note.scope = scope;
  const by = scan.has('by') && !scan.has('need') && canBreak(topic.about) ? breakdownOf(scan) : undefined;
  if (by !== undefined) {
    note.by = by;
    concepts.push('by', 'speciesAsked', 'plot', 'stratum', 'person');
  }
  const rule = spokenRules.find((one) => scan.has(one));
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
  !['tallest', 'thickest', 'shortest', 'thinnest', 'spread', 'species', 'plots'].includes(about);

const wondering = /^(?:how|what|which|who|where|why)\b/;
const opening =
  /^(?:is|are|was|were|do|does|did|can|could|have|has|am|should|will|would|any|how|what|which|who|where|why|so|and)$/;

const plainWords =
  /^(?:is|are|was|were|it|that|this|the|an?|of|on|about|so|and|please|now|any|there|i|we|have|got|do|did|does|me|my|for|to|at|right|again|still|one|ones|tell|show|its?|be|should|can|could|would|will|did|big|small|high|low|large|great|long|short|much|many|so|an|as|from|when|if|one|only|get|got|in|by|their|our|her|his|them|they|these|those|'s)$/;
/** Words of the question alone, and nobody but the asker in it. */
const isPlainly = (scan: Scan): boolean =>
  scan.pieces.every(
    ({ is, light, concepts, text }) => is !== 'words' || !light || plainWords.test(text) || concepts.size > 0,
  ) && !scan.pieces.some(({ text }) => /^(?:you|he|she|they|with|said|says|not)$/.test(text));

/** Nothing but the quantity, its scope and light words. */
function namesOnly(scan: Scan, { needs, with: more = [] }: AskedTopic): boolean {
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
    'week',
    'everywhere',
    'guess',
    ...(withoutDead(scan) ? (['not', 'lacking', 'counted', 'dead', 'tree'] as const) : []),
    // "Thickest dead tree".
    ...(scan.has('tallest', 'thickest', 'shortest', 'thinnest') && scan.has('tree')
      ? (['dead', 'live', 'cull', 'tree'] as const)
      : []),
  ];
  const who = [...(personAsked(scan)?.places ?? []), ...(placeAsked(scan)?.places ?? [])];
  return scan.pieces.every(
    (piece, at) =>
      piece.light ||
      who.includes(at) ||
      piece.is === 'species' ||
      piece.is === 'break' ||
      (piece.is === 'number' && scan.has('plot', 'need', 'error', 'limit')) ||
      own.some((concept) => piece.concepts.has(concept)),
  );
}

/** What a question is narrowed to; null where something would be left over. */
export function scopeSaid(scan: Scan, places: number[], concepts: Concept[]): Scope | undefined | null {
  const scope: Scope = {};
  // Of a week, or of all stands, the foremost tree is told.
  const foremost = scan.has('tallest', 'thickest');
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
    scan.pieces.some(({ text }) => /^right (?:plot|stop|point)$|^right here$|^here$/.test(text)) ||
    scan.isThisPlot()
  ) {
    scope.plot = 'this';
    concepts.push('here', 'plot');
  }
  // "Without the dead": of those that live.
  if (withoutDead(scan)) {
    scope.status = 'live';
    concepts.push('dead', 'not', 'lacking', 'counted', 'tree');
  }
  for (const [concept, status] of scope.status === undefined ? statuses : [])
    if (scan.has(concept)) {
      scope.status = status;
      concepts.push(concept);
      break;
    }
  if (scan.has('today')) {
    // The least of a day is asked of nothing.
    if (scan.has('shortest', 'thinnest')) return null;
    scope.day = 'today';
    concepts.push('today');
  }
  if (foremost && scan.has('week')) scope.day = 'week';
  if (foremost && scan.has('everywhere')) scope.everywhere = true;
  if (foremost) concepts.push('week', 'everywhere', 'each');
  const who = personAsked(scan);
  if (who !== undefined) {
    scope.person = who.name;
    places.push(...who.places);
  }
  const where = placeAsked(scan);
  if (where !== undefined && who === undefined) {
    scope.stratum = where.name;
    places.push(...where.places);
  }
  return Object.keys(scope).length > 0 ? scope : undefined;
}

/** What is asked of a place. */
const placed: readonly Concept[] = [
  'basalArea',
  'volume',
  'cubic',
  'cords',
  'biomass',
  'carbon',
  'density',
  'mean',
  'howMany',
  'quadratic',
];

/** Words for a piece of land: "the ridge", "upper bench". */
const landWord =
  /^(?:bank|bench|bottoms?|brook|clearing|corner|cove|creek|draw|edge|field|flats?|hill|hillside|hollow|knoll|ledge|lot|meadow|pond|ravine|ridge|river|shore|side|slope|stream|swamp|terrace|tract|valley|woods?|woodlot)$/;

/** "Density of the fog", "volume of the radio": what is no sum of a wood for certain may be of anything. */
const isOfUnknownPlace = (scan: Scan, about: QuestionTopic, asks: boolean): boolean =>
  !asks &&
  !/^(?:basalArea|cubic|cords|biomass|lorey|quadraticDiameter)$/.test(about) &&
  placeAsked(scan) !== undefined;

/** "Basal area of the ridge": a name with a capital or a word for land in it, behind a preposition at the end, is a place's. */
function placeAsked(scan: Scan): { readonly name: string; readonly places: readonly number[] } | undefined {
  const lead = scan.pieces.findLastIndex(({ text }) => /^(?:of|in|on|for|at|along|across)$/.test(text));
  if (lead < 1 || !scan.has(...placed) || /\b(?:you|he|she|they)\b/.test(scan.text())) return undefined;
  const from = /^(?:the|our|my)$/.test(scan.pieces[lead + 1]?.text ?? '') ? lead + 2 : lead + 1;
  const run = scan.pieces.slice(from);
  const named = run.every(
    ({ is, light, concepts, capital }) =>
      is === 'words' &&
      !light &&
      ([...concepts].every((one) => one === 'stand' || one === 'mill') || capital),
  );
  // A word for a stand alone names none.
  const own =
    (run.length > 1 || run.some(({ unknown, concepts }) => unknown || concepts.size === 0)) &&
    run.some(({ capital, text }) => capital || landWord.test(text));
  const person = scan.pieces[from]?.capital === true && run.length === 1;
  if (run.length === 0 || run.length > 4 || !named || !own || person) return undefined;
  return { name: run.map(({ text }) => text).join(' '), places: run.map((_, at) => from + at) };
}

/** "Basal area without the dead", "not counting the dead ones". */
const withoutDead = (scan: Scan): boolean =>
  /\b(?:without|not counting|except|excluding|not|leaving out|minus) (?:any )?(?:of )?(?:the )?(?:standing )?dead\b/.test(
    scan.text(),
  ) && !scan.pieces.some(({ text }) => text === 'not dead');

/** "How many points has Jonah done", "trees by Wren": whose they are; a name was written with a capital. */
function personAsked(scan: Scan): { readonly name: string; readonly places: readonly number[] } | undefined {
  const at = scan.pieces.findIndex(
    ({ capital, is, light, concepts, text }) =>
      capital && is === 'words' && !light && concepts.size === 0 && !nobody.test(text),
  );
  if (at < 1) return undefined;
  const { name, text } = scan.pieces[at]!;
  const did = /^(?:done|did|do|does|got|taken|taken in|measured|counted|made|finished)$/;
  const acts =
    /^(?:has|did|does|by|have|of|for)$/.test(scan.pieces[at - 1]!.text) ||
    did.test(scan.pieces[at + 1]?.text ?? '');
  const owns = scan.pieces[at + 1]?.text === "'s";
  return acts || owns ? { name: name ?? text, places: owns ? [at, at + 1] : [at] } : undefined;
}

function breakdownOf(scan: Scan): Breakdown | undefined {
  if (scan.has('speciesAsked')) return 'species';
  if (scan.has('stratum')) return 'stratum';
  if (scan.has('plot')) return 'plot';
  if (scan.has('person')) return 'person';
  return undefined;
}
