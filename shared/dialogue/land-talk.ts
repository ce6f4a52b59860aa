/**
 * What is said of walks, plans, ways and prices is worked out in files of their own, which a page fetches when the first
 * of it is said or the book holds some: this is their door, and nothing else here imports them.
 */
import type { Book } from '../book/book.ts';
import type { Note } from '../note/note.ts';
import { type LandTalk, landKinds, landTopics } from './outcome.ts';

const isLand = (note: Note): boolean =>
  (landKinds as readonly string[]).includes(note.kind) ||
  (note.kind === 'ask' && (landTopics as readonly string[]).includes(note.about)) ||
  (note.kind === 'change' && (note.leg !== undefined || note.bearing !== undefined));

let land: LandTalk | null = null;

/** Fetched when a note, or what the book holds, needs it; kept from then on. */
export async function landFor(book: Book, notes: readonly Note[]): Promise<LandTalk | null> {
  if (land === null && (book.land.any || notes.some(isLand))) ({ land } = await import('./land/land.ts'));
  return land;
}
