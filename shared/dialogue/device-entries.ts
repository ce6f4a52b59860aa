/** What a device did: its entries that stand, the newest first, and which of them did something to the book. */
import type { Book, DeviceState, OpenQuestion } from '../book/book.ts';
import { isBeside } from '../book/device-state.ts';
import type { Act } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import { turnsEntries } from '../note/note.ts';

/** A book, and what a device has in hand of it. */
interface Held {
  readonly book: Book;
  readonly deviceState: DeviceState;
}

/** Acts that leave nothing in the book that could be taken back by "scratch that". */
export const passive: ReadonlySet<Act['act']> = new Set([
  'retract',
  'restore',
  'settle',
  'next',
  'hand',
  'way',
]);

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
    if (!turnsEntries(entry.note) && entry.acts.some((act) => !passive.has(act.act) && !isVoice(act)))
      yield entry;
}

/** The same without what took back or put back, and with those that only asked and still wait for their answer. */
export function* scratchableEntries(book: Book, deviceState: DeviceState): Iterable<Entry> {
  const open = new Set(deviceState.questions.map(({ entry }) => entry));
  for (const entry of standing(book, deviceState)) {
    if (turnsEntries(entry.note)) continue;
    const did = entry.acts.some((act) => !passive.has(act.act) && !isVoice(act));
    if (did || open.has(entry.id)) yield entry;
  }
}

/** What this device told since an entry and nobody took back, the oldest first. */
export function toldSince({ book, deviceState }: Held, entry: string): readonly Entry[] {
  const at = deviceState.entries.indexOf(entry);
  const since = at < 0 ? [] : deviceState.entries.slice(at + 1);
  return since.flatMap((id) => (book.isRetracted(id) ? [] : (book.entry(id) ?? [])));
}

/** Whether something was told behind an offer that stays: then only a plain answer answers it. */
export const isLeftBehind = (held: Held, { entry, question }: OpenQuestion): boolean =>
  question.stays === true && toldSince(held, entry).some(({ note }) => !isBeside(note));

/** The tree that an act is about; null where it is about none. */
export function treeOfAct(book: Book, act: Act): string | null {
  switch (act.act) {
    case 'tree':
      return act.id;
    case 'amend':
    case 'hand':
      return act.target;
    case 'height':
    case 'assign':
    case 'remark':
      return act.tree;
    case 'remeasure':
      return book.height(act.target)?.tree ?? null;
    default:
      return null;
  }
}
