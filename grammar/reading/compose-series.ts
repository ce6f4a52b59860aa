/**
 * Questions about the plots that are being taken: what they come to so far, how large the circle of a size is, whether a tree
 * of some size counts at some distance, and how many of one kind there are beside another.
 */
import type { Note, NoteOf } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { standsAt } from './compose-picks.ts';
import { sizeOf } from './compose-plot-size.ts';
import { type Draft, everyPlace, explain, type Scan } from './scan.ts';

type Ask = NoteOf<'ask'>;

const asks = (scan: Scan): boolean => scan.asked || scan.has('ask', 'howMany', 'howMuch', 'listing');

/** Words that ask of something else than the sums of an area. */
const ofElse: readonly Concept[] = [
  'volume',
  'basalArea',
  'density',
  'cubic',
  'cords',
  'biomass',
  'carbon',
  'tall',
  'dbh',
  'girth',
  'tallest',
  'thickest',
  'shortest',
  'thinnest',
  'error',
  'sure',
  'worth',
  'why',
  'need',
  'quadratic',
  'lorey',
  'topHeight',
  'spread',
  'compare',
  'helpAsked',
  'pace',
  'eye',
  'last',
  'doubts',
  'scratch',
  'restore',
  'remark',
  'tree',
  'slender',
  'limit',
  'not',
];

const beside: readonly Concept[] = [
  'ask',
  'that',
  'totals',
  'allOf',
  'each',
  'to',
  'perAcre',
  'comesTo',
  'mean',
  'plot',
  'here',
  'has',
  'today',
  'over',
  'laid',
  'close',
  'in',
  'howMuch',
  'one',
  'guess',
  'off',
  'by',
  'factor',
  'listing',
  'out',
  'last',
  'base',
  'tape',
  'walk',
  'fixed',
  'ofThem',
];

/** "What's the average so far", "what's it come to now", "so what's that to the acre over all three". */
export function soFarDraft(scan: Scan): Draft | undefined {
  if (!asks(scan) || scan.species.length > 0 || scan.has(...ofElse)) return undefined;
  const text = scan.text();
  // "Over all three": so many plots, and no number of one.
  const counted = scan.numbers.filter((at) => isAllOf(scan, at));
  const stated = scan.numbers.filter((at) => !counted.includes(at));
  const perArea = scan.has('perAcre');
  if (
    stated.length > 0 &&
    !(perArea && stated.length === 1 && scan.asked && scan.label(stated[0]!) === 'bare')
  )
    return undefined;
  const sums =
    scan.has('comesTo') || (scan.has('mean') && scan.has('totals', 'allOf', 'perAcre', 'plot', 'today'));
  const short = scan.asked && scan.has('mean') && scan.pieces.length < 3;
  const ofThat = perArea && (scan.has('that', 'allOf', 'totals', 'comesTo', 'plot') || stated.length > 0);
  if (!sums && !ofThat && !short) return undefined;
  // "What's that one come to" is about a tree.
  if (/\b(?:this|that)(?: last)? (?:one|tree)\b/.test(text)) return undefined;
  // "What does that come to" of a price, "what did the walk come to".
  if (/\b(?:dollars?|price|money|edge|traverse|area|feet|inches)\b/.test(text)) return undefined;
  const note: Ask = { kind: 'ask', about: 'soFar' };
  if (scan.has('today')) note.scope = { day: 'today' };
  if (/\b(?:hectares?|ha|metric)\b/.test(text)) note.units = 'metres';
  return { notes: [note], used: explain(scan, scan.numbers, beside), against: -0.1 };
}

const isAllOf = (scan: Scan, at: number): boolean =>
  /^(?:all|the|those|these|all the|both|of|over)$/.test(scan.pieces[at - 1]?.text ?? '') ||
  /^(?:plots|points|stops|samples)$/.test(scan.pieces[at + 1]?.text ?? '');

const circular = /\b(?:circle|radius|radii|rad|plot|plots|across|round|ring|rope|string|tape)\b/;
const howLarge =
  /^(?:(?:so|and|ok|okay|now|right|well|again|remind me|tell me|please) ,? ?)*(?:how (?:big|large|wide|far|long|much)|what(?: is| 's| was| would)?|which|radius|rad)\b/;

/** "How big's the circle for a tenth acre", "radius of a fifth acre plot?": nothing is set by it. */
export function circleDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  const asked = scan.asked || scan.has('ask', 'howMuch');
  if (!asked || scan.species.length > 0 || !circular.test(text) || !howLarge.test(text)) return undefined;
  if (scan.has('scratch', 'restore', 'remark', 'not', 'dbh', 'limit', 'helpAsked', 'next')) return undefined;
  const found = sizeOf(scan, []);
  if (found === undefined || scan.numbers.some((at) => at !== found.at)) return undefined;
  const note: Ask = { kind: 'ask', about: 'circle', size: found.size };
  const concepts: Concept[] = [
    ...beside,
    'size',
    'radius',
    'again',
    'rectangle',
    'metric',
    'need',
    'open',
    'reopen',
  ];
  return { notes: [note], used: explain(scan, [found.at], concepts), against: -0.2 };
}

const counts =
  /\b(?:does (?:it|that|she|he|this)(?: one)? (?:count|go)|is (?:it|that|she|he|this)(?: one)? (?:in|out|counted)|in or out|do (?:i|we) (?:count|take|tally) (?:it|that|her|him)|would (?:it|that|she|he) (?:count|be in))\b/;

/** "There's a sixteen incher 45 feet off, does it count": its size and how far it stands. */
export function doesItCountDraft(scan: Scan): Draft | undefined {
  if (scan.has('scratch', 'restore', 'remark', 'plot') || scan.species.length > 1) return undefined;
  const text = scan.text().replaceAll(',', '');
  const [far, ...others] = scan.of('distance');
  if (!counts.test(text) || far === undefined || others.length > 0 || scan.isWalked(far)) return undefined;
  const thick = scan.numbers.filter((at) => at !== far);
  const [at, ...more] = thick;
  if (at === undefined || more.length > 0 || !/^(?:diameter|bare)$/.test(scan.label(at))) return undefined;
  return { notes: [standsAt(scan, at, far)], used: everyPlace(scan), against: 0 };
}

/** "Oaks against pines, how many of each": each kind with its count. */
export function eachKindDraft(scan: Scan): Draft | undefined {
  const [one, two, ...more] = scan.species;
  if (one === undefined || two === undefined || more.length > 2 || scan.numbers.length > 0) return undefined;
  if (!scan.has('howMany') && !/\b(?:versus|vs|against|compared (?:to|with))\b/.test(scan.text()))
    return undefined;
  if (!asks(scan) && !scan.has('compare')) return undefined;
  if (scan.has('scratch', 'restore', 'remark', 'fix', 'basalArea', 'volume', 'tall', 'dbh')) return undefined;
  const today = scan.has('today') ? { day: 'today' as const } : {};
  const dead = scan.has('dead') ? { status: 'dead' as const } : {};
  const asked = [one, two, ...more].map(
    (at): Note => ({
      kind: 'ask',
      about: 'trees',
      scope: { species: scan.name(at), ...today, ...dead },
    }),
  );
  const [first, ...others] = asked;
  if (first === undefined) return undefined;
  const concepts: Concept[] = [
    ...beside,
    'howMany',
    'tree',
    'compare',
    'taller',
    'dead',
    'by',
    'counted',
    'next',
    'again',
  ];
  return { notes: [first, ...others], used: explain(scan, scan.species, concepts), against: 0 };
}

/** "Give me the lot for today": everything of a day in short. */
export function dayDraft(scan: Scan): Draft | undefined {
  if (!scan.has('ask', 'listing') || !scan.has('allOf') || !scan.has('today', 'totals')) return undefined;
  if (scan.numbers.length > 0 || scan.species.length > 0 || scan.has(...ofElse, 'plot')) return undefined;
  const note: Ask = {
    kind: 'ask',
    about: 'totals',
    ...(scan.has('today') ? { scope: { day: 'today' } } : {}),
  };
  return { notes: [note], used: explain(scan, [], beside), against: -0.1 };
}
