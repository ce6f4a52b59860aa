/**
 * A height with the tree that it is of, before it or behind: "height of the thirty-five, 29 paces", "on the biggest poplar,
 * shadow 52 foot ...", "first one, top 105 ...", "35 paces, stick on the thirty-three". What names the tree is taken off, and
 * the rest is a height by itself.
 */
import type { Which } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { heightOf } from './compose-heights.ts';
import { handOf, type Target } from './compose-targets.ts';
import type { SaidPiece } from './pieces.ts';
import { type Draft, explain, Scan } from './scan.ts';

interface Named extends Target {
  /** Where the words for it end (exclusive). */
  readonly to: number;
  /** Another tree may be meant as well. */
  readonly unsure?: boolean;
}

const heading = /^(?:height|heights|ht|hgt)$/;
const leading =
  /^(?:and|so|ok|okay|now|right|well|then|next|here is|got|a|the|let us do|do|doing|taking|take)$/;
const towards = /^(?:of|on|for|to|onto|with|at|from)$/;
const article = /^(?:the|that|this|my|our)$/;
const adjective =
  /^(?:big|little|small|large|huge|old|young|nice|tall|fat|skinny|thin|thick|wee|mighty|leaning|leaner)$/;
const oneWord = /^(?:one|tree|stem|guy|fellow|inch|inches|cm)$/;
const mosts: readonly (readonly [Concept, NonNullable<Which['most']>])[] = [
  ['thickest', 'thickest'],
  ['thinnest', 'thinnest'],
  ['tallest', 'tallest'],
  ['shortest', 'shortest'],
];

/** The tree that is named from a place on; `bare`: a kind without an article is one, too. */
function namedAt(pieces: readonly SaidPiece[], from: number, bare: boolean): Named | undefined {
  const definite = article.test(textAt(pieces, from));
  const at = definite ? from + 1 : from;
  const numbered = numberedAt(pieces, from);
  if (numbered !== undefined) return numbered;
  return (
    (definite ? sizedAt(pieces, from, at) : undefined) ??
    placedAt(pieces, from, at) ??
    foremostAt(pieces, from, at) ??
    kindAt(pieces, from, at, { definite, bare })
  );
}

const textAt = (pieces: readonly SaidPiece[], at: number): string => pieces[at]?.text ?? '';
const speciesAt = (pieces: readonly SaidPiece[], at: number): string | number | undefined =>
  pieces[at]?.is === 'species' ? pieces[at]!.species : undefined;
/** Behind "one" or "tree", where that stands there. */
const behindOne = (pieces: readonly SaidPiece[], at: number): number =>
  oneWord.test(textAt(pieces, at)) ? at + 1 : at;

/** "Tree 3". */
function numberedAt(pieces: readonly SaidPiece[], from: number): Named | undefined {
  const number = pieces[from + 1]?.number;
  if (!/^(?:tree|number)$/.test(textAt(pieces, from)) || number === undefined) return undefined;
  const whole = Number.isInteger(number.value) && number.unit === undefined;
  return whole ? named({ tree: number.value }, from, from + 2) : undefined;
}

/** "The thirty-five", "the 14 inch beech". */
function sizedAt(pieces: readonly SaidPiece[], from: number, at: number): Named | undefined {
  const diameter = sizeOf(pieces[at]);
  if (diameter === undefined) return undefined;
  const to = behindOne(pieces, at + 1);
  const species = speciesAt(pieces, to);
  return species === undefined
    ? named({ which: { diameter } }, from, to)
    : named({ which: { diameter, species } }, from, to + 1);
}

/** "First one", "the second oak". */
function placedAt(pieces: readonly SaidPiece[], from: number, at: number): Named | undefined {
  if (/^first (?:one|tree)$/.test(textAt(pieces, at))) return named({ which: { nth: 1 } }, from, at + 1);
  const nth = pieces[at]?.ordinal;
  if (nth === undefined) return undefined;
  const species = speciesAt(pieces, at + 1);
  if (species !== undefined) return named({ which: { nth, species } }, from, at + 2);
  return oneWord.test(textAt(pieces, at + 1)) ? named({ which: { nth } }, from, at + 2) : undefined;
}

/** "The biggest poplar". */
function foremostAt(pieces: readonly SaidPiece[], from: number, at: number): Named | undefined {
  const most = mosts.find(([concept]) => pieces[at]?.concepts.has(concept) === true)?.[1];
  if (most === undefined) return undefined;
  const species = speciesAt(pieces, at + 1);
  return species === undefined
    ? named({ which: { most } }, from, behindOne(pieces, at + 1))
    : named({ which: { species, most } }, from, at + 2);
}

/** "The larch", "oak" before "height"; "the big one" is the thickest, most likely. */
function kindAt(
  pieces: readonly SaidPiece[],
  from: number,
  first: number,
  { definite, bare }: { readonly definite: boolean; readonly bare: boolean },
): Named | undefined {
  let at = first;
  while (adjective.test(textAt(pieces, at))) at++;
  const species = speciesAt(pieces, at);
  if (species !== undefined && pieces[at]!.many !== true && (definite || bare)) {
    const behind = sizeOf(pieces[at + 1]);
    if (behind === undefined || pieces[at + 2]?.is !== 'break')
      return named({ which: { species } }, from, at + 1);
    // "Hemlock 18, height by stick, ..." begins.
    return definite ? named({ which: { species, diameter: behind } }, from, at + 2) : undefined;
  }
  const big = /^(?:big|fat|large|huge)$/.test(textAt(pieces, first));
  return definite && big && behindOne(pieces, at) > at
    ? { ...named({ which: { most: 'thickest' } }, from, at + 1), unsure: true }
    : undefined;
}

const named = (target: Omit<Target, 'used'>, from: number, to: number): Named => ({
  ...target,
  used: Array.from({ length: to - from }, (_, nth) => from + nth),
  to,
});

function sizeOf(piece: SaidPiece | undefined): number | undefined {
  const { number } = piece ?? {};
  const sized = number?.sign === undefined && /^(?:in|cm|undefined)$/.test(String(number?.unit));
  return sized ? number?.value : undefined;
}

/** The tree that is named first: "height of the larch", "larch height", "on the larch", "the larch,". */
function headOf(pieces: readonly SaidPiece[]): Named | undefined {
  let at = 0;
  while (at < pieces.length && leading.test(pieces[at]!.text) && !article.test(pieces[at]!.text)) at++;
  const word = pieces[at];
  const way = word !== undefined && (heading.test(word.text) || ways.some((one) => word.concepts.has(one)));
  if (way && towards.test(pieces[at + 1]?.text ?? ''))
    return namedAt(pieces, at + 2, heading.test(word.text));
  if (towards.test(word?.text ?? '')) {
    const found = namedAt(pieces, at + 1, false);
    return found !== undefined && endsAt(pieces, found.to) ? found : undefined;
  }
  const found = namedAt(pieces, at, true);
  if (found === undefined) return undefined;
  let to = found.to;
  if (pieces[to]?.text === "'s") to++;
  if (pieces[to]?.is === 'break' && heading.test(pieces[to + 1]?.text ?? '')) to++;
  if (heading.test(pieces[to]?.text ?? '')) return { ...found, to: to + 1 };
  const { nth, most } = found.which ?? {};
  const definite = article.test(pieces[at]!.text) || nth !== undefined || most !== undefined;
  return definite && endsAt(pieces, found.to) ? found : undefined;
}

const ways: readonly Concept[] = ['stick', 'angle', 'shadow', 'pole', 'device', 'tape'];
const endsAt = (pieces: readonly SaidPiece[], at: number): boolean => pieces[at]?.is === 'break';

/** "Stick on the thirty-three after all", "that's for the larch": the tree that is named last. */
function tailOf(pieces: readonly SaidPiece[]): (Named & { readonly from: number }) | undefined {
  let end = pieces.length;
  while (end > 0 && /^(?:after all|again|now|too|please|then|instead)$/.test(pieces[end - 1]!.text)) end--;
  for (let at = end - 1; at > 0; at--) {
    if (!/^(?:on|for|of)$/.test(pieces[at]!.text)) continue;
    const found = namedAt(pieces, at + 1, false);
    return found?.to === end ? { ...found, from: at, to: pieces.length } : undefined;
  }
  return undefined;
}

const never: readonly Concept[] = [
  'ask',
  'scratch',
  'restore',
  'plot',
  'fix',
  'no',
  'not',
  'person',
  'remark',
  'retake',
];

/** A named tree is taken in hand, and its height is told. */
export function headedDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has(...never)) return undefined;
  const head = headOf(scan.pieces);
  if (head !== undefined) return draftOf(scan, head, head.to, scan.pieces.length);
  const tail = tailOf(scan.pieces);
  return tail === undefined ? undefined : draftOf(scan, tail, 0, tail.from);
}

/** `from`, `to`: where the height is told. */
function draftOf(scan: Scan, tree: Named, from: number, to: number): Draft | undefined {
  const begins = scan.pieces.findIndex(({ is }, at) => at >= from && is !== 'break');
  if (begins < 0 || begins >= to) return undefined;
  const rest = new Scan(scan.pieces.slice(begins, to));
  const found = rest.species.length > 0 ? undefined : heightOf(rest);
  if (found === undefined || rest.numbers.some((at) => !found.used.includes(at))) return undefined;
  const places = [...explain(rest, found.used, [...found.concepts, 'that', 'one', 'has', 'here', 'tall'])];
  const outside = [...scan.pieces.keys()].filter((at) => at < begins || at >= to);
  const hand = handOf(tree);
  return {
    notes: [hand, { kind: 'height', height: found.height }],
    ...(found.other === undefined ? {} : { other: [hand, { kind: 'height', height: found.other }] }),
    used: new Set([...outside, ...places.map((at) => at + begins)]),
    against: -0.1,
    ...(tree.unsure === true || found.unsure === true ? { unsure: true } : {}),
  };
}
