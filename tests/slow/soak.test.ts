/**
 * A day of work, compressed: 100 000 entries pushed, 2 000 clips heard, notes, pages, files, sockets that come and go. In the
 * first half the book grows; in the second all the same is asked of a book that does not, and there memory and handles stay
 * where they are. STEMSAY_SOAK makes it shorter: 0.1 is a tenth of everything.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { listenPath } from '../../shared/wire.ts';
import { entriesOf } from '../support/entries.ts';
import { Client, ServerProcess } from '../support/server-process.ts';

const share = Number(process.env.STEMSAY_SOAK ?? 1);
const hours = 24;
const entriesInAll = Math.round(100_000 * share);
const clipsInAll = Math.round(2000 * share);
const clipFolder = fileURLToPath(new URL('../clips', import.meta.url));

const collector = new URL('../support/collect.mjs', import.meta.url).href;

interface Held {
  /** In use after the garbage was collected. */
  readonly megabytes: number;
  /** Taken from the system, garbage included. */
  readonly resident: number;
  readonly handles: number;
  /** Of the processes that it started: the one that hears. */
  readonly childMegabytes: number;
}

async function heldBy(server: ServerProcess): Promise<Held> {
  const inUse = await server.inUse();
  const { bytes, handles } = server.held();
  const { pid } = server.child;
  const children = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8')
    .trim()
    .split(' ')
    .filter(Boolean);
  const sizes = children.map((child) => {
    try {
      return 1024 * Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${child}/status`, 'utf8'))?.[1] ?? 0);
    } catch {
      return 0;
    }
  });
  const mega = (value: number) => Math.round(value / 1e5) / 10;
  return {
    megabytes: mega(inUse),
    resident: mega(bytes),
    handles,
    childMegabytes: mega(sizes.reduce((sum, one) => sum + one, 0)),
  };
}

/** By how much a line through the values rises from one to the next. */
function slope(values: readonly number[]): number {
  const middle = (values.length - 1) / 2;
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  let above = 0;
  let below = 0;
  values.forEach((value, at) => {
    above += (at - middle) * (value - mean);
    below += (at - middle) ** 2;
  });
  return above / below;
}

test('a day of 100 000 entries and 2 000 clips: memory and handles stay flat once the book does', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'soak-'));
  const server = await ServerProcess.start(join(folder, 'wood.book'), {
    hears: true,
    env: { NODE_OPTIONS: `--import ${collector}` },
  });
  const client = new Client(server.port);
  const clips = readdirSync(clipFolder)
    .filter((file) => file.endsWith('.wav'))
    .sort()
    .slice(0, 12)
    .map((file) => readFileSync(join(clipFolder, file)));
  const asked = async (asking: Promise<{ status: number }>) => {
    const { status } = await asking;
    if (status !== 200) throw new Error(`refused with ${status}: ${server.said().slice(-400)}`);
  };
  const hour = async (n: number, growing: boolean) => {
    const at = growing ? n : n - hours / 2;
    const count = Math.round(entriesInAll / (hours / 2));
    for (let from = 0; from < count; from += 1000) {
      const entries = entriesOf(Math.min(1000, count - from), `d-${at % 4}`, 1 + at * count + from);
      await asked(client.post('/api/entries', { entries }));
    }
    for (let clip = 0; clip < Math.round(clipsInAll / hours); clip++) {
      const wav = clips[clip % clips.length]!;
      // What is kept grows the book; what is only heard does not.
      await asked(client.post(growing && clip % 2 === 0 ? '/api/sound' : '/api/hear', wav, 'audio/wav'));
    }
    for (let note = 0; note < 40; note++) await asked(client.note(growing ? '9 paces' : 'how many trees'));
    for (const path of ['/api/totals', '/api/state', '/api/doubts', `/api/entries?after=${37 * n}&limit=200`])
      await asked(client.get(path));
    if (n % 6 === 5) await asked(client.get('/api/export?format=csv'));
    const sockets = Array.from({ length: 8 }, () => {
      const half = connect(server.port, '127.0.0.1').on('error', () => {});
      half.write('POST /api/note HTTP/1.1\r\nhost: localhost\r\ncontent-length: 99\r\n\r\n{');
      const socket = new WebSocket(`ws://127.0.0.1:${server.port}${listenPath}`);
      socket.on('error', () => {});
      return { half, socket };
    });
    await new Promise((resolve) => setTimeout(resolve, 150));
    for (const { half, socket } of sockets) {
      half.destroy();
      socket.terminate();
    }
    await new Promise((resolve) => setTimeout(resolve, 150));
  };
  const line: Held[] = [];
  try {
    for (let n = 0; n < hours; n++) {
      await hour(n, n < hours / 2);
      const held = await heldBy(server);
      line.push(held);
      console.log(`hour ${n + 1}`, held);
    }
    const { entries } = (await client.get('/api/state')).body as { entries: number };
    // The first of the flat hours may still settle.
    const flat = line.slice(hours / 2 + 2);
    const figures = {
      entries,
      'memory in use at the end, MB': flat.at(-1)!.megabytes,
      'resident at most, MB': Math.max(...line.map(({ resident }) => resident)),
      'slope of memory, MB an hour': Number(slope(flat.map(({ megabytes }) => megabytes)).toFixed(2)),
      'of the process that hears, MB an hour': Number(
        slope(flat.map(({ childMegabytes }) => childMegabytes)).toFixed(2),
      ),
      handles: `${flat[0]!.handles} to ${flat.at(-1)!.handles}`,
    };
    console.log(figures);
    expect(entries).toBeGreaterThanOrEqual(entriesInAll);
    expect(slope(flat.map(({ megabytes }) => megabytes))).toBeLessThan(0.01 * flat[0]!.megabytes);
    expect(slope(flat.map(({ childMegabytes }) => childMegabytes))).toBeLessThan(
      0.02 * flat[0]!.childMegabytes,
    );
    expect(Math.abs(flat.at(-1)!.handles - flat[0]!.handles)).toBeLessThanOrEqual(4);
  } finally {
    client.close();
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}, 3_600_000);
