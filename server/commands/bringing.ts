/** The commands that bring something in: entries of other books (`import`), the files of dictation (`fetch-dictation`). */
import { createInterface } from 'node:readline';
import { ok, type Result } from '../../shared/core/result.ts';
import { wireLimits } from '../../shared/wire.ts';
import { openBook } from '../journal/books.ts';
import { freshDevice, freshId } from '../journal/identity.ts';
import type { Store } from '../journal/store.ts';
import { dictationFolder } from '../speech/dictation.ts';
import { fetchDictation } from '../speech/fetch-dictation.ts';
import {
  bookNamed,
  fileText,
  RefusedError,
  type Terminal,
  UsageError,
  type Values,
  write,
} from './terminal.ts';

/** Adds what exports hold, file by file; the first that cannot be used ends it. */
export async function importEntries(
  rest: readonly string[],
  values: Values,
  terminal: Terminal,
): Promise<number> {
  const book = bookNamed(values, 'import');
  if (rest.length === 0) throw new UsageError('Expected JSON or CSV exports to import.');
  const store = await openBook(book);
  if (!store.ok) throw new RefusedError(store.error.sentence);
  try {
    for (const path of rest) {
      const text = await fileText(path);
      const said = /\.csv$/i.test(path)
        ? await importTable(text, store.value)
        : await importJournal(text, store.value);
      if (!said.ok) throw new RefusedError(`${path}: ${said.error}`);
      terminal.stdout.write(`${path}: ${said.value}\n`);
    }
  } finally {
    await store.value.close();
  }
  return 0;
}

async function importJournal(text: string, store: Store): Promise<Result<string, string>> {
  const { fromJson } = await import('../../shared/report/files/entries.ts');
  const entries = fromJson(text);
  if (!entries.ok) return entries;
  const { added } = await store.append(entries.value);
  return ok(`${added} entries added, ${entries.value.length - added} were there already.`);
}

/** Trees and plots that the book does not have; what it has stays as it is. */
async function importTable(text: string, store: Store): Promise<Result<string, string>> {
  const [{ fromCsv }, { entriesOfTable }] = await Promise.all([
    import('../../shared/report/files/read-tables.ts'),
    import('../../shared/report/files/import-tables.ts'),
  ]);
  const table = fromCsv(text);
  if (!table.ok) return table;
  const ids = new Set<string>();
  for (let cursor = 0; ; ) {
    const page = await store.since(cursor, wireLimits.entries);
    if (page.entries.length === 0) break;
    for (const { id } of page.entries) ids.add(id);
    cursor = page.cursor;
  }
  const entries = entriesOfTable(table.value, {
    known: (id) => ids.has(id),
    device: freshDevice('table'),
    id: freshId,
  });
  if (!entries.ok) return entries;
  await store.append(entries.value);
  const { trees, plots } = table.value;
  const fresh = (records: readonly { readonly id: string }[]) =>
    records.filter(({ id }) => !ids.has(id)).length;
  return ok(
    `${fresh(trees)} trees and ${fresh(plots)} plots added, ${trees.length - fresh(trees)} and ${plots.length - fresh(plots)} were there already.`,
  );
}

/** Says from where and how much, asks unless the answer was given with --yes, and fetches. */
export async function getDictation(values: Values, terminal: Terminal): Promise<number> {
  const say = (line: string) => write(terminal.stdout, `${line}\n`);
  const fetched = await fetchDictation({
    from: values.from,
    to: dictationFolder(),
    tell: (line) => void say(line),
    async agree(plan) {
      await say(plan);
      if (values.yes) return true;
      await write(terminal.stdout, 'Fetch it? (yes, no) ');
      for await (const line of createInterface({ input: terminal.stdin }))
        return /^y(es)?$/i.test(line.trim());
      return false;
    },
  });
  if (!fetched.ok) throw new RefusedError(fetched.error);
  await say(fetched.value);
  return 0;
}
