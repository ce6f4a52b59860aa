/** The report and the files of a large book: written by a thread, the same text, while everybody else is answered. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { Printing } from '../../server/desk/printing.ts';
import { piecesOf, type Written } from '../../server/desk/written.ts';
import { openStore } from '../../server/journal/sqlite.ts';
import { madeBook } from '../bench/large/made-book.ts';
import { fakeLanguage, noon } from '../support/fakes.ts';

const folder = mkdtempSync(join(tmpdir(), 'printing-'));
const file = join(folder, 'large.book');
const entries = [...madeBook(2500)];
const report: Written = { kind: 'report', made: noon() };
const csv: Written = { kind: 'file', format: 'csv', table: 'all', made: noon() };
let desk: Desk;

const textOf = (printed: string | ReadableStream<Uint8Array>): Promise<string> =>
  new Response(printed).text();

beforeAll(async () => {
  const store = openStore(file);
  if (!store.ok) throw new Error(store.error.sentence);
  await store.value.append(entries);
  desk = await Desk.open({ store: store.value, language: fakeLanguage, now: noon });
});

afterAll(async () => {
  await desk.close();
  rmSync(folder, { recursive: true });
});

test('a thread writes to the last letter what the desk would write itself, from a file and from entries it is given', async () => {
  const memory = new MemoryStore();
  await memory.append(entries);
  const other = await Desk.open({ store: memory, language: fakeLanguage, now: noon });
  for (const what of [report, csv])
    for (const of of [desk, other]) {
      const printed = await new Printing().print(of, what);
      expect(typeof printed).toBe('object');
      expect(await textOf(printed)).toBe([...piecesOf(desk.session, what)].join(''));
    }
  await other.close();
});

test('notes are answered while it is written', async () => {
  const printing = new Printing().print(desk, report).then(textOf);
  let told = 0;
  let written = false;
  void printing.then(() => {
    written = true;
  });
  while (!written) {
    const { answer } = await desk.note('red oak sixteen inches');
    expect(answer.state).not.toBe('refused');
    told++;
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  expect(told).toBeGreaterThan(20);
  expect(await printing).toContain('</html>');
});

test('one after another; who turns away is not waited for, and the ninth who waits is told so', async () => {
  const printing = new Printing();
  const first = await printing.print(desk, csv);
  const second = printing.print(desk, csv);
  const others = Array.from({ length: 7 }, () => printing.print(desk, csv));
  await expect(others.at(-1)).rejects.toThrow('Others wait for their reports of this book.');
  await (first as ReadableStream<Uint8Array>).cancel();
  const whole = await textOf(await second);
  expect(whole.split('\n').length).toBeGreaterThan(1000);
  for (const one of others.slice(0, -1)) await ((await one) as ReadableStream<Uint8Array>).cancel();
});

test('a book that cannot be read rejects before anything is written, and the next is written', async () => {
  const printing = new Printing();
  const lost = Object.create(desk, {
    store: { value: Object.create(desk.store, { path: { value: join(folder, 'nothing.book') } }) },
  }) as Desk;
  await expect(printing.print(lost, csv)).rejects.toThrow('There is no book');
  expect(await textOf(await printing.print(desk, csv))).toContain('red oak');
});
