/** Entries made to hurt, pushed to a server that others use: each is refused with a sentence, and the book stays as it was. */

import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Book } from '../../../shared/book/book.ts';
import { seeded } from '../../../shared/core/random.ts';
import type { Entry } from '../../../shared/note/journal.ts';
import { toCsv } from '../../../shared/report/files/tables.ts';
import { woodOf } from '../../../shared/report/files/wood.ts';
import { Bytes, mutated } from '../../fuzz/mutate.ts';
import { entriesOf, entryOf } from '../../support/entries.ts';
import { Client, ServerProcess } from '../../support/server-process.ts';
import { countIn, folder, plain, type Row } from './row.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));

const base = entryOf(1);
const acts = (...all: unknown[]) => ({ ...base, acts: all });
const tree = (fields: object) => acts({ act: 'tree', id: base.id, fields });
const set = (of: object) => acts({ act: 'setting', set: of });

/** Each made a book unusable, hung it or hid something, once. */
const known: readonly unknown[] = [
  tree({ logs: 1e9 }),
  tree({ logs: 1e300 }),
  tree({ logs: 1e12 }),
  tree({ merchFt: 1e308 }),
  tree({ marks: [''] }),
  tree({ marks: ['{}'] }),
  tree({ diameterIn: 1e308 }),
  tree({ diameterIn: 5e-324 }),
  { ...base, time: 2 ** 48 },
  { ...base, seq: Number.MAX_SAFE_INTEGER },
  acts({ act: 'plot', id: base.id, number: 1, size: { by: 'radius', length: { value: 0, unit: 'ft' } } }),
  set({ what: 'scatter', device: 'laser', feet: 1e308 }),
  set({ what: 'deviation', error: 'sightDegrees', value: 5e-324 }),
  acts({ act: 'word', word: Array.from({ length: 2000 }, () => 'a').join(' '), species: 833 }),
  set({ what: 'person', name: 'a'.repeat(1e6) }),
];

/** Each of them small and allowed, so that only their number costs. */
async function many(client: Client, server: ServerProcess): Promise<Row> {
  const saying = (seq: number, all: (id: string) => unknown[]): unknown => {
    const one = entryOf(seq, 'd-many');
    return { ...one, acts: all(one.id) };
  };
  const pace = (id: string) => [
    { act: 'setting', set: { what: 'pace', feet: 5 + (Number(`0x${id[35]}`) % 3) / 10 } },
  ];
  const pairs = Array.from({ length: 4500 }, (_, n) => [
    saying(1 + 2 * n, pace),
    saying(2 + 2 * n, () => [{ act: 'retract', targets: [entryOf(1 + 2 * n, 'd-many').id] }]),
  ]).flat();
  const walks = Array.from({ length: 3000 }, (_, n) =>
    saying(9001 + n, () => [{ act: 'setting', set: { what: 'walk', count: 19, of: 'paces', feet: 100 } }]),
  );
  const all = [...pairs, ...walks];
  let acknowledged = 0;
  let slowest = 0;
  for (let from = 0; from < all.length; from += 1000) {
    const before = server.processorMs();
    const { status, body } = await client.post('/api/entries', { entries: all.slice(from, from + 1000) });
    slowest = Math.max(slowest, server.processorMs() - before);
    if (status === 200) acknowledged += (body as { added: number }).added;
  }
  const before = server.processorMs();
  await client.get('/api/totals');
  const totals = server.processorMs() - before;
  return {
    fault: `4 500 settings with their retractions and 3 000 walks are pushed (processor time: a thousand ${slowest.toFixed(0)} ms at most, totals ${totals.toFixed(0)} ms)`,
    rounds: 1,
    acknowledged,
    lost: all.length - acknowledged,
    told: 'nothing: they are kept',
  };
}

/** A table with a cell that no book can hold, beside a good one, brought in from the command line. */
async function imported(): Promise<Row> {
  const book = join(folder, 'table.book');
  const [good, bad] = [join(folder, 'good.csv'), join(folder, 'bad.csv')];
  const wood = new Book();
  wood.apply({
    ...base,
    acts: [{ act: 'tree', id: base.id, fields: { species: 833, diameterIn: 16, logs: 2 } }],
  });
  const [head = '', row = ''] = toCsv(woodOf(wood), 'all').split('\r\n');
  const at = head.split(',').indexOf('logs_16ft');
  const table = (logs: string) =>
    `${head}\r\n${row
      .split(',')
      .map((cell, n) => (n === at ? logs : cell))
      .join(',')}\r\n`;
  writeFileSync(good, table('2'));
  writeFileSync(bad, table('1e12').replaceAll(base.id, entryOf(2).id));
  const bring = (file: string) =>
    spawnSync(process.execPath, ['--import', 'tsx', 'server/stemsay.mjs', 'import', file, '--book', book], {
      cwd: root,
      encoding: 'utf8',
    });
  const first = bring(good);
  const kept = await countIn(book);
  const second = bring(bad);
  return {
    fault: 'a table with 1e12 logs in it is imported',
    rounds: 1,
    acknowledged: kept,
    lost: first.status === 0 && second.status !== 0 ? kept - (await countIn(book)) : 1,
    told: plain(second.stderr || second.stdout),
  };
}

export async function hostile(): Promise<Row[]> {
  const table = await imported();
  const file = join(folder, 'hostile.book');
  const server = await ServerProcess.start(file);
  const client = new Client(server.port);
  const good = entriesOf(20, 'd-good');
  await client.post('/api/entries', { entries: good });
  const push = (entry: unknown) => client.post('/api/entries', { entries: [entry] });
  let told = '';
  let taken = 0;
  for (const entry of known) {
    const { status, body } = await push(entry);
    if (status === 200) taken++;
    else told ||= (body as { refused: string }).refused;
  }
  const rows: Row[] = [
    {
      fault: 'entries that once made a book unusable are pushed',
      rounds: known.length,
      acknowledged: good.length,
      lost: taken,
      told,
    },
  ];
  rows.push(await many(client, server), table);
  const random = seeded(11);
  const documents: readonly Entry[] = entriesOf(8, 'd-base');
  let kept = 0;
  let refused = 0;
  let odd = 0;
  let slowest = 0;
  const rounds = 1500;
  for (let n = 0; n < rounds; n++) {
    const bytes = new Bytes(Uint8Array.from({ length: 6 + Math.floor(random() * 40) }, () => random() * 256));
    const before = server.processorMs();
    const { status } = await push(mutated(bytes, documents));
    slowest = Math.max(slowest, server.processorMs() - before);
    if (status === 200) kept++;
    else if (status === 400 || status === 422) refused++;
    else odd++;
  }
  const state = await client.get('/api/totals');
  if (state.status !== 200) odd++;
  client.close();
  await server.stop();
  const there = await countIn(file);
  rows.push({
    fault: `a generator looks for more (${kept} taken, ${refused} refused, at most ${slowest.toFixed(0)} ms of processor time)`,
    rounds,
    acknowledged: good.length,
    lost: odd + Math.max(0, good.length - there),
    told: 'refused with what is wrong, or kept and counted; the server answers as before',
  });
  return rows;
}
