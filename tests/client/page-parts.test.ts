/** Parts of the page that need no browser: sync against the real server app, what charts show, what a voice is given. */
import 'fake-indexeddb/auto';
import { describe, expect, test } from 'vitest';
import { toPcm } from '../../client/ear/recorder.ts';
import { PageStore } from '../../client/journal/indexeddb.ts';
import { Sync, type SyncState, stateLine } from '../../client/journal/sync.ts';
import { headline } from '../../client/screens/parts.tsx';
import { aloud } from '../../grammar/writing/aloud.ts';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import {
  curvePoints,
  diameterClasses,
  heightPoints,
  runningMeanOf,
} from '../../shared/report/charts/data.ts';
import { converse } from '../support/conversation.ts';
import { entriesOf } from '../support/entries.ts';
import { fakeLanguage, noon } from '../support/fakes.ts';

let count = 0;

/** A server in this process, with a way to it that can be cut. */
async function server() {
  const desk = await Desk.open({ store: new MemoryStore(), language: fakeLanguage, now: noon });
  const app = createApp({ desk, version: '0', book: null, mounts: [], report: () => '' });
  const way = { cut: false, requests: 0 };
  const fetcher = (async (path: string, init?: RequestInit) => {
    way.requests++;
    if (way.cut) throw new TypeError('no network');
    return app.request(`http://localhost${path}`, init);
  }) as typeof fetch;
  return { desk, fetcher, way };
}

async function device(fetcher: typeof fetch) {
  const store = await PageStore.open(`parts-${++count}`);
  const states: SyncState[] = [];
  let news = 0;
  const sync = new Sync({
    store,
    fetcher,
    onEntries: async () => {
      news++;
    },
    onState: (state) => states.push(state),
  });
  return { store, sync, states, news: () => news };
}

describe('sync', () => {
  test('law: after each has exchanged twice, two devices and the server hold the same entries', async () => {
    const { desk, fetcher } = await server();
    const one = await device(fetcher);
    const two = await device(fetcher);
    await one.store.append(entriesOf(30, 'd-one'));
    await two.store.append(entriesOf(20, 'd-two'));
    for (const { sync } of [one, two, one, two]) await sync.once();
    const ids = async (of: { since: PageStore['since'] }) =>
      (await of.since(0)).entries.map((entry) => entry.id).sort();
    const all = await ids(desk.store);
    expect(all).toHaveLength(50);
    expect(await ids(one.store)).toEqual(all);
    expect(await ids(two.store)).toEqual(all);
    expect(one.news()).toBe(1);
    expect(one.states.at(-1)).toEqual({ kind: 'together' });
  });

  test('an exchange that was cut at any request loses and doubles nothing', async () => {
    const { desk, fetcher, way } = await server();
    for (let cutAt = 1; cutAt <= 3; cutAt++) {
      const one = await device((async (...given: Parameters<typeof fetch>) => {
        const answer = await fetcher(...given);
        // The request arrives, its answer does not.
        if (way.requests === cutAt) throw new TypeError('no network');
        return answer;
      }) as typeof fetch);
      await one.store.append(entriesOf(5, `d-cut-${cutAt}`));
      way.requests = 0;
      await expect(one.sync.once()).rejects.toThrow();
      await one.sync.once();
      expect((await one.store.since(0)).entries).toHaveLength(5 * cutAt);
    }
    expect((await desk.store.since(0)).entries).toHaveLength(15);
  });

  test('what comes waits for a note that is being answered', async () => {
    const { desk, fetcher } = await server();
    await desk.push(entriesOf(450, 'd-crew'));
    const store = await PageStore.open(`parts-${++count}`);
    const order: string[] = [];
    let answered: () => void = () => {};
    const note = new Promise<void>((resolve) => {
      answered = resolve;
    });
    const sync = new Sync({
      store,
      fetcher,
      onEntries: async (entries) => void order.push(`${entries.length} entries`),
      onState: () => {},
      // The second of the three batches comes while a note is in hand.
      whenFree: async () => {
        if (order.length === 1) await note;
      },
    });
    const done = sync.once();
    await expect.poll(() => order).toEqual(['200 entries']);
    await new Promise((resolve) => setTimeout(resolve, 50));
    order.push('the note');
    answered();
    await done;
    expect(order).toEqual(['200 entries', 'the note', '200 entries', '50 entries']);
  });

  test('another book on the server is given everything anew', async () => {
    const one = await server();
    const page = await device(one.fetcher);
    await page.store.append(entriesOf(4));
    await page.sync.once();
    const other = await server();
    Object.defineProperty(other.desk.store, 'device', { value: 'd-other' });
    const again = new Sync({
      store: page.store,
      fetcher: other.fetcher,
      onEntries: async () => {},
      onState: () => {},
    });
    await again.once();
    expect((await other.desk.store.since(0)).entries).toHaveLength(4);
  });

  test('the state line says where the notes are', () => {
    expect(stateLine({ kind: 'away', unsent: 3 })).toBe('Kept here; 3 not yet on the server.');
    expect(stateLine({ kind: 'together' })).toBe('Kept here and on the server.');
  });
});

describe('charts', () => {
  test('points, classes and the curve come from the book as it stands', async () => {
    const { say, session } = await converse();
    await say('my pace is five feet', 'eye height five feet', 'red oak sixteen two', 'thirteen paces');
    await say(
      'red oak twelve inches',
      'twelve paces',
      'sugar maple fourteen inches, dead',
      'scratch tree two',
    );
    // 13 x 5 + 5 = 70 ft; tree two was taken back.
    expect(heightPoints(session.book, null)).toMatchObject([
      { tree: 1, diameterIn: 16.2, heightFt: expect.closeTo(70, 9) },
    ]);
    expect(diameterClasses(session.book, null, 2)).toEqual([
      { from: 14, to: 16, live: 0, dead: 1 },
      { from: 16, to: 18, live: 1, dead: 0 },
    ]);
    for (const { feet, low, high } of curvePoints(session.book, 833, 4, 24)) {
      expect(low).toBeLessThan(feet);
      expect(high).toBeGreaterThan(feet);
    }
  });

  test('a height that waits for the answer to a doubt is shown as doubted', async () => {
    const { say, session } = await converse();
    await say('my pace is five feet', 'eye height five feet', 'red oak sixteen two', 'thirty paces');
    // 30 x 5 + 5 = 155 ft, asked about and not in the book yet.
    expect(session.book.lastTree?.heightFt).toBeNull();
    expect(heightPoints(session.book, null)).toMatchObject([
      { tree: 1, heightFt: expect.closeTo(155, 9), doubted: true },
    ]);
  });

  test('the running mean has the limits of Student', () => {
    // mean 20, sd 10, n 3: 20 -+ t(0.975, 2) x 10 / sqrt 3 = 20 -+ 4.302653 x 5.773503; t of printed tables: 4.303 (from memory: 4.302653)
    const { mean, low, high } = runningMeanOf([10, 20, 30]);
    expect(mean).toBe(20);
    // 20 - 24.8414: a basal area is never below nothing.
    expect(low).toBe(0);
    expect(high).toBeCloseTo(20 + 24.8414, 3);
    expect(runningMeanOf([10])).toEqual({ plots: 1, mean: 10, low: null, high: null });
  });
});

describe('small parts', () => {
  test('the figure of a reply stands first, where it begins with one', () => {
    expect(headline('60 feet, give or take 3.')).toEqual({ number: '60', rest: 'feet, give or take 3.' });
    expect(headline('Plot 1, a tenth of an acre.').number).toBe('');
  });

  test('a voice is given words, not signs', () => {
    expect(aloud('21 ft² an acre ± 2.')).toMatch(/^twenty one square feet an acre .*two\.$/);
  });

  test('samples become 16 bits and are clipped, not wrapped', () => {
    expect([...toPcm(Float32Array.from([0, 1, -1, 1.7, -1.7]))]).toEqual([
      0, 32_767, -32_767, 32_767, -32_767,
    ]);
  });
});
