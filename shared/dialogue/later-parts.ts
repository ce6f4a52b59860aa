/**
 * Parts of the conversation that the first notes of a book do not need. A page fetches them in one piece with the first note
 * that does, and from the start where the book holds a walk: this is their door, and nothing else imports them.
 */
import type { Book } from '../book/book.ts';
import type { Note } from '../note/note.ts';
import { isOfPhones, type LaterParts, landKinds, landTopics } from './outcome.ts';

const later: ReadonlySet<string> = new Set<Note['kind']>([
  ...landKinds,
  'scratch',
  'undo',
  'restore',
  'change',
  'answer',
  'pick',
]);

const needs = (note: Note): boolean =>
  later.has(note.kind) ||
  isOfPhones(note) ||
  (note.kind === 'ask' && (landTopics as readonly string[]).includes(note.about));

let parts: LaterParts | null = null;

/** `asked`: whether a question is open, whose answer may be a change; kept once they are here. */
export async function laterParts(
  book: Book,
  notes: readonly Note[],
  asked: boolean,
): Promise<LaterParts | null> {
  if (parts === null && (asked || book.land.any || notes.some(needs))) parts = await import('./later.ts');
  return parts;
}
