/** "Ten points will do": so many of them, and none of that number. */
import type { Note } from '../../shared/note/note.ts';
import type { SaidPiece } from './pieces.ts';

export const pluralPlots = /^(?:plots|points|stops|circles|stations|samples|quadrats|pts|plts)$/;

/** Whether a number tells how many plots there are: it stands right before a word for several. */
export function countsPlots(pieces: readonly SaidPiece[], at: number): boolean {
  const behind = pieces
    .slice(at + 1)
    .find(({ light, text }) => !light && !/^(?:fixed|prism|sample|gauge|more|other)$/.test(text));
  return pieces[at]?.number?.unit === undefined && behind?.is === 'words' && pluralPlots.test(behind.text);
}

/** Whether notes make the number of a plot of such a count. */
export function numbersACount(pieces: readonly SaidPiece[], notes: readonly Note[]): boolean {
  const numbers = [...pieces.keys()].filter((at) => pieces[at]!.is === 'number');
  const counts = numbers.filter((at) => countsPlots(pieces, at));
  return notes.some((note) => {
    if (note.kind !== 'plot' || note.number === undefined) return false;
    const of = numbers.filter((at) => pieces[at]!.number?.value === note.number);
    return of.length > 0 && of.every((at) => counts.includes(at));
  });
}
