/** Where books are kept: one row a kind of place, and the one to which a name belongs. */
import { basename } from 'node:path';
import type { Result } from '../../shared/core/result.ts';
import { openPostgres } from './postgres.ts';
import { openStore } from './sqlite.ts';
import type { KeptStore, StoreProblem } from './store.ts';

interface Backend {
  /** Whether a book of this name is kept there. */
  keeps(where: string): boolean;
  open(
    where: string,
    mode: 'write' | 'read',
  ): Result<KeptStore, StoreProblem> | Promise<Result<KeptStore, StoreProblem>>;
  /** The book's name for people: never the folder, the host or a password. */
  title(where: string): string;
  /** Whether a book is one file, to be copied as one. */
  readonly isFile: boolean;
}

/** In the order in which they are asked; the last keeps any name. */
const backends = {
  /** A book in a crew's database. */
  postgres: {
    keeps: (where) => /^postgres(ql)?:\/\//.test(where),
    open: openPostgres,
    title: (where) => (URL.canParse(where) ? new URL(where).searchParams.get('book') : null) ?? 'field',
    isFile: false,
  },
  sqlite: { keeps: () => true, open: openStore, title: (where) => basename(where), isFile: true },
} as const satisfies Record<string, Backend>;

const backendOf = (where: string): Backend =>
  Object.values<Backend>(backends).find((one) => one.keeps(where)) ?? backends.sqlite;

/**
 * `where` is a path, or `postgres://crew@host/database?book=north`.
 *
 * @example
 * const store = await openBook('books/field.book');
 */
export const openBook = async (
  where: string,
  mode: 'write' | 'read' = 'write',
): Promise<Result<KeptStore, StoreProblem>> => backendOf(where).open(where, mode);

/** False for a book in a crew's database. */
export const isBookFile = (where: string): boolean => backendOf(where).isFile;

/** The book's name for people: never the folder, the host or a password. */
export const bookTitle = (where: string): string => backendOf(where).title(where);
