/** What one person said in a book, and what of it stood: what the profiles of a person are learnt from. */
import { type Entry, treeOfEntry } from '../note/journal.ts';
import type { Book } from './book.ts';

export interface SaidEntry {
  readonly entry: Entry;
  /** False: it was taken back, or what it said was corrected. */
  readonly stood: boolean;
}

/** Entries of a book that are looked at, from the newest; older habits are habits no more. */
const mostEntries = 1500;

/** Who said an entry: the person named on the device, else whoever has the device. */
export const speakerOf = ({ person, device }: Pick<Entry, 'person' | 'device'>): string => person ?? device;

/** The entries of one speaker, oldest first, answers to questions of the tool among them. */
export function saidBy(book: Pick<Book, 'entries' | 'isRetracted'>, speaker: string): SaidEntry[] {
  const mine = book.entries.slice(-mostEntries).filter((entry) => speakerOf(entry) === speaker);
  const corrected = correctedIn(mine);
  return mine.map((entry) => ({ entry, stood: !corrected.has(entry.id) && !book.isRetracted(entry.id) }));
}

/** A correction is about the newest entry before it that has to do with the same tree or height. */
function correctedIn(entries: readonly Entry[]): Set<string> {
  const corrected = new Set<string>();
  const newest = new Map<string, string>();
  for (const entry of entries) {
    const isChange = (entry.means ?? entry.note).kind === 'change';
    for (const act of entry.acts) {
      if (act.act !== 'amend' && act.act !== 'remeasure') continue;
      if (isChange || act.act === 'remeasure') corrected.add(newest.get(act.target) ?? act.target);
    }
    const tree = treeOfEntry(entry);
    if (tree !== null && !isChange) newest.set(tree, entry.id);
  }
  return corrected;
}
