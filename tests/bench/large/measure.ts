/**
 * One book, measured in a process of its own, so that its memory is its own: `measure.ts FILE COUNT` prints lines
 * `name value unit`. Memory is what the process holds after a collection; times of one thread are processor time.
 */
import { deserialize, serialize } from 'node:v8';
import { Desk } from '../../../server/desk/desk.ts';
import { openStore } from '../../../server/journal/sqlite.ts';
import { createLanguage } from '../../../server/language/language.ts';
import { deviceId, type Entry } from '../../../shared/note/journal.ts';
import type { Note } from '../../../shared/note/note.ts';
import { Totals } from '../../../shared/totals/totals.ts';
import { idOf } from '../../support/entries.ts';
import { timeOf } from './made-book.ts';
import { reportOfDesk } from './report-of-desk.ts';

const [file, counted] = process.argv.slice(2) as [string, string];
const count = Number(counted);
const megabyte = 2 ** 20;

const print = (name: string, value: number, unit: string) =>
  console.log(`${name} ${Number(value.toPrecision(3))} ${unit}`);

const cpuMs = (since?: NodeJS.CpuUsage) => {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1000;
};

function resident(): number {
  for (let round = 0; round < 3; round++) globalThis.gc?.();
  return process.memoryUsage.rss() / megabyte;
}

const middle = (values: number[], share: number): number =>
  values.sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))]!;

const language = createLanguage();
const alone = resident();
print('before.memory', alone, 'MB, the language alone');

const opening = performance.now();
const openingCpu = process.cpuUsage();
const store = openStore(file);
if (!store.ok) throw new Error(store.error.sentence);
const desk = await Desk.open({ store: store.value, language });
print('open', performance.now() - opening, 'ms');
print('open.cpu', cpuMs(openingCpu), 'ms, all threads');
print('open.peak', process.resourceUsage().maxRSS / 1024, 'MB, highest so far');
const opened = resident();
print('memory', opened, 'MB');
print('memory.entry', ((opened - alone) * 1024) / count, 'kB an entry');
print('heap', process.memoryUsage().heapUsed / megabyte, 'MB, on the heap');

const tell = async (note: Note, words: string) =>
  desk.session.tell({ words, candidates: [{ notes: [note], words, posterior: 1 }] });
await tell(
  { kind: 'setting', set: { what: 'pace', length: { value: 5.2, unit: 'ft' } } },
  'my pace is 5.2 feet',
);
await tell(
  { kind: 'setting', set: { what: 'eye', length: { value: 5.33, unit: 'ft' } } },
  'eye height 5.33 feet',
);
const notes: number[] = [];
for (let turn = 0; turn < 300; turn++) {
  const from = performance.now();
  if (turn % 2 === 0)
    await tell(
      { kind: 'tree', facts: { species: 833, diameter: { value: 9 + (turn % 90) / 10 } } },
      'red oak twelve inches',
    );
  else
    await tell(
      { kind: 'height', height: { method: 'stick', distance: { by: 'paces', count: 9 + (turn % 4) } } },
      'nine paces',
    );
  notes.push(performance.now() - from);
}
print('note.p50', middle(notes, 0.5), 'ms, durable');
print('note.p99', middle(notes, 0.99), 'ms, durable');

/** One entry of a phone that comes home now with what it said in the middle of the book. */
const lateEntry = (turn: number): Entry => {
  const time = timeOf(Math.floor(count / 2) + turn) + 7;
  const id = idOf(time, 2 ** 40 + turn);
  return {
    id,
    device: deviceId('p-late'),
    seq: turn + 1,
    time,
    zone: -240,
    words: 'red oak fourteen inches',
    note: { kind: 'tree', facts: { species: 833, diameter: { value: 14 } } },
    grammar: '3f09c1d2',
    acts: [{ act: 'tree', id, fields: { species: 833, diameterIn: 14 } }],
  };
};
const late: number[] = [];
for (let turn = 0; turn < 5; turn++) {
  const from = process.cpuUsage();
  await desk.push([lateEntry(turn)]);
  late.push(cpuMs(from));
}
print('late.cpu', middle(late, 0.5), 'ms, one entry into the middle');
{
  const from = process.cpuUsage();
  await desk.push(Array.from({ length: 500 }, (_, at) => lateEntry(5 + at)));
  print('late500.cpu', cpuMs(from), 'ms, 500 entries into the middle');
}

{
  const from = process.cpuUsage();
  desk.totals();
  print('totals.cpu', cpuMs(from), 'ms, all usual questions');
}
{
  const from = process.cpuUsage();
  const text = desk.export('csv');
  print('csv.cpu', cpuMs(from), 'ms');
  print('csv.bytes', text.length / megabyte, 'MB');
}

if (process.env.STEMSAY_NO_REPORT !== 'yes') {
  let longest = 0;
  let last = performance.now();
  const beat = setInterval(() => {
    const now = performance.now();
    longest = Math.max(longest, now - last - 5);
    last = now;
  }, 5);
  const from = performance.now();
  const used = process.cpuUsage();
  const bytes = await reportOfDesk(desk);
  const took = performance.now() - from;
  const spent = cpuMs(used);
  await new Promise((resolve) => setTimeout(resolve, 20));
  clearInterval(beat);
  print('report', took, 'ms');
  print('report.cpu', spent, 'ms, all threads');
  print('report.longest.wait', longest, 'ms that another request waits at most');
  print('report.bytes', bytes / megabyte, 'MB');
}
print('memory.after', resident(), 'MB, when all of this was asked');
print('memory.peak', process.resourceUsage().maxRSS / 1024, 'MB, highest ever');

// What a snapshot of the fold would have to be read from, were there one: the records, without how they hang together.
{
  const { book } = desk.session;
  const records = {
    trees: [...book.trees()],
    plots: [...book.plots()],
    heights: [...book.heights()].map((node) => ({ ...node })),
    order: [...book.entries].map(({ id, time, device, seq }) => ({ id, time, device, seq })),
  };
  const written = serialize(records);
  print('records', written.length / megabyte, 'MB, as they would lie in a snapshot');
  const from = process.cpuUsage();
  const read: typeof records = deserialize(written);
  const totals = new Totals();
  for (const plot of read.plots) totals.ledger.putPlot(plot);
  for (const tree of read.trees) totals.ledger.putTree(tree);
  print('records.cpu', cpuMs(from), 'ms to read them and fill the totals: the least that a snapshot takes');
}
{
  const from = process.cpuUsage();
  for (let cursor = 0; ; ) {
    const page = await store.value.since(cursor, 1000);
    if (page.entries.length === 0) break;
    cursor = page.cursor;
  }
  print('rows.cpu', cpuMs(from), 'ms to read every row and check its sum, without the fold');
}
await desk.close();
