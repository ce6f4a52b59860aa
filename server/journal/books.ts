/** Opens a book by its name: a file, or a book in a crew's PostgreSQL database. */
import { basename } from 'node:path';
import type { Result } from '../../shared/core/result.ts';
import { openPostgres } from './postgres.ts';
import { type KeptStore, openStore, type StoreProblem } from './sqlite.ts';

const database = /^postgres(ql)?:\/\//;

/**
 * `where` is a path, or `postgres://crew@host/database?book=north`.
 *
 * @example
 * const store = await openBook('books/field.book');
 */
export async function openBook(
  where: string,
  mode: 'write' | 'read' = 'write',
): Promise<Result<KeptStore, StoreProblem>> {
  return database.test(where) ? openPostgres(where, mode) : openStore(where, mode);
}

/** True for a book in a crew's database. */
export const isInDatabase = (where: string): boolean => database.test(where);

/** The book's name for people: never the folder, the host or a password. */
export function bookTitle(where: string): string {
  if (!database.test(where)) return basename(where);
  return (URL.canParse(where) ? new URL(where).searchParams.get('book') : null) ?? 'field';
}
