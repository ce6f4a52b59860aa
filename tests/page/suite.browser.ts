/** Runs in the page: the journal's acceptance suite over the store that the page itself uses. */
import '../../client/device/jitless.ts';
import { pageStores } from '../client/page-stores.ts';
import { journalContract } from '../server/journal.contract.ts';
import { collected } from './collector.browser.ts';

export interface Ran {
  readonly name: string;
  /** What failed; null when it passed. */
  readonly failure: string | null;
}

journalContract('the IndexedDB of this browser', pageStores('suite'));

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
