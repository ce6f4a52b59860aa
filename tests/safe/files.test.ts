/** The files of a book: moved, linked, copied, damaged, older; nothing acknowledged is lost and each fault is one sentence. */
import {
  copyFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import zlib from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { Desk } from '../../server/desk/desk.ts';
import { sumNow } from '../../server/journal/rows.ts';
import { applicationId, migrations, openStore, type SqliteStore } from '../../server/journal/sqlite.ts';
import { StoreError } from '../../server/journal/store.ts';
import { seeded } from '../../shared/core/random.ts';
import { commandLine, ownFolder } from '../server/terminal.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { fakeLanguage } from '../support/fakes.ts';
import { openRaw } from '../support/sqlite.ts';

const folder = ownFolder();
const stemsay = commandLine(fakeLanguage);
let files = 0;
const fresh = () => join(folder, `${files++}.book`);
const modeOf = (file: string) => statSync(file).mode & 0o777;

function opened(file: string, mode?: 'read'): SqliteStore {
  const store = openStore(file, mode);
  if (!store.ok) throw new Error(store.error.sentence);
  return store.value;
}

async function bookOf(count: number): Promise<string> {
  const file = fresh();
  const store = opened(file);
  await store.append(entriesOf(count));
  await store.close();
  return file;
}

describe('a book that is open', () => {
  test.each([
    ['moved', (file: string) => renameSync(file, `${file}.elsewhere`)],
    ['deleted', (file: string) => unlinkSync(file)],
    [
      'replaced',
      (file: string) => {
        copyFileSync(file, `${file}.copy`);
        renameSync(`${file}.copy`, file);
      },
    ],
  ])('and was %s refuses the next note and says why', async (_, spoil) => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(3));
    spoil(file);
    const refused = await store.append([entryOf(4)]).catch((cause: unknown) => cause);
    expect(refused).toBeInstanceOf(StoreError);
    expect((refused as StoreError).message).toContain('was moved or deleted while it was open');
    await store.close();
  });

  test('has one lock, by whatever link it is opened', async () => {
    const file = await bookOf(1);
    const link = `${file}.link`;
    symlinkSync(file, link);
    const store = opened(file);
    const second = openStore(link);
    expect(second.ok ? null : second.error.kind).toBe('locked');
    await store.close();
    const later = opened(link);
    await later.append([entryOf(2)]);
    await later.close();
    expect((await opened(file, 'read').since(0)).entries).toHaveLength(2);
  });

  test('begins behind a link whose book is not there yet', async () => {
    const [file, link] = [fresh(), fresh()];
    symlinkSync(file, link);
    const store = opened(link);
    const second = openStore(file);
    expect(second.ok ? null : second.error.kind).toBe('locked');
    await store.close();
  });

  test('is whole in its one file at any quiet moment', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(50));
    await wait(900);
    const copy = fresh();
    copyFileSync(file, copy);
    const copied = opened(copy);
    expect((await copied.since(0)).entries).toHaveLength(50);
    await copied.close();
    await store.append([entryOf(51)]);
    await store.close();
  });

  test('keeps what it acknowledged when its log is taken away', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(3));
    unlinkSync(`${file}-wal`);
    await store.append([entryOf(4)]);
    const copy = fresh();
    copyFileSync(file, copy);
    const copied = opened(copy);
    expect((await copied.since(0)).entries).toHaveLength(4);
    await copied.close();
    await store.close();
  });

  test('is readable by its owner only, with all that stands beside it', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(1));
    for (const each of [file, `${file}-wal`, `${file}-shm`]) expect(modeOf(each), each).toBe(0o600);
    await store.close();
  });
});

describe('a row', () => {
  const writeRow = (file: string, body: string, crc: number | null) => {
    const database = openRaw(file);
    database.prepare('INSERT INTO entries (id, body, crc) VALUES (?, ?, ?)').run(entryOf(99).id, body, crc);
    database.close();
  };
  const giant = JSON.stringify({
    ...entryOf(99),
    acts: [{ act: 'tree', id: entryOf(99).id, fields: { logs: 1e300 } }],
  });

  test('whose check sum does not match is refused when it is read', async () => {
    const file = await bookOf(3);
    writeRow(file, JSON.stringify(entryOf(99)), 7);
    const store = opened(file);
    await expect(store.since(0)).rejects.toThrow(/Entry 4 .*it was changed since it was written/);
    await store.close();
  });

  test('that was written under wider limits is set aside and told, and stops none of the others', async () => {
    const file = await bookOf(3);
    writeRow(file, giant, zlib.crc32(giant));
    const store = opened(file);
    await store.append([entryOf(5)]);
    for (const limit of [1, 2, 3, 100]) {
      const seqs: number[] = [];
      for (let cursor = 0; ; ) {
        const page = await store.since(cursor, limit);
        if (page.entries.length === 0) break;
        seqs.push(...page.entries.map(({ seq }) => seq));
        cursor = page.cursor;
      }
      expect(seqs).toEqual([1, 2, 3, 5]);
    }
    expect([...store.aside]).toEqual([[4, expect.stringContaining('logs')]]);
    await store.close();
    const checked = await stemsay(['check', '--book', file]);
    expect(checked.status).toBe(1);
    expect(checked.out).toContain('logs');
  });
});

const rounds = 60;
test('an entry that cannot be worked out is told by every command, and the others are answered', async () => {
  const file = await bookOf(3);
  const { id } = entryOf(99);
  const measurement = { method: 'reading', device: 'laser', takes: [{ value: 60, unit: 'ft' }] };
  const entry = {
    ...entryOf(99),
    acts: [
      { act: 'tree', id, fields: { diameterIn: 9, marks: 7 } },
      { act: 'height', id, tree: id, measurement },
    ],
  };
  const body = JSON.stringify(entry);
  const database = openRaw(file);
  // As a program with a fault would have written it: with the sum of an entry that was validated.
  database.prepare('INSERT INTO entries (id, body, crc) VALUES (?, ?, ?)').run(entry.id, body, sumNow(body));
  database.close();
  expect((await stemsay(['totals', '--book', file])).status).toBe(0);
  const checked = await stemsay(['check', '--book', file]);
  expect(checked.status).toBe(1);
  expect(checked.out).toContain('marks');
  const store = opened(file, 'read');
  const desk = await Desk.open({ store, language: fakeLanguage });
  expect(desk.aside).toEqual([expect.stringMatching(/^Entry 99 of d-one, .* left out of every figure/)]);
  expect([...desk.session.book.heights()]).toHaveLength(3);
  await desk.close();
});

test('random damages to a book: opened and read whole, or one sentence', async () => {
  const whole = readFileSync(await bookOf(400));
  const random = seeded(15);
  const written = entriesOf(400).map((entry) => JSON.stringify(entry));
  const outcome = { whole: 0, refused: 0, short: 0 };
  for (let round = 0; round < rounds; round++) {
    const bytes = Buffer.from(whole);
    const from = Math.floor(random() * bytes.length);
    const length = 1 + Math.floor(random() ** 3 * 4096);
    for (let at = from; at < Math.min(bytes.length, from + length); at++) bytes[at] = random() * 256;
    const file = fresh();
    writeFileSync(file, bytes);
    try {
      const store = openStore(file);
      if (!store.ok) {
        expect(store.error.sentence).toContain(file);
        outcome.refused++;
        continue;
      }
      try {
        const { entries } = await store.value.since(0);
        // What is handed out is what was written, whatever else is broken.
        for (const entry of entries) expect(JSON.stringify(entry)).toBe(written[entry.seq - 1]);
        if (entries.length < written.length) outcome.short++;
        outcome.whole++;
      } finally {
        await store.value.close();
      }
    } catch (cause) {
      expect(cause).toBeInstanceOf(StoreError);
      expect((cause as StoreError).message).toContain(file);
      outcome.refused++;
    }
  }
  // Nothing is handed out as a whole book that lacks a part of it.
  expect(outcome.short).toBe(0);
  expect(outcome.whole + outcome.refused).toBe(rounds);
  expect(outcome.refused).toBeGreaterThan(rounds / 3);
});

test('a book of an older program is copied before it is brought up to date', async () => {
  const file = fresh();
  const database = openRaw(file);
  database.exec(migrations[0]!);
  database.pragma(`application_id = ${applicationId}`);
  database.pragma('user_version = 1');
  database
    .prepare('INSERT INTO entries (id, body) VALUES (?, ?)')
    .run(entryOf(1).id, JSON.stringify(entryOf(1)));
  database.close();
  const store = opened(file);
  expect((await store.since(0)).entries).toEqual([entryOf(1)]);
  await store.close();
  const copy = openRaw(`${file}.version-1.backup`, true);
  expect(copy.pragma('user_version', { simple: true })).toBe(1);
  expect(copy.prepare('SELECT count(*) AS n FROM entries').get()).toEqual({ n: 1 });
  copy.close();
  expect(modeOf(`${file}.version-1.backup`)).toBe(0o600);
});

describe('the commands that keep books safe', () => {
  test('copy a book while it is open, and put it back', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(20));
    const copy = fresh();
    const made = await stemsay(['backup', '--book', file, '--out', copy]);
    expect(made).toMatchObject({ status: 0, err: '' });
    expect(made.out).toBe(`20 entries are in ${copy}.\n`);
    expect(modeOf(copy)).toBe(0o600);
    const again = await stemsay(['backup', '--book', file, '--out', copy]);
    expect(again).toMatchObject({ status: 1, out: '' });
    await store.append([entryOf(21)]);
    const inUse = await stemsay(['restore', '--book', file, '--from', copy]);
    expect(inUse.status).toBe(1);
    expect(inUse.err).toContain('is open in another stemsay');
    await store.close();
    expect(await stemsay(['restore', '--book', file, '--from', copy])).toMatchObject({ status: 0, err: '' });
    expect((await opened(file, 'read').since(0)).entries).toHaveLength(20);
    const before = readdirSync(folder).find(
      (name) => join(folder, name).startsWith(`${file}.`) && name.endsWith('.before'),
    );
    expect((await opened(join(folder, before!), 'read').since(0)).entries).toHaveLength(21);
  });

  test('put a copy in the place of a damaged book, and refuse a damaged copy', async () => {
    const [file, copy] = [await bookOf(5), await bookOf(9)];
    writeFileSync(file, 'no book any more');
    expect((await stemsay(['restore', '--book', file, '--from', copy])).status).toBe(0);
    expect((await opened(file, 'read').since(0)).entries).toHaveLength(9);
    const bytes = readFileSync(copy);
    bytes.fill(0xa5, 4096 * 2, 4096 * 3);
    writeFileSync(copy, bytes);
    expect((await stemsay(['restore', '--book', file, '--from', copy])).status).toBe(1);
    expect((await opened(file, 'read').since(0)).entries).toHaveLength(9);
  });

  test('make two books one, and nothing more when it is done again', async () => {
    const [a, b] = [fresh(), fresh()];
    const [first, second] = [opened(a), opened(b)];
    const clip = entryOf(77).id;
    await first.append(entriesOf(10, 'd-one'));
    await second.append(entriesOf(4, 'd-one'));
    second.stageClip(clip, Uint8Array.from([1, 2, 3]));
    await second.append([{ ...entryOf(1, 'd-two'), heard: { margin: 0, posterior: 1, clip } }]);
    await first.close();
    await second.close();
    expect((await stemsay(['merge', a, b])).out).toContain('1 entries added, 4 were there already.');
    expect((await stemsay(['merge', a, b])).out).toContain('0 entries added, 5 were there already.');
    const merged = opened(a, 'read');
    expect((await merged.since(0)).entries).toHaveLength(11);
    expect(await merged.clip(clip)).toHaveLength(3);
    expect(existsSync(b)).toBe(true);
    expect((await stemsay(['merge', a])).status).toBe(2);
    expect((await stemsay(['merge', a, join(folder, 'none.book')])).status).toBe(1);
  });
});
