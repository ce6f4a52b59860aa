/** The commands that keep books safe: a whole copy (`backup`), one put back (`restore`), two made one (`merge`). */
import { existsSync, renameSync, rmSync } from 'node:fs';
import { resolve } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { wireLimits } from '../../shared/wire.ts';
import { bookTitle, isBookFile, openBook } from '../journal/books.ts';
import { openStore, type SqliteStore } from '../journal/sqlite.ts';
import type { Store } from '../journal/store.ts';
import { bookNamed, RefusedError, type Terminal, UsageError, type Values } from './terminal.ts';

/** "20261127-142530": for the name of a file. */
const stamp = (time: number): string =>
  new Date(time).toISOString().slice(0, 19).replace(/[-:]/g, '').replace('T', '-');

function bookAt(path: string, mode: 'read' | 'write'): SqliteStore {
  noDatabase(path);
  const store = openStore(path, mode);
  if (!store.ok) throw new RefusedError(store.error.sentence);
  return store.value;
}

function noDatabase(where: string): void {
  if (isBookFile(where)) return;
  throw new RefusedError(
    `"${bookTitle(where)}" is in a crew's database, which has backups of its own (pg_dump). To copy it to or from a file: stemsay merge INTO FROM.`,
  );
}

/** How many entries a book has; every one of them was read. @throws StoreError when any of it is damaged */
async function readThrough(store: SqliteStore): Promise<number> {
  const [fault] = store.integrity();
  if (fault !== undefined) throw new RefusedError(`${store.path} is damaged: ${fault}`);
  let count = 0;
  for await (const entries of pagesOf(store)) count += entries.length;
  return count + store.aside.size;
}

async function* pagesOf(store: Store) {
  for (let cursor = 0; ; ) {
    const page = await store.since(cursor, wireLimits.entries);
    if (page.entries.length === 0) return;
    yield page.entries;
    cursor = page.cursor;
  }
}

/** A whole copy of a book, also of one that is open elsewhere, read through before it is said to be one. */
export async function backup(values: Values, terminal: Terminal): Promise<number> {
  const book = bookNamed(values, 'backup');
  const store = bookAt(book, 'read');
  try {
    const out = resolve(values.out ?? `${store.path}.${stamp(terminal.now())}.backup`);
    if (existsSync(out)) throw new RefusedError(`${out} is there already; name another file with --out.`);
    const fresh = `${out}.${process.pid}.new`;
    try {
      store.copyTo(fresh);
      const copy = bookAt(fresh, 'read');
      const count = await readThrough(copy).finally(() => copy.close());
      renameSync(fresh, out);
      terminal.stdout.write(`${count} entries are in ${out}.\n`);
    } finally {
      rmSync(fresh, { force: true });
    }
  } finally {
    await store.close();
  }
  return 0;
}

/** Puts a copy in the place of a book; the book that is there stays beside it under another name. */
export async function restoreBook(values: Values, terminal: Terminal): Promise<number> {
  const named = bookNamed(values, 'restore');
  noDatabase(named);
  const book = resolve(named);
  if (values.from === undefined) throw new UsageError('"stemsay restore" needs --from BACKUP.');
  const source = bookAt(values.from, 'read');
  const fresh = `${book}.${process.pid}.new`;
  try {
    const count = await readThrough(source);
    source.copyTo(fresh);
    let before = '';
    if (existsSync(book)) {
      // Opened to write where it can be: then nobody else has it open, and it is one file when it is closed.
      const open = openStore(book);
      if (open.ok) await open.value.close();
      else if (open.error.kind !== 'damaged' && open.error.kind !== 'notOurs')
        throw new RefusedError(open.error.sentence);
      const aside = `${book}.${stamp(terminal.now())}.before`;
      for (const part of ['', '-wal', '-shm', '-journal'])
        if (existsSync(book + part)) renameSync(book + part, aside + part);
      before = ` What was there is in ${aside}.`;
    }
    renameSync(fresh, book);
    terminal.stdout.write(`${count} entries of ${values.from} are in ${book}.${before}\n`);
  } finally {
    await source.close();
    rmSync(fresh, { force: true });
  }
  return 0;
}

/** Adds to the first book what the others hold, clips too. What is there already stays as it is, so it is safe to repeat. */
export async function merge(rest: readonly string[], _: Values, terminal: Terminal): Promise<number> {
  const [into, ...others] = rest;
  if (into === undefined || others.length === 0)
    throw new UsageError('Expected "stemsay merge BOOK OTHER ...": what OTHER holds is added to BOOK.');
  const target = await openBook(into);
  if (!target.ok) throw new RefusedError(target.error.sentence);
  try {
    for (const other of others) {
      const source = await openBook(other, 'read');
      if (!source.ok) throw new RefusedError(source.error.sentence);
      try {
        const { added, known, differing } = await addAll(target.value, source.value);
        const odd =
          differing === 0 ? '' : `; ${differing} of them differ there and were left as they are here`;
        terminal.stdout.write(
          `${isBookFile(other) ? other : bookTitle(other)}: ${added} entries added, ${known} were there already${odd}.\n`,
        );
      } finally {
        await source.value.close();
      }
    }
  } finally {
    await target.value.close();
  }
  return 0;
}

async function addAll(target: Store, source: Store) {
  const here = new Map<string, object>();
  for await (const entries of pagesOf(target)) for (const entry of entries) here.set(entry.id, entry);
  const count = { added: 0, known: 0, differing: 0 };
  for await (const entries of pagesOf(source)) {
    const fresh = entries.filter(({ id }) => !here.has(id));
    for (const entry of entries)
      if (here.has(entry.id) && !isDeepStrictEqual(here.get(entry.id), entry)) count.differing++;
    for (const { heard } of fresh) {
      const clip = heard?.clip;
      const wav = clip === undefined ? null : await source.clip(clip);
      if (clip !== undefined && wav !== null) target.stageClip(clip, wav);
    }
    const { added } = await target.append(fresh);
    count.added += added;
    count.known += entries.length - fresh.length;
  }
  return count;
}
