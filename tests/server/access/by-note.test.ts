/** Putting a phone out by a note: on the computer, and from a phone that is let in, with the page's own way to ask. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { pagePhones } from '../../../client/conversation/phones.ts';
import { phoneKeeper } from '../../../server/access/keeper.ts';
import { phonesLetIn } from '../../../server/access/phones.ts';
import { Desk, MemoryStore } from '../../../server/desk/desk.ts';
import { createLanguage } from '../../../server/language/language.ts';
import { type AskOptions, type LanServer, pair, startLan } from './lan-server.ts';

const page = mkdtempSync(join(tmpdir(), 'page-'));
let server: LanServer;
beforeAll(async () => {
  server = await startLan(page);
});
afterAll(async () => {
  await server.close();
  rmSync(page, { recursive: true, force: true });
});

/** What the page on a phone asks with. */
const fetchAs =
  (cookie: string): typeof fetch =>
  async (path, options) => {
    const { status, text } = await server.ask(String(path), {
      ...(options as AskOptions | undefined),
      headers: { ...(options?.headers as Record<string, string>), cookie },
    });
    return new Response(text, { status });
  };

test('on the computer, whoever types: the phone is asked about, put out, and out with its next request', async () => {
  const desk = await Desk.open({
    store: new MemoryStore(),
    language: createLanguage(),
    phones: phoneKeeper(phonesLetIn(join(server.folder, 'wood.book'))),
  });
  // Connections do not outlive the making of a language.
  const wren = await pair(server, server.lan.codes.make(), "Wren's phone");
  expect((await desk.note('which phones are let in')).answer.reply).toBe(
    "One phone is let in: Wren's phone.",
  );
  expect((await desk.note('forget the phone of Wren')).answer.asks).toMatch(/^Put out Wren's phone\?/);
  expect((await server.ask('/api/state', { headers: { cookie: wren.cookie } })).status).toBe(200);
  expect((await desk.note('yes')).answer.reply).toMatch(/^Wren's phone is put out/);
  expect((await server.ask('/api/state', { headers: { cookie: wren.cookie } })).status).toBe(401);
  await desk.close();
});

test('from the page of a phone that is let in; the computer is told; one that is out can put nobody out', async () => {
  const [robin, teal] = [
    await pair(server, server.lan.codes.make(), 'Robin'),
    await pair(server, server.lan.codes.make(), 'Teal'),
  ];
  const phones = pagePhones(fetchAs(robin.cookie));
  const listed = await phones.list();
  const known = listed.ok ? listed.value : [];
  expect(known.map(({ name }) => name)).toEqual(expect.arrayContaining(['Robin', 'Teal']));
  const idOf = (name: string) => known.find((one) => one.name === name)!.id;
  expect(await phones.putOut(idOf('Teal'))).toEqual({ ok: true, value: null });
  expect(server.said.at(-1)).toBe('Teal was put out by a note.');
  const out = pagePhones(fetchAs(teal.cookie));
  expect(await out.putOut(idOf('Robin'))).toMatchObject({
    ok: false,
    error: expect.stringMatching(/not let in any more/),
  });
  expect((await server.ask('/api/state', { headers: { cookie: robin.cookie } })).status).toBe(200);
});

test('where the computer does not answer, or answers in another form, the page says so', async () => {
  const away = /cannot be reached from here/;
  const dead = pagePhones(async () => Promise.reject(new Error('no network')));
  expect(await dead.list()).toMatchObject({ ok: false, error: expect.stringMatching(away) });
  const other = pagePhones(async () => new Response('<html>', { status: 200 }));
  expect(await other.putOut('0'.repeat(16))).toMatchObject({ ok: false, error: expect.stringMatching(away) });
});

test('another page in the browser of a phone puts nobody out', async () => {
  const finch = await pair(server, server.lan.codes.make(), 'Finch');
  const { id } = server.lan.phones.list().phones.find(({ name }) => name === 'Finch')!;
  const { status } = await server.ask('/api/phones/out', {
    method: 'POST',
    headers: {
      cookie: finch.cookie,
      origin: 'https://elsewhere.example',
      'content-type': 'application/json',
    },
    body: JSON.stringify({ id }),
  });
  expect(status).toBe(403);
  expect(server.lan.phones.list().phones.some((phone) => phone.id === id)).toBe(true);
});
