/** Journals of the page, by name, for the acceptance suite: here on a stand-in, in a browser on its own disk. */
import { PageStore } from '../../client/journal/indexeddb.ts';

/** `family` keeps the names of one suite apart from those of others in the same place. */
export function pageStores(family: string) {
  let count = 0;
  const names = new WeakMap<object, string>();
  const open = async (name = `${family}-${++count}`): Promise<PageStore> => {
    const store = await PageStore.open(name);
    names.set(store, name);
    return store;
  };
  return {
    open: () => open(),
    async reopen(journal: { close(): Promise<void> }): Promise<PageStore> {
      await journal.close();
      return open(names.get(journal));
    },
    runs: 10,
  };
}
