import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import type { Hono } from 'hono';
import { afterAll, beforeEach, describe, expect, test } from 'vitest';
import { Desk } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import { openStore } from '../../server/journal/sqlite.ts';
import { writeWav } from '../../server/speech/audio.ts';
import { fromJson } from '../../shared/report/files/entries.ts';
import { reportPage } from '../../shared/report/page/page.ts';
import { reportOf } from '../../shared/report/page/report.ts';
import { endpoints, protocolVersion, refusalSchema, wireLimits } from '../../shared/wire.ts';
import { entriesOf, entryOf } from '../support/entries.ts';
import { fakeHearing, fakeLanguage, noon } from '../support/fakes.ts';

const folder = mkdtempSync(join(tmpdir(), 'app-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const page = join(folder, 'page');
mkdirSync(page);
writeFileSync(join(page, 'index.html'), '<!doctype html><title>page</title>');
writeFileSync(join(page, 'main.js'), 'export {};');
writeFileSync(join(page, 'notes.secret'), 'not handed out');
writeFileSync(join(folder, 'outside.js'), 'secret');
symlinkSync(join(folder, 'outside.js'), join(page, 'link.js'));

let app: Hono;
let desk: Desk;
let logged: string[];
let books = 0;

beforeEach(async () => {
  logged = [];
  const store = openStore(join(folder, `${books++}.book`));
  if (!store.ok) throw new Error(store.error.sentence);
  desk = await Desk.open({ store: store.value, language: fakeLanguage, hearing: fakeHearing, now: noon });
  app = createApp({
    desk,
    version: '0',
    book: 'wood.book',
    mounts: [{ prefix: '/', folder: page }],
    report: (open) => reportPage(reportOf({ book: open.session.book, answers: open.totals(), made: noon() })),
    log: (sentence) => logged.push(sentence),
  });
  return () => desk.close();
});

const at = (path: string) => `http://localhost:8417${path}`;
const get = (path: string, headers: Record<string, string> = {}) => app.request(at(path), { headers });
const post = (path: string, body: unknown, headers: Record<string, string> = {}) =>
  app.request(at(path), {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
const postSound = (bytes: Uint8Array, type = 'audio/wav', query = '') =>
  app.request(at(`/api/sound${query}`), {
    method: 'POST',
    headers: { 'content-type': type },
    body: Uint8Array.from(bytes),
  });
/** Every refusal is JSON with one sentence. */
const refusal = async (response: Response) => refusalSchema.parse(await response.json()).refused;
/** Half a second of a 200 Hz tone. */
const tone = Float32Array.from(
  { length: 8000 },
  (_, at) => 0.3 * Math.sin((2 * Math.PI * 200 * at) / 16_000),
);

describe('a note', () => {
  test('as words is answered, kept, counted and exported', async () => {
    const told = endpoints.note.reply.parse(
      await (await post('/api/note', { words: 'pace is five feet' })).json(),
    );
    expect(told.answer).toMatchObject({ words: 'pace is five feet', state: 'kept', heard: null });
    const height = endpoints.note.reply.parse(
      await (await post('/api/note', { words: 'nine paces' })).json(),
    );
    expect(height.answer.note).toEqual({
      kind: 'height',
      height: { method: 'stick', distance: { by: 'paces', count: 9 }, eye: { value: 5, unit: 'ft' } },
    });
    // Nine paces of five feet, stick as long as the reach, plus the eye: 9 x 5 + 5.
    expect(height.answer.height?.feet).toBeCloseTo(50, 6);
    const { entries, more } = endpoints.entries.reply.parse(await (await get('/api/entries')).json());
    expect(entries.map((entry) => entry.words)).toEqual(['pace is five feet', 'nine paces']);
    expect(more).toBe(false);
    expect(entries[1]).toEqual(height.entry);
    const file = fromJson(await (await get('/api/export?format=json')).text());
    expect(file).toEqual({ ok: true, value: entries });
  });

  test('that means nothing is answered with the sentence and not kept', async () => {
    const told = endpoints.note.reply.parse(await (await post('/api/note', { words: 'purple' })).json());
    expect(told.answer).toMatchObject({
      state: 'refused',
      note: null,
      reply: 'Expected paces, found "purple".',
    });
    expect(told.entry).toBeNull();
    expect((await desk.store.since(0)).entries).toEqual([]);
  });

  test('carries the position that the page gave', async () => {
    const position = { latitude: 44.05, longitude: -71.29, accuracyMetres: 6 };
    await post('/api/note', { words: 'nine paces', position });
    expect((await desk.store.since(0)).entries[0]?.position).toEqual(position);
  });

  test.each([
    ['not JSON', '{"words":', 400, 'the body is not'],
    ['without words', {}, 400, 'words'],
    ['with words that are a number', { words: 9 }, 400, 'words'],
    ['with a field nobody knows', { words: 'nine paces', height: 50 }, 400, 'height'],
    ['longer than a note may be', { words: 'nine '.repeat(500) }, 400, 'words'],
    [
      'at a place that is not on earth',
      { words: 'x', position: { latitude: 91, longitude: 0, accuracyMetres: 1 } },
      400,
      'latitude',
    ],
    ['that is a list', [], 400, 'body'],
    ['of many megabytes', { words: 'x'.repeat(wireLimits.jsonBytes) }, 413, 'at most'],
  ])('%s is refused', async (_, body, status, words) => {
    const response = await post('/api/note', body);
    expect(response.status).toBe(status);
    expect(await refusal(response)).toContain(words);
    expect((await desk.store.since(0)).entries).toEqual([]);
    expect((await post('/api/note', { words: 'nine paces' })).status).toBe(200);
  });

  test('not sent as JSON is refused, so that a form of another page cannot write', async () => {
    const response = await post('/api/note', '{"words":"nine paces"}', { 'content-type': 'text/plain' });
    expect(response.status).toBe(415);
    expect(await refusal(response)).toContain('application/json');
  });
});

describe('a sound that is only heard', () => {
  test('brings what it may mean and leaves the book as it was', async () => {
    const before = (await (await app.request(at('/api/state'))).json()).entries;
    const response = await app.request(at('/api/hear?rate=16000'), {
      method: 'POST',
      headers: { 'content-type': 'audio/pcm' },
      body: new Uint8Array(Int16Array.from({ length: 16_000 }, (_, i) => 9000 * Math.sin(i / 5)).buffer),
    });
    const heard = endpoints.hear.reply.parse(await response.json());
    expect(heard.ok && heard.value.candidates[0]?.words).toBe('nine paces');
    expect((await (await app.request(at('/api/state'))).json()).entries).toBe(before);
  });
});

describe('a sound', () => {
  test('is answered like the words it holds, and its clip is kept with the entry', async () => {
    const response = await postSound(writeWav(tone));
    const told = endpoints.sound.reply.parse(await response.json());
    expect(told.answer).toMatchObject({ words: 'nine paces', heard: { margin: 0.1, posterior: 0.95 } });
    const ref = told.entry!.heard!.clip!;
    const clip = await get(`/api/clip?ref=${ref}`);
    expect(clip.headers.get('content-type')).toBe('audio/wav');
    expect(new Uint8Array(await clip.arrayBuffer())).toEqual(writeWav(tone));
  });

  test('may be bare samples of a stated rate, with a position', async () => {
    const bytes = writeWav(tone).subarray(44);
    const response = await postSound(
      bytes,
      'audio/pcm',
      '?rate=16000&latitude=44.05&longitude=-71.29&accuracy=6',
    );
    expect(response.status).toBe(200);
    const { entry } = endpoints.sound.reply.parse(await response.json());
    expect(entry?.position).toEqual({ latitude: 44.05, longitude: -71.29, accuracyMetres: 6 });
  });

  test('without anything in it is answered like a note that was not understood', async () => {
    const silent = endpoints.sound.reply.parse(
      await (await postSound(writeWav(new Float32Array(8000)))).json(),
    );
    expect(silent.answer).toMatchObject({ state: 'refused', note: null });
    expect(silent.answer.reply).toContain('microphone');
  });

  test.each([
    ['text', new TextEncoder().encode('hello'), 'audio/wav', '', 422],
    ['of an unknown type', writeWav(tone), 'audio/ogg', '', 415],
    ['without a type', writeWav(tone), '', '', 415],
    ['of an odd rate', writeWav(tone).subarray(44), 'audio/pcm', '?rate=12345', 400],
    ['with half a position', writeWav(tone), 'audio/wav', '?latitude=44', 400],
    ['with a rate that is no number', writeWav(tone).subarray(44), 'audio/pcm', '?rate=NaN', 400],
    ['larger than thirty seconds', new Uint8Array(wireLimits.soundBytes + 1), 'audio/wav', '', 413],
  ])('%s is refused and the server goes on', async (_, bytes, type, query, status) => {
    const response = await postSound(bytes, type, query);
    expect(response.status).toBe(status);
    expect((await refusal(response)).length).toBeGreaterThan(10);
    expect((await postSound(writeWav(tone))).status).toBe(200);
  });
});

describe('entries of another device', () => {
  test('are added once, however often they are pushed, and count in the book', async () => {
    const entries = entriesOf(7, 'd-phone');
    const push = async () =>
      endpoints.push.reply.parse(await (await post('/api/entries', { entries })).json());
    expect(await push()).toEqual({ added: 7, cursor: 7 });
    expect(await push()).toEqual({ added: 0, cursor: 7 });
    const state = endpoints.state.reply.parse(await (await get('/api/state')).json());
    expect(state).toMatchObject({
      protocol: protocolVersion,
      entries: 7,
      book: 'wood.book',
      hears: true,
      deaf: null,
    });
  });

  test('come in pages, the last one saying so', async () => {
    await post('/api/entries', { entries: entriesOf(5, 'd-phone') });
    const read = async (query: string) =>
      endpoints.entries.reply.parse(await (await get(`/api/entries${query}`)).json());
    const first = await read('?limit=2');
    expect(first.entries.map((entry) => entry.seq)).toEqual([1, 2]);
    expect(first.more).toBe(true);
    const second = await read(`?limit=3&after=${first.cursor}`);
    expect(second.entries.map((entry) => entry.seq)).toEqual([3, 4, 5]);
    expect(second.more).toBe(false);
    expect(await read(`?after=${second.cursor}`)).toMatchObject({ entries: [], more: false });
  });

  test('with one that is none among them are refused whole', async () => {
    const response = await post('/api/entries', { entries: [entryOf(1), { ...entryOf(2), seq: 0 }] });
    expect(response.status).toBe(400);
    expect(await refusal(response)).toContain('entries.1.seq');
    expect((await desk.store.since(0)).entries).toEqual([]);
  });

  test.each(['?after=-1', '?after=1.5', '?limit=0', '?limit=1e9', '?page=2', '?after='])(
    'are not given for a query that makes no sense: %s',
    async (query) => expect((await get(`/api/entries${query}`)).status).toBe(400),
  );
});

describe('who is answered', () => {
  test.each([
    ['another name that leads here', { url: 'http://wood.example:8417/api/state' }, 403],
    ['an address of the network', { url: 'http://192.168.1.20:8417/' }, 403],
    ['a name that only begins like ours', { url: 'http://localhost.example:8417/api/state' }, 403],
    ['a page of another origin', { url: at('/api/state'), origin: 'https://wood.example' }, 403],
    ['a page of another port', { url: at('/api/state'), origin: 'http://localhost:3000' }, 403],
    ['a page without an origin', { url: at('/api/state'), origin: 'null' }, 403],
    ['our own page', { url: at('/api/state'), origin: 'http://localhost:8417' }, 200],
    ['the loopback address', { url: 'http://127.0.0.1:8417/api/state' }, 200],
    ['the loopback address of IPv6', { url: 'http://[::1]:8417/api/state' }, 200],
  ])('%s', async (_, { url, origin }: { url: string; origin?: string }, status) => {
    const response = await app.request(url, { headers: origin === undefined ? {} : { origin } });
    expect(response.status).toBe(status);
    if (status === 403) expect(await refusal(response)).toContain('This server answers');
  });

  test('a foreign page cannot write either', async () => {
    const response = await post('/api/note', { words: 'nine paces' }, { origin: 'https://wood.example' });
    expect(response.status).toBe(403);
    expect((await get('/api/state', { 'sec-fetch-site': 'cross-site' })).status).toBe(403);
    expect((await desk.store.since(0)).entries).toEqual([]);
  });

  test('every reply, a refusal too, forbids other hosts, inline code and framing', async () => {
    for (const response of [
      await get('/'),
      await get('/api/state'),
      await get('/nowhere'),
      await post('/api/note', ''),
    ]) {
      const policy = response.headers.get('content-security-policy')!;
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).not.toMatch(/unsafe-inline|unsafe-eval'(?<!wasm-unsafe-eval')|https?:|\*/);
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
      expect(response.headers.get('referrer-policy')).toBe('no-referrer');
    }
  });
});

describe('the rest', () => {
  test('files come with their type and are not sent twice', async () => {
    const first = await get('/');
    expect(first.headers.get('content-type')).toContain('text/html');
    expect(await first.text()).toContain('<title>page</title>');
    const again = await get('/', { 'if-none-match': first.headers.get('etag')! });
    expect(again.status).toBe(304);
    expect((await get('/main.js')).headers.get('content-type')).toContain('text/javascript');
  });

  test('text travels compressed to who takes it so, and comes out the same', async () => {
    const plain = await get('/main.js');
    const packed = await get('/main.js', { 'accept-encoding': 'gzip' });
    expect(packed.headers.get('content-encoding')).toBe('gzip');
    expect(packed.headers.get('vary')).toBe('accept-encoding');
    const text = await plain.text();
    expect(gunzipSync(await packed.arrayBuffer()).toString()).toBe(text);
    const tighter = await get('/main.js', { 'accept-encoding': 'gzip, br' });
    expect(tighter.headers.get('content-encoding')).toBe('br');
    expect(brotliDecompressSync(await tighter.arrayBuffer()).toString()).toBe(text);
    expect(plain.headers.get('content-encoding')).toBeNull();
    writeFileSync(join(page, 'main.js'), 'export const changed = true;');
    const again = await get('/main.js', { 'accept-encoding': 'gzip' });
    expect(gunzipSync(await again.arrayBuffer()).toString()).toContain('changed');
  });

  test.each([
    '/../outside.js',
    '/%2e%2e/outside.js',
    '/..%2foutside.js',
    '/link.js',
    '/notes.secret',
    '/%00',
    '/%zz',
    '//etc/passwd',
    '/.%5c..%5coutside.js',
  ])('nothing outside the page is handed out: %s', async (path) =>
    expect((await get(path)).status).toBe(404),
  );

  test('an address or a method that is not there is said so', async () => {
    expect((await get('/api/nothing')).status).toBe(404);
    const wrong = await app.request(at('/api/totals'), { method: 'DELETE' });
    expect(wrong.status).toBe(405);
    expect(wrong.headers.get('allow')).toBe('GET');
    expect((await get(`/api/clip?ref=${entryOf(1).id}`)).status).toBe(404);
    expect((await get('/api/export?format=pdf')).status).toBe(400);
    expect((await get('/api/export')).status).toBe(400);
  });

  test('totals, doubts, the report and every export answer on an empty book and on one with trees', async () => {
    const paths = [
      '/api/totals',
      '/api/doubts',
      '/api/report',
      '/api/export?format=csv',
      '/api/export?format=geojson',
      '/api/grammar',
    ];
    for (const words of ['nothing yet', 'pace is five feet', 'nine paces']) {
      await post('/api/note', { words });
      for (const path of paths) expect([path, (await get(path)).status]).toEqual([path, 200]);
    }
    endpoints.totals.reply.parse(await (await get('/api/totals')).json());
    endpoints.doubts.reply.parse(await (await get('/api/doubts')).json());
  });

  test('the report allows its own style and no other code', async () => {
    const response = await get('/api/report');
    const style = /<style>([\s\S]*?)<\/style>/.exec(await response.text())![1]!;
    const hash = createHash('sha256').update(style).digest('base64');
    expect(response.headers.get('content-security-policy')).toContain(`style-src 'sha256-${hash}'`);
    expect(response.headers.get('content-security-policy')).not.toContain('script-src');
  });

  test('a store that fails is reported as it is and loses nothing that was acknowledged', async () => {
    await post('/api/note', { words: 'nine paces' });
    await desk.store.close();
    const response = await post('/api/note', { words: 'nine paces' });
    expect(response.status).toBe(500);
    expect(await refusal(response)).toContain('nothing of this was kept');
    expect(logged).toHaveLength(1);
  });
});
