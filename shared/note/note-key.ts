/** One text for every meaning: notes are the same exactly when their keys are. */
import type { Note } from './note.ts';

/** The note as text, fields in one fixed order, so that wordings that set them in another order agree. */
export function noteKey(note: Note): string {
  return write(note);
}

/** The same for the notes of a breath, in their order. */
export const notesKey = (notes: readonly Note[]): string => notes.map(noteKey).join();

/** Whether two notes mean the same: their keys are, without writing them. */
export const sameNote = (a: Note, b: Note): boolean => same(a, b);

/** Whether two fields hold the same, be they numbers, lists or objects. */
export const sameField = (a: unknown, b: unknown): boolean => same(a, b);

type Fields = Readonly<Record<string, unknown>>;

function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return Object.is(a, b);
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  let more = 0;
  for (const key in a) {
    const field = (a as Fields)[key];
    if (field === undefined) continue;
    if (!Object.hasOwn(b, key) || !same(field, (b as Fields)[key])) return false;
    more++;
  }
  for (const key in b) if ((b as Fields)[key] !== undefined) more--;
  return more === 0;
}

function write(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(write).join()}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const fields = Object.entries(value).filter(([, field]) => field !== undefined);
  fields.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${fields.map(([key, field]) => `${key}:${write(field)}`).join()}}`;
}
