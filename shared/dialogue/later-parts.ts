/**
 * Parts of the conversation that the first notes of a book do not need. A page fetches them in one piece with the first note
 * that does, which waits for them, and from the start where the book holds a walk: this is their door, and nothing else
 * imports them, but the screens that ask the book themselves (`ask-book.ts`).
 */
import type { Book } from '../book/book.ts';
import { err, ok, type Result } from '../core/result.ts';
import type { Note } from '../note/note.ts';
import { isOfPhones, type LaterParts, landKinds } from './outcome.ts';

const later: ReadonlySet<string> = new Set<Note['kind']>([
  ...landKinds,
  'scratch',
  'undo',
  'restore',
  'change',
  'answer',
  'pick',
  'ask',
]);

const needs = (note: Note): boolean =>
  later.has(note.kind) ||
  isOfPhones(note) ||
  (note.kind === 'plot' && /^(?:count|borders|plan|least)$/.test(note.op));

let parts: LaterParts | null = null;

/**
 * `asked`: whether a question is open, whose answer may be a change. Kept once they are here; null where they are not needed
 * yet, and a sentence where they cannot be had now: the next note that needs them tries again.
 */
export async function laterParts(
  book: Book,
  notes: readonly Note[],
  asked: boolean,
): Promise<Result<LaterParts | null, string>> {
  if (parts === null && (asked || book.land.any || notes.some(needs)))
    try {
      parts = await import('./later.ts');
    } catch {
      return err(
        'What this needs is not in this browser yet, and it cannot be fetched now. Say it again where there is a network.',
      );
    }
  return ok(parts);
}
