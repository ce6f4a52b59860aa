/** Runs the journal's acceptance suite on a throwaway PostgreSQL server, where its programs are installed. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Desk } from '../../server/desk/desk.ts';
import { openPostgres, type PostgresStore } from '../../server/journal/postgres.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { fakeLanguage, noon } from '../support/fakes.ts';
import { hasPostgres, PostgresServer } from '../support/postgres-server.ts';
import { journalContract } from './journal.contract.ts';

if (!hasPostgres) console.warn('PostgreSQL is not installed here: its journal is not tested.');

describe.skipIf(!hasPostgres)('with a PostgreSQL server', () => {
  let server: PostgresServer;
  let url: string;
  let books = 0;
  const names = new Map<unknown, string>();
  const open = async (name = `book-${books++}`): Promise<PostgresStore> => {
    const store = await openPostgres(`${url}&book=${name}`);
    if (!store.ok) throw new Error(store.error.sentence);
    names.set(store.value, name);
    return store.value;
  };

  beforeAll(async () => {
    server = await PostgresServer.start();
    url = server.url;
  });

  afterAll(() => server.remove());

  journalContract('PostgreSQL', {
    open,
    reopen: async (journal) => {
      await journal.close();
      return open(names.get(journal));
    },
    runs: 8,
  });

  test('two books of one database do not see each other', async () => {
    const [one, two] = [await open(), await open()];
    await one.append([entryOf(1)]);
    await two.append([entryOf(1), entryOf(2)]);
    expect((await one.since(0)).entries).toHaveLength(1);
    expect((await two.since(0)).entries).toHaveLength(2);
    await one.close();
    await two.close();
  });

  test('a reader that pages by cursor while four programs append misses none', async () => {
    const name = 'busy';
    const writers = await Promise.all([0, 1, 2, 3].map(() => open(name)));
    const reader = await open(name);
    let writing = true;
    const done = Promise.all(
      writers.map(async (writer, index) => {
        for (const entry of entriesOf(25, `d-${index}`)) await writer.append([entry]);
      }),
    ).then(() => {
      writing = false;
    });
    const seen: Entry[] = [];
    let cursor = 0;
    for (let last = false; !last; ) {
      last = !writing;
      const part = await reader.since(cursor, 7);
      cursor = part.cursor;
      seen.push(...part.entries);
      if (part.entries.length > 0) last = false;
    }
    await done;
    expect(new Set(seen.map((entry) => entry.id)).size).toBe(100);
    await Promise.all([...writers, reader].map((journal) => journal.close()));
  });

  test('each running program signs with a device of its own, and gets it back later', async () => {
    const [one, two] = [await open('signed'), await open('signed')];
    expect(one.device).not.toBe(two.device);
    const devices = [one.device, two.device];
    await one.close();
    await two.close();
    const again = await open('signed');
    expect(devices).toContain(again.device);
    await again.close();
  });

  test('what one program keeps, another answers with', async () => {
    const desks = await Promise.all(
      [0, 1].map(async () => Desk.open({ store: await open('crew'), language: fakeLanguage, now: noon })),
    );
    await desks[0]!.note('red oak sixteen inches');
    const told = await desks[1]!.note('red oak sixteen inches');
    expect(told.answer.reply).toMatch(/^Tree 2, /);
    await Promise.all(desks.map((desk) => desk.close()));
  });

  test('a clip is kept with the entry that names it', async () => {
    const store = await open();
    const ref = entryOf(50).id;
    store.stageClip(ref, Uint8Array.of(1, 2, 255));
    await store.append([{ ...entryOf(3), heard: { margin: 0, posterior: 1, clip: ref } }]);
    expect(Uint8Array.from((await store.clip(ref))!)).toEqual(Uint8Array.of(1, 2, 255));
    expect(await store.clip(entryOf(51).id)).toBeNull();
    await store.close();
  });

  test('a database of a newer program is left alone', async () => {
    const { default: pg } = await import('pg');
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    await (await open()).close();
    await client.query('UPDATE stemsay_version SET version = version + 1');
    const refused = await openPostgres(url);
    expect(refused.ok ? null : refused.error.kind).toBe('newer');
    expect(refused.ok ? '' : refused.error.sentence).toContain('newer stemsay');
    await client.query('UPDATE stemsay_version SET version = version - 1');
    await client.end();
  });
});

test('a PostgreSQL server that is not there is reported with the name of the book', async () => {
  const refused = await openPostgres('postgres://crew@127.0.0.1:1/none?book=north');
  expect(refused.ok ? '' : refused.error.sentence).toMatch(/"north".*ECONNREFUSED/);
});
