/**
 * Remarks on trees: what stands behind a word of noting, what is told in free words of a tree that is named or in hand, and
 * what is told beside its measures. A number in it is no measure: "ivy up to six metres".
 */
import type { Note } from '../../shared/note/note.ts';
import { isCommonWord } from '../pronunciation/unigrams.ts';
import { handOf, isTelling, type Target, targetOf } from './compose-targets.ts';
import { isAround } from './compose-told.ts';
import { isCondition, isFree, isPlain, isSlipped, isSureWord } from './free-words.ts';
import type { SaidPiece } from './pieces.ts';
import { type Draft, everyPlace, isDescribed, type Scan } from './scan.ts';

/** What is only told of a tree, among what is left over of its stretch; undefined where it tells something else. */
export function remarkOfRun(
  scan: Scan,
  { from, to }: { from: number; to: number },
): { text: string; sure: boolean } | undefined {
  const run = scan.pieces.slice(from, to);
  if (
    !run.every(
      (piece) => isPlain(piece) || piece.is === 'mark' || (piece.is === 'number' && isTold(scan, piece)),
    )
  )
    return undefined;
  const begins = leadOf(scan, from);
  const uphill = run.every(({ concepts }) => concepts.has('hill'));
  const place =
    uphill || (begins < from && !/^(?:with|has|got|have|having)$/.test(scan.pieces[begins]!.text));
  const clause = ownClause(scan, from, to);
  // Words that nobody knows, by themselves: they may be a slip of anything.
  const verbal = /(?:^| )(?:is|was|has|been|are|were|got)(?: |$)/.test(scan.text(startOf(scan, from), to));
  const reached = clause && verbal && run.some(isFree) && run.some(({ is }) => is === 'number');
  if (begins === from && !uphill && !run.some(isCondition) && !reached) return undefined;
  const sure = place || reached || run.some(isCondition);
  const marked = scan.pieces.slice(0, begins).findLastIndex(({ is }) => is === 'mark' || is === 'break');
  const reaches = run.some(({ is }) => is === 'number') && scan.pieces[marked]?.is === 'mark';
  const text = scan.text(clause ? startOf(scan, from) : reaches ? marked : begins, endOf(scan, to));
  return {
    text: text.replace(
      /^(?:(?:it|he|she|which|that|this one|it is|it 's|its) )?(?:has|got|have|with|having|is|'s|was) (?:got )?(?:an? )?/,
      '',
    ),
    sure,
  };
}

/**
 * "Tulip poplar 24, bees in it": words behind the name and the size of a tree, of which nobody here knows that they tell
 * something else; undefined where they may point to another tree, mend, count, or be a slip.
 */
export function toldBehind(
  scan: Scan,
  { from, to }: { from: number; to: number },
  used: ReadonlySet<number>,
): { text: string; sure: boolean } | undefined {
  const run = scan.pieces.slice(from, to);
  const rests = [...used].filter((at) => /^(?:number|species)$/.test(scan.pieces[at]!.is));
  const until = endOfClause(scan, to);
  // A number of a clause of its own behind it is another matter.
  if (rests.some((at) => at > from && (at < until || scan.pieces[at]!.is === 'species'))) return undefined;
  const words = run.filter(({ light }) => !light);
  if (!words.every((piece, at) => tellsNothingElse(scan, piece, words[at + 1], words))) return undefined;
  const start = startOf(scan, from);
  const end = until;
  // What a clause tells of a tree is told as a whole, from its last number or name on.
  const begins = 1 + Math.max(start - 1, ...rests.filter((at) => at >= start && at < from));
  const clause = scan.pieces.slice(begins, end);
  const telling = clause.filter(({ light }) => !light);
  // "Seam on the butt log": a mark with its place is told as a whole, too.
  if (
    !(
      words.some((piece) => isSureWord(piece) || piece.is === 'number') ||
      clause.some(({ is }) => is === 'mark')
    )
  )
    return undefined;
  if (begins > start && telling.length < 2) return undefined;
  // Words none of which anybody says may be a slip, or a name.
  if (!telling.some((piece) => piece.is === 'mark' || isKnown(piece))) return undefined;
  // "Dead branch": what is dead is no tree.
  if (clause.some(isState)) return undefined;
  const text = scan.text(begins, end);
  return acts.test(text) ? undefined : { text, sure: true };
}

const isKnown = (piece: SaidPiece): boolean =>
  piece.is === 'number' || isCondition(piece) || isAround(piece) || isCommonWord(piece.text);

/** A word among `words` behind a tree that may only be a remark: free, a mark, a place on the tree, how high that is. */
function tellsNothingElse(
  scan: Scan,
  piece: SaidPiece,
  next: SaidPiece | undefined,
  words: readonly SaidPiece[],
): boolean {
  // "No taper" behind a comma, "bark gone", "the second log".
  if (piece.concepts.has('no')) return next !== undefined && isSureWord(next);
  if (piece.text === 'gone') return words.some((one) => isCondition(one) || one.is === 'number');
  const at = scan.pieces.indexOf(piece);
  const ofLog = /^(?:log|whorl|length|section|fork)$/;
  if (piece.is === 'ordinal') return ofLog.test(scan.pieces[at + 1]?.text ?? '');
  const before = scan.pieces[at - 1];
  if (ofLog.test(piece.text) && (before?.is === 'ordinal' || /^(?:butt|top)$/.test(before?.text ?? '')))
    return true;
  if (piece.text === 'all') return /^(?:over|through|round|around|the way)/.test(next?.text ?? '');
  const told = piece.is === 'mark' || isAround(piece) || (piece.is === 'number' && isTold(scan, piece));
  return (told || isSureWord(piece) || ofPlace.test(piece.text)) && !pointsElsewhere.test(piece.text);
}

const isState = ({ concepts }: SaidPiece): boolean => concepts.has('dead') || concepts.has('live');

const endOfClause = (scan: Scan, from: number): number => {
  const end = scan.pieces.findIndex(({ is }, at) => at >= from && is === 'break');
  return end < 0 ? scan.pieces.length : end;
};

/** Where something is on a tree; without a number no measure. */
const ofPlace =
  /^(?:all over|over|around|round|through|across|above|below|under|in|out|off|from|at|up|down|top|the top|base|the base|butt|crown|foot|bottom|to the top|down low|up high|back|away|to the ground|to the butt|the ground)$/;

/** "Cut that", "or is that huisache": it mends or asks. */
const acts =
  /(?:^| )like (?:it|that|this|him|her|them|those|these|before)(?: |$)|^(?:\S+ (?:that|this|it|him|her|them)$|(?:or|is|was|if|but|so|unless|let|should|would) )/;

/** Words that point to another tree, to what was said before, or tell an amount. */
export const pointsElsewhere =
  /^(?:same|other|others|another|alike|more|before|after|else|instead|twin|double|triple|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|separate|different|both|half|self|less|least|most|not|no|none|nothing|never|yet|again|once|twice|even|ditto|next|previous|last|first)$/;

const isTold = (scan: Scan, piece: SaidPiece): boolean => scan.label(scan.pieces.indexOf(piece)) === 'reach';

/** Words before what is only told of a tree: where it stands, what it has. */
const beforeRemark =
  /^(?:at|by|near|behind|beside|in|on|under|along|against|up|down|out|outside|with|has|got|have|having)$/;

/** Where the words begin that lead to a place. */
function leadOf(scan: Scan, from: number): number {
  let begins = from;
  while (
    begins > 0 &&
    begins > from - 3 &&
    scan.pieces[begins - 1]!.is === 'words' &&
    scan.pieces[begins - 1]!.light
  )
    begins--;
  while (begins < from && !beforeRemark.test(scan.pieces[begins]!.text)) begins++;
  return begins;
}

/** A small word, or "log" behind its place: "in the top log". */
const isLate = ({ light, text }: SaidPiece): boolean => light || text === 'log';

/** The end of a stretch with the small words behind it: "all over it". */
function endOf(scan: Scan, to: number): number {
  let end = to;
  while (end < scan.pieces.length && scan.pieces[end]!.is === 'words' && isLate(scan.pieces[end]!)) end++;
  const whole = end === scan.pieces.length || scan.pieces[end]!.is === 'break';
  return whole ? end : to;
}

const startOf = (scan: Scan, from: number): number => {
  let at = from;
  while (at > 0 && scan.pieces[at - 1]!.is !== 'break') at--;
  return at;
};

/** Nothing else stands in the clause before it, and nothing but light words behind. */
function ownClause(scan: Scan, from: number, to: number): boolean {
  for (let at = from - 1; at >= 0 && scan.pieces[at]!.is !== 'break'; at--)
    if (!scan.pieces[at]!.light) return false;
  for (let at = to; at < scan.pieces.length && scan.pieces[at]!.is !== 'break'; at++)
    if (!scan.pieces[at]!.light) return false;
  return startOf(scan, from) > 0;
}

/** "Call the big beech Old Martha": what somebody calls a tree is told of it. */
function calledDraft(scan: Scan): Draft | undefined {
  const verb = scan.pieces.findIndex(({ text }) => /^(?:call|name|rename|nickname)$/.test(text));
  const target = targetOf(scan);
  if (verb < 0 || verb > 1 || target === undefined) return undefined;
  const behind = scan.pieces.slice(Math.max(...target.used) + 1).filter(({ is }) => is !== 'break');
  const [first] = behind;
  const quoted = first?.text === '"' || first?.text === "'";
  const plain = behind.every(({ is, number }) => is !== 'number' && number === undefined);
  if (first === undefined || !plain || (!quoted && !behind.every(({ capital, light }) => capital || light)))
    return undefined;
  const name = behind.flatMap(({ name: own, text }) => (/^["']$/.test(text) ? [] : [own ?? text])).join(' ');
  return {
    notes: [handOf(target), { kind: 'remark', text: `called ${name.replaceAll(" '", "'")}` }],
    used: everyPlace(scan),
    against: 0.3,
  };
}

/** "Nothing but small stuff", "mostly bracken": what is told of a place. */
function mostlyDraft(scan: Scan): Draft | undefined {
  const told = /^(?:it is |there is |it has )?(?:nothing but|nothing except|only|all|mostly|mainly) /.test(
    scan.text(),
  );
  const plain = scan.pieces.every(
    ({ is, concepts }) =>
      is === 'words' && (concepts.size === 0 || concepts.has('empty') || concepts.has('not')),
  );
  if (!told || !plain || !scan.pieces.some(({ unknown }) => unknown)) return undefined;
  return { notes: [{ kind: 'remark', text: scan.text() }], used: everyPlace(scan), against: 0.3 };
}

/** What is to be written down: behind a word of noting, or told of a tree that is named and known by no other word. */
export function remarkDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'scratch', 'restore')) return undefined;
  const mostly = mostlyDraft(scan);
  if (mostly !== undefined) return mostly;
  const called = calledDraft(scan);
  if (called !== undefined) return called;
  return scan.has('remark') ? notedDraft(scan) : (ofNamed(scan) ?? ofSubject(scan) ?? ofInHand(scan));
}

function notedDraft(scan: Scan): Draft | undefined {
  const noted = scan.at('remark');
  const target = targetOf(scan) ?? notedTarget(scan, noted);
  const last = noted === scan.pieces.length - 1;
  if (last && noted > 0 && scan.pieces[noted - 1]!.is !== 'break') return undefined;
  // Only words that say nothing are no remark.
  if (scan.pieces.every(({ is, light }, at) => at === noted || light || is !== 'words')) return undefined;
  const behind = scan
    .text(noted + 1)
    .replace(/^(?:that|there is|, |on|about|for|here) /, '')
    .replace(/^, /, '');
  const before = scan.text(0, noted).replace(/[ ,]+$/, '');
  const said = behind.split(' ').filter((word) => word !== ',').length >= 2 ? behind : before;
  const named =
    target === undefined
      ? undefined
      : /^(?:(?:on|about|for|to) )?(?:the|that) .+?(?:,| as an?| that| has| is|'s(?: got)?| :) /.exec(said);
  const text =
    named === null || named === undefined || said.length - named[0].length < 4
      ? said
      : said.slice(named[0].length);
  if (
    said.split(' ').length < 2 ||
    (said === before && behind !== '') ||
    (noted > 0 &&
      said === behind &&
      target === undefined &&
      !scan.pieces.slice(0, noted).every(({ light, is }) => light || is === 'break'))
  )
    return undefined;
  const remark: Note = { kind: 'remark', text };
  return {
    notes: target === undefined ? [remark] : [handOf(target), remark],
    used: everyPlace(scan),
    against: 0.5,
  };
}

/** "Note on the beech: ...", "for the second oak: ...". */
function notedTarget(scan: Scan, noted: number): Target | undefined {
  const [at] = scan.species;
  if (at === undefined || at < noted || !scan.before(at, /^(?:on|about|for|to)$/)) return undefined;
  return { which: { species: scan.name(at) }, used: [at] };
}

/** "The third lime has a wasps' nest", "42.0 has a double leader", "pine 51 has blister rust". */
function ofNamed(scan: Scan): Draft | undefined {
  const target = targetOf(scan) ?? sizeTarget(scan);
  if (target === undefined) return undefined;
  const verb = verbBehind(scan, Math.max(...target.used));
  if (isLeaning(scan, verb)) return leaning(scan, [handOf(target)]);
  if (verb < 0 || !isRemarkFrom(scan, verb)) return undefined;
  if (scan.species.some((at) => !target.used.includes(at))) return undefined;
  const draft = drafted(scan, verb, [handOf(target)]);
  // "Pine fifty one has rust": that pine, before another one with a remark.
  return scan.species.length > 0 && target.which?.diameter !== undefined ? { ...draft, against: 0.2 } : draft;
}

/** Notes with one behind them: there is a first. */
function several(before: readonly Note[], last: Note): readonly [Note, ...Note[]] {
  const [first, ...others] = before;
  return first === undefined ? [last] : [first, ...others, last];
}

function drafted(scan: Scan, verb: number, before: readonly Note[]): Draft {
  const rest = scan.pieces.slice(verb + 1);
  const isIt = /^(?:is|'s|was)$/.test(scan.pieces[verb]!.text);
  const [first] = rest;
  const named = isIt && /^an?$/.test(first?.text ?? '') && rest.filter((piece) => !piece.light).length === 1;
  const sure = !named && rest.filter(isFree).every(isSureWord);
  const from = /^(?:has|got|had|is|'s|was|have)$/.test(scan.pieces[verb]!.text) ? verb + 1 : verb;
  const text = scan
    .text(from)
    .replace(/^(?:got |been |being )?(?:an? )?/, (lead) => (/been/.test(lead) ? 'been ' : ''));
  return {
    notes: several([...before, ...marksFrom(scan, verb)], { kind: 'remark', text }),
    used: everyPlace(scan),
    against: 0.5,
    ...(sure ? {} : { unsure: true }),
  };
}

const isLeaning = (scan: Scan, verb: number): boolean =>
  scan.pieces[verb]?.text === 'leans' && scan.pieces.slice(verb + 1).every(({ light }) => light);

/** "Last one leans", without how far. */
function leaning(scan: Scan, before: readonly Note[]): Draft {
  const leans: Note = { kind: 'tree', facts: { marks: ['leaning'] } };
  return { notes: several(before, leans), used: everyPlace(scan), against: 0 };
}

/** Marks are marks in a remark, too. */
function marksFrom(scan: Scan, from: number): Note[] {
  const marks = scan.pieces.slice(from).flatMap(({ mark }) => mark ?? []);
  return marks.length === 0 ? [] : [{ kind: 'tree', facts: { marks } }];
}

/** A size or a species with its size before what it has; no tree begins so. */
function sizeTarget(scan: Scan): Target | undefined {
  const species = scan.pieces[0]!.is === 'species' ? 0 : -1;
  const { is, number } = scan.pieces[species + 1] ?? scan.pieces[0]!;
  if (is !== 'number' || number === undefined || number.sign !== undefined) return undefined;
  if (number.unit !== undefined && number.unit !== 'in' && number.unit !== 'cm') return undefined;
  const which = { diameter: number.value };
  return species < 0 ? { which, used: [0] } : { which: { ...which, species: scan.name(0) }, used: [0, 1] };
}

/** The verb right behind a name; -1 where none is. */
function verbBehind(scan: Scan, at: number): number {
  for (let to = at + 1; to < scan.pieces.length && to < at + 4; to++) {
    const { text, is, concepts } = scan.pieces[to]!;
    if (is !== 'words') return -1;
    if (isTelling(text) || (concepts.has('has') && text !== 'with')) return to;
    if (!/^(?:tree|one|ones|still|also)$/.test(text)) return -1;
  }
  return -1;
}

/** From a verb on there are free words, and nothing that tells something else. */
function isRemarkFrom(scan: Scan, verb: number): boolean {
  const rest = scan.pieces.slice(verb + 1);
  const plain = rest.every(
    (piece, at) =>
      piece.is === 'break' ||
      piece.is === 'mark' ||
      isPlain(piece) ||
      (piece.concepts.has('not') && rest[at + 1] !== undefined && isFree(rest[at + 1]!)) ||
      (piece.is === 'number' && isTold(scan, piece)),
  );
  const marked = rest.some(({ is }) => is === 'mark') && rest.some(({ is }) => is === 'number');
  return plain && (marked || rest.some(isFree));
}

/** "Porcupine's been chewing the hemlock", "woodpeckers are in the dead oak". */
function ofSubject(scan: Scan): Draft | undefined {
  if (scan.numbers.length > 0 || scan.species.length !== 1) return undefined;
  const target = targetOf(scan);
  if (target === undefined) return undefined;
  const [first] = target.used;
  const lead = scan.pieces.slice(0, Math.min(...target.used));
  if (first === undefined || !lead.some((piece) => isFree(piece))) return undefined;
  if (!scan.pieces.every((piece, at) => target.used.includes(at) || piece.is === 'break' || isPlain(piece)))
    return undefined;
  const verb = lead.findIndex(
    ({ text }, at) => at > 0 && /^(?:is|are|was|were|'s|has|have|had|been)$/.test(text),
  );
  const sure =
    (verb > 0 && isFree(lead[verb - 1]!) && !isSlipped(lead[verb - 1]!.text)) || isSeenOn(scan, lead);
  return {
    notes: [handOf(target), { kind: 'remark', text: scan.text() }],
    used: everyPlace(scan),
    against: 0.7,
    ...(sure ? {} : { unsure: true }),
  };
}

/** "Badgers under the big oak", "woodpecker hole in the fat beech": something that is known leads to where it is. */
function isSeenOn(scan: Scan, lead: readonly SaidPiece[]): boolean {
  const placed = /(?:^| )(?:in|on|under|at|by|near|around|up|below|beside|behind) (?:the|that|this)(?: |$)/;
  const free = scan.pieces.filter((piece) => piece.is === 'words' && !piece.light && isFree(piece));
  return (
    placed.test(lead.map(({ text }) => text).join(' ')) &&
    free.every(isSureWord) &&
    lead.some((piece) => isCondition(piece) || isAround(piece))
  );
}

const inHand =
  /^(?:it|that one|this one|last one|the last one|that|this|she|he|that tree|this tree|the tree|last tree|tree|one)$/;

const leading = /^(?:the|and|oh|also|so|well|big|little|small|wee|old|tall|fat|thin|thick|other|young)$/;

/** "It has a wasps' nest", "last one leans", "pruned to six metres": of the tree in hand. */
function ofInHand(scan: Scan): Draft | undefined {
  if (scan.species.length > 0) return undefined;
  let at = 0;
  while (
    at < scan.pieces.length &&
    (inHand.test(scan.pieces[at]!.text) || leading.test(scan.pieces[at]!.text))
  )
    at++;
  const first = scan.pieces[at];
  if (first === undefined) return undefined;
  const verb =
    at > 0 && (isTelling(first.text) || (first.concepts.has('has') && first.text !== 'with')) ? at : -1;
  if (isLeaning(scan, verb)) return leaning(scan, []);
  const reaches = scan.of('reach').length > 0;
  if (verb < 0 && !(isCondition(first) || (first.is === 'mark' && reaches))) return undefined;
  if (!isRemarkFrom(scan, verb < 0 ? at - 1 : verb)) return undefined;
  // "It's late" is no remark on a tree.
  const seen = scan.pieces.some((piece) => isCondition(piece) || piece.is === 'mark');
  if (!seen && !scan.pieces.slice(0, at).some(({ text }) => /\b(?:one|tree)$/.test(text))) return undefined;
  const sure = seen && !isDescribed(scan);
  if (verb >= 0) return sure ? drafted(scan, verb, []) : { ...drafted(scan, verb, []), unsure: true };
  const remark: Note = { kind: 'remark', text: scan.text(at) };
  return {
    notes: several(marksFrom(scan, at), remark),
    used: everyPlace(scan),
    against: 0.5,
    ...(reaches ? {} : { unsure: true }),
  };
}
