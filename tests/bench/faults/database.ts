/** A crew's database: restarted, its connections killed, the answer to a commit lost, two servers on one book. */
import { setTimeout as wait } from 'node:timers/promises';
import { Desk } from '../../../server/desk/desk.ts';
import { openPostgres, type PostgresStore } from '../../../server/journal/postgres.ts';
import type { Entry } from '../../../shared/note/journal.ts';
import { entriesOf, entryOf } from '../../support/entries.ts';
import { fakeLanguage } from '../../support/fakes.ts';
import { Between, hasPostgres, PostgresServer } from '../../support/postgres-server.ts';
import { type Row, sentenceOf } from './row.ts';

let books = 0;

async function opened(url: string): Promise<PostgresStore> {
  const store = await openPostgres(url);
  if (!store.ok) throw new Error(store.error.sentence);
  return store.value;
}

const missing = async (store: PostgresStore, entries: readonly Entry[]): Promise<number> => {
  const { entries: kept, cursor } = await store.since(0);
  const ids = new Set(kept.map(({ id }) => id));
  // Cursors without gaps: as many rows as the cursor counts.
  return entries.filter(({ id }) => !ids.has(id)).length + Math.abs(cursor - kept.length);
};

/** Appends without end while the work is done; gives what was acknowledged, and what was said of the others. */
async function appending(
  store: PostgresStore,
  work: () => Promise<void>,
): Promise<{ kept: Entry[]; told: string }> {
  const kept: Entry[] = [];
  let told = 'nothing: it takes a moment longer';
  let working = true;
  const done = work().finally(() => {
    working = false;
  });
  for (let seq = 1; working; seq++) {
    const entry = entryOf(seq);
    try {
      await store.append([entry]);
      kept.push(entry);
    } catch (cause) {
      told = (cause as Error).message;
    }
    await wait(2);
  }
  await done;
  return { kept, told };
}

async function disturbed(
  server: PostgresServer,
  fault: string,
  rounds: number,
  disturb: () => Promise<void>,
): Promise<Row> {
  const store = await opened(`${server.url}&book=book-${books++}`);
  const { kept, told } = await appending(store, async () => {
    for (let round = 0; round < rounds; round++) {
      await wait(400 + 31 * (round % 5));
      await disturb();
    }
  });
  const lost = await missing(store, kept);
  await store.close();
  return { fault, rounds, acknowledged: kept.length, lost, told };
}

async function answersLost(server: PostgresServer): Promise<Row[]> {
  const between = await Between.of(server);
  const store = await opened(`${between.url}&book=book-${books++}`);
  const entries = entriesOf(20);
  for (const entry of entries) {
    between.swallow = 1;
    await store.append([entry]);
  }
  const once = {
    fault: 'the answer to a commit is lost',
    rounds: entries.length,
    acknowledged: entries.length,
    lost: await missing(store, entries),
    told: 'nothing: written again by its identity, kept once',
  };
  let told = '';
  const away = 10;
  for (let round = 0; round < away; round++) {
    between.swallow = Number.POSITIVE_INFINITY;
    told = await sentenceOf(store.append([entryOf(21 + round)]));
    between.swallow = 0;
  }
  const lost = await missing(store, entries);
  await store.close();
  await between.close();
  return [
    once,
    {
      fault: 'the answer to a commit is lost, and the database stays away',
      rounds: away,
      acknowledged: entries.length,
      lost,
      told,
    },
  ];
}

async function twoServers(server: PostgresServer): Promise<Row> {
  const url = `${server.url}&book=book-${books++}`;
  const desks = await Promise.all(
    [0, 1].map(async () => Desk.open({ store: await opened(url), language: fakeLanguage })),
  );
  const kept: Entry[] = [];
  const rounds = 50;
  for (let round = 0; round < rounds; round++) {
    const told = await Promise.all(desks.map((desk) => desk.note('red oak sixteen inches')));
    for (const { entry } of told) if (entry) kept.push(entry);
  }
  const lost = await missing(desks[0]!.store as PostgresStore, kept);
  await Promise.all(desks.map((desk) => desk.close()));
  return {
    fault: 'two servers write one book at once',
    rounds,
    acknowledged: kept.length,
    lost,
    told: 'nothing: each signs as a device of its own',
  };
}

export async function database(): Promise<Row[]> {
  if (!hasPostgres)
    return [
      {
        fault: 'a crew’s database',
        rounds: 0,
        acknowledged: 0,
        lost: 0,
        told: 'not tried: no PostgreSQL here',
      },
    ];
  const server = await PostgresServer.start();
  const restart = async (signal: 'SIGINT' | 'SIGQUIT') => {
    await server.end(signal);
    await wait(300);
    await server.begin();
  };
  try {
    return [
      await disturbed(server, 'the database is restarted', 10, () => restart('SIGINT')),
      await disturbed(server, 'the database crashes and is started again', 10, () => restart('SIGQUIT')),
      await disturbed(server, 'its connections are killed (pg_terminate_backend)', 20, async () => {
        await server.sql(
          'SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND datname IS NOT NULL',
        );
      }),
      ...(await answersLost(server)),
      await twoServers(server),
    ];
  } finally {
    await server.remove();
  }
}
