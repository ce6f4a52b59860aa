/**
 * The journal: how long until a note is durable, how fast a book is read and folded again, and how long a server takes
 * from its start to the first answer. Each durable figure stands beside the bare cost of the disk on this machine.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import {
  closeSync,
  fdatasyncSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '../../server/journal/sqlite.ts';
import { Book } from '../../shared/book/book.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { entryOf } from '../support/entries.ts';

export const name = 'journal';
type Print = (name: string, value: number | string, unit: string) => void;

const root = fileURLToPath(new URL('../..', import.meta.url));

export async function run(print: Print): Promise<void> {
  // On the disk of the project, not in a memory file system, where a sync costs nothing.
  const folder = mkdtempSync(join(root, 'node_modules', '.bench-'));
  try {
    await appends(folder, print);
    await replay(folder, print);
    await serverStart(folder, print);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const round = (value: number, digits = 3) => Number(value.toPrecision(digits));
function percentile(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}

async function appends(folder: string, print: Print): Promise<void> {
  const store = openStore(join(folder, 'append.book'));
  if (!store.ok) throw new Error(store.error.sentence);
  for (let seq = 1; seq <= 200; seq++) await store.value.append([entryOf(seq)]);
  const times: number[] = [];
  for (let seq = 201; seq <= 5200; seq++) {
    const entry = entryOf(seq);
    const started = performance.now();
    await store.value.append([entry]);
    times.push(performance.now() - started);
  }
  await store.value.close();
  times.sort((a, b) => a - b);
  // What the disk asks for the same promise: write the entry's bytes at the end of a file and sync it.
  const bytes = Buffer.alloc(4096, 'x');
  const handle = openSync(join(folder, 'bare'), 'w');
  const bare: number[] = [];
  for (let i = 0; i < 1000; i++) {
    const started = performance.now();
    writeSync(handle, bytes);
    fdatasyncSync(handle);
    bare.push(performance.now() - started);
  }
  closeSync(handle);
  bare.sort((a, b) => a - b);
  print('append.durable.p50', round(percentile(times, 0.5)), 'ms');
  print('append.durable.p99', round(percentile(times, 0.99)), 'ms');
  print('append.durable.max', round(times.at(-1)!), 'ms');
  print('bare.write.and.sync.p50', round(percentile(bare, 0.5)), 'ms');
  print('bare.write.and.sync.p99', round(percentile(bare, 0.99)), 'ms');
}

/** Trees and heights as a real book has them: a species, a diameter, a measured height every fifth tree. */
function treeEntry(seq: number): Entry {
  const entry = entryOf(seq);
  if (seq % 5 === 0) {
    return {
      ...entry,
      acts: entry.acts.map((act) => ({ ...act, tree: entryOf(seq - 1).id }) as Entry['acts'][number]),
    };
  }
  const facts = { species: [833, 316, 318, 531][seq % 4]!, diameter: { value: 6 + (seq % 180) / 10 } };
  return {
    ...entry,
    words: `tree ${seq}`,
    note: { kind: 'tree', facts },
    acts: [
      { act: 'tree', id: entry.id, fields: { species: facts.species, diameterIn: facts.diameter.value } },
    ],
  };
}

async function replay(folder: string, print: Print): Promise<void> {
  const count = 200_000;
  const file = join(folder, 'replay.book');
  const store = openStore(file);
  if (!store.ok) throw new Error(store.error.sentence);
  for (let from = 1; from <= count; from += 5000) {
    await store.value.append(Array.from({ length: 5000 }, (_, at) => treeEntry(from + at)));
  }
  await store.value.close();
  const again = openStore(file, 'read');
  if (!again.ok) throw new Error(again.error.sentence);
  const entries: Entry[] = [];
  let started = performance.now();
  for (let cursor = 0; ; ) {
    const page = await again.value.since(cursor, 10_000);
    if (page.entries.length === 0) break;
    for (const entry of page.entries) entries.push(entry);
    cursor = page.cursor;
  }
  const reading = performance.now() - started;
  await again.value.close();
  const book = new Book();
  started = performance.now();
  book.applyAll(entries);
  const folding = performance.now() - started;
  print('read.and.validate', Math.round((count / reading) * 1000), 'entries/s');
  print('replay.fold', Math.round((count / folding) * 1000), 'entries/s');
  print('replay.from.disk', Math.round((count / (reading + folding)) * 1000), 'entries/s');
  print('book.on.disk', round(statSync(file).size / count), 'bytes/entry');
}

async function serverStart(folder: string, print: Print): Promise<void> {
  const port = await freePort();
  const started = performance.now();
  const server = spawn(
    process.execPath,
    ['--import', 'tsx', 'server/main.ts', '--book', join(folder, 'start.book')],
    {
      cwd: root,
      env: { ...process.env, PORT: String(port) },
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  try {
    const first = await answered(port);
    print('server.start.to.first.answer', Math.round(first - started), 'ms');
    const times: number[] = [];
    for (let i = 0; i < 300; i++) {
      const from = performance.now();
      await ask(port, i % 2 === 0 ? 'eight paces, eye five and a half' : 'red oak fourteen inches');
      times.push(performance.now() - from);
    }
    times.sort((a, b) => a - b);
    print('note.over.http.p50', round(percentile(times, 0.5)), 'ms');
    print('note.over.http.p99', round(percentile(times, 0.99)), 'ms');
    // The process that hears loads its model in the background; it is part of the whole.
    await new Promise((resolve) => setTimeout(resolve, 3000));
    print('server.resident', round(memoryMb(server.pid, 'VmRSS') ?? 0), 'MB');
    print('server.resident.with.hearing', round(familyMb(server, 'VmRSS')), 'MB');
    // Pages that both processes share (the program itself) counted once.
    print('server.proportional.with.hearing', round(familyMb(server, 'Pss')), 'MB');
  } finally {
    const ended = new Promise((resolve) => server.once('close', resolve));
    server.kill('SIGTERM');
    await ended;
  }
}

async function ask(port: number, words: string): Promise<void> {
  const response = await fetch(`http://127.0.0.1:${port}/api/note`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ words }),
  });
  if (!response.ok) throw new Error(`status ${response.status}`);
  await response.arrayBuffer();
}

async function answered(port: number): Promise<number> {
  for (let tries = 0; tries < 3000; tries++) {
    try {
      await ask(port, 'my pace is five point three feet');
      return performance.now();
    } catch {
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  }
  throw new Error('the server did not answer');
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const probe = createServer();
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as { port: number };
      probe.close(() => resolve(port));
    });
  });
}

/** Memory of a process in MB as Linux tells it (proc(5): VmRSS in status, Pss in smaps_rollup); null elsewhere. */
function memoryMb(pid: number | undefined, field: 'VmRSS' | 'Pss'): number | null {
  try {
    const text = readFileSync(`/proc/${pid}/${field === 'Pss' ? 'smaps_rollup' : 'status'}`, 'utf8');
    return Number(new RegExp(`^${field}:\\s+(\\d+)`, 'm').exec(text)?.[1]) / 1024;
  } catch {
    return null;
  }
}

/** A process and its children. */
function familyMb(server: ChildProcess, field: 'VmRSS' | 'Pss'): number {
  const children = readFileSync(`/proc/${server.pid}/task/${server.pid}/children`, 'utf8')
    .split(' ')
    .filter(Boolean);
  return [server.pid!, ...children.map(Number)].reduce((sum, pid) => sum + (memoryMb(pid, field) ?? 0), 0);
}
