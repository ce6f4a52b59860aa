/** One text for every meaning: notes are the same exactly when their keys are. */
import type { Note } from './note.ts';

/** The note as text, fields in one fixed order, so that wordings that set them in another order agree. */
export function noteKey(note: Note): string {
  return write(note);
}

/** The same for the notes of a breath, in their order. */
export const notesKey = (notes: readonly Note[]): string => notes.map(noteKey).join();

/** Whether two notes mean the same. */
export const sameNote = (a: Note, b: Note): boolean => noteKey(a) === noteKey(b);

/** Whether two fields hold the same, be they numbers, lists or objects. */
export const sameField = (a: unknown, b: unknown): boolean => write(a) === write(b);

function write(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(write).join()}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const fields = Object.entries(value).filter(([, field]) => field !== undefined);
  fields.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${fields.map(([key, field]) => `${key}:${write(field)}`).join()}}`;
}
