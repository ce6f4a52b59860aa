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
const leading = /^(?:and|so|ok|okay|now|right|well|then|next|here is|got|a|the|let us do|do|doing|taking|take)$/;
const towards = /^(?:of|on|for|to|onto|with|at|from)$/;
const article = /^(?:the|that|this|my|our)$/;
const adjective = /^(?:big|little|small|large|huge|old|young|nice|tall|fat|skinny|thin|thick|wee|mighty|leaning|leaner)$/;
const oneWord = /^(?:one|tree|stem|guy|fellow|inch|inches|cm)$/;
const mosts: readonly (readonly [Concept, NonNullable<Which['most']>])[] = [
  ['thickest', 'thickest'],
  ['thinnest', 'thinnest'],
  ['tallest', 'tallest'],
  ['shortest', 'shortest'],
];

/** The tree that is named from a place on; `bare`: a kind without an article is one, too. */
function namedAt(pieces: readonly SaidPiece[], from: number, bare: boolean): Named | undefined {
  const text = (at: number): string => pieces[at]?.text ?? '';
  const behindOne = (at: number): number => (oneWord.test(text(at)) ? at + 1 : at);
  if (/^(?:tree|number)$/.test(text(from)) && pieces[from + 1]?.number !== undefined) {
    const { value, unit } = pieces[from + 1]!.number!;
    return Number.isInteger(value) && unit === undefined ? named({ tree: value }, from, from + 2) : undefined;
  }
  const definite = article.test(text(from));
  let at = definite ? from + 1 : from;
  const size = sizeOf(pieces[at]);
  if (definite && size !== undefined) {
    const species = pieces[behindOne(at + 1)];
    if (species?.is === 'species')
      return named({ which: { diameter: size, species: species.species! } }, from, behindOne(at + 1) + 1);
    return named({ which: { diameter: size } }, from, behindOne(at + 1));
  }
  const { ordinal } = pieces[at] ?? {};
  const first = text(at) === 'first one' || text(at) === 'first tree' ? 1 : undefined;
  if (first !== undefined) return named({ which: { nth: first } }, from, at + 1);
  if (ordinal !== undefined) {
    const species = pieces[at + 1]?.is === 'species' ? pieces[at + 1]!.species! : undefined;
    if (species !== undefined) return named({ which: { nth: ordinal, species } }, from, at + 2);
    return behindOne(at + 1) > at + 1 ? named({ which: { nth: ordinal } }, from, at + 2) : undefined;
  }
  const most = mosts.find(([concept]) => pieces[at]?.concepts.has(concept) === true)?.[1];
  if (most !== undefined) {
    const species = pieces[at + 1]?.is === 'species' ? { species: pieces[at + 1]!.species! } : {};
    const to = pieces[at + 1]?.is === 'species' ? at + 2 : behindOne(at + 1);
    return named({ which: { ...species, most } }, from, to);
  }
  const big = /^(?:big|fat|large|huge)$/.test(text(at));
  while (adjective.test(text(at))) at++;
  if (pieces[at]?.is === 'species' && pieces[at]!.many !== true && (definite || bare)) {
    const behind = sizeOf(pieces[at + 1]);
    const sized = behind !== undefined && pieces[at + 2]?.is === 'break';
    const which = { species: pieces[at]!.species!, ...(sized ? { diameter: behind } : {}) };
    return named({ which }, from, sized ? at + 2 : at + 1);
  }
  // "The big one": the thickest, most likely.
  return definite && big && behindOne(at) > at
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
  const definite = article.test(pieces[at]!.text) || found.which?.nth !== undefined;
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

const never: readonly Concept[] = ['ask', 'scratch', 'restore', 'plot', 'fix', 'no', 'not', 'person', 'remark', 'retake'];

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
