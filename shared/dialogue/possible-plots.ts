/** Of two readings of one plot the one that can be: what is not there yet has no size to put right, and what is there is not begun. */
import type { Note } from '../note/note.ts';
import type { Context } from './outcome.ts';
import { kindInUse, kindOfSize, plotMeant, plotTaken } from './plot-meant.ts';
import type { Utterance } from './types.ts';

type InHand = Pick<Context, 'book' | 'device' | 'deviceState'>;

function canBe(inHand: InHand, note: Note | undefined): boolean {
  if (note?.kind !== 'plot' || note.number === undefined) return true;
  const { book, device } = inHand;
  if (note.op === 'size' || note.op === 'slope' || note.op === 'reopen')
    return plotMeant(inHand, note.number) !== null;
  if (note.op !== 'open') return true;
  const size = note.size?.by === 'sides' ? null : (note.size ?? null);
  const kind = kindOfSize(size) ?? kindInUse(inHand);
  return plotTaken(book, note.number, book.standOf(device)?.id ?? null, kind) === undefined;
}

/** Typed words that mean one plot in two ways, of which the book allows one. */
export function withPossiblePlots(inHand: InHand, utterance: Utterance): Utterance {
  const { candidates, heard } = utterance;
  const notes = candidates.map(({ notes: [only, ...more] }) => (more.length === 0 ? only : undefined));
  const numbers = new Set(notes.map((note) => (note?.kind === 'plot' ? note.number : undefined)));
  const [number] = numbers;
  if (heard !== undefined || candidates.length < 2 || numbers.size > 1 || number === undefined)
    return utterance;
  const [one, ...others] = candidates.filter((_, at) => canBe(inHand, notes[at]));
  return one === undefined || others.length > 0 || one.unread !== undefined
    ? utterance
    : { ...utterance, candidates: [{ ...one, posterior: 1 }] };
}
