/**
 * How far one crew's database carries: single appends a second by programs that write one book, and books of their own, and
 * pushes of a hundred. The database, its commits on disk, and all programs are on this machine.
 */
import { openPostgres, type PostgresStore } from '../../server/journal/postgres.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { hasPostgres, PostgresServer } from '../support/postgres-server.ts';
import { percentile } from '../support/server-process.ts';

export const name = 'crew';

type Print = (name: string, value: number | string, unit: string) => void;

const seconds = 4;

async function opened(url: string): Promise<PostgresStore> {
  const store = await openPostgres(url);
  if (!store.ok) throw new Error(store.error.sentence);
  return store.value;
}

export async function run(print: Print): Promise<void> {
  if (!hasPostgres) return print('not measured', '', 'no PostgreSQL here');
  const server = await PostgresServer.start();
  try {
    let series = 0;
    const measured = async (what: string, programs: number, books: number, size: number) => {
      const mine = series++;
      const stores = await Promise.all(
        Array.from({ length: programs }, (_, n) => opened(`${server.url}&book=b${mine}-${n % books}`)),
      );
      const times: number[] = [];
      const until = performance.now() + 1000 * seconds;
      await Promise.all(
        stores.map(async (store, n) => {
          for (let seq = 1; performance.now() < until; seq += size) {
            const began = performance.now();
            await store.append(size === 1 ? [entryOf(seq, `d-${n}`)] : entriesOf(size, `d-${n}`, seq));
            times.push(performance.now() - began);
          }
        }),
      );
      await Promise.all(stores.map((store) => store.close()));
      print(what, Math.round((size * times.length) / seconds), 'entries a second');
      print(`${what}, p99`, percentile(times, 0.99).toFixed(0), 'ms');
    };
    await measured('one program, one book', 1, 1, 1);
    await measured('four programs, one book', 4, 1, 1);
    await measured('twelve programs, one book', 12, 1, 1);
    await measured('twelve programs, twelve books', 12, 12, 1);
    await measured('four programs, one book, pushes of a hundred', 4, 1, 100);
  } finally {
    await server.remove();
  }
}
