/** The tree that is spoken of, by what it is or by its number. */
import type { Note, Which } from '../../shared/note/note.ts';
import { foremostTarget } from './compose-foremost.ts';
import type { Scan } from './scan.ts';

/** A tree that is named by what it is, or by its number. */
export interface Target {
  readonly which?: Which;
  readonly tree?: number;
  readonly used: readonly number[];
}

/** Before a name they change nothing of it. */
const adjective =
  /^(?:big|little|small|large|huge|old|young|nice|good|great|fine|tall|fat|skinny|slim|thin|thick|wee|lovely|mighty|single|other|last|inch|one)$/;
const definite = /^(?:the|that|this|those|these)$/;
const isBe = (text: string | undefined): boolean => /^(?:is|'s|was)$/.test(text ?? '');
const heading = /^(?:height|heights|ht)$/;
const telling =
  /^(?:(?:is|'s|was|were|has|had|are|should|goes|ought|got|leans|needs|'d|looks)(?: (?:really|actually|now))?|(?:should|ought to|supposed to|meant to|wants to|needs to) (?:be|say|read)|should have been)$/;

/** What tells something of what stands before it begins with such a word. */
export const isTelling = (text: string): boolean => telling.test(text);
export const isDefinite = (text: string | undefined): boolean => definite.test(text ?? '');

/**
 * The tree that is spoken of: "the second water oak", "tree three", "that 15.8 birch", "ash" before what it is or has;
 * "the thirteen" before what is told of it. Undefined where a tree begins.
 */
export function targetOf(scan: Scan): Target | undefined {
  const [numbered] = scan.of('tree');
  if (numbered !== undefined && Number.isInteger(scan.number(numbered).value)) {
    const word = scan.beside(numbered, -1);
    return { tree: scan.number(numbered).value, used: [numbered, ...(word >= 0 ? [word] : [])] };
  }
  const placed = placedOf(scan);
  if (placed !== undefined) return placed;
  const foremost = foremostTarget(scan);
  if (foremost !== undefined && isTold(scan, Math.max(...foremost.used) + 1)) return foremost;
  for (const at of scan.species) {
    const found = sizeBehind(scan, at) ?? namedBefore(scan, at);
    if (found !== undefined) return found;
  }
  return scan.species.length > 0 ? (sizeBefore(scan) ?? swapped(scan)) : namelessOf(scan);
}

/** "Second to last one was", "third from the end is", "the middle one was", "the one in the middle has". */
function placedOf(scan: Scan): Target | undefined {
  const { pieces } = scan;
  const text = (at: number): string => pieces[at]?.text ?? '';
  for (let at = 0; at < pieces.length; at++) {
    const found = placeAt(scan, at);
    if (found === undefined) continue;
    const one = /^(?:one|tree)$/.test(text(found.to)) ? 1 : 0;
    const to = found.to + one;
    if (!isTold(scan, to) && !isMade(scan, at, to)) continue;
    const used = Array.from({ length: to - at }, (_, nth) => at + nth);
    return { which: found.which, used };
  }
  return undefined;
}

const middles =
  /^(?:middle of (?:those|these|the|the last|those last) three|middle|one (?:in the middle|from the middle|in between|between))(?= |$)/;
const lastButOne = /^(?:tree|one|stem) (?:right |just )?before (?:the )?last(?: one| tree)?(?= |$)/;
const fromEnd = /^\S+ (?:to|from) (?:the )?(?:last|end|last one)(?= |$)/;

/** A place in the order that begins here, and where it ends. */
function placeAt(scan: Scan, at: number): { readonly which: Which; readonly to: number } | undefined {
  const { is, ordinal, concepts } = scan.pieces[at]!;
  if (concepts.has('lastButOne')) return { which: { back: 2 }, to: at + 1 };
  const words = scan.text(at, at + 6);
  const found = (pattern: RegExp, which: Which) => {
    const said = pattern.exec(words)?.[0];
    if (said === undefined) return undefined;
    // Where the words of it end; a phrase is one piece.
    let to = at + 1;
    while (scan.text(at, to).length < said.length) to++;
    return { which, to };
  };
  const middle = isDefinite(scan.pieces[at - 1]?.text) ? found(middles, { middle: true }) : undefined;
  if (middle !== undefined) return middle;
  if (is === 'ordinal' && ordinal !== undefined) return found(fromEnd, { back: ordinal });
  return found(lastButOne, { back: 2 });
}

/** "Make the middle tree a birch": what it becomes stands right behind it. */
const isMade = (scan: Scan, from: number, to: number): boolean =>
  /\b(?:make|change|turn|correct|fix|call|put)(?: the| that)?$/.test(scan.text(0, from)) &&
  /^(?:to|into|be|an?|as)$/.test(scan.pieces[to]?.text ?? '');

/** "Swap the 29 for a fir": a tree by its size, before what it becomes. */
function swapped(scan: Scan): Target | undefined {
  const at = scan.numbers.find((one) => /^(?:the|that|this)$/.test(scan.pieces[one - 1]?.text ?? ''));
  if (at === undefined || !/\b(?:swap|switch|replace|change|make)/.test(scan.text(0, at))) return undefined;
  const one = scan.pieces[at + 1]?.text === 'one' ? 1 : 0;
  const next = scan.pieces[at + 1 + one]?.text ?? '';
  const { unit, sign, value } = scan.number(at);
  const sized = sign === undefined && (unit === undefined || unit === 'in' || unit === 'cm');
  return sized && /^(?:for|with|to|by|into|an?)$/.test(next)
    ? { which: { diameter: value }, used: one === 1 ? [at, at + 1] : [at] }
    : undefined;
}

/** "The thirteen's seventy four foot", "first one's four logs". */
function namelessOf(scan: Scan): Target | undefined {
  for (let at = 0; at < scan.pieces.length; at++) {
    const found = scan.pieces[at]!.is === 'ordinal' ? ordinalAt(scan, at) : sizeAt(scan, at);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** "Red oak 15 is 17", "oak 51 has blister rust": the size that was said of it stands behind its name. */
function sizeBehind(scan: Scan, at: number): Target | undefined {
  const { is, number } = scan.pieces[at + 1] ?? {};
  if (is !== 'number' || number === undefined || number.sign !== undefined || !isSize(number.unit))
    return undefined;
  const verb = scan.pieces[at + 2]?.text ?? '';
  const behind = scan.pieces.slice(at + 3).filter(({ light }) => !light);
  const [next] = behind;
  const value = next?.is === 'number' && next.number?.unit !== 'logs';
  const put =
    /^(?:is|was|should|'s)$/.test(verb) &&
    (value || next?.is === 'species' || next?.concepts.has('fix') === true);
  const has = /^(?:has|had|got)$/.test(verb) && behind.some(({ unknown }) => unknown) && !value;
  if (!put && !has) return undefined;
  return { which: { species: scan.name(at), diameter: number.value }, used: [at, at + 1] };
}

/** "That nine's actually a hickory": a size before another name. */
function sizeBefore(scan: Scan): Target | undefined {
  for (let at = 0; at < (scan.species[0] ?? 0); at++) {
    const found = sizeAt(scan, at);
    const verb = scan.pieces[at + 1]?.text ?? '';
    if (found !== undefined && /^(?:is|was|'s|should)$/.test(verb)) return found;
  }
  // "The first one's a maple".
  const ordinal = scan.pieces.findIndex(({ is }) => is === 'ordinal');
  const plain = scan.numbers.length === 0 && ordinal >= 0 && isDefinite(scan.pieces[ordinal - 1]?.text);
  return plain && ordinal < scan.species[0]! ? ordinalAt(scan, ordinal) : undefined;
}

function ordinalAt(scan: Scan, at: number): Target | undefined {
  const { ordinal } = scan.pieces[at]!;
  const told = isTold(scan, at + 2) || scan.pieces[at + 2]?.number?.unit === 'logs';
  const named = /^(?:one|tree|of (?:them|those|these))$/.test(scan.pieces[at + 1]?.text ?? '') && told;
  return named && ordinal !== undefined ? { which: { nth: ordinal }, used: [at, at + 1] } : undefined;
}

function sizeAt(scan: Scan, at: number): Target | undefined {
  const { is, number } = scan.pieces[at]!;
  if (is !== 'number' || number === undefined || number.sign !== undefined || !isSize(number.unit))
    return undefined;
  if (!isDefinite(scan.pieces[at - 1]?.text)) return undefined;
  const one = /^ones?$/.test(scan.pieces[at + 1]?.text ?? '') ? 1 : 0;
  if (!isTold(scan, at + 1 + one) && !onThe(scan, at - 1)) return undefined;
  return { which: { diameter: number.value }, used: one === 1 ? [at, at + 1] : [at] };
}

const isSize = (unit: string | undefined): boolean => unit === undefined || unit === 'in' || unit === 'cm';

const onThe = (scan: Scan, at: number): boolean =>
  /^(?:on|for|to|of|with)$/.test(scan.pieces[at - 1]?.text ?? '');

/** What is told of something stands at a place. */
const isTold = (scan: Scan, at: number): boolean => isTelling(scan.pieces[at]?.text ?? '');

/** What stands before a name and belongs to it: which of them, how thick; and where it begins. */
function described(scan: Scan, at: number): { which: Which; places: number[]; from: number } {
  const { pieces } = scan;
  const places = [at];
  let which: Which = { species: pieces[at]!.species! };
  let from = at - 1;
  for (; from >= 0; from--) {
    const { is, number, ordinal, concepts, text } = pieces[from]!;
    const size =
      number !== undefined && number.sign === undefined && isSize(number.unit) ? number : undefined;
    if (is === 'ordinal' && which.nth === undefined) which = { ...which, nth: ordinal! };
    else if (size !== undefined && which.diameter === undefined) which = { ...which, diameter: size.value };
    else if (is === 'words' && (adjective.test(text) || concepts.has('dead') || concepts.has('live')))
      continue;
    else break;
    places.push(from);
  }
  return { which, places, from };
}

function namedBefore(scan: Scan, at: number): Target | undefined {
  const { pieces } = scan;
  const { which, places, from } = described(scan, at);
  const target = { which, used: places };
  const several = pieces[at]!.many === true;
  if (several && which.nth === undefined && which.diameter === undefined) return undefined;
  // "Sitka thirty one is twenty seven": what its size was said to be.
  const behind = pieces[at + 1];
  const resized =
    behind?.is === 'number' &&
    isSize(behind.number?.unit) &&
    isBe(pieces[at + 2]?.text) &&
    pieces[at + 3]?.is === 'number';
  if (resized && which.diameter === undefined && from < 0)
    return { which: { ...which, diameter: behind.number?.value ?? 0 }, used: [...places, at + 1] };
  const article = isDefinite(pieces[from]?.text);
  // "Beech height, ...", "height of poplar: ...".
  const headed =
    (heading.test(pieces[at + 1]?.text ?? '') && from < 0) ||
    (/^(?:of|for)$/.test(pieces[from]?.text ?? '') && heading.test(pieces[from - 1]?.text ?? ''));
  if (headed && !several) return target;
  const told =
    isTold(scan, at + 1) || (pieces[at + 1]?.concepts.has('tree') === true && isTold(scan, at + 2));
  if (which.nth !== undefined && (article || told || from < 0)) return target;
  if (article) return isBegun(scan, from, which) ? undefined : target;
  if (which.diameter !== undefined || several || !told) return undefined;
  // "Ash has dieback", "oops, hemlock was 18.5 inches".
  const begins = pieces
    .slice(0, Math.max(0, from + 1))
    .every(({ is, light, concepts }) => is === 'break' || light || concepts.has('fix') || concepts.has('no'));
  return begins ? target : undefined;
}

/** "That is the oak", "first the big walnut": it begins, or tells what a tree is. */
function isBegun(scan: Scan, from: number, which: Which): boolean {
  const before = scan.pieces[from - 1]?.text ?? '';
  if (/^(?:is|'s|was)$/.test(before) && /^(?:that|this|it)$/.test(scan.pieces[from - 2]?.text ?? ''))
    return true;
  if (scan.has('next') && scan.at('next') < from) return true;
  return /^(?:with|now|by|near|behind|beside)$/.test(before) && which.diameter === undefined;
}

/** The note that takes a named tree in hand. */
export const handOf = ({ which, tree }: Target): Note =>
  tree === undefined ? { kind: 'hand', which: which! } : { kind: 'hand', tree };
