/**
 * How who measures stands to the foot of the tree: "I'm four feet uphill of the foot", "the base is a metre below me", "eye's a
 * foot higher, I'm on a rock". An eye that is higher than usual sees the foot by so much lower, so all of these are one thing.
 */
import type { Base } from '../../shared/note/note.ts';
import type { SaidPiece } from './pieces.ts';

/** The base against the feet of who measures, and the pieces that tell it. */
export interface Footing {
  readonly side: Extract<Base, { by: 'feet' }>['side'];
  readonly places: readonly number[];
}

const above = 'uphill|upslope|upbank|up the (?:hill|slope|bank)|above|higher|up';
const below = 'downhill|downslope|down the (?:hill|slope|bank)|below|beneath|under|lower|down';
const parting = '(?:of|than|from|to)?';
const me = '(?:me|my (?:feet|boots|toes|shoes|eyes?|eye level)|us|where i (?:am|stand)(?: standing)?|mine)';
const foot =
  '(?:the|its|that|this)? ?(?:foot|base|butt|bottom|stump|tree|stem|trunk|root|roots|root collar)(?: of (?:it|the tree))?|it';
/** Right behind the length. */
const ofMe = new RegExp(`^(${above}|${below}) ?${parting} ?${me}$`);
const ofFoot = new RegExp(`^(${above}|${below}) ?${parting} ?(?:${foot})$`);
const ofNothing = new RegExp(`^(${above}|${below})(?: than (?:usual|normal|me|before))?$`);

const isAbove = (word: string): boolean => new RegExp(`^(?:${above})$`).test(word);
const measurer = /(?:^| )(?:i|we|standing|stood|stand|sitting|perched)(?: |$)/;
const ofEye = /(?:^| )(?:eye|eyes|eye level|eye height)(?: |$)/;
const ofTree = /(?:^| )(?:foot|base|butt|bottom|stump|tree|stem|trunk|it|ground)(?: |$)/;
/** "I'm on a rock", "standing on the bank". */
const raised =
  /(?:^| )(?:am|was|standing|stood|stand|up|perched|sitting|climbed) (?:up )?on (?:top of )?(?:an?|the|my|some) /;
const ofHeight = /^(?:up|high|tall|off the ground|above the ground|off ground)$/;

const textOf = (pieces: readonly SaidPiece[]): string =>
  pieces
    .map(({ text }) => text)
    .join(' ')
    .replaceAll(" 's", ' is');

/** The words around a place, from behind what else is told in its clause, and to its end (exclusive). */
function clauseAt(pieces: readonly SaidPiece[], at: number): readonly [number, number] {
  const from = pieces.findLastIndex(({ is }, to) => to < at && is !== 'words') + 1;
  const end = pieces.findIndex(({ is }, to) => to > at && is === 'break');
  return [from, end < 0 ? pieces.length : end];
}

/** Where the words before a clause that begins with a number begin: "I'm downhill, four feet lower than the butt". */
const clauseBefore = (pieces: readonly SaidPiece[], at: number): number =>
  pieces.findLastIndex(({ is }, to) => to < at - 1 && is !== 'words') + 1;

const isLength = ({ number }: SaidPiece): boolean =>
  number !== undefined && number.sign === undefined && /^(?:ft|m|in|cm|undefined)$/.test(String(number.unit));

/** What a length tells of how one stands; undefined where it tells something else. */
export function footingAt(pieces: readonly SaidPiece[], at: number): Footing | undefined {
  const piece = pieces[at];
  if (piece === undefined || !isLength(piece)) return undefined;
  const [from, end] = clauseAt(pieces, at);
  const before = textOf(pieces.slice(from === at ? clauseBefore(pieces, at) : from, at));
  const onSomething = piece.number?.unit !== undefined && raised.test(`${before} `);
  const led = sideBefore(before);
  if (led !== undefined) return { side: led, places: placesOf(from, at + 1) };
  for (let to = end; to > at + 1; to--) {
    const behind = textOf(pieces.slice(at + 1, to));
    const side = sideBy(behind, before, piece.number?.unit !== undefined);
    if (side !== undefined) return { side, places: placesOf(from, to) };
    if (onSomething && ofHeight.test(behind)) return { side: 'below', places: placesOf(from, to) };
  }
  return undefined;
}

const placesOf = (from: number, to: number): number[] =>
  Array.from({ length: to - from }, (_, nth) => from + nth);

/** On which side the base is by the words behind a length and before it; `plain`: the length has a unit. */
function sideBy(behind: string, before: string, plain: boolean): Footing['side'] | undefined {
  const other = (word: string): Footing['side'] => (isAbove(word) ? 'below' : 'above');
  const same = (word: string): Footing['side'] => (isAbove(word) ? 'above' : 'below');
  const mine = ofMe.exec(behind)?.[1];
  if (mine !== undefined) return measurer.test(before) ? undefined : same(mine);
  const trees = ofFoot.exec(behind)?.[1];
  // "Forks four feet above the base" is of the stem.
  if (trees !== undefined) return measurer.test(before) ? other(trees) : undefined;
  const alone = plain ? ofNothing.exec(behind)?.[1] : undefined;
  if (alone === undefined || /^(?:up|under)$/.test(alone)) return eyeMoved(alone, before);
  if (ofEye.test(before) || measurer.test(before)) return other(alone);
  return ofTree.test(before) ? same(alone) : undefined;
}

const roughlySo = '(?: (?:by|about|some|maybe|roughly|around|say|a good|only|just))*';
const directed = new RegExp(`(?:^| )((?:${above}|${below}) ?${parting} ?(?:${me}|${foot}))${roughlySo}$`);
/** "The ground drops five feet to it". */
const sloping = new RegExp(
  `(?:^| )(?:ground|land|slope|bank|it|hill)(?: (drops|dropped|falls|fell|dips|sinks|goes down|slopes down|is down)|(?: rises| rose| climbs| goes up| slopes up| is up))(?: away| off| by)*${roughlySo}$`,
);

/** "The tree is uphill of me about four feet": the words stand before the length. */
function sideBefore(before: string): Footing['side'] | undefined {
  const ground = sloping.exec(before);
  if (ground !== null) return ground[1] === undefined ? 'above' : 'below';
  const words = directed.exec(before);
  return words === null ? undefined : sideBy(words[1]!, before.slice(0, words.index), true);
}

/** "My eye's a foot up on this rock". */
const eyeMoved = (word: string | undefined, before: string): Footing['side'] | undefined =>
  word === 'up' && ofEye.test(before) ? 'below' : undefined;

const standing =
  /^(?:(?:but|because|since|as|and|so|though|cos) )*(?:i am|i was|i stood|i stand|we are|am|was|standing|stood|up|sitting|perched)(?: standing| stood| up| here)* (?:on|in|from) (?:top of )?(?:an?|the|my|some)(?: \S+){1,3}$|^(?:(?:but|because|since|as|and|so|though|cos) )*(?:i am |i was |am |was )?(?:kneeling|crouching|crouched|squatting|sitting|sat|stooping|bending|bent|on my knees|on one knee)(?: down| low)?$/;
const roughly =
  /^(?:(?:but|because|since|as|and|so|though|cos) )*(?:i am|i was|i stood|we are|am|was|standing|stood|shooting|sighting|shot)(?: (?:a|bit|little|well|just|way|slightly|somewhat|standing|from|it|up))* (?:above|below|uphill|downhill|upslope|downslope)(?: (?:of|from))?(?: (?:it|the|its|tree|base|foot|butt|stump|bottom|stem))*$/;

/** Clauses that tell where one stands and hold no number: "I'm on a rock"; `sided`: on which side of the foot, too. */
export function standingWords(pieces: readonly SaidPiece[], sided: boolean): readonly number[] {
  const places: number[] = [];
  for (let from = 0; from < pieces.length; ) {
    const end = pieces.findIndex(({ is }, at) => at >= from && is === 'break');
    const to = end < 0 ? pieces.length : end;
    const clause = pieces.slice(from, to);
    const words = textOf(clause);
    const plain = clause.every(({ is, capital, text }) => is === 'words' && (!capital || text === 'i'));
    if (plain && (standing.test(words) || (sided && roughly.test(words)))) places.push(...placesOf(from, to));
    from = to + 1;
  }
  return places;
}
