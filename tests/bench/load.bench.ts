/**
 * A server under load, on loopback: notes and clips a second by connections, beyond what it can take too; what other
 * clients feel of half-sent bodies and of a word that is learnt. Clients and server share the cores of this machine.
 * `STEMSAY_LOAD=SECONDS` for each row, 4 unless given; `STEMSAY_PARTS="halfSent pushes"` for some of its parts.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '../../server/journal/sqlite.ts';
import { entriesOf } from '../support/entries.ts';
import { Client, percentile, ServerProcess } from '../support/server-process.ts';

export const name = 'load';

type Print = (name: string, value: number | string, unit: string) => void;

const seconds = Number(process.env.STEMSAY_LOAD ?? 4);
const clip = fileURLToPath(new URL('../clips/eight-paces-eye-five-and-a-half.wav', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'load-'));
const fixed = (value: number, digits = 1) => value.toFixed(digits);

interface Count {
  readonly times: number[];
  kept: number;
  /** Refused with a sentence: too many at once. */
  refused: number;
  readonly sentences: Set<string>;
}

/** So many clients, each asking again as soon as it was answered. */
async function pressed(
  port: number,
  clients: number,
  ask: (client: Client, n: number) => ReturnType<Client['get']>,
): Promise<Count> {
  const count: Count = { times: [], kept: 0, refused: 0, sentences: new Set() };
  const until = performance.now() + 1000 * seconds;
  await Promise.all(
    Array.from({ length: clients }, async (_, n) => {
      const client = new Client(port);
      while (performance.now() < until) {
        const { status, body, ms } = await ask(client, n);
        if (status === 200) {
          count.kept++;
          count.times.push(ms);
        } else {
          count.refused++;
          count.sentences.add(`${status}: ${(body as { refused?: string }).refused}`);
          // Who is told to wait does.
          await new Promise((resolve) => setTimeout(resolve, 50));
        }
      }
      client.close();
    }),
  );
  return count;
}

/** The first notes of a program are slow: its code is not yet compiled, and a checkout builds its page meanwhile. */
async function warmedUp(port: number): Promise<void> {
  const client = new Client(port);
  await client.get('/main.js');
  for (let n = 0; n < 100; n++) await client.note(`${8 + (n % 9)} paces, eye five and a half`);
  client.close();
}

async function notes(print: Print): Promise<void> {
  for (const connections of [1, 8, 64, 512]) {
    const book = join(folder, `notes-${connections}.book`);
    const server = await ServerProcess.start(book);
    await warmedUp(server.port);
    const cost = server.processorMs();
    const count = await pressed(server.port, connections, (client, n) =>
      client.note(`${8 + (n % 9)} paces, eye five and a half`),
    );
    const processor = server.processorMs() - cost;
    await server.stop();
    const store = openStore(book, 'read');
    if (!store.ok) throw new Error(store.error.sentence);
    const kept = (await store.value.since(0)).entries.length;
    await store.value.close();
    const at = `notes, ${connections} connections`;
    print(at, fixed(count.kept / seconds, 0), 'a second');
    print(`${at}, p50`, fixed(percentile(count.times, 0.5)), 'ms');
    print(`${at}, p99`, fixed(percentile(count.times, 0.99)), 'ms');
    print(`${at}, processor time`, fixed(processor / count.kept, 2), 'ms a note');
    print(`${at}, refused`, fixed(count.refused / seconds, 0), 'a second');
    print(`${at}, acknowledged and lost`, Math.max(0, count.kept - kept), 'entries');
    for (const sentence of count.sentences) print(`${at}, refused with`, sentence, '');
  }
}

/** What one patient client feels: a note every 20 ms, for so long as the work takes. */
async function felt(port: number, work: () => Promise<void>): Promise<number[]> {
  const client = new Client(port);
  const times: number[] = [];
  let working = true;
  const done = work().finally(() => {
    working = false;
  });
  while (working) {
    const { ms, status } = await client.note('9 paces, eye five and a half');
    times.push(status === 200 ? ms : Number.POSITIVE_INFINITY);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  client.close();
  await done;
  return times;
}

const wait = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

async function halfSent(print: Print): Promise<void> {
  const server = await ServerProcess.start(join(folder, 'half.book'));
  await warmedUp(server.port);
  const before = await felt(server.port, () => wait(1000 * seconds));
  const open: Socket[] = [];
  let closed = 0;
  let last = 0;
  const began = performance.now();
  const during = await felt(server.port, async () => {
    for (let n = 0; n < 3000; n++) {
      const socket = connect(server.port, '127.0.0.1');
      socket.on('error', () => {}).resume();
      socket.on('close', () => {
        closed++;
        last = performance.now() - began;
      });
      socket.write(
        `POST /api/entries HTTP/1.1\r\nhost: localhost\r\ncontent-type: application/json\r\ncontent-length: 8000000\r\n\r\n{"entries":[`,
      );
      open.push(socket);
      if (n % 50 === 49) await wait(5);
    }
    const until = performance.now() + 45_000;
    while (closed < open.length && performance.now() < until) {
      // Some of them go on, a few bytes at a time.
      for (const socket of open) if (socket.writable && Math.random() < 0.05) socket.write(' ');
      await wait(500);
    }
  });
  const closedByServer = closed;
  for (const socket of open) socket.destroy();
  await server.stop();
  print('a note before, p99', fixed(percentile(before, 0.99)), 'ms');
  print('a note before, longest', fixed(Math.max(...before)), 'ms');
  print('a note beside 3 000 half-sent bodies, p50', fixed(percentile(during, 0.5)), 'ms');
  print('a note beside 3 000 half-sent bodies, p99', fixed(percentile(during, 0.99)), 'ms');
  print('a note beside 3 000 half-sent bodies, longest', fixed(Math.max(...during)), 'ms');
  print('half-sent bodies closed by the server', closedByServer, '');
  print('the last of them after', fixed(last / 1000), 's');
}

async function learning(print: Print): Promise<void> {
  const server = await ServerProcess.start(join(folder, 'learning.book'));
  const before = await felt(server.port, () => wait(1000 * seconds));
  const word = `maple of ${Date.now()
    .toString(36)
    .replace(/[^a-z]/g, 'e')}`;
  const teacher = new Client(server.port);
  let learnt = 0;
  const during = await felt(server.port, async () => {
    await teacher.note(`call sugar maple ${word}`);
    const { ms } = await teacher.note(`${word} eleven inches`);
    learnt = ms;
  });
  teacher.close();
  await server.stop();
  print('a note before, p99', fixed(percentile(before, 0.99)), 'ms');
  print('a word taught and said', fixed(learnt / 1000), 's');
  print('another’s note meanwhile, longest', fixed(Math.max(...during)), 'ms');
}

async function pushes(print: Print): Promise<void> {
  const server = await ServerProcess.start(join(folder, 'pushes.book'));
  const phone = new Client(server.port);
  const took: number[] = [];
  const during = await felt(server.port, async () => {
    for (let n = 0; n < 4; n++) {
      const { ms, status } = await phone.post('/api/entries', { entries: entriesOf(1000, `d-${n}`) });
      if (status !== 200) throw new Error(`a push was refused with ${status}`);
      took.push(ms);
    }
  });
  phone.close();
  await server.stop();
  print('a push of 1 000 entries, median', fixed(percentile(took, 0.5)), 'ms');
  print('another’s note beside pushes, longest', fixed(Math.max(...during)), 'ms');
}

async function clips(print: Print): Promise<void> {
  const server = await ServerProcess.start(join(folder, 'clips.book'), { hears: true });
  const wav = readFileSync(clip);
  const first = new Client(server.port);
  await first.post('/api/hear', wav, 'audio/wav');
  first.close();
  for (const connections of [1, 8, 64]) {
    const count = await pressed(server.port, connections, (client) =>
      client.post('/api/hear', wav, 'audio/wav'),
    );
    const at = `clips, ${connections} connections`;
    print(at, fixed(count.kept / seconds), 'a second');
    print(`${at}, p99`, fixed(percentile(count.times, 0.99), 0), 'ms');
    print(`${at}, refused`, fixed(count.refused / seconds), 'a second');
    for (const sentence of count.sentences) print(`${at}, refused with`, sentence, '');
  }
  await server.stop();
}

/** Many at once on connections that are open already: the last of them is answered or refused before long. */
async function burst(print: Print): Promise<void> {
  const server = await ServerProcess.start(join(folder, 'burst.book'));
  await warmedUp(server.port);
  const clients = Array.from({ length: 512 }, () => new Client(server.port));
  for (let from = 0; from < clients.length; from += 64)
    await Promise.all(clients.slice(from, from + 64).map((client) => client.get('/api/state')));
  const answers = await Promise.all(clients.map((client) => client.note('9 paces, eye five and a half')));
  for (const client of clients) client.close();
  await server.stop();
  const kept = answers.filter(({ status }) => status === 200);
  const refused = answers.filter(({ status }) => status === 503);
  print('512 notes at once, kept', kept.length, '');
  print('512 notes at once, refused with a sentence', refused.length, '');
  print('512 notes at once, the last answer after', fixed(Math.max(...answers.map(({ ms }) => ms)), 0), 'ms');
}

export async function run(print: Print): Promise<void> {
  try {
    const wanted = process.env.STEMSAY_PARTS?.split(/\s+/);
    for (const part of [notes, burst, halfSent, learning, pushes, clips])
      if (wanted === undefined || wanted.includes(part.name)) await part(print);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
