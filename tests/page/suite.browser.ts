/** Runs in the page: the journal's acceptance suite over the store that the page itself uses. */
import '../../client/jitless.ts';
import { PageStore } from '../../client/store.ts';
import type { Journal } from '../../shared/journal.ts';
import { journalContract } from '../journal.contract.ts';
import { collected } from './collector.browser.ts';

export interface Ran {
  readonly name: string;
  /** What failed; null when it passed. */
  readonly failure: string | null;
}

let books = 0;
const names = new WeakMap<Journal, string>();

async function open(name = `suite-${++books}`): Promise<Journal> {
  const store = await PageStore.open(name);
  names.set(store, name);
  return store;
}

journalContract('the IndexedDB of this browser', {
  open: () => open(),
  async reopen(journal) {
    await journal.close();
    return open(names.get(journal));
  },
  runs: 10,
});

export async function run(): Promise<Ran[]> {
  const ran: Ran[] = [];
  for (const { name, work } of collected) {
    try {
      await work();
      ran.push({ name, failure: null });
    } catch (cause) {
      ran.push({ name, failure: cause instanceof Error ? (cause.stack ?? cause.message) : String(cause) });
    }
  }
  return ran;
}
