/**
 * Several readings of one tree: one more of the tree in hand ("same tree from the other side, 74"), two in a breath ("31 and
 * 33 paces, two sides of the same hickory"), and one of them by its place ("the middle reading"). Marks that a tree has not.
 */
import type { Distance, Note, Which } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { heightOf } from './compose-heights.ts';
import { handOf, type Target, targetOf } from './compose-targets.ts';
import { type Draft, explain, plainLength, type Scan } from './scan.ts';

const sameTree: Note = { kind: 'hand' };

const retaking: readonly Concept[] = [
  'retake',
  'again',
  'that',
  'one',
  'tree',
  'last',
  'off',
  'walk',
  'guess',
  'tall',
  'has',
  'each',
  'ofThem',
  'here',
  'goes',
  'fix',
  'to',
];

/** One more reading, or several, of the tree in hand or of one that is named. */
export function retakeDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !scan.has('retake') || scan.species.length > 1) return undefined;
  if (scan.has('scratch', 'restore', 'ask', 'plot', 'person', 'not', 'no', 'remark', 'eye')) return undefined;
  const target = namedOf(scan);
  const own = new Set(target?.used ?? []);
  const hand: Note = target === undefined ? sameTree : handOf(target);
  const numbers = scan.numbers.filter((at) => !own.has(at));
  const draft = (
    notes: Draft['notes'],
    used: readonly number[],
    concepts: readonly Concept[] = [],
  ): Draft => ({
    notes,
    used: explain(scan, [...own, ...used], [...retaking, ...concepts]),
    against: 0,
  });
  // "Two sides of" and "three goes" tell of nothing yet.
  if (numbers.length === 0)
    return /\bof$|^(?:two|three|four) \S+$/.test(scan.text()) ? undefined : draft([hand], []);
  const walks = walksOf(scan, numbers);
  if (walks !== undefined) {
    const [first, ...others] = walks.map((distance): Note => heightBy(distance));
    if (first === undefined) return undefined;
    // The first of several is of the tree in hand unless one is named; each of the others is of the same.
    const begins = target === undefined && others.length > 0 ? [] : [hand];
    const all = [...begins, first, ...others.flatMap((one) => [sameTree, one])];
    return draft(all as [Note, ...Note[]], numbers, ['walk', 'pace']);
  }
  const [only, ...more] = numbers;
  if (only === undefined) return undefined;
  if (more.length === 0 && /^(?:bare|distance|height)$/.test(scan.label(only)) && isPlainly(scan))
    return draft([hand, readAt(scan, only)], [only]);
  const found = heightOf(scan);
  if (found === undefined || numbers.some((at) => !found.used.includes(at))) return undefined;
  const notes: Note = { kind: 'height', height: found.height };
  const made = draft([hand, notes], found.used, found.concepts);
  return {
    ...made,
    ...(found.other === undefined ? {} : { other: [hand, { kind: 'height', height: found.other }] }),
    ...(found.unsure === true ? { unsure: true } : {}),
  };
}

/** "The same hickory", "that birch", "tree two". */
function namedOf(scan: Scan): Target | undefined {
  const target = targetOf(scan);
  const [species] = scan.species;
  if (target !== undefined || species === undefined) return target;
  const which: Which = { species: scan.name(species) };
  return { which, used: [species] };
}

/** No word says how it was measured: by the way of the reading before. */
const isPlainly = (scan: Scan): boolean =>
  !scan.has(
    'tape',
    'stick',
    'meets',
    'covers',
    'device',
    'shadow',
    'pole',
    'top',
    'base',
    'lean',
    'laid',
    'slope',
    'dbh',
    'girth',
  );

/** A bare number, or a length: the book knows what the reading before was. */
function readAt(scan: Scan, at: number): Note {
  const { value, unit } = scan.number(at);
  if (unit === undefined) return { kind: 'number', value };
  return heightBy({ by: 'length', length: plainLength(scan.number(at)) });
}

const heightBy = (distance: Distance): Note => ({ kind: 'height', height: { method: 'stick', distance } });

/** Counts of paces that stand side by side, the unit behind the last; undefined where other numbers are among them. */
function walksOf(scan: Scan, numbers: readonly number[]): readonly Distance[] | undefined {
  const last = numbers.at(-1);
  if (last === undefined || !scan.isWalked(last)) return undefined;
  const { unit } = scan.number(last);
  if (unit !== 'paces' && unit !== 'steps') return undefined;
  const plain = numbers.every(
    (at) =>
      scan.number(at).unit === unit ||
      (scan.number(at).unit === undefined && scan.number(at).sign === undefined),
  );
  if (!plain || scan.has('top', 'base', 'angle', 'shadow', 'pole', 'lean', 'slope', 'laid')) return undefined;
  return numbers.map((at) => ({ by: unit, count: scan.number(at).value }));
}

const ordinalWords = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth'];
const ofReadings =
  /\b(first|second|third|fourth|fifth|sixth|middle) (?:(?:height |of (?:the |those |them |its )?)?(?:readings?|shots?|goes|go|try|tries|take|takes|measurements?|measure|height|heights)\b)|\bmiddle (?:one|of the three)\b/;
const readingWords =
  /^(?:readings?|shots?|goes|go|try|tries|takes?|measurements?|measure|middle|height|heights|one|ones|of|the|those|them|its|three)$/;

/** "Scrap that middle one", "throw out the second reading": which of several readings of the tree in hand. */
export function readingScratched(scan: Scan): Draft | undefined {
  const said = ofReadings.exec(scan.text());
  if (said === null || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  // What is said behind it is a thing of its own.
  if (scan.pieces.some(({ is }) => is === 'break')) return undefined;
  const word = said[1] ?? 'middle';
  const nth = word === 'middle' ? 'middle' : ordinalWords.indexOf(word) + 1;
  const places = scan.placesOf(
    ({ is, text }) =>
      is === 'ordinal' ||
      text.split(' ').every((one) => readingWords.test(one) || ordinalWords.includes(one)),
  );
  return {
    notes: [{ kind: 'scratch', what: 'height', nth }],
    used: explain(scan, places, ['scratch', 'that', 'out', 'off', 'one', 'tall', 'retake', 'has']),
    against: 0,
  };
}

/** "Not hollow", "the beech isn't dead after all", "take the fork off": a mark that a tree has not. */
export function unmarkDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'restore', 'plot', 'person', 'remark')) return undefined;
  const marks = scan.placesOf(({ is }) => is === 'mark');
  const [mark, ...others] = marks;
  const target = targetOf(scan);
  const own = new Set(target?.used ?? []);
  if ([...scan.numbers, ...scan.species].some((at) => !own.has(at))) return undefined;
  const not = scan.at('not');
  // "Not dead": one thing, which is alive.
  const lives = mark === undefined && scan.pieces.some(({ text }) => text === 'not dead');
  const denied = mark !== undefined && others.length === 0 && not >= 0 && not < mark && mark - not < 4;
  const taken = mark !== undefined && others.length === 0 && scan.has('scratch');
  // "Not a cull": it lives, as what is dead is no cull.
  const cull = scan.at('cull');
  const sound = mark === undefined && not >= 0 && cull > not && cull - not < 4;
  if (!lives && !sound && !denied && !taken) return undefined;
  const told: Note =
    lives || sound
      ? { kind: 'tree', facts: { status: 'live' } }
      : { kind: 'change', facts: { unmarked: marks.flatMap((at) => scan.pieces[at]?.mark ?? []) } };
  return {
    notes: target === undefined ? [told] : [handOf(target), told],
    used: explain(scan, [...own, ...marks], unmarking),
    against: 0,
  };
}
const unmarking: readonly Concept[] = [
  'cull',
  'rot',
  'not',
  'live',
  'that',
  'one',
  'tree',
  'fix',
  'has',
  'last',
  'no',
  'scratch',
  'off',
  'out',
  'laid',
];

const repacing =
  /^(?:.*\b)?(?:redo|redone|rework|recompute|recalculate|recalc|refigure|re figure|rerun|work out again|work|figure|update|correct|fix|change|do|run|reckon)\b.*\b(?:paced|pacing|paces|walked|stepped)\b.*$/;

/** "Redo the paced ones with that": all heights that were paced, with the pace that holds now. */
export function repaceDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0 || scan.has('not', 'no'))
    return undefined;
  const many =
    /\b(?:paced|walked|stepped|pacing|paces) (?:ones|heights|trees|hts|readings|stuff|all)\b|\b(?:heights|trees|ones|everything|all|those|whatever)\b.* (?:i |we |was |were )?(?:paced|walked|stepped)\b/;
  const anew = /\b(?:again|over|anew|re\w+|new|with that|with it|update|correct|fix|change)\b/;
  if (!repacing.test(text) || !many.test(text) || !anew.test(text)) return undefined;
  return { notes: [{ kind: 'change', paced: true }], used: new Set(scan.pieces.keys()), against: 0 };
}

const perhaps =
  /^(?:that|the) \S+ (?:might|may|could|should perhaps) (?:have been|be) (?:an? )?\S+(?:,? ?(?:but )?(?:i(?: wi)?ll )?(?:leave|keep|let)\b.*)?$/;

/** "That 33 might have been a 35, leave it": nothing is changed; it is noted of that tree. */
export function perhapsDraft(scan: Scan): Draft | undefined {
  const [at, other, ...more] = scan.numbers;
  if (scan.asked || at === undefined || other === undefined || more.length > 0 || scan.species.length > 0)
    return undefined;
  if (!perhaps.test(scan.text())) return undefined;
  const from = at + 1;
  const end = scan.pieces.findIndex(({ is }, place) => place > other && is === 'break');
  return {
    notes: [
      { kind: 'hand', which: { diameter: scan.number(at).value } },
      { kind: 'remark', text: scan.text(from, end < 0 ? other + 1 : end) },
    ],
    used: new Set(scan.pieces.keys()),
    against: 0,
  };
}

/** "Eighty something feet": nobody said how many; it is offered as a remark. */
export function vagueDraft(scan: Scan): Draft | undefined {
  const [at, ...more] = scan.numbers;
  if (
    scan.asked ||
    at === undefined ||
    more.length > 0 ||
    !/^(?:something|ish|odd)$/.test(scan.pieces[at + 1]?.text ?? '')
  )
    return undefined;
  return {
    notes: [{ kind: 'remark', text: scan.text() }],
    used: new Set(scan.pieces.keys()),
    against: 0.5,
    unsure: true,
  };
}
