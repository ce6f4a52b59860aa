/**
 * What was told before a note, as the network is shown it. "And back, 39" is a second walk behind a first one, and how
 * somebody numbers plots or counts trees shows in what they told just now. Nothing can be copied from it: what a note comes
 * to has the numbers and names of that note alone.
 */
import { mostBefore, type ToldBefore } from '../../../shared/dialogue/told-before.ts';
import type { SaidPiece } from '../pieces.ts';
import { symbolsOf } from './symbols.ts';

/** Words that stand for it where it is taken in: first the units, then each utterance. */
export function shownBefore(
  { told, metric }: ToldBefore,
  piecesOf: (text: string) => readonly SaidPiece[],
): readonly (readonly string[])[] {
  const words = (text: string): string[] => symbolsOf(piecesOf(text)).flatMap(({ shown }) => shown);
  return [[metric ? 'meters' : 'feet'], ...told.slice(0, mostBefore).map(words)];
}
