/**
 * Whether words stand in an order in which somebody may have meant them. What is put together from pieces passes over small
 * words wherever they stand; in a true note an article leads to a name, a preposition to what it is of, "we" to what we did.
 * Where they lead to nothing, the words are a mess that happens to hold a note: it is offered and not kept.
 */

import type { Note } from '../../shared/note/note.ts';
import { borderMark } from '../../shared/totals/types.ts';
import type { SaidPiece } from './pieces.ts';
import { meantBehind } from './telling.ts';

type Kind = 'article' | 'preposition' | 'auxiliary' | 'subject' | 'object' | 'joint' | 'asking' | 'verb';
/** What stands behind a word: another small word, a number, a name, another word, or nothing. */
type Behind = Kind | 'number' | 'name' | 'word' | 'end';

const words = {
  article: 'a an the my our your their every',
  preposition: 'of at to from for with by into onto against',
  auxiliary:
    'is are was were am be been being has have had do does did would should could can might must will',
  subject: 'i we they he she',
  object: 'me us them him',
  joint: 'but or if because than while since when until till',
  asking: 'how what who where whose why which',
  verb: 'get gets gave give gives use used using work works come comes came go goes went know mean means keep kept want wants think thinks seem seems bring brings make makes put puts let lets say says said call calls',
} as const satisfies Record<Kind, string>;
const kindOf: ReadonlyMap<string, Kind> = new Map(
  Object.entries(words).flatMap(([kind, all]) => all.split(' ').map((word) => [word, kind as Kind] as const)),
);

/** What may never stand right behind a word of a kind, in one clause of a statement. */
const neverBehind: Readonly<Record<Kind, readonly Behind[]>> = {
  article: ['end', 'article', 'preposition', 'auxiliary', 'subject', 'object', 'joint', 'asking'],
  preposition: ['end', 'auxiliary', 'subject', 'joint'],
  auxiliary: ['end', 'joint'],
  subject: ['end', 'number', 'name', 'article', 'preposition', 'subject', 'object', 'asking', 'joint'],
  object: ['subject', 'object'],
  joint: ['end', 'joint'],
  asking: ['asking', 'end'],
  verb: [],
};
/** Of questions: "what was it at", "how tall it is". */
const alsoAsked: Readonly<Partial<Record<Kind, readonly Behind[]>>> = {
  preposition: ['end', 'auxiliary', 'subject'],
  auxiliary: ['end'],
};
/** "Has been", "will have": of two such words the second says more. */
const goesOn = /^(?:be|been|being|have|had|has|do|did|does)$/;
const begins = /^(?:are|were|am|be|been|being)$/;

interface Small {
  readonly text: string;
  readonly is: Behind;
}

/** "Compartment 10a": no article. */
const isLetter = (pieces: readonly SaidPiece[], at: number): boolean =>
  pieces[at]!.text === 'a' && pieces[at - 1]?.is === 'number' && (pieces[at + 1]?.is ?? 'break') === 'break';

/** Words of the pieces, one by one, with what each is; clauses are parted by undefined. */
function smallWords(pieces: readonly SaidPiece[]): readonly (Small | undefined)[] {
  return pieces.flatMap((piece, at): readonly (Small | undefined)[] => {
    if (piece.is === 'break') return [undefined];
    if (piece.is === 'number') return [{ text: piece.text, is: 'number' }];
    if (piece.is === 'species') return [{ text: piece.text, is: 'name' }];
    // A phrase stands for itself: "where to", "what is it".
    const one = piece.text.includes(' ') || isLetter(pieces, at) ? undefined : kindOf.get(piece.text);
    return [{ text: piece.text, is: one ?? 'word' }];
  });
}

/** "That is where my eyes are", "hornbeam it is": what the last word tells stands before it. */
const isToldBefore = (before: readonly (Small | undefined)[]): boolean =>
  before.some((one) => one?.is === 'asking') ||
  (before.at(-1)?.text === 'it' && before.at(-2)?.is === 'name');

/** True where the small words of what was said lead to something. `asks`: it is a question, or a request. */
function isInOrder(pieces: readonly SaidPiece[], asks: boolean): boolean {
  const said = smallWords(pieces);
  return said.every((word, at) => {
    if (word === undefined) return true;
    const before = said[at - 1];
    const behind = said[at + 1];
    const is = behind?.is ?? 'end';
    if (!asks && before === undefined && begins.test(word.text)) return false;
    if (word.is === 'verb') return !(is === 'end' && /^(?:number|name)$/.test(before?.is ?? ''));
    const never = kindOf.has(word.text) ? neverBehind[word.is as Kind] : undefined;
    if (never === undefined || said.length === 1) return true;
    if (word.is === 'auxiliary' && is === 'end' && isToldBefore(said.slice(0, at))) return true;
    if (word.is === 'auxiliary' && is === 'auxiliary') return goesOn.test(behind?.text ?? '');
    return !never.includes(is) || (asks && alsoAsked[word.is as Kind]?.includes(is) === true);
  });
}

/** "Three ten inches" may be much, and is not three and a tenth. */
const hasOddTenths = (pieces: readonly SaidPiece[]): boolean =>
  pieces.some(
    ({ number }) =>
      number?.pair !== undefined &&
      number.pair[1] >= 10 &&
      number.unit !== 'ft' &&
      !Number.isInteger(number.value),
  );

/** "An bigleaf maple": nobody says it. */
const hasWrongArticle = (pieces: readonly SaidPiece[]): boolean =>
  pieces.some(({ text }, at) => text === 'an' && /^[bcdfgjklmnpqrstvwxyz]/.test(pieces[at + 1]?.text ?? ''));

/** Notes that may be what a "not" says; in all others it would be lost. */
const mayDeny = (note: Note): boolean =>
  /^(?:change|scratch|undo|ask|answer|pick|remark|control|number|borderline)$/.test(note.kind) ||
  (note.kind === 'tree' &&
    (note.facts.logs === 0 || note.facts.border === 'out' || note.facts.status !== undefined)) ||
  (note.kind === 'plot' && /^(?:empty|size|plan|least)$/.test(note.op));

const denies = ({ text, is }: SaidPiece): boolean =>
  is === 'words' && /^(?:not|never|without|except)$/.test(text);

/** Thicker than any tree is told to be, in inches and centimetres; below a seedling. */
const thickest = { in: 400, cm: 1000 } as const;

function isOddTree(note: Note): boolean {
  if (note.kind !== 'tree' || note.facts.diameter === undefined) return false;
  const { value, unit } = note.facts.diameter;
  const most = unit === 'cm' ? thickest.cm : thickest.in;
  return value <= 0 || value > most;
}

/** Parts of an inch, a foot, an acre: halves to sixty-fourths, fifths, tenths and what an acre is cut into. */
const partOf = /^(?:[1-9]|10|12|16|20|24|25|30|32|40|50|60|64|100|200|250|300|500|1000)$/;

/** "4 87/49": figures and signs that are no fraction anybody measures. */
const hasOddFraction = (text: string): boolean =>
  [...text.matchAll(/(?:(\d+)[ -])?(\d+)\/(\d+)(?![\d.])/g)].some(
    ([, whole, over, under]) =>
      !partOf.test(under ?? '') || (whole !== undefined && Number(over) >= Number(under)),
  );

/** "It cancel", "that forget": what is taken back stands behind the word for it. */
const hasObjectFirst = (pieces: readonly SaidPiece[]): boolean =>
  pieces.some(
    ({ concepts }, at) =>
      (concepts.has('scratch') || concepts.has('restore')) &&
      /^(?:it|that|this|him|them|those|these|the|an?|your|my)$/.test(pieces[at - 1]?.text ?? ''),
  );

/** "Hundred no", "four wrong": what is put right stands behind the word for it. */
function hasFixBehind(pieces: readonly SaidPiece[], notes: readonly Note[]): boolean {
  if (!notes.some(({ kind }) => kind === 'change') || pieces.some(({ concepts }) => concepts.has('not')))
    return false;
  const fixes = [...pieces.keys()].filter((at) => putsRight(pieces[at]!));
  const value = pieces.findLastIndex(({ is }) => is === 'number' || is === 'species' || is === 'mark');
  const behind = pieces
    .slice(value + 1)
    .map(({ text }) => text)
    .join(' ');
  return fixes.length > 0 && value >= 0 && fixes.every((at) => at > value) && !meantBehind.test(behind);
}
const putsRight = ({ concepts }: SaidPiece): boolean => concepts.has('fix') || concepts.has('no');

/** So many small words about so little that is told are talk. */
function isMostlyTalk(pieces: readonly SaidPiece[]): boolean {
  const said = pieces.filter(({ is }) => is !== 'break');
  const small = said.filter(({ light, concepts }) => light && concepts.size === 0).length;
  return small > 3 + 2 * (said.length - small);
}

/** Every number and text of the notes, at every depth. */
interface Leaves {
  readonly numbers: ReadonlySet<number>;
  readonly texts: string;
  readonly species: ReadonlySet<string | number>;
  readonly marks: ReadonlySet<string>;
}

function leavesOf(notes: readonly Note[]): Leaves {
  const numbers = new Set<number>();
  const texts: string[] = [];
  const species = new Set<string | number>();
  const marks = new Set<string>();
  const walk = (part: unknown, key: string): void => {
    if (Array.isArray(part)) for (const each of part) walk(each, key);
    else if (typeof part === 'object' && part !== null)
      for (const [name, each] of Object.entries(part)) walk(each, name);
    else if (key === 'species' && (typeof part === 'string' || typeof part === 'number')) species.add(part);
    else if (typeof part === 'number') numbers.add(Math.abs(part));
    else if (typeof part === 'string') {
      texts.push(part);
      if (/^marks?$/.test(key)) marks.add(part);
    }
  };
  walk(notes, '');
  // "At 4:10" holds both of its numbers.
  const said = texts.join(' ').replace(/(\d):(?=\d)/g, '$1 ');
  return { numbers, texts: ` ${said} `, species, marks };
}

/** Whether the notes hold a number as it was said, or as feet and inches come to. */
function holdsNumber({ text, number }: SaidPiece, { numbers, texts }: Leaves): boolean {
  // "A thousand" is what a price is by.
  if (number === undefined || texts.includes(` ${text.replace(/^an? /, '')} `)) return true;
  const { value, pair, sides, unit } = number;
  // "Fourteen b" of a stand is "14b".
  if (unit === undefined && new RegExp(` ${value}[a-h]? `).test(texts)) return true;
  const whole = pair === undefined ? [value] : [value, ...pair, pair[0] + pair[1] / 12];
  const near = (wanted: number): boolean =>
    [...numbers].some((one) => Math.abs(one - Math.abs(wanted)) < 0.01 + 1e-4 * Math.abs(wanted));
  // Shares are told as percent, "none" as nothing, a stem's feet as inches.
  // "One fifty" of a shadow is a metre fifty.
  const hundredths = unit === undefined && value >= 100 && value < 500 && near(value / 100);
  const told = (one: number): boolean =>
    near(one) || near(100 * one) || (unit === 'ft' && near(12 * one)) || hundredths;
  // A stick as long as the reach is sighted at forty five degrees.
  if (unit === 'deg' && value === 45 && texts.includes(' stick ')) return true;
  return sides !== undefined || whole.some(told) || value === 0;
}

/**
 * The number, name or mark that was said and stands in none of the notes; undefined where there is none. `pieces`: what was
 * put right at once is not among them.
 */
export function leftOutOf(pieces: readonly SaidPiece[], notes: readonly Note[]): SaidPiece | undefined {
  const leaves = leavesOf(notes);
  const trees = notes.filter(({ kind }) => kind === 'tree').length;
  const asks = notes.some(({ kind }) => kind === 'ask');
  // "Over all three", "so fifty to the acre?": the answer tells the number.
  const sums = notes.filter((note) => note.kind === 'ask' && note.about === 'soFar').length;
  if (sums === notes.length) return undefined;
  // "Mute for five minutes": nobody counts them.
  if (notes.every((note) => note.kind === 'control' && /^(?:quiet|pause)$/.test(note.op))) return undefined;
  // How far a tree of some size may stand is the same for all kinds.
  const limits = notes.every(
    (note) => note.kind === 'ask' && note.about === 'limit' && note.diameter !== undefined,
  );
  const among = inAll(notes);
  return pieces.find((piece, at) => {
    if (leaves.texts.includes(` ${piece.text} `)) return false;
    // "Three more trees" are counted, "not fifteen" is what it was, "take one off" names none.
    const value = piece.number?.value;
    const counts = value === trees || value === 1 || value === among || value === kindAt(pieces, at, notes);
    const denied = isDenied(pieces, at);
    if (sums > 0 && pieces[at + 1]?.concepts.has('perAcre') === true) return false;
    // "Two of us" are the crew.
    if (pieces[at + 1]?.text === 'of' && pieces[at + 2]?.text === 'us') return false;
    const both = value !== undefined && notes.some((note) => isAmong(note, value));
    if (piece.is === 'number') return !(counts || both || denied || holdsNumber(piece, leaves));
    // "The maples, were they red or sugar": the list tells which.
    if (piece.is === 'species' && limits) return false;
    if (piece.is === 'species')
      return !leaves.species.has(piece.species ?? '') && !(asks && leaves.species.size > 0);
    return piece.is === 'mark' && !leaves.marks.has(piece.mark ?? '') && (asks || piece.concepts.size === 0);
  });
}

/** "Not eighteen", "instead of eighteen". */
const isDenied = (pieces: readonly SaidPiece[], at: number): boolean =>
  pieces.slice(Math.max(0, at - 3), at).some(denies) ||
  (pieces[at - 1]?.text === 'of' && pieces[at - 2]?.text === 'instead');

/** "Swap the last two", "the middle of those three": so many among which one is pointed at. */
const isAmong = (note: Note, count: number): boolean =>
  (note.kind === 'change' && note.swap !== undefined && count === 2) ||
  (((note.kind === 'change' && note.of?.middle) || (note.kind === 'hand' && note.which?.middle)) === true &&
    count === 3);

/** "Two black oaks, 13 and 17": so many trees of the kind that stands behind a number. */
function kindAt(pieces: readonly SaidPiece[], at: number, notes: readonly Note[]): number | undefined {
  const next = pieces[at + 1];
  return next?.is === 'species' && next.many === true
    ? notes.filter((note) => note.kind === 'tree' && note.facts.species === next.species).length
    : undefined;
}

/** "Nine in, two of them borderline": all that were counted, where some of them are told apart. */
const inAll = (notes: readonly Note[]): number | undefined =>
  notes.some((note) => note.kind === 'tree' && note.facts.marks?.includes(borderMark))
    ? notes.reduce((sum, note) => sum + (note.kind === 'tree' ? (note.facts.count ?? 1) : 0), 0)
    : undefined;

/**
 * True where what was put together from words may be kept unasked.
 *
 * Of "oak sixteen from" it is false: "from" leads to nothing.
 */
export function isPlausible(text: string, pieces: readonly SaidPiece[], notes: readonly Note[]): boolean {
  const asks = notes.some(({ kind }) => kind === 'ask');
  if (!isInOrder(pieces, asks) || hasWrongArticle(pieces) || hasOddFraction(text)) return false;
  if (hasObjectFirst(pieces) || hasOddTenths(pieces) || hasFixBehind(pieces, notes)) return false;
  if (isMostlyTalk(pieces) || hasWholeHeight(notes)) return false;
  if (losesHeight(text, notes) || hasPartAsSize(pieces, notes)) return false;
  if (pieces.some(denies) && !notes.some(mayDeny)) return false;
  if (isOfAnother(pieces) && notes.some(isOwn) && !notes.some(isPerson)) return false;
  return !notes.some(isOddTree);
}

/** "Another larch, 45, same height": a height that is told by that of another tree is never left out in silence. */
export const losesHeight = (text: string, notes: readonly Note[]): boolean =>
  /\bsame height\b/i.test(text) &&
  !notes.some((note) => note.kind === 'ask' || 'height' in note) &&
  !JSON.stringify(notes).includes('same height');

/** "Bear damage on two of the alder": so many of them are no size. */
const hasPartAsSize = (pieces: readonly SaidPiece[], notes: readonly Note[]): boolean =>
  pieces.some(
    ({ number }, at) =>
      number !== undefined &&
      number.unit === undefined &&
      /^of(?: the| those| these| them)?$/.test(pieces[at + 1]?.text ?? '') &&
      notes.some((note) => note.kind === 'tree' && note.facts.diameter?.value === number.value),
  );

/** "Her eye's five one": it is not that of who speaks. */
const isOfAnother = (pieces: readonly SaidPiece[]): boolean =>
  pieces.some(
    ({ concepts }, at) =>
      (concepts.has('eye') || concepts.has('pace')) && /^(?:her|his|their)$/.test(pieces[at - 1]?.text ?? ''),
  );
const isOwn = (note: Note): boolean =>
  note.kind === 'setting' && (note.set.what === 'eye' || note.set.what === 'pace') && !note.set.whose;
const isPerson = (note: Note): boolean => note.kind === 'setting' && note.set.what === 'person';

/** Several parts of a height in one breath are a height, not several that are put right. */
const hasWholeHeight = (notes: readonly Note[]): boolean =>
  notes.filter((note) => note.kind === 'change' && note.measured !== undefined).length > 1;

/**
 * True where notes hold both a name and a number that nobody said, made of words that are known by themselves: "bit of a lean
 * and" is no "big trees of eighteen". A word that nobody knows may be either, misspelt.
 */
export function isMadeUp(pieces: readonly SaidPiece[], notes: readonly Note[]): boolean {
  const { species, numbers } = leavesOf(notes);
  const said = new Set(pieces.flatMap((piece) => piece.species ?? []));
  const unknown = pieces.filter((piece) => piece.unknown).length;
  const names = [...species].filter((name) => !said.has(name)).length;
  const counted = pieces.filter(
    ({ number, ordinal }) => number !== undefined || ordinal !== undefined,
  ).length;
  return names > unknown && numbers.size > counted + unknown;
}

/**
 * True where names of trees are those that were said: what is left out of "swamp big spruce" may not join two words to
 * another name.
 */
export function hasOwnNames(pieces: readonly SaidPiece[], notes: readonly Note[]): boolean {
  const said = new Set(pieces.flatMap(({ species }) => species ?? []));
  return [...leavesOf(notes).species].every((name) => said.has(name));
}
