/**
 * Who is refused, as one table: each row is asked of a server on its local network, and what it answered is written to
 * `shared/docs/refused.md` (`npx vitest run tests/server/access/refused.test.ts -u`). Variants: `refusals.test.ts`.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openAuthority } from '../../../server/access/authority.ts';
import { Codes } from '../../../server/access/codes.ts';
import { cookieName } from '../../../server/access/door.ts';
import { refusalSchema } from '../../../shared/wire.ts';
import { type AskOptions, type Got, type LanServer, pair, startLan } from './lan-server.ts';

const page = mkdtempSync(join(tmpdir(), 'page-'));
let server: LanServer;
let cookie: string;
beforeAll(async () => {
  server = await startLan(page);
  ({ cookie } = await pair(server, server.lan.codes.make(), 'Linnet'));
});
afterAll(async () => {
  await server.close();
  rmSync(page, { recursive: true, force: true });
});

const json = { 'content-type': 'application/json' };
const note = { method: 'POST', headers: json, body: '{"words":"red oak twelve"}' } satisfies AskOptions;

/** The one sentence of an answer: of the book as JSON, of the pairing page in its own place. */
function sentenceOf({ text, status, headers }: Pick<Got, 'text' | 'status' | 'headers'>): string {
  if (status === 303) return `to ${headers.location}`;
  if (text.startsWith('{')) return refusalSchema.parse(JSON.parse(text)).refused;
  const said = /class="trouble"[^>]*>([^<]*)</.exec(text)?.[1] ?? '';
  return said.replaceAll('&quot;', '"');
}

const as = (mine: string, options: AskOptions = {}): AskOptions => ({
  ...options,
  headers: { ...options.headers, cookie: mine },
});

/** What is tried, and what came back: status and sentence. */
type Row = readonly [what: string, tried: () => Promise<Pick<Got, 'text' | 'status' | 'headers'>>];

const rows: readonly Row[] = [
  ['no token: the book is opened', () => server.ask('/')],
  ['no token: a note', () => server.ask('/api/note', note)],
  ['no token: the phones that are let in', () => server.ask('/api/phones')],
  [
    'a token that was never given',
    () => server.ask('/api/note', as(`${cookieName}=${'0'.repeat(16)}.${'A'.repeat(43)}`, note)),
  ],
  [
    'the token of a phone with another secret',
    () => server.ask('/api/note', as(`${cookie.slice(0, -43)}${'A'.repeat(43)}`, note)),
  ],
  [
    'a revoked token',
    async () => {
      const wren = await pair(server, server.lan.codes.make(), 'Wren');
      server.lan.phones.remove('wren');
      return server.ask('/api/note', as(wren.cookie, note));
    },
  ],
  [
    'a token whose file on the computer is damaged',
    async () => {
      const robin = await pair(server, server.lan.codes.make(), 'Robin');
      const { id } = server.lan.phones.list().phones.find(({ name }) => name === 'Robin')!;
      writeFileSync(join(server.folder, 'access', 'phones', `${id}.json`), '{');
      return server.ask('/api/note', as(robin.cookie, note));
    },
  ],
  [
    'a foreign Host, with a token',
    () => server.ask('/api/entries', as(cookie, { headers: { host: 'wood.example' } })),
  ],
  [
    'rebinding: the name in another one',
    () => server.ask('/api/entries', as(cookie, { headers: { host: 'mill.local.wood.example' } })),
  ],
  [
    'a foreign Origin, with a token',
    () => server.ask('/api/entries', as(cookie, { headers: { origin: 'https://wood.example' } })),
  ],
  [
    'CSRF: a note by a form of another site, with a token',
    () =>
      server.ask(
        '/api/note',
        as(cookie, {
          ...note,
          headers: { ...json, origin: 'https://wood.example', 'sec-fetch-site': 'cross-site' },
        }),
      ),
  ],
  [
    'CSRF: a note as plain text, with a token',
    () => server.ask('/api/note', as(cookie, { ...note, headers: { 'content-type': 'text/plain' } })),
  ],
  [
    'CSRF: a phone put out by another site, with a token',
    () =>
      server.ask(
        '/api/phones/out',
        as(cookie, {
          ...note,
          body: '{"id":"0000000000000000"}',
          headers: { ...json, origin: 'https://wood.example' },
        }),
      ),
  ],
  ['a path past the door', () => server.ask('/pair/../api/entries')],
  ['a path to the key, with a token', () => server.ask('/..%2faccess%2fauthority.key', as(cookie))],
  [
    'a wrong code',
    () => {
      server.lan.codes.make();
      return pair(server, '1234 567');
    },
  ],
  [
    'a used code',
    async () => {
      const code = server.lan.codes.make();
      await pair(server, code, 'Teal');
      return pair(server, code, 'Finch');
    },
  ],
  [
    'a code that another phone gives in the same moment',
    async () => {
      const code = server.lan.codes.make();
      const both = await Promise.all([pair(server, code, 'Heron'), pair(server, code, 'Marten')]);
      return both.find(({ status }) => status !== 303)!;
    },
  ],
  [
    'an old code',
    async () => {
      let now = 0;
      const codes = new Codes(() => now);
      const code = codes.make();
      now = 10 * 60_000;
      return answerTo(codes, code, 'a');
    },
  ],
  [
    'a code guessed again and again by one phone',
    async () => {
      server.lan.codes.make();
      let last = await pair(server, '0');
      while (last.status !== 429) last = await pair(server, '0');
      return last;
    },
  ],
  [
    'a code guessed 10 000 times, from as many addresses',
    async () => {
      const codes = new Codes();
      const code = codes.make();
      let last = await answerTo(codes, '', 'a');
      for (let guess = 0; guess < 10_000; guess++)
        if (String(guess) !== code) last = await answerTo(codes, String(guess).padStart(8, '0'), `a${guess}`);
      // The right one comes too late.
      expect(codes.try(code, 'b').ok).toBe(false);
      return last;
    },
  ],
  [
    'a phone that trusts the authority of another computer',
    async () => {
      const other = mkdtempSync(join(tmpdir(), 'other-'));
      const authority = await openAuthority(other, 'other', Date.now());
      if (!authority.ok) throw new Error(authority.error);
      const { issue: _, ...known } = authority.value;
      const port = Number(server.host.split(':')[1]);
      const why = await new Promise<string>((resolve) => {
        request(
          {
            host: '127.0.0.1',
            port,
            servername: 'mill.local',
            ca: pemOf(known.certificate),
            path: '/api/state',
          },
          () => resolve('it was answered'),
        )
          .on('error', (cause: NodeJS.ErrnoException) => resolve(cause.code ?? cause.message))
          .end();
      });
      rmSync(other, { recursive: true, force: true });
      return { status: 0, headers: {}, text: JSON.stringify({ refused: `no connection (${why})` }) };
    },
  ],
];

const pemOf = (der: Uint8Array): string =>
  `-----BEGIN CERTIFICATE-----\n${Buffer.from(der).toString('base64')}\n-----END CERTIFICATE-----\n`;

async function answerTo(codes: Codes, code: string, address: string) {
  const tried = codes.try(code, address);
  return {
    status: tried.ok ? 303 : 403,
    headers: {},
    text: JSON.stringify({ refused: tried.ok ? '' : tried.sentence }),
  };
}

test('every one is refused with a sentence, and nothing is kept or told', async () => {
  const before = server.desk.session.book.entries.length;
  const lines: string[] = [];
  for (const [what, tried] of rows) {
    const got = await tried();
    const sentence = sentenceOf(got);
    expect([what, got.status === 200 || sentence === '']).toEqual([what, false]);
    expect(got.text).not.toMatch(/PRIVATE KEY|"entries"/);
    lines.push(`| ${what} | ${got.status === 0 ? '' : got.status} | ${sentence} |`);
  }
  expect(server.desk.session.book.entries.length).toBe(before);
  await expect(`# Who is refused

Written by \`tests/server/access/refused.test.ts\`, which asks each of a server with \`--lan\`. Nothing is kept or told; what a
phone holds stays on it.

| tried | status | answer |
|---|---|---|
${lines.join('\n')}
`).toMatchFileSnapshot(fileURLToPath(new URL('../../../shared/docs/refused.md', import.meta.url)));
});

test('an address that changes in the middle of a note loses nothing of it', async () => {
  const [host, port] = server.host.split(':') as [string, string];
  const body = JSON.stringify({ words: 'pace is five feet' });
  const reply = await new Promise<string>((resolve, reject) => {
    const asking = request(
      {
        ...{ host: '127.0.0.1', port: Number(port), servername: host, rejectUnauthorized: false },
        ...{ path: '/api/note', method: 'POST' },
        headers: { host: server.host, cookie, ...json, 'content-length': String(body.length) },
      },
      (answer) => {
        let text = '';
        answer.on('data', (part) => {
          text += part;
        });
        answer.on('end', () => resolve(text));
      },
    );
    asking.on('error', reject);
    asking.write(body.slice(0, 10));
    setTimeout(async () => {
      server.names = { addresses: ['10.9.8.7'], name: 'mill.local' };
      await server.lan.look();
      asking.end(body.slice(10));
    }, 100);
  });
  expect(reply).toContain('"state":"kept"');
});
