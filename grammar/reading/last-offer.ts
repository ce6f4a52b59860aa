/**
 * What is offered where nothing was read: the note of the example that has all numbers, names and telling words of what was
 * said in it, with the words that nobody knows named; or, of talk without any of these, a remark. Yes keeps it; what is
 * offered is never kept by itself.
 */
import { lengths } from '../../shared/note/limits.ts';
import type { Candidate } from '../../shared/note/note.ts';
import { normalise } from '../description/normalise.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import type { Composer } from './composer.ts';
import type { Reader } from './exact.ts';
import type { ClauseFrames } from './frames.ts';
import { ownExample } from './own-example.ts';
import type { SaidPiece } from './pieces.ts';
import type { Scan } from './scan.ts';
import { tellsMuch, turnsBack } from './telling.ts';

/** What a refusal, or an offer in its place, is made with. */
export interface RefusalParts {
  readonly reader: Reader;
  readonly frames: ClauseFrames;
  readonly composer: Composer;
}

/** Words of talk that are worth a remark. */
const leastWords = 4;

/** What was said in one stretch, by its pieces, with the nearest example of it. */
export interface Unread {
  readonly scan: Scan;
  /** Words that nobody here knows. */
  readonly unknown: readonly string[];
  /** Undefined where none is near. */
  readonly example: string | undefined;
  /** Whether the example has all that tells something, so that it may be offered. */
  readonly whole: boolean;
}

/** Looks at words that were not read; undefined where signs stand in them that nobody types. */
export function unreadOf(text: string, { reader, frames, composer }: RefusalParts): Unread | undefined {
  const said = composer.asSaid(text);
  if (said === undefined) return undefined;
  const { scan } = said;
  const own = ownExample(scan, reader);
  const ofOwn = own === undefined ? undefined : composer.asSaid(own)?.scan;
  if (ofOwn !== undefined) {
    const whole = hasAllOf(scan, ofOwn);
    if (whole || hasOneOf(scan, ofOwn)) return { ...said, example: own, whole };
  }
  // Else that of the description which shares a word that tells something.
  const near = frames.nearest(normalise(text).replaceAll(',', '').split(' '))?.example;
  const other = near === undefined ? undefined : composer.asSaid(near)?.scan;
  const shares = (piece: SaidPiece): boolean =>
    piece.is === 'words' &&
    !piece.light &&
    tellsMuch(piece) &&
    [...piece.concepts].some((one) => !sharedByAll.has(one) && other?.has(one) === true);
  return { ...said, example: scan.pieces.some(shares) ? near : undefined, whole: false };
}

/** The offer; undefined where there is none that leaves nothing out. */
export function lastOffer(
  text: string,
  { scan, unknown, example, whole }: Unread,
  reader: Reader,
): Candidate | undefined {
  if (unknown.length === 0 || scan.asked) return undefined;
  const unread = unknown.join(', ');
  const offer = (notes: Candidate['notes']): Candidate => ({ notes, words: text, posterior: 0.5, unread });
  const asRemark = example?.startsWith('remark ') === true;
  const read = whole && example !== undefined && !asRemark ? reader.read(example) : undefined;
  if (read?.ok && scan.numbers.length > 0) {
    const { notes } = read.value[0]!;
    if (!turnsBack(notes)) return offer(notes);
  }
  // Where there is an example of the kind, it is better said anew.
  if (example !== undefined && !asRemark) return undefined;
  const words = scan.pieces.filter(({ is }) => is !== 'break').length;
  const measured = scan.species.some((at) => scan.pieces[at + 1]?.is === 'number');
  const talk = words >= leastWords && !measured && !scan.has(...doing) && text.length <= lengths.remark;
  return talk ? offer([{ kind: 'remark', text: scan.text() }]) : undefined;
}

/** Words of taking back, asking and beginning: no talk. */
const doing: readonly Concept[] = [
  'scratch',
  'restore',
  'ask',
  'howMany',
  'howMuch',
  'open',
  'close',
  'reopen',
];

/** Shared by things that are not alike. */
const sharedByAll: ReadonlySet<Concept> = new Set<Concept>([
  'no',
  'not',
  'fix',
  'one',
  'that',
  'over',
  'each',
]);

/** One of the numbers or names stands in the example, not alone, and no number is to be changed. */
function hasOneOf(scan: Scan, example: Scan): boolean {
  const texts = example.pieces.flatMap(({ is, text }) => (is === 'break' ? [] : [text]));
  const wanted = scan.numbers.length > 0 ? scan.numbers : scan.species;
  return (
    texts.length > 1 &&
    !(scan.numbers.length > 0 && scan.has('no', 'fix', 'scratch')) &&
    wanted.some((at) => texts.includes(scan.pieces[at]!.text))
  );
}

/** What an example need not repeat: who, and that a girth or a diameter is all the way round, at breast height. */
const aside: ReadonlySet<Concept> = new Set<Concept>(['each', 'kin', 'person', 'dbh']);

/** Whether all that tells something in what was said stands in the example too. */
function hasAllOf(scan: Scan, example: Scan): boolean {
  const texts = example.pieces.map(({ text }) => text);
  const has = (piece: SaidPiece): boolean =>
    texts.includes(piece.text) ||
    (piece.is === 'words' && [...piece.concepts].some((one) => aside.has(one) || example.has(one)));
  return scan.pieces.every((piece) => piece.light || !tellsMuch(piece) || has(piece));
}
