/** Runs the journal's acceptance suite on a throwaway PostgreSQL server, where its programs are installed. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { chownSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Desk } from '../../server/desk/desk.ts';
import { openPostgres, type PostgresStore } from '../../server/journal/postgres.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { fakeLanguage, noon } from '../support/fakes.ts';
import { journalContract } from './journal.contract.ts';

/** Where Debian and others put the server programs; null where there are none. */
function serverPrograms(): string | null {
  const root = '/usr/lib/postgresql';
  const versions = existsSync(root) ? readdirSync(root).sort((a, b) => Number(b) - Number(a)) : [];
  const folder = versions
    .map((version) => join(root, version, 'bin'))
    .find((bin) => existsSync(join(bin, 'initdb')));
  return folder ?? null;
}

/** The server refuses to run as root: root runs it as the user that its package made. */
function serverUser(): { uid: number; gid: number } | null {
  if (process.getuid?.() !== 0) return {} as { uid: number; gid: number };
  try {
    const id = (flag: string) =>
      Number(execFileSync('id', [flag, 'postgres'], { encoding: 'utf8', stdio: 'pipe' }));
    return { uid: id('-u'), gid: id('-g') };
  } catch {
    return null;
  }
}

const programs = serverPrograms();
const user = serverUser();
const skipped = programs === null || user === null;
if (skipped) console.warn('PostgreSQL is not installed here: its journal is not tested.');

describe.skipIf(skipped)('with a PostgreSQL server', () => {
  let folder: string;
  let server: ChildProcess;
  let url: string;
  let books = 0;
  const names = new Map<unknown, string>();
  const open = async (name = `book-${books++}`): Promise<PostgresStore> => {
    const store = await openPostgres(`${url}&book=${name}`);
    if (!store.ok) throw new Error(store.error.sentence);
    names.set(store.value, name);
    return store.value;
  };

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'pg-'));
    if (user!.uid !== undefined) chownSync(folder, user!.uid, user!.gid);
    const data = join(folder, 'data');
    const options = { ...user!, cwd: folder, stdio: 'pipe' as const };
    execFileSync(
      join(programs!, 'initdb'),
      ['-D', data, '-U', 'crew', '-A', 'trust', '-E', 'UTF8', '--no-sync'],
      options,
    );
    // A socket in our own folder, no network port: nothing else can meet it.
    server = spawn(join(programs!, 'postgres'), ['-D', data, '-k', folder, '-c', 'listen_addresses='], {
      ...user!,
      cwd: folder,
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    await new Promise<void>((resolve, reject) => {
      let log = '';
      server.stderr!.on('data', (part) => {
        log += part;
        if (log.includes('ready to accept connections')) resolve();
      });
      server.on('exit', () => reject(new Error(log)));
    });
    url = `postgres://crew@localhost/postgres?host=${encodeURIComponent(folder)}`;
  });

  afterAll(async () => {
    const gone = new Promise((resolve) => server.on('exit', resolve));
    server.kill('SIGINT');
    await gone;
    rmSync(folder, { recursive: true, force: true });
  });

  journalContract('PostgreSQL', {
    open,
    reopen: async (journal) => {
      await journal.close();
      return open(names.get(journal));
    },
    runs: 8,
  });

  test('two books of one database do not see each other', async () => {
    const [one, two] = [await open(), await open()];
    await one.append([entryOf(1)]);
    await two.append([entryOf(1), entryOf(2)]);
    expect((await one.since(0)).entries).toHaveLength(1);
    expect((await two.since(0)).entries).toHaveLength(2);
    await one.close();
    await two.close();
  });

  test('a reader that pages by cursor while four programs append misses none', async () => {
    const name = 'busy';
    const writers = await Promise.all([0, 1, 2, 3].map(() => open(name)));
    const reader = await open(name);
    let writing = true;
    const done = Promise.all(
      writers.map(async (writer, index) => {
        for (const entry of entriesOf(25, `d-${index}`)) await writer.append([entry]);
      }),
    ).then(() => {
      writing = false;
    });
    const seen: Entry[] = [];
    let cursor = 0;
    for (let last = false; !last; ) {
      last = !writing;
      const part = await reader.since(cursor, 7);
      cursor = part.cursor;
      seen.push(...part.entries);
      if (part.entries.length > 0) last = false;
    }
    await done;
    expect(new Set(seen.map((entry) => entry.id)).size).toBe(100);
    await Promise.all([...writers, reader].map((journal) => journal.close()));
  });

  test('each running program signs with a device of its own, and gets it back later', async () => {
    const [one, two] = [await open('signed'), await open('signed')];
    expect(one.device).not.toBe(two.device);
    const devices = [one.device, two.device];
    await one.close();
    await two.close();
    const again = await open('signed');
    expect(devices).toContain(again.device);
    await again.close();
  });

  test('what one program keeps, another answers with', async () => {
    const desks = await Promise.all(
      [0, 1].map(async () => Desk.open({ store: await open('crew'), language: fakeLanguage, now: noon })),
    );
    await desks[0]!.note('red oak sixteen inches');
    const told = await desks[1]!.note('red oak sixteen inches');
    expect(told.answer.reply).toMatch(/^Tree 2, /);
    await Promise.all(desks.map((desk) => desk.close()));
  });

  test('a program whose claim on its device was lost appends no more, so that no one else signs alike', async () => {
    const { default: pg } = await import('pg');
    const store = await open('lost');
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    await client.query(
      'SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND datname IS NOT NULL',
    );
    await client.end();
    await expect
      .poll(() => store.append([entryOf(1)]).then(() => 'kept', String))
      .toContain('Start stemsay again');
    const again = await open('lost');
    expect((await again.since(0)).entries.length).toBeLessThanOrEqual(1);
    await again.close();
    await store.close();
  });

  test('a clip is kept with the entry that names it', async () => {
    const store = await open();
    const ref = entryOf(50).id;
    store.stageClip(ref, Uint8Array.of(1, 2, 255));
    await store.append([{ ...entryOf(3), heard: { margin: 0, posterior: 1, clip: ref } }]);
    expect(Uint8Array.from((await store.clip(ref))!)).toEqual(Uint8Array.of(1, 2, 255));
    expect(await store.clip(entryOf(51).id)).toBeNull();
    await store.close();
  });

  test('a database of a newer program is left alone', async () => {
    const { default: pg } = await import('pg');
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    await (await open()).close();
    await client.query('UPDATE stemsay_version SET version = version + 1');
    const refused = await openPostgres(url);
    expect(refused.ok ? null : refused.error.kind).toBe('newer');
    expect(refused.ok ? '' : refused.error.sentence).toContain('newer stemsay');
    await client.query('UPDATE stemsay_version SET version = version - 1');
    await client.end();
  });
});

test('a PostgreSQL server that is not there is reported with the name of the book', async () => {
  const refused = await openPostgres('postgres://crew@127.0.0.1:1/none?book=north');
  expect(refused.ok ? '' : refused.error.sentence).toMatch(/"north".*ECONNREFUSED/);
});
