/** What is told of entries that could not be worked out. */
import type { Book } from './book.ts';

/** A sentence for each, in the order in which they failed. */
export function asideSentences(book: Book): string[] {
  return [...book.aside].map(([id, why]) => {
    const entry = book.entry(id);
    const name = entry === undefined ? id : `${entry.seq} of ${entry.device}, "${entry.words}",`;
    return `Entry ${name} is kept but could not be worked out and is left out of every figure: ${why}.`;
  });
}

/** One sentence for a notice; null where nothing was set aside. */
export function asideNotice(book: Book): string | null {
  const { size } = book.aside;
  if (size === 0) return null;
  return `${size === 1 ? 'One entry is' : `${size} entries are`} kept but could not be worked out, and left out of every figure. "stemsay check" names ${size === 1 ? 'it' : 'them'}.`;
}
