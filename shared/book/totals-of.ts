import { Totals } from '../totals/totals.ts';
import type { Book } from './book.ts';

/**
 * Questions about what a book holds. They stand apart from the book, which only keeps the sums: a page answers its first
 * notes without them, and fetches them with the first question.
 * Example: `totalsOf(book).trees().value`, the trees that were told.
 */
export const totalsOf = (book: Book): Totals => new Totals({}, book.ledger);
