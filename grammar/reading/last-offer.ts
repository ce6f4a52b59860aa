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
import { tellsMuch } from './telling.ts';

/** What a refusal, or an offer in its place, is made with. */
export interface RefusalParts {
  readonly reader: Reader;
  readonly frames: ClauseFrames;
  readonly composer: Composer;
}

/** Words of talk that are worth a remark. */
const leastWords = 4;

/** The offer; undefined where there is none that leaves nothing out. */
export function lastOffer(text: string, { reader, frames, composer }: RefusalParts): Candidate | undefined {
  const said = composer.asSaid(text);
  if (said === undefined || said.unknown.length === 0 || said.scan.asked) return undefined;
  const { scan, unknown } = said;
  const unread = unknown.join(', ');
  const offer = (notes: Candidate['notes']): Candidate => ({ notes, words: text, posterior: 0.5, unread });
  const own = ownExample(scan, reader);
  const read = own === undefined || own.startsWith('remark ') ? undefined : reader.read(own);
  if (own !== undefined && read?.ok && scan.numbers.length > 0 && hasAllOf(scan, own, composer)) {
    const { notes } = read.value[0]!;
    // What is left over may tell which: yes would take back another.
    if (notes.every(({ kind }) => kind !== 'scratch' && kind !== 'undo' && kind !== 'restore'))
      return offer(notes);
  }
  const words = scan.pieces.filter(({ is }) => is !== 'break').length;
  const measured = scan.species.some((at) => scan.pieces[at + 1]?.is === 'number');
  const talk = words >= leastWords && !measured && !scan.has(...doing) && text.length <= lengths.remark;
  // Where there is an example of the kind, it is better said anew.
  const example = exampleFor(text, said.scan, { reader, frames, composer });
  return talk && (example === undefined || example.startsWith('remark '))
    ? offer([{ kind: 'remark', text: scan.text() }])
    : undefined;
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

/**
 * The nearest example: of what was said, with all of it or with one of its numbers where nothing is changed; else that of
 * the description which shares a word that tells something. Undefined where none is near.
 */
export function exampleFor(
  text: string,
  scan: Scan,
  { reader, frames, composer }: RefusalParts,
): string | undefined {
  const own = ownExample(scan, reader);
  if (own !== undefined && (hasAllOf(scan, own, composer) || hasOneOf(scan, own, composer))) return own;
  const near = frames.nearest(normalise(text).replaceAll(',', '').split(' '))?.example;
  const other = near === undefined ? undefined : composer.asSaid(near)?.scan;
  const shares = (piece: SaidPiece): boolean =>
    piece.is === 'words' &&
    !piece.light &&
    tellsMuch(piece) &&
    [...piece.concepts].some((one) => !turning.has(one) && other?.has(one) === true);
  return scan.pieces.some(shares) ? near : undefined;
}

/** Shared by things that are not alike. */
const turning: ReadonlySet<Concept> = new Set<Concept>(['no', 'not', 'fix', 'one', 'that', 'over', 'each']);

/** One of the numbers or names stands in the example, not alone, and no number is to be changed. */
function hasOneOf(scan: Scan, example: string, composer: Composer): boolean {
  const there = (composer.asSaid(example)?.scan.pieces ?? []).filter(({ is }) => is !== 'break');
  const texts = there.map(({ text }) => text);
  const wanted = scan.numbers.length > 0 ? scan.numbers : scan.species;
  return (
    there.length > 1 &&
    !(scan.numbers.length > 0 && scan.has('no', 'fix', 'scratch')) &&
    wanted.some((at) => texts.includes(scan.pieces[at]!.text))
  );
}

/** What an example need not repeat: who, and that a girth or a diameter is all the way round, at breast height. */
const aside: ReadonlySet<Concept> = new Set<Concept>(['each', 'kin', 'person', 'dbh']);

/** Whether all that tells something in what was said stands in the example too. */
function hasAllOf(scan: Scan, example: string, composer: Composer): boolean {
  const other = composer.asSaid(example)?.scan;
  const there = other?.pieces.map(({ text }) => text) ?? [];
  const has = (piece: SaidPiece): boolean =>
    there.includes(piece.text) ||
    (piece.is === 'words' && [...piece.concepts].some((one) => aside.has(one) || other?.has(one) === true));
  return scan.pieces.every((piece) => piece.light || !tellsMuch(piece) || has(piece));
}
