/** Questions about trees one by one: a tree that is named, those of a kind, over a size, without a height. */
import type { NoteOf, Scope } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { type Target, targetOf } from './compose-targets.ts';
import { type Draft, explain, Scan } from './scan.ts';

/** A tree by its kind alone, where nothing else of it is said. */
export function bareTarget(scan: Scan): Target | undefined {
  const [species, ...others] = scan.species;
  return species === undefined || others.length > 0
    ? undefined
    : { which: { species: scan.name(species) }, used: [species] };
}

/** "What was the cherry again", "what was the oak's diameter in the end": what is known of one tree. */
export function treeAsked(scan: Scan, asks: boolean): Draft | undefined {
  if ((!asks && !scan.has('ask', 'listing')) || scan.has('howMany', 'plot')) return undefined;
  const target = targetOf(scan);
  if (target === undefined) return undefined;
  const { used, tree, which } = target;
  // "Was that nineteen or ninety": the answer says which.
  const others = scan.numbers.some((at) => !used.includes(at));
  if ((others && !scan.asked) || scan.species.some((at) => !used.includes(at))) return undefined;
  const note: NoteOf<'ask'> =
    tree === undefined
      ? { kind: 'ask', about: 'treeNumbered', which: which! }
      : { kind: 'ask', about: 'treeNumbered', tree };
  const metric = scan.has('metric') ? 'metres' : undefined;
  return {
    notes: [metric === undefined ? note : { ...note, units: metric }],
    used: explain(scan, [...used, ...scan.numbers], ofOne),
    against: 0.1,
  };
}

const ofOne: readonly Concept[] = [
  'ask',
  'listing',
  'tall',
  'dbh',
  'girth',
  'that',
  'again',
  'last',
  'has',
  'remark',
  'log',
  'tree',
  'one',
  'allOf',
  'to',
  'ofThem',
  'metric',
];

const lacked: readonly (readonly [Concept, NonNullable<Scope['lacks']>])[] = [
  ['tall', 'height'],
  ['noHeight', 'height'],
  ['dbh', 'diameter'],
  ['speciesAsked', 'species'],
  ['log', 'logs'],
];

const ofMany: readonly Concept[] = [
  'ask',
  'listing',
  'howMany',
  'tree',
  'one',
  'has',
  'that',
  'here',
  'plot',
  'last',
  'each',
  'tall',
  'dbh',
  'again',
  'to',
  'ofThem',
  'out',
  'in',
  'allOf',
  'walk',
  'remark',
  'speciesAsked',
  'dead',
  'live',
  'cull',
];

/** What of the trees is asked for, as it grows. */
interface Looking {
  readonly note: NoteOf<'ask'>;
  readonly scope: Scope;
  readonly places: number[];
  readonly concepts: Concept[];
}

/** Trees of a kind, of a plot, over a size, without a height: listed, or counted where a number of them is asked. */
export function treesAsked(whole: Scan, asks: boolean): Draft | undefined {
  // "Were they red or sugar": each is named by what it is.
  const either = whole.pieces.findIndex(({ text }) => /^(?:were they|was it|is it|are they)$/.test(text));
  const open = either > 0 && /\bor\b/.test(whole.text(either));
  const scan = open ? new Scan(whole.pieces.slice(0, either), whole.asked) : whole;
  const rest = open ? whole.pieces.map((_, at) => at).slice(either) : [];
  if (!asks && !open && !scan.has('ask', 'listing', 'lacking')) return undefined;
  const looking: Looking = {
    note: { kind: 'ask', about: scan.has('howMany') ? 'trees' : 'list' },
    scope: {},
    places: [],
    concepts: [...ofMany],
  };
  const { note, scope, places, concepts } = looking;
  // "How long have you been up here" is asked of somebody.
  if (
    /\byou\b/.test(scan.text()) &&
    !/you (?:have|got|get|write|keep|put|log|note|show|tell|list)\b|\byou doubt/.test(scan.text())
  )
    return undefined;
  if (!takeLack(scan, looking) || !takeSize(scan, looking) || !takeKind(scan, looking)) return undefined;
  takeOrder(scan, looking);
  if (!isWanted(scan, looking, open)) return undefined;
  if ([...scan.numbers, ...scan.species].some((at) => !places.includes(at))) return undefined;
  if (Object.keys(scope).length > 0) note.scope = scope;
  const used = new Set([...explain(scan, places, concepts), ...rest]);
  return { notes: [note], used, against: asks ? 0 : 0.3 };
}

/** Whether trees are asked for one by one: of a size, without something, of a kind on a plot, or all of them. */
function isWanted(scan: Scan, { note, scope }: Looking, either: boolean): boolean {
  if (scope.size !== undefined || scope.lacks !== undefined || note.first !== undefined) return true;
  // How many of a kind is told by its count.
  if (note.about === 'trees') return false;
  const many = isMany(scan);
  const ofPlot = scope.plot !== undefined;
  if (scope.species !== undefined && (either || ofPlot || many || scan.has('listing')))
    return ofPlot || many || targetOf(scan) === undefined;
  const all = scan.has('listing', 'ask') && (scan.has('tree') || (scan.has('listing') && scan.has('allOf')));
  return all && targetOf(scan) === undefined && isOfTrees(scan);
}

const isMany = (scan: Scan): boolean =>
  scan.species.some((at) => scan.pieces[at]!.many === true) || /\b(?:ones|only|all)\b/.test(scan.text());

/** "What trees have I", "which trees are there": nothing else of them. */
const isOfTrees = (scan: Scan): boolean =>
  /\b(?:trees|everything|stems|them all|the lot)\b/.test(scan.text()) &&
  !scan.has('plot', 'last', 'today', 'by', 'sure', 'close', 'open') &&
  scan.numbers.length === 0;

/** "Missing heights on", "without a diameter". */
function takeLack(scan: Scan, { scope, concepts }: Looking): boolean {
  const what = lacked.find(([concept]) => scan.has(concept));
  const no = scan.pieces.some(
    ({ concepts: own, text }, at) =>
      (text === 'no' || own.has('not')) &&
      [1, 2, 3].some((on) => lacked.some(([concept]) => scan.pieces[at + on]?.concepts.has(concept))),
  );
  if (!scan.has('lacking', 'noHeight') && !no) return true;
  if (what === undefined) return false;
  scope.lacks = what[1];
  concepts.push('lacking', 'noHeight', 'no', 'not', what[0]);
  return true;
}

/** "Over fifty centimetres", "under ten metres high". */
function takeSize(scan: Scan, { scope, places, concepts }: Looking): boolean {
  const is = scan.has('over') ? 'over' : scan.has('under') ? 'under' : undefined;
  if (is === undefined) return true;
  const at = scan.numbers.find((one) => one > scan.at(is));
  if (at === undefined) return true;
  const { value, unit, sign } = scan.number(at);
  if (sign === -1) return false;
  const said = unit === 'in' || unit === 'cm' || unit === 'ft' || unit === 'm' ? unit : undefined;
  if (unit !== undefined && said === undefined) return false;
  const word = scan.pieces[scan.at(is)]!.text;
  // Nobody asks for stems of five metres across, nor for a tree of one foot.
  const long = (said === 'm' && value > 2.5) || (said === 'ft' && value > 8);
  const high = scan.has('tall') || /tall|high|short/.test(word) || long;
  scope.size = {
    of: high && said !== 'cm' && said !== 'in' ? 'height' : 'diameter',
    is,
    value,
    ...(said === undefined ? {} : { unit: said }),
  };
  places.push(at);
  concepts.push(is, 'tall', 'dbh', 'taller', 'off', 'base', 'close', 'laid');
  return true;
}

const statuses: readonly (readonly [Concept, NonNullable<Scope['status']>])[] = [
  ['dead', 'dead'],
  ['live', 'live'],
  ['cull', 'cull'],
];

/** Species, plot and state. */
function takeKind(scan: Scan, { scope, places }: Looking): boolean {
  const [species, ...others] = scan.species;
  // "Were they red or sugar": the first is what they are asked of.
  if (others.length > 0) return false;
  if (species !== undefined) {
    scope.species = scan.name(species);
    places.push(species);
  }
  const [plot, ...plots] = scan.of('plot');
  if (plots.length > 0) return false;
  if (plot !== undefined) {
    scope.plot = scan.number(plot).value;
    places.push(plot);
  } else if (scan.isThisPlot() || /\bhere\b/.test(scan.text())) scope.plot = 'this';
  const status = statuses.find(([concept]) => scan.has(concept));
  if (status !== undefined) scope.status = status[1];
  return true;
}

const orders: readonly (readonly [RegExp, NonNullable<NoteOf<'ask'>['first']>])[] = [
  [/^shortest/, 'shortest'],
  [/^tallest|height/, 'tallest'],
  [/^(?:thinnest|smallest)/, 'thinnest'],
  [/^(?:thickest|biggest)|diameter/, 'thickest'],
];

/** "Shortest first". */
function takeOrder(scan: Scan, { note, concepts }: Looking): void {
  if (!scan.has('ordered')) return;
  const { text } = scan.pieces[scan.at('ordered')]!;
  const order = orders.find(([word]) => word.test(text));
  if (order === undefined) return;
  note.first = order[1];
  concepts.push('ordered', 'tall', 'dbh');
}
