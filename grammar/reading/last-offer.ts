/**
 * What is offered where nothing was read: the note of the example that has all numbers, names and telling words of what was
 * said in it, with the words that nobody knows named; or, of talk without any of these, a remark. Yes keeps it; what is
 * offered is never kept by itself.
 */
import { lengths } from '../../shared/note/limits.ts';
import type { Candidate } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import type { Composer } from './composer.ts';
import type { Reader } from './exact.ts';
import { ownExample } from './own-example.ts';
import type { SaidPiece } from './pieces.ts';
import type { Scan } from './scan.ts';
import { tellsMuch } from './telling.ts';

/** Words of talk that are worth a remark. */
const leastWords = 4;

/** The offer; undefined where there is none that leaves nothing out. */
export function lastOffer(text: string, composer: Composer, reader: Reader): Candidate | undefined {
  const said = composer.asSaid(text);
  if (said === undefined || said.unknown.length === 0 || said.scan.asked) return undefined;
  const { scan, unknown } = said;
  const unread = unknown.join(', ');
  const example = ownExample(scan, reader);
  if (example === undefined || example.startsWith('remark ')) {
    const words = scan.pieces.filter(({ is }) => is !== 'break').length;
    // With a number something was measured: that is better said anew.
    if (words < leastWords || scan.numbers.length > 0 || text.length > lengths.remark) return undefined;
    return { notes: [{ kind: 'remark', text: scan.text() }], words: text, posterior: 0.5, unread };
  }
  const other = composer.asSaid(example)?.scan;
  const read = reader.read(example);
  if (other === undefined || !read.ok || !hasAllOf(scan, other)) return undefined;
  const { notes } = read.value[0]!;
  // What is left over may tell which: yes would take back another.
  if (notes.some(({ kind }) => kind === 'scratch' || kind === 'undo' || kind === 'restore')) return undefined;
  return { notes, words: text, posterior: 0.5, unread };
}

/** What an example need not repeat: who, and that a girth or a diameter is all the way round, at breast height. */
const aside: ReadonlySet<Concept> = new Set<Concept>(['each', 'kin', 'person', 'dbh']);

/** Whether all that tells something in what was said stands in the example too. */
function hasAllOf(scan: Scan, example: Scan): boolean {
  const there = example.pieces.map(({ text }) => text);
  const has = (piece: SaidPiece): boolean =>
    there.includes(piece.text) ||
    (piece.is === 'words' && [...piece.concepts].some((one) => aside.has(one) || example.has(one)));
  return (
    scan.numbers.length > 0 && scan.pieces.every((piece) => piece.light || !tellsMuch(piece) || has(piece))
  );
}
