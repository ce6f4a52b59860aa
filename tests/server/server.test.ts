/** The server as a process of its own: its address, its refusals to start, its end. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
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

function serve(port: string, book: string): Ran {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts', '--deaf', '--book', book], {
    cwd: root,
    env: { ...process.env, PORT: port },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
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
}, 60_000);

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
