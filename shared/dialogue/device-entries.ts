/** What a device did: its entries that stand, the newest first, and which of them did something to the book. */
import type { Book, DeviceState } from '../book/book.ts';
import type { Act } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { Note } from '../note/note.ts';

/** Acts that leave nothing in the book that could be taken back by "scratch that". */
export const passive: ReadonlySet<Act['act']> = new Set([
  'retract',
  'restore',
  'settle',
  'next',
  'hand',
  'way',
]);
export const turning: ReadonlySet<Note['kind']> = new Set(['scratch', 'undo', 'restore']);

export const isVoice = (act: Act): boolean =>
  act.act === 'setting' && act.set.what === 'voice' && act.set.short === undefined;

/** Entries of a device that stand, newest first. */
export function* standing(book: Book, deviceState: DeviceState): Iterable<Entry> {
  for (let at = deviceState.entries.length - 1; at >= 0; at--) {
    const id = deviceState.entries[at]!;
    const entry = book.entry(id);
    if (entry && !book.isRetracted(id)) yield entry;
  }
}

/** Those that did something to the book, newest first. */
export function* effective(book: Book, deviceState: DeviceState): Iterable<Entry> {
  for (const entry of standing(book, deviceState))
    if (!turning.has(entry.note.kind) && entry.acts.some((act) => !passive.has(act.act) && !isVoice(act)))
      yield entry;
}
