/** What was said, made ready to be cut: without what only turns it round, put right as it was said; and where it may be cut. */
import { withAlike } from './compose-alike.ts';
import { withLeftOut, withOneMore } from './compose-lists.ts';
import type { Pieces, SaidPiece } from './pieces.ts';

/** Pieces of a breath as they are put together, and whether it is a question. */
export function prepared(said: Pieces): { readonly pieces: readonly SaidPiece[]; readonly asked: boolean } {
  const { pieces, tagged } = withoutTag(withoutReason(said.pieces));
  return {
    pieces: withAlike(withOneMore(withLeftOut(mendedAtOnce(saidOver(pieces.map(roughly)))))),
    asked: said.asked || tagged,
  };
}

const reason =
  /^(?:there (?:was|is|were)|because|since|as there|cos|cuz|it was|i was|i had|i have|i already|i could not|i did not|we were|we had|could not|was in|had a|my |the wind|wind |too |got the|did not)/;
const ofReason: ReadonlySet<string> = new Set(
  'in,here,that,one,has,off,walk,aside,tree,top,laid,why,not,out,tape,pace,base,condition,hill,level,angle,stick,eye,next,rot,over,fix,doubts,retake'.split(
    ',',
  ),
);

/** Why somebody puts right what was said: it is about who said it. */
const ownSlip =
  /^(?:my (?!eyes? (?:is|are|height))|fat fingers|typo|slip of|i (?:misread|mistyped|miscounted|was|had|read|did not|could not))/;

/** Why something is taken back or put right, behind it: "scrap that one, there was a branch in the way", "31 should be 21, fat fingers". */
function withoutReason(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  for (let at = pieces.length - 1; at > 1; at--) {
    const before = pieces.slice(0, at);
    const parted = before.at(-1)?.is === 'break';
    const words = pieces
      .slice(at)
      .map(({ text }) => text)
      .join(' ');
    const takes = before.some(({ concepts }) => concepts.has('scratch'));
    const mends =
      before.some(({ concepts }) => concepts.has('fix')) && before.some(({ is }) => is === 'number');
    // Without a comma only who spoke, and what was there, begins a reason.
    const why = takes
      ? reason.test(words) && (parted || /^(?:i |there |because )/.test(words))
      : mends && parted && ownSlip.test(words);
    if (why && !pieces.slice(at).some(tellsOf)) return withoutReason(trimmed(before));
  }
  return pieces;
}

const tellsOf = ({ is, concepts }: SaidPiece): boolean =>
  is === 'number' || is === 'species' || is === 'mark' || [...concepts].some((one) => !ofReason.has(one));

/** "Isn't it", "can it", "eh": it asks whether what stands before it is so. */
const tag =
  /^(?:(?:is|are|was|were|does|do|did|can|could|has|have|will|would) (?:not )?(?:it|that|they|he|she)|eh|innit|huh)$/;

/** Pieces without a question behind them that only turns them round; behind a comma, or behind "that can't be right". */
function withoutTag(pieces: readonly SaidPiece[]): { pieces: readonly SaidPiece[]; tagged: boolean } {
  for (let at = pieces.length - 1; at > 1 && at >= pieces.length - 4; at--) {
    const words = pieces.slice(at).map(({ text }) => text);
    const before = pieces.slice(0, at);
    if (tag.test(words.join(' ')) && (before[at - 1]!.is === 'break' || isDoubted(before)))
      return { pieces: trimmed(before), tagged: true };
  }
  return { pieces, tagged: false };
}

const isDoubted = (pieces: readonly SaidPiece[]): boolean =>
  pieces.some(({ concepts }) => concepts.has('why'));

/** What was said wrong with the right value, in its unit; undefined where the two are no such pair. */
function putRight(wrong: SaidPiece, right: SaidPiece): SaidPiece | undefined {
  if (wrong.is === 'species') return right;
  const { number } = right;
  const unit = wrong.number?.unit;
  if (wrong.is !== 'number' || number === undefined) return undefined;
  if (number.unit !== undefined && number.unit !== unit) return undefined;
  if (unit === undefined || number.unit !== undefined) return right;
  return { ...right, text: `${right.text} ${unit}`, number: { ...number, unit } };
}

/** "Both around twelve" is about twelve, no girth; "47 inches around" is one. */
function roughly(piece: SaidPiece, at: number, all: readonly SaidPiece[]): SaidPiece {
  const rough = /^(?:around|round)$/.test(piece.text) && all[at + 1]?.is === 'number';
  const behind =
    all[at - 1]?.is === 'number' || all.slice(0, at).some(({ concepts }) => concepts.has('tape'));
  return rough && !behind ? { ...piece, concepts: new Set(), light: true } : piece;
}

/** "Sixteen, one six": the same number said over by its figures. */
const saidOver = (pieces: readonly SaidPiece[]): readonly SaidPiece[] =>
  pieces.filter(({ number }, at) => {
    const before = pieces[at - 1]?.is === 'break' ? pieces[at - 2]?.number : undefined;
    return (
      before === undefined || number?.pair === undefined || number.pair.join('') !== String(before.value)
    );
  });

/** "The hemlock, I mean the beech, is hollow": the tree that is spoken of, put right before anything is told of it. */
function isOtherTree(pieces: readonly SaidPiece[], at: number): boolean {
  if (!/^(?:i mean|i meant|rather|or rather|sorry|correction)$/.test(pieces[at]!.text)) return false;
  const before = pieces.slice(0, at).filter(({ is }) => is !== 'break');
  const behind = pieces.slice(at + 1).filter(({ is }) => is !== 'break');
  const isNamed = (one: SaidPiece | undefined, name: SaidPiece | undefined): boolean =>
    /^(?:the|that)$/.test(one?.text ?? '') && name?.is === 'species';
  const told = /^(?:is|was|has|'s|had)$/.test(behind[2]?.text ?? '');
  return told && isNamed(before.at(-2), before.at(-1)) && isNamed(behind[0], behind[1]);
}

/** "Three logs, no wait, two": what is put right as it is said. */
function mendedAtOnce(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  for (let at = 1; at < pieces.length; at++) {
    if (!pieces[at]!.concepts.has('no') && !isOtherTree(pieces, at)) continue;
    let before = at - 1;
    while (before >= 0 && (pieces[before]!.is === 'break' || pieces[before]!.light)) before--;
    let behind = at + 1;
    while (
      behind < pieces.length &&
      (pieces[behind]!.is === 'break' || pieces[behind]!.light || pieces[behind]!.concepts.has('fix'))
    )
      behind++;
    const [wrong, right] = [pieces[before], pieces[behind]];
    if (wrong === undefined || right === undefined || wrong.is !== right.is || behind - before > 7) continue;
    // "80 not 180, no hang on 68": what stands before the "not" is put right.
    const denied = pieces[before - 1]?.concepts.has('not') === true && pieces[before - 2]?.is === wrong.is;
    const put = putRight(denied ? pieces[before - 2]! : wrong, right);
    if (put === undefined) continue;
    const kept = denied ? [put, ...pieces.slice(before - 1, before + 1)] : [put];
    return mendedAtOnce([
      ...pieces.slice(0, denied ? before - 2 : before),
      ...kept,
      ...pieces.slice(behind + 1),
    ]);
  }
  return pieces;
}

/** Where a breath may be cut: behind each break, and before a second species. */
export function bordersOf(pieces: readonly SaidPiece[]): number[] {
  const borders = [0];
  let species = false;
  pieces.forEach((piece, at) => {
    if (piece.is === 'break') {
      borders.push(at + 1);
      species = false;
    } else if (beginsSetting(pieces, at)) {
      borders.push(at);
    } else if (piece.is === 'species') {
      const before = pieces[at - 1];
      if (species && before?.is === 'number') borders.push(at);
      // "P3 beech 20": a plot, and what stands on it.
      else if (before?.is === 'number' && pieces[at - 2]?.concepts.has('plot') === true) borders.push(at);
      species = true;
    }
  });
  if (pieces.length > 0) borders.push(pieces.length);
  return [...new Set(borders)];
}

/** "Pace 0.72 m eye 158 cm": another setting begins behind the number of the first. */
function beginsSetting(pieces: readonly SaidPiece[], at: number): boolean {
  const own = pieces[at]!;
  const names = (piece: SaidPiece): boolean => piece.concepts.has('eye') || piece.concepts.has('pace');
  if (own.is === 'number' || !names(own) || pieces[at - 1]?.is !== 'number') return false;
  const clause = pieces.slice(0, at).findLastIndex(({ is }) => is === 'break');
  const behind = pieces.slice(at + 1).findIndex(({ is }) => is === 'break' || is === 'number');
  return pieces.slice(clause + 1, at).some(names) && pieces[at + 1 + behind]?.is === 'number';
}

export function trimmed(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  let to = pieces.length;
  while (to > 0 && pieces[to - 1]!.is === 'break') to--;
  return pieces.slice(0, to);
}
