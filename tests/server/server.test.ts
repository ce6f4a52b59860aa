/** The server as a process of its own: its address, its refusals to start, its end. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { openStore } from '../../server/journal/sqlite.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'server-'));
const started: ChildProcess[] = [];
afterAll(() => {
  for (const child of started) child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

interface Ran {
  readonly child: ChildProcess;
  readonly said: { out: string; err: string };
  readonly ended: Promise<number | null>;
  /** The port that it named, once it did. */
  readonly port: Promise<number>;
}

function serve(port: string, book: string, ...more: string[]): Ran {
  const child = spawn(
    process.execPath,
    ['--import', 'tsx', 'server/main.ts', '--deaf', '--book', book, ...more],
    {
      cwd: root,
      env: { ...process.env, PORT: port },
      stdio: ['ignore', 'pipe', 'pipe'],
    },
  );
  started.push(child);
  const said = { out: '', err: '' };
  child.stderr!.on('data', (part) => {
    said.err += part;
  });
  const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
  const named = new Promise<number>((resolve, reject) => {
    child.stdout!.on('data', (part) => {
      said.out += part;
      const found = /http:\/\/localhost:(\d+)\n/.exec(said.out);
      if (found) resolve(Number(found[1]));
    });
    void ended.then(() => reject(new Error(said.err)));
  });
  named.catch(() => {});
  return { child, said, ended, port: named };
}

const tell = async (port: number, words: string) => {
  const response = await fetch(`http://127.0.0.1:${port}/api/note`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ words }),
  });
  return (await response.json()) as { answer: { state: string; reply: string } };
};

test('it names its address, answers, says why a second one cannot start, and leaves one file behind', async () => {
  const book = join(folder, 'wood.book');
  const first = serve('0', book);
  const port = await first.port;
  expect((await tell(port, 'my pace is five point three feet')).answer.state).toBe('kept');

  // The same port, another book; then another port, the same book.
  const [taken, locked] = [serve(String(port), join(folder, 'other.book')), serve('0', book)];
  expect(await taken.ended).toBe(1);
  expect(taken.said.err).toContain(`Port ${port} is taken. Choose another: PORT=${port + 1} npm start`);
  expect(await locked.ended).toBe(1);
  expect(locked.said.err).toContain('is open in another stemsay');

  // Another name that leads to the same address.
  const foreign = await fetch(`http://127.0.0.1:${port}/api/state`, {
    headers: { origin: 'http://wood.example' },
  });
  expect(foreign.status).toBe(403);

  first.child.kill('SIGTERM');
  expect(await first.ended).toBe(0);
  expect(readdirSync(folder).sort()).toEqual(['other.book', 'wood.book']);
  const store = openStore(book, 'read');
  expect(store.ok && (await store.value.since(0)).entries.map((entry) => entry.words)).toEqual([
    'my pace is five point three feet',
  ]);
  if (store.ok) await store.value.close();
});

test('with --lan it says where phones come in, keeps the start page to this machine, and answers no stranger', async () => {
  const own = join(folder, 'lan');
  mkdirSync(own);
  const server = serve('0', join(own, 'wood.book'), '--lan');
  const port = await server.port;
  await expect.poll(() => server.said.out).toMatch(/The pictures to scan are at http/);
  expect(server.said.out).toMatch(/Phones: (https:\/\/\S+, code \d{4} \d{4}\.|this machine has no address)/);
  expect(statSync(join(own, 'access', 'authority.key')).mode & 0o777).toBe(0o600);
  const at = (path: string) => `http://127.0.0.1:${port}${path}`;
  expect(await (await fetch(at('/phones'))).text()).toContain('Phones that may come in');
  // Another page of this machine's browser can neither look nor press.
  const foreign = { headers: { origin: 'http://wood.example' } };
  expect((await fetch(at('/phones'), foreign)).status).toBe(403);
  expect((await fetch(at('/phones/code'), { method: 'POST', ...foreign })).status).toBe(403);
  // The pairing page belongs to the other door.
  expect((await fetch(at('/pair'))).status).toBe(404);
  server.child.kill('SIGTERM');
  expect(await server.ended).toBe(0);
});

test('an authority that cannot be read is one sentence, and the book is let go', async () => {
  const own = join(folder, 'damaged');
  mkdirSync(join(own, 'access'), { recursive: true });
  writeFileSync(join(own, 'access', 'authority.key'), 'no key', { mode: 0o600 });
  writeFileSync(join(own, 'access', 'authority.crt'), 'no certificate');
  const server = serve('0', join(own, 'wood.book'), '--lan');
  expect(await server.ended).toBe(1);
  expect(server.said.err).toMatch(/^The authority in .* cannot be read: .*Put it back from a copy/);
  expect(server.said.err.trim().split('\n')).toHaveLength(1);
  const again = serve('0', join(own, 'wood.book'));
  await again.port;
  again.child.kill('SIGTERM');
  await again.ended;
});

test('"stemsay serve" is the same server, for who installed the package', async () => {
  const child = spawn(
    process.execPath,
    ['server/stemsay.mjs', 'serve', '--deaf', '--book', join(folder, 'packed.book')],
    { cwd: root, env: { ...process.env, PORT: '0' }, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  started.push(child);
  let out = '';
  child.stdout!.on('data', (part) => {
    out += part;
  });
  await expect.poll(() => /localhost:(\d+)/.exec(out)?.[1]).toBeTruthy();
  const port = Number(/localhost:(\d+)/.exec(out)![1]);
  expect((await tell(port, 'my pace is five point three feet')).answer.state).toBe('kept');
  child.kill('SIGTERM');
  await new Promise((resolve) => child.once('close', resolve));
}, 60_000);

test('a note that was answered is there after the server was killed', async () => {
  const book = join(folder, 'killed.book');
  const server = serve('0', book);
  await tell(await server.port, 'my pace is five point three feet');
  server.child.kill('SIGKILL');
  await server.ended;
  const store = openStore(book);
  expect(store.ok && (await store.value.since(0)).entries).toHaveLength(1);
  if (store.ok) await store.value.close();
});

test.each([
  ['a port that is none', 'eighty', 'x.book', 'PORT must be a whole number'],
  ['a file that is no book', '0', 'notes.txt', 'not a stemsay book'],
])(
  '%s is said in one sentence and ends with status 1',
  async (_, port, name, words) => {
    writeFileSync(join(folder, 'notes.txt'), 'oak 60');
    const server = serve(port, join(folder, name));
    expect(await server.ended).toBe(1);
    expect(server.said.err).toContain(words);
    expect(server.said.err.trim().split('\n')).toHaveLength(1);
  },
  60_000,
);
