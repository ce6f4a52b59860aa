/** More than can be taken: a bound, a sentence, and nothing that was acknowledged lost; who does not finish is closed. */
import { createServer, type Server } from 'node:http';
import { type AddressInfo, connect, type Socket } from 'node:net';
import { serve } from '@hono/node-server';
import { afterEach, describe, expect, test } from 'vitest';
import { boundRequests, timeLimits } from '../../server/access/slow-requests.ts';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { entriesOf } from '../support/entries.ts';
import { fakeLanguage } from '../support/fakes.ts';
import { Client } from '../support/server-process.ts';

const ends: (() => unknown)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0)) await end();
});

/** Every append takes a moment, as on a slow disk. */
class SlowStore extends MemoryStore {
  override async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    await new Promise((resolve) => setTimeout(resolve, 3));
    return super.append(entries);
  }
}

async function served(
  options: object = {},
): Promise<{ port: number; server: Server; desk: Desk; logged: string[] }> {
  const desk = await Desk.open({ store: new SlowStore(), language: fakeLanguage });
  const logged: string[] = [];
  const app = createApp({
    desk,
    version: '0',
    book: null,
    mounts: [],
    report: () => '',
    log: (sentence) => logged.push(sentence),
  });
  const server = await new Promise<Server>((resolve) => {
    const made = serve(
      {
        fetch: app.fetch,
        port: 0,
        hostname: '127.0.0.1',
        serverOptions: { ...timeLimits, ...options },
      },
      () => resolve(made as Server),
    );
  });
  ends.push(boundRequests(server), () => {
    server.closeAllConnections();
    server.close();
  });
  return { port: (server.address() as AddressInfo).port, server, desk, logged };
}

test('beyond the bound a note is refused with a sentence, and every acknowledged one is kept', async () => {
  const { port, desk } = await served();
  const clients = Array.from({ length: 400 }, () => new Client(port));
  const answers = await Promise.all(clients.map((client) => client.note('red oak sixteen inches')));
  for (const client of clients) client.close();
  const kept = answers.filter(({ status }) => status === 200);
  const refused = answers.filter(({ status }) => status !== 200);
  expect(kept.length).toBeGreaterThanOrEqual(128);
  expect(refused.length).toBeGreaterThan(0);
  for (const { status, body } of refused) {
    expect(status).toBe(503);
    expect((body as { refused: string }).refused).toMatch(
      /^Too much at once.* Nothing of this was kept; send it again/,
    );
  }
  expect((await desk.store.since(0)).entries).toHaveLength(kept.length);
  // Afterwards it is as before; pushes have the same bound.
  const client = new Client(port);
  expect((await client.note('red oak sixteen inches')).status).toBe(200);
  expect((await client.post('/api/entries', { entries: entriesOf(3) })).body).toMatchObject({ added: 3 });
  client.close();
});

describe('requests that do not come to their end', () => {
  const half = (port: number, bytes = 12): Socket => {
    const socket = connect(port, '127.0.0.1');
    socket.on('error', () => {}).resume();
    socket.write(
      'POST /api/entries HTTP/1.1\r\nhost: localhost\r\ncontent-type: application/json\r\ncontent-length: 8000000\r\n\r\n',
    );
    socket.write('x'.repeat(bytes));
    ends.push(() => socket.destroy());
    return socket;
  };
  const closed = (socket: Socket) =>
    new Promise<void>((resolve) => (socket.closed ? resolve() : socket.once('close', () => resolve())));

  test('are closed in time, and hinder nobody until then', async () => {
    const { port, server } = await served({
      // Far above what a note takes on a busy machine, so that only the halves are late.
      headersTimeout: 2000,
      requestTimeout: 4000,
      connectionsCheckingInterval: 50,
    });
    const headOnly = connect(port, '127.0.0.1');
    headOnly.on('error', () => {}).resume();
    headOnly.write('POST /api/note HTTP/1.1\r\nhost: loc');
    const halves = Array.from({ length: 300 }, () => half(port));
    // Going on a little at a time gives no more time.
    const trickle = setInterval(() => {
      for (const socket of halves.slice(0, 50)) if (socket.writable) socket.write(' ');
    }, 100);
    const client = new Client(port);
    for (let i = 0; i < 5; i++) expect((await client.note('red oak sixteen inches')).status).toBe(200);
    await Promise.all([...halves, headOnly].map(closed));
    clearInterval(trickle);
    expect((await client.note('red oak sixteen inches')).status).toBe(200);
    client.close();
    expect(server.listening).toBe(true);
  });

  test('have so much room together: the largest is closed, the others go on', async () => {
    const server = createServer((request, response) => {
      request.resume();
      request.on('end', () => response.end('whole'));
    });
    ends.push(boundRequests(server, 100_000), () => server.close());
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const { port } = server.address() as AddressInfo;
    const small = half(port, 10_000);
    let smallClosed = false;
    void closed(small).then(() => {
      smallClosed = true;
    });
    await closed(half(port, 200_000));
    expect(smallClosed).toBe(false);
  });

  test('are told so, and closed a few at a time, so that who asks meanwhile does not wait for all of them', async () => {
    const { port, server } = await served({
      headersTimeout: 1000,
      requestTimeout: 1000,
      // By the first look every one of them is late.
      connectionsCheckingInterval: 3000,
    });
    let inThisTurn = 0;
    let most = 0;
    const turn = () => {
      inThisTurn = 0;
      if (server.listening) setImmediate(turn);
    };
    setImmediate(turn);
    server.on('connection', (socket) =>
      socket.on('close', () => {
        most = Math.max(most, ++inThisTurn);
      }),
    );
    const halves = Array.from({ length: 300 }, () => half(port));
    let said = '';
    halves[0]!.on('data', (part) => {
      said += part;
    });
    await Promise.all(halves.map(closed));
    expect(said).toMatch(/^HTTP\/1\.1 408 .*"refused":"What you sent did not come to its end in time\./s);
    expect(most).toBeLessThan(40);
  });

  test('are no failure of the program: who goes away in the middle of a body is not logged as one', async () => {
    const { port, logged } = await served();
    const client = new Client(port);
    for (const head of [
      'content-type: application/json\r\ntransfer-encoding: chunked\r\n\r\n5\r\n{"wor\r\n',
      'content-type: audio/wav\r\ncontent-length: 80000\r\n\r\nRIFF',
    ]) {
      const path = head.includes('audio') ? '/api/sound' : '/api/note';
      const socket = connect(port, '127.0.0.1');
      socket.on('error', () => {}).write(`POST ${path} HTTP/1.1\r\nhost: localhost\r\n${head}`);
      // It is in hand by the time that another is answered.
      await client.note('red oak sixteen inches');
      socket.destroy();
      await closed(socket);
      await client.note('red oak sixteen inches');
    }
    client.close();
    expect(logged).toEqual([]);
  });

  test('are given no more time by the server itself than its limits say', async () => {
    const { server } = await served();
    expect(server.headersTimeout).toBe(10_000);
    expect(server.requestTimeout).toBe(30_000);
  });
});
