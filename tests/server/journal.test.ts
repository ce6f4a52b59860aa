import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { applicationId, migrations, openStore, type SqliteStore } from '../../server/journal/sqlite.ts';
import { MemoryJournal } from '../../shared/note/journal.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { openRaw } from '../support/sqlite.ts';
import { journalContract } from './journal.contract.ts';
import { killRounds } from './kill.ts';

const folder = mkdtempSync(join(tmpdir(), 'book-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let files = 0;
const fresh = () => join(folder, `${files++}.book`);

function opened(file: string, mode?: 'read'): SqliteStore {
  const store = openStore(file, mode);
  if (!store.ok) throw new Error(store.error.sentence);
  return store.value;
}
const hash = (file: string) => createHash('sha256').update(readFileSync(file)).digest('hex');

journalContract('memory', { open: async () => new MemoryJournal(), runs: 100 });
journalContract('SQLite', {
  open: async () => opened(fresh()),
  reopen: async (journal) => {
    const { path } = journal as SqliteStore;
    await journal.close();
    return opened(path);
  },
});

describe('a book file', () => {
  test('is left alone when it is not a book: text, another program’s database, a folder', () => {
    const text = fresh();
    writeFileSync(text, 'tree,height\n1,60\n');
    const other = fresh();
    const database = openRaw(other);
    database.exec('CREATE TABLE things (a)');
    database.close();
    for (const file of [text, other]) {
      const before = hash(file);
      for (const mode of ['write', 'read'] as const) {
        const store = openStore(file, mode);
        expect(store.ok ? null : store.error.kind).toBe('notOurs');
        expect(store.ok ? '' : store.error.sentence).toContain(file);
      }
      expect(hash(file)).toBe(before);
    }
    const store = openStore(folder);
    expect(store.ok ? null : store.error.kind).toBe('unwritable');
    expect(readdirSync(folder).filter((name) => name.endsWith('.lock'))).toEqual([]);
  });

  test('is never a pipe, for which one would wait, nor a device, which would be closed to all others', () => {
    const pipe = fresh();
    const device = fresh();
    expect(spawnSync('mkfifo', [pipe]).status).toBe(0);
    // Only root may make one: as /dev/null is.
    const made = spawnSync('mknod', ['-m', '666', device, 'c', '1', '3']).status === 0;
    for (const file of made ? [pipe, device] : [pipe]) {
      for (const mode of ['write', 'read'] as const) {
        const store = openStore(file, mode);
        expect(store.ok ? null : store.error.sentence).toBe(
          `${file} is no file but a device or a pipe. Name a file with --book.`,
        );
      }
    }
    if (made) expect(statSync(device).mode & 0o777).toBe(0o666);
    const names = [pipe, device].map((file) => basename(file));
    expect(
      readdirSync(folder)
        .filter((name) => names.some((one) => name.includes(one)))
        .sort(),
    ).toEqual((made ? names : names.slice(0, 1)).sort());
  });

  test('of a newer program is left alone', async () => {
    const file = fresh();
    await opened(file).close();
    const database = openRaw(file);
    database.pragma(`user_version = ${migrations.length + 1}`);
    database.close();
    const before = hash(file);
    const store = openStore(file);
    expect(store.ok ? null : store.error.kind).toBe('newer');
    expect(store.ok ? '' : store.error.sentence).toContain(`book version ${migrations.length + 1}`);
    expect(hash(file)).toBe(before);
  });

  test('of each older version is brought up to date with all its entries', async () => {
    for (let version = 1; version < migrations.length; version++) {
      const file = fresh();
      const database = openRaw(file);
      for (const step of migrations.slice(0, version)) database.exec(step);
      database.pragma(`application_id = ${applicationId}`);
      database.pragma(`user_version = ${version}`);
      database
        .prepare('INSERT INTO entries (id, body) VALUES (?, ?)')
        .run(entryOf(1).id, JSON.stringify(entryOf(1)));
      database.close();
      const reader = openStore(file, 'read');
      expect(reader.ok ? null : reader.error.kind).toBe('older');
      const store = opened(file);
      expect((await store.since(0)).entries).toEqual([entryOf(1)]);
      await store.append([entryOf(2)]);
      await store.close();
    }
  });

  test('is written by one program at a time and read beside it', async () => {
    const file = fresh();
    const writer = opened(file);
    await writer.append([entryOf(1)]);
    const second = openStore(file);
    expect(second.ok ? null : second.error.kind).toBe('locked');
    expect(second.ok ? '' : second.error.sentence).toContain('--book');
    const reader = opened(file, 'read');
    expect((await reader.since(0)).entries).toEqual([entryOf(1)]);
    await writer.append([entryOf(2)]);
    expect((await reader.since(0)).entries).toHaveLength(2);
    await expect(reader.append([entryOf(3)])).rejects.toThrow();
    await reader.close();
    await writer.close();
    await opened(file).close();
  });

  test('held by another program is reported, not waited for without end, and keeps its bytes', async () => {
    const file = fresh();
    await opened(file).close();
    const before = hash(file);
    const other = openRaw(file);
    other.exec('BEGIN EXCLUSIVE');
    const started = performance.now();
    const store = openStore(file);
    expect(store.ok ? null : store.error.kind).toBe('locked');
    expect(performance.now() - started).toBeLessThan(60_000);
    other.exec('ROLLBACK');
    other.close();
    expect(hash(file)).toBe(before);
  });

  test('where it cannot be written is refused with its path', () => {
    const file = fresh();
    writeFileSync(file, '');
    const store = openStore(join(file, 'inside.book'));
    expect(store.ok ? null : store.error.kind).toBe('unwritable');
    expect(store.ok ? '' : store.error.sentence).toContain('inside.book');
  });

  test.skipIf(process.getuid?.() === 0)('in a folder without the right to write is refused', () => {
    const file = fresh();
    writeFileSync(file, '');
    chmodSync(file, 0o400);
    const store = openStore(file);
    expect(store.ok ? null : store.error.kind).toBe('unwritable');
  });

  test('that is not there is begun to write, and missing to read', async () => {
    const file = join(folder, 'new', 'deeper', 'wood.book');
    const reader = openStore(file, 'read');
    expect(reader.ok ? null : reader.error.kind).toBe('missing');
    await opened(file).close();
    expect(statSync(file).size).toBeGreaterThan(0);
  });

  test('is one file when it is closed', async () => {
    const file = join(folder, 'alone', 'one.book');
    const store = opened(file);
    await store.append(entriesOf(3));
    await store.close();
    expect(readdirSync(join(folder, 'alone'))).toEqual(['one.book']);
  });

  test('keeps its device, and a copy of it gets another', async () => {
    const file = fresh();
    const first = opened(file);
    await first.close();
    const again = opened(file);
    expect(again.device).toBe(first.device);
    await again.close();
    const copy = fresh();
    writeFileSync(copy, readFileSync(file));
    const copied = opened(copy);
    expect(copied.device).not.toBe(first.device);
    await copied.close();
  });

  test('lets no one change or delete an entry, whatever program tries', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append([entryOf(1)]);
    await store.close();
    const database = openRaw(file);
    expect(() => database.exec("UPDATE entries SET body = '{}'")).toThrow('never changed');
    expect(() => database.exec('DELETE FROM entries')).toThrow('never deleted');
    database.close();
  });

  test('with a damaged row says which one, and still lists the others', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(2));
    await store.close();
    const database = openRaw(file);
    database.prepare('INSERT INTO entries (id, body) VALUES (?, ?)').run('x', '{"id":"x"}');
    database.prepare('INSERT INTO entries (id, body) VALUES (?, ?)').run('y', '{');
    database.close();
    const again = opened(file);
    await expect(again.since(0)).rejects.toThrow('Entry 3');
    const rows = [...again.rows()];
    expect(rows.map((row) => row.entry?.seq ?? null)).toEqual([1, 2, null, null]);
    expect(rows[2]?.problem).toMatch(/^id: /);
    expect(rows[3]?.problem).toContain('not JSON');
    expect(again.integrity()).toEqual([]);
    await again.close();
  });

  test('with a row that was changed behind its back, though still an entry, is refused', async () => {
    const file = fresh();
    const store = opened(file);
    await store.append(entriesOf(3));
    await store.close();
    const database = openRaw(file);
    database.exec(
      "DROP TRIGGER entries_stay; UPDATE entries SET body = replace(body, '5.5', '6.5') WHERE cursor = 2",
    );
    database.close();
    const again = opened(file, 'read');
    const problems = [...again.rows()].map((row) => row.problem);
    expect(problems).toEqual([null, 'it was changed since it was written', null]);
    await expect(again.since(0)).rejects.toThrow('Entry 2');
    await again.close();
  });

  test('keeps a clip with the entry that names it, and forgets one that came to nothing', async () => {
    const file = fresh();
    const store = opened(file);
    const [kept, dropped] = [entryOf(50).id, entryOf(51).id];
    const wav = Uint8Array.from([82, 73, 70, 70, 0, 255]);
    store.stageClip(kept, wav);
    store.stageClip(dropped, wav);
    store.dropClip(dropped);
    expect(await store.clip(kept)).toBeNull();
    await store.append([{ ...entryOf(3), heard: { margin: 0, posterior: 1, clip: kept } }]);
    await store.append([{ ...entryOf(6), heard: { margin: 0, posterior: 1, clip: dropped } }]);
    await store.close();
    const again = opened(file, 'read');
    expect(Uint8Array.from((await again.clip(kept))!)).toEqual(wav);
    expect(await again.clip(dropped)).toBeNull();
    await again.close();
  });

  test('is synced at every commit', async () => {
    const store = opened(fresh());
    // 2 is FULL: sqlite.org/pragma.html#pragma_synchronous.
    expect(store.settings()).toEqual({ journal: 'wal', synchronous: 2 });
    await store.close();
  });
});

test('twenty kills in the middle of appends lose no acknowledged entry and tear no batch', async () => {
  const count = await killRounds(20, 1);
  expect(count).toMatchObject({ lost: 0, damaged: 0, torn: 0 });
  expect(count.acknowledged).toBeGreaterThan(100);
  expect(count.present).toBeGreaterThanOrEqual(count.acknowledged);
});
