/**
 * Remarks by themselves, without a tree before them: what a part of the tree in hand is like, what is seen around, how a
 * height looks to somebody, how good logs are. Every word of one must be known to tell no measure, or be nobody's slip.
 */
import type { Note } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { isCondition, isSureWord } from './free-words.ts';
import type { SaidPiece } from './pieces.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

const setOf = (words: string): ReadonlySet<string> => new Set(words.split(' '));

/** Parts of a tree that are told of; common practice, no source. */
const parts = setOf(
  'crown top butt base bark root roots leader stem trunk bole foliage leaves needles branches limbs foot form tip buds',
);

/** What is seen in the woods and is no tree of the count. */
const around = setOf(
  'seep seeps spring springs skidder skidders landing trail trails road roads track tracks ride stream streams brook creek ' +
    'ditch ditches drain drains culvert ravine gully ledge ledges outcrop boulder boulders rock rocks rocky swamp bog ' +
    'marsh pond pool wall walls fence fences boundary blaze blazes blazed gate cellar foundation camp deer moose beaver ' +
    'badger badgers sett den dens burrow burrows nest nests bracken bramble brambles brash slash brush understorey ' +
    'understory regen regeneration seedling seedlings sapling saplings sprouts sprout ferns barberry buckthorn knotweed ' +
    'honeysuckle bittersweet nettles gorse blueberry grass windthrow windfall windfalls blowdown deadfall machine machines ' +
    'harvester forwarder ruts rutting wet soggy boggy muddy browse browsing sign droppings stumps stump grapevine vines ' +
    'erosion washout powerline quarry pit hunter hunters blind hive',
);

/** Concepts that tell no measure in a remark on what is around. */
const harmlessAround: ReadonlySet<Concept> = new Set<Concept>(
  'here has that off out in top base hill walk goes guess each not no lean laid to again aside condition tall inRow'.split(
    ' ',
  ) as Concept[],
);

/** Before a kind of tree that is no tree of the count: "moose browse on all the little fir". */
const growth = setOf(
  'browse browsing regen regeneration seedling seedlings sapling saplings sprouts sprout brush stumps stump',
);

/** Where something goes; behind a number some of them tell how thick a tree is. */
const ways =
  /^(?:through|thru|across|around|round|along|over|up|down|above|below|beside|behind|all over|all through|all around|underneath)$/;

/** A word for what is seen in the woods. */
export const isAround = ({ is, text }: SaidPiece): boolean => is === 'words' && around.has(text);

/** "Seep here, keep the skidder out", "old stone wall runs right through here". */
export function aroundDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !scan.pieces.some(isAround)) return undefined;
  const grows = scan.pieces.some(({ text }) => growth.has(text));
  const plain = scan.pieces.every((piece, at) => {
    if (piece.is === 'break' || piece.light || isAround(piece) || ways.test(piece.text)) return true;
    if (piece.is === 'species') return grows;
    if (piece.is === 'number') return isAway(scan, at);
    // "No, the stream is on the left" mends.
    if (piece.concepts.has('no') && scan.pieces[at + 1]?.is === 'break') return false;
    if (piece.concepts.has('plot')) return /^(?:the|this|whole|my)$/.test(scan.pieces[at - 1]?.text ?? '');
    if (piece.is !== 'words' || piece.capital) return false;
    return isSureWord(piece) || [...piece.concepts].every((one) => harmlessAround.has(one));
  });
  const telling = scan.pieces.filter((piece) => piece.is !== 'break' && !piece.light).length;
  if (!plain || (telling < 2 && !scan.has('here'))) return undefined;
  return { notes: [remarkOf(scan)], used: everyPlace(scan), against: 0.6 };
}

/** "Ten metres north of here": where it is. */
const isAway = (scan: Scan, at: number): boolean =>
  /^(?:m|ft|yd|chain|paces)$/.test(scan.number(at).unit ?? '') &&
  /^(?:(?:to the )?(?:north|south|east|west|uphill|downhill|left|right)|off|away|from|below|above|past|beyond)/.test(
    scan.text(at + 1),
  );

/** A remark of all that was said, as it was said. */
const remarkOf = (scan: Scan): Note => ({ kind: 'remark', text: scan.text() });

const isBe = /^(?:'s|is|are|was|has|looks?|got|'s got|is getting)$/;
const opening = /^(?:oh|and|also|so|well|its|the|his|her|this one's|quite|whole)$/;
/** What may be said of a part beside free words. */
const ofPart: ReadonlySet<Concept> = new Set<Concept>(
  'rot lean condition top base has that off out in here each guess inRow tree level eye'.split(
    ' ',
  ) as Concept[],
);

/** "Crown's thin, maybe borer", "butt's no good", "bark is peeling on the south side". */
export function partOfTreeDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0) return undefined;
  let at = 0;
  while (at < scan.pieces.length && opening.test(scan.pieces[at]!.text)) at++;
  if (!parts.has(scan.pieces[at]?.text ?? '') || !isBe.test(scan.pieces[at + 1]?.text ?? ''))
    return undefined;
  const rest = scan.pieces.slice(at + 2);
  const plain = rest.every(
    (piece, nth) =>
      piece.is === 'break' ||
      piece.is === 'mark' ||
      (piece.is === 'number' && scan.label(at + 2 + nth) === 'reach') ||
      (piece.is === 'words' &&
        (piece.light || isSureWord(piece) || [...piece.concepts].every((one) => ofPart.has(one)))),
  );
  if (!plain || !rest.some(({ is, text }) => is === 'mark' || !/^(?:an?|the|it|so|very)$/.test(text)))
    return undefined;
  const marks = rest.flatMap(({ mark }) => mark ?? []);
  const remark = remarkOf(scan);
  return {
    notes: marks.length === 0 ? [remark] : [{ kind: 'tree', facts: { marks } }, remark],
    used: everyPlace(scan),
    against: 0.4,
  };
}

const judged =
  /^(?:(?:hm+|well|that|it|this|that one|now|but) )*(?:feels?|looks?|seems?|sounds?)(?: (?:a|an|bit|little|tad|touch|way|too|very|rather|quite|awful|awfully|on|the|about|like|side))* (?:low|high|short|tall|thick|thin|small|big|wrong|off|right|odd|much|long|large|generous|side)(?: to me| for (?:that|it|this)(?: one| tree)?| from here)?(?:, (?:i|we)(?:'d| would) have (?:said|guessed|thought|put it|called it)(?: (?:it|at|more like|about|nearer|maybe))* \S.*)?$/;

/** "Feels low, I'd have said twenty four": a doubt of who measured, in their words; nothing is changed by it. */
export function judgedDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !judged.test(scan.text())) return undefined;
  return { notes: [remarkOf(scan)], used: everyPlace(scan), against: 0.1 };
}

/** A log by its place on the tree: its grade, length or thickness goes into a remark, as no note has a place for it. */
const ofLogs =
  /^(?:(?:the )?(?:logs|lengths)(?: on| of| in)?\b|(?:the )?(?:first|second|third|fourth|top|butt|bottom|middle) (?:log|length|cut|piece)\b|(?:the )?(?:grade|number) (?:one|two|three|four|\d) butt\b|butt(?: log)? (?:is|'s)|grade )/;
const tellsOfLog =
  /\b(?:grade|veneer|sawlog|clear|knots?|sweep|mid|diameter|at|long|crook|rot|seam|cull|prime|pulp|butt)\b/;

/** "First length veneer maybe, second grade C with a branch knot", "logs on the oak: first five metres twenty, 58 mid". */
export function logsToldDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  if (scan.asked || scan.has('not', 'fix', 'scratch', 'restore', 'ask', 'person')) return undefined;
  if (scan.of('plot').length > 0) return undefined;
  if (!ofLogs.test(text) || !tellsOfLog.test(text) || scan.species.length > 1) return undefined;
  // "Two and a half logs" is a fact of its own.
  if (scan.of('logs').length > 0) return undefined;
  const [kind] = scan.species;
  const remark = remarkOf(scan);
  return {
    notes: kind === undefined ? [remark] : [{ kind: 'hand', which: { species: scan.name(kind) } }, remark],
    used: everyPlace(scan),
    against: 0.4,
  };
}

const hasBefore =
  /^(?:(?:oh|and|also|it|he|she|there|tree|this one|that one)(?:'s| is)? )*(?:(?:has|got|have) )*(?:an? )?/;

/** Words that lead to a place on a tree or around it: without one "rough night" would be told of a tree. */
const where =
  /^(?:in|on|at|over|under|up|down|from|along|around|near|by|through|across|below|above|all over|toward|towards|into)$/;

/** "Cavity at twelve feet", "leans over the trail": what is told of the tree in hand begins with what it has. */
export function hasDraft(scan: Scan): Draft | undefined {
  const first = scan.pieces.find(
    ({ light, is, concepts }) => !(light && is === 'words') && !concepts.has('has'),
  );
  if (first === undefined || scan.asked || scan.species.length > 0) return undefined;
  if (!(first.is === 'mark' || isCondition(first)) || scan.pieces.length < 2) return undefined;
  const plain = scan.pieces.every(
    (piece, at) =>
      piece.is === 'break' ||
      piece.is === 'mark' ||
      (piece.is === 'number' && scan.label(at) === 'reach') ||
      (piece.is === 'words' &&
        (piece.light ||
          isSureWord(piece) ||
          isAround(piece) ||
          [...piece.concepts].every((one) => ofPart.has(one)))),
  );
  const words = scan.pieces.filter(({ is, light }) => is !== 'break' && !light).length;
  const placed = scan.pieces.some(({ text, is }) => is === 'number' || where.test(text));
  if (!plain || words < 2 || !placed) return undefined;
  const marks = scan.pieces.flatMap(({ mark }) => mark ?? []);
  const remark: Note = { kind: 'remark', text: scan.text().replace(hasBefore, '') };
  return {
    notes: marks.length === 0 ? [remark] : [{ kind: 'tree', facts: { marks } }, remark],
    used: everyPlace(scan),
    against: 0.45,
  };
}

const before = "(?:(?:please|i|we|i'd|we'd|i have|we have|i 'll|we 'll|will|just|going to|to be|oh|and) )*";
const it = '(?:it|him|her|that|this|that one|this one|that tree|this tree|the tree)';
const kinds =
  '(?:keeper|cutter|veneer|crop|habitat|wildlife|seed|den|witness|corner|bearing|boundary|retention|wolf|nurse|culler|beauty|monster|giant|whopper|brute)';
/** What is done to a tree in hand, or is to be done to it, and what kind of tree it is for who tends the wood; common practice, no source. */
const doneWith = [
  `(?:put|tie|tied|paint|painted|spray|sprayed|nail|hang|hung|stick|stuck) an? \\S+(?: \\S+)? (?:on|in|around|round|to) ${it}`,
  `(?:paint|spray|blaze|ring|girdle|prune|release|photograph|tag|flag|ribbon|fell|cut|mark) ${it},? (?:for|as|next|because|so|with|on|i|we|in the|at the)\\b`,
  `(?:ring|girdle|tag|flag|mark|save|keep|leave) ${it}(?:,| in)?(?: (?:for|as))?(?: an?| the)? ${kinds}`,
  `(?:(?:it|that|this|that one|this one) (?:is|'s)|(?:that|this) one's) an? (?:good |real |nice |proper |poor |bad )*${kinds}`,
].map((one) => new RegExp(`^${before}${one}(?: |,|$)`));

/** "Put a star on that one", "cut that one next thinning", "this one's a keeper". */
export function doneWithDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  const text = scan.text();
  if (!doneWith.some((one) => one.test(text)) || scan.has('not', 'no', 'fix', 'restore', 'person'))
    return undefined;
  if (scan.pieces.some((piece) => piece.unknown && !isSureWord(piece))) return undefined;
  return { notes: [remarkOf(scan)], used: everyPlace(scan), against: 0.2 };
}
