/** The journal of the page on IndexedDB, against the acceptance suite; here on fake-indexeddb, in Chromium by the page tests. */
import 'fake-indexeddb/auto';
import { describe, expect, test } from 'vitest';
import { journalContract } from '../server/journal.contract.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { pageStores } from './page-stores.ts';

const stores = pageStores('page-store');
const { open } = stores;
journalContract('IndexedDB', stores);

describe('beside the journal', () => {
  test('what came from the server is not sent back to it', async () => {
    const store = await open();
    await store.append(entriesOf(2));
    await store.takeIn(entriesOf(3, 'd-two'));
    await store.append([entryOf(3)]);
    const first = await store.unsent(0, 4);
    expect(first.entries.map((entry) => entry.seq)).toEqual([1, 2]);
    const rest = await store.unsent(first.cursor, 100);
    expect(rest.entries).toEqual([entryOf(3)]);
    expect((await store.unsent(rest.cursor, 100)).entries).toEqual([]);
    await store.close();
  });

  test('what came before and comes again from the server is there once, and the rest of it too', async () => {
    const store = await open();
    await store.append(entriesOf(2));
    expect(await store.takeIn(entriesOf(5))).toEqual({ added: 3 });
    expect(await store.takeIn(entriesOf(5))).toEqual({ added: 0 });
    expect((await store.since(0)).entries).toEqual(entriesOf(5));
    await store.close();
  });

  test('the device keeps its name', async () => {
    const store = await open();
    expect(await store.device(() => 'one')).toBe('one');
    expect(await store.device(() => 'two')).toBe('one');
    await store.close();
  });

  test('a batch that fails in the middle leaves nothing behind', async () => {
    const store = await open();
    const add = IDBObjectStore.prototype.add;
    let calls = 0;
    IDBObjectStore.prototype.add = function (...given: Parameters<typeof add>) {
      if (++calls === 3) throw new DOMException('full', 'QuotaExceededError');
      return add.apply(this, given);
    };
    try {
      await expect(store.append(entriesOf(4))).rejects.toThrow(/full/);
    } finally {
      IDBObjectStore.prototype.add = add;
    }
    expect((await store.since(0)).entries).toEqual([]);
    calls = 0;
    IDBObjectStore.prototype.add = function (...given: Parameters<typeof add>) {
      if (++calls === 3) throw new DOMException('full', 'QuotaExceededError');
      return add.apply(this, given);
    };
    try {
      await expect(store.takeIn(entriesOf(4))).rejects.toThrow(/full/);
    } finally {
      IDBObjectStore.prototype.add = add;
    }
    expect((await store.since(0)).entries).toEqual([]);
    expect((await store.append(entriesOf(4))).added).toBe(4);
    await store.close();
  });

  test('a sound that waits keeps its samples and its time', async () => {
    const store = await open();
    const pcm = Int16Array.from([1, -2, 32_767]);
    await store.keepWaiting({ ref: 'a', pcm: pcm.buffer, time: 7 });
    const [sound] = await store.waiting();
    expect([...new Int16Array(sound!.pcm)]).toEqual([1, -2, 32_767]);
    await store.dropWaiting('a');
    expect(await store.waiting()).toEqual([]);
    await store.close();
  });
});
