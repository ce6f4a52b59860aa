/** What the server promises of words and sounds: not in its log, not in its replies to anyone else, gone when deleted. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { Desk } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import { failureText } from '../../server/http/failures.ts';
import { openStore } from '../../server/journal/sqlite.ts';
import { writeWav } from '../../server/speech/audio.ts';
import { fakeHearing, fakeLanguage, noon } from '../support/fakes.ts';
import { commandLine } from './terminal.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'privacy-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
/** A word that nothing else here would write. */
const canary = 'wryneck';

test('what is said, well or badly, is never in what the server prints', async () => {
  const child = spawn(
    process.execPath,
    ['--import', 'tsx', 'server/main.ts', '--deaf', '--book', join(folder, 'said.book')],
    { cwd: root, env: { ...process.env, PORT: '0' }, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  let printed = '';
  for (const stream of [child.stdout!, child.stderr!])
    stream.on('data', (part) => {
      printed += part;
    });
  try {
    await expect.poll(() => /localhost:(\d+)/.exec(printed)?.[1]).toBeTruthy();
    const at = `http://127.0.0.1:${/localhost:(\d+)/.exec(printed)![1]}`;
    const post = (path: string, body: string, type = 'application/json') =>
      fetch(`${at}${path}`, { method: 'POST', headers: { 'content-type': type }, body });
    const kept = await post('/api/note', JSON.stringify({ words: `remark, a ${canary} in the oak` }));
    expect(await kept.text()).toContain(canary);
    for (const [path, body, type] of [
      ['/api/note', `{"words": "${canary}`],
      ['/api/note', JSON.stringify({ words: 9, [canary]: canary })],
      ['/api/note', canary, 'text/plain'],
      ['/api/entries', JSON.stringify({ entries: [{ words: canary }] })],
      ['/api/sound', canary, 'audio/wav'],
    ] as const)
      await (await post(path, body, type)).text();
    for (const path of [
      `/${canary}`,
      `/api/${canary}`,
      `/api/voice?say=${canary}`,
      `/api/clip?ref=${canary}`,
    ])
      await (await fetch(`${at}${path}`)).arrayBuffer();
  } finally {
    child.kill('SIGTERM');
    await new Promise((resolve) => child.once('close', resolve));
  }
  expect(printed).toContain('stemsay is at');
  expect(printed).not.toContain(canary);
}, 90_000);

test('a failure of the program is logged with its place and kind, not with what was said', async () => {
  const store = openStore(join(folder, 'failing.book'));
  if (!store.ok) throw new Error(store.error.sentence);
  const desk = await Desk.open({ store: store.value, language: fakeLanguage, now: noon });
  desk.note = () => {
    throw new TypeError(`cannot read "${canary} at\n    twelve" (${canary}:1:1)`);
  };
  let logged = '';
  const app = createApp({
    desk,
    version: '0',
    book: null,
    mounts: [],
    report: () => '',
    log: (sentence, cause) => {
      logged += `${sentence} ${failureText(cause)}`;
    },
  });
  const response = await app.request('http://localhost:8417/api/note', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ words: canary }),
  });
  expect(response.status).toBe(500);
  expect(await response.text()).not.toContain(canary);
  expect(logged).toMatch(/^POST \/api\/note failed TypeError\n\s+at .*privacy\.test\.ts/);
  expect(logged).not.toContain(canary);
  expect(failureText(new TypeError(canary), true)).toContain(canary);
  expect(failureText(canary)).toBe('string');
  await desk.close();
});

test('sounds are deleted from a book by command, to the last byte, and every entry stays', async () => {
  const book = join(folder, 'sounds.book');
  const store = openStore(book);
  if (!store.ok) throw new Error(store.error.sentence);
  const desk = await Desk.open({
    store: store.value,
    language: fakeLanguage,
    hearing: fakeHearing,
    now: noon,
  });
  // A sound of which a piece can be known again in the file.
  const samples = Float32Array.from(
    { length: 16_000 },
    (_, at) => 0.3 * Math.sin((2 * Math.PI * 200 * at) / 16_000),
  );
  const wav = writeWav(samples);
  const told = await desk.sound({ samples, seconds: 1 } as never, wav);
  const ref = told.entry!.heard!.clip!;
  expect(await desk.store.clip(ref)).not.toBeNull();
  await desk.close();
  const piece = Buffer.from(wav.subarray(8000, 8200));
  expect(readFileSync(book).includes(piece)).toBe(true);

  const stemsay = commandLine(fakeLanguage);
  expect((await stemsay(['clips', '--book', book])).out).toMatch(/^1 sound, 0\.0 megabytes\./);
  expect((await stemsay(['clips', 'delete', '--book', book])).out).toMatch(
    /^1 sound is deleted; every entry is still there\./,
  );
  expect(readFileSync(book).includes(piece)).toBe(false);
  const after = openStore(book, 'read');
  if (!after.ok) throw new Error(after.error.sentence);
  const { entries } = await after.value.since(0);
  expect(entries).toHaveLength(1);
  expect(entries[0]!.heard!.clip).toBe(ref);
  expect(await after.value.clip(ref)).toBeNull();
  await after.value.close();
  expect((await stemsay(['check', '--book', book])).status).toBe(0);
  expect((await stemsay(['clips', 'wipe', '--book', book])).status).toBe(2);
});
