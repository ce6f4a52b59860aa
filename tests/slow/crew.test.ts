/**
 * Four servers and twenty devices on one database, for as many minutes as STEMSAY_MINUTES says (2 unless given): devices push
 * their notes and page by cursor through whichever server they come to, servers are killed and started again. At the end
 * everybody has every acknowledged entry once, and no cursor was ever stepped over.
 */
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import type { Entry } from '../../shared/note/journal.ts';
import { entryOf } from '../support/entries.ts';
import { hasPostgres, PostgresServer } from '../support/postgres-server.ts';
import { Client, percentile, ServerProcess } from '../support/server-process.ts';

const minutes = Number(process.env.STEMSAY_MINUTES ?? 2);
const devices = 20;

interface Page {
  readonly entries: Entry[];
  readonly cursor: number;
}

test.skipIf(!hasPostgres)(
  `four servers and twenty devices on one database for ${minutes} minutes`,
  async () => {
    const database = await PostgresServer.start();
    const book = `${database.url}&book=north`;
    const servers = await Promise.all(Array.from({ length: 4 }, () => ServerProcess.start(book)));
    const until = performance.now() + 60_000 * minutes;
    const acknowledged = new Set<string>();
    const had: Entry[][] = [];
    const cursors: number[] = [];
    const times: number[] = [];
    let broken = 0;
    const device = async (n: number): Promise<void> => {
      const seen: Entry[] = [];
      had[n] = seen;
      let cursor = 0;
      let waiting: Entry[] = [];
      let at = n;
      let client = new Client(servers[at % 4]!.port);
      const page = async () => {
        const { body, status } = await client.get(`/api/entries?after=${cursor}&limit=500`);
        if (status !== 200) throw new Error(`${status}`);
        const { entries, cursor: next } = body as Page;
        seen.push(...entries);
        cursor = next;
        return entries.length;
      };
      for (let seq = 1; performance.now() < until; seq++) {
        waiting.push(entryOf(seq, `d-${n}`, Date.now() - seq));
        try {
          const { status, ms } = await client.post('/api/entries', { entries: waiting });
          if (status !== 200) throw new Error(`${status}`);
          times.push(ms);
          for (const { id } of waiting) acknowledged.add(id);
          waiting = [];
          await page();
        } catch {
          // What was not acknowledged is pushed again, to another server: it may be there already.
          broken++;
          client.close();
          at++;
          client = new Client(servers[at % 4]!.port);
          await wait(100);
        }
        await wait(150 + 20 * (n % 5));
      }
      for (let more = true; more; ) {
        try {
          more = (await page()) > 0;
        } catch {
          await wait(500);
        }
      }
      cursors[n] = cursor;
      client.close();
    };
    const killing = (async () => {
      for (let round = 0; performance.now() < until - 15_000; round++) {
        await wait(12_000);
        await servers[round % 4]!.stop('SIGKILL');
        servers[round % 4] = await ServerProcess.start(book);
        if (round % 3 === 2) {
          await database.end('SIGINT');
          await wait(500);
          await database.begin();
        }
      }
    })();
    await Promise.all([killing, ...Array.from({ length: devices }, (_, n) => device(n))]);
    // Once more, now that nobody writes: all have the same.
    const rows = await database.sql<{ cursor: string; id: string }>(
      `SELECT cursor, id FROM stemsay_entries WHERE book = 'north' ORDER BY cursor`,
    );
    console.log({
      minutes,
      acknowledged: acknowledged.size,
      rows: rows.length,
      'pushes a second': Math.round(times.length / (60 * minutes)),
      'push p50 ms': Math.round(percentile(times, 0.5)),
      'push p99 ms': Math.round(percentile(times, 0.99)),
      'broken and tried again': broken,
    });
    expect(rows.map(({ cursor }) => Number(cursor))).toEqual(rows.map((_, index) => index + 1));
    expect(new Set(rows.map(({ id }) => id)).size).toBe(rows.length);
    const there = new Set(rows.map(({ id }) => id));
    expect([...acknowledged].filter((id) => !there.has(id))).toEqual([]);
    expect(acknowledged.size).toBeGreaterThan(devices * 10 * minutes);
    for (const [n, seen] of had.entries()) {
      const ids = seen.map(({ id }) => id);
      // Each entry once, in the order of its row, none stepped over up to where it read.
      expect(ids).toEqual(rows.slice(0, cursors[n]).map(({ id }) => id));
    }
    await Promise.all(servers.map((server) => server.stop()));
    await database.remove();
  },
  60_000 * (minutes + 4),
);
