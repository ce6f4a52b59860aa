/** `stemsay clips`: the sounds that are kept in a book, and deleting them with every entry kept. */
import { openBook } from '../journal/books.ts';
import { bookNamed, RefusedError, type Terminal, UsageError, type Values } from './terminal.ts';

/** Counts the sounds; with `delete` deletes them all. */
export async function clips(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  const [verb, ...more] = rest;
  if ((verb !== undefined && verb !== 'delete') || more.length > 0)
    throw new UsageError(`Expected "stemsay clips" or "stemsay clips delete", found "${rest.join(' ')}".`);
  const store = await openBook(bookNamed(values, 'clips'), verb === 'delete' ? 'write' : 'read');
  if (!store.ok) throw new RefusedError(store.error.sentence);
  try {
    if (verb === 'delete') {
      const count = await store.value.deleteClips();
      terminal.stdout.write(
        `${sounds(count)} ${count === 1 ? 'is' : 'are'} deleted; every entry is still there.\n`,
      );
    } else {
      const { count, bytes } = await store.value.clipSizes();
      terminal.stdout.write(
        `${sounds(count)}, ${(bytes / 1e6).toFixed(1)} megabytes. "stemsay clips delete" deletes them and keeps every entry.\n`,
      );
    }
  } finally {
    await store.value.close();
  }
  return 0;
}

const sounds = (count: number): string => (count === 1 ? '1 sound' : `${count} sounds`);
