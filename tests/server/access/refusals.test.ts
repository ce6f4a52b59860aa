/**
 * Who is refused at the phones' door: every address, file and socket of the server, asked as a stranger of the network,
 * a page of another site, a rebound name and a phone that was put out would ask. Each refusal is one sentence.
 */
import { mkdtempSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { cookieName } from '../../../server/access/door.ts';
import { endpoints, refusalSchema } from '../../../shared/wire.ts';
import { type AskOptions, type LanServer, pair, startLan } from './lan-server.ts';

const page = mkdtempSync(join(tmpdir(), 'page-'));
let server: LanServer;
let cookie: string;
const newCode = () => server.lan.codes.make();

beforeAll(async () => {
  for (const [name, text] of [
    ['index.html', '<!doctype html><title>page</title>'],
    ['main.js', 'export {};'],
    ['sw.js', ''],
    ['language.bin', 'x'],
    ['manifest.webmanifest', '{}'],
  ] as const)
    writeFileSync(join(page, name), text);
  server = await startLan(page);
  ({ cookie } = await pair(server, newCode()));
  expect(cookie).toMatch(new RegExp(`^${cookieName}=[0-9a-f]{16}\\.[\\w-]{43}$`));
});
afterAll(async () => {
  await server.close();
  rmSync(page, { recursive: true, force: true });
});

const sentence = (text: string): string => refusalSchema.parse(JSON.parse(text)).refused;
const json = { 'content-type': 'application/json' };
const form = { 'content-type': 'application/x-www-form-urlencoded' };

/** Everything that the server has, each as its own page would ask for it. */
const everything: readonly (readonly [string, AskOptions])[] = [
  ...Object.values(endpoints).map(
    ({ path, method }) =>
      [path, { method, ...(method === 'POST' ? { headers: json, body: '{}' } : {}) }] as const,
  ),
  ...[
    '/main.js',
    '/sw.js',
    '/language.bin',
    '/manifest.webmanifest',
    '/index.html',
    '/nothing',
    '/api/nothing',
  ].map((path) => [path, {}] as const),
];

describe('without a token', () => {
  test.each(everything)('%s is refused', async (path, options) => {
    const { status, text, headers } = await server.ask(path, options);
    expect(status).toBe(401);
    expect(sentence(text)).toMatch(/not let in yet/);
    expect(headers['www-authenticate']).toBe('Pairing');
  });

  test('the book itself leads to the page that asks for the code, and that page holds nothing of the book', async () => {
    await server.desk.note('pace is five feet');
    const root = await server.ask('/');
    expect([root.status, root.headers.location]).toEqual([303, '/pair']);
    const asked = await server.ask('/pair');
    expect(asked.status).toBe(200);
    expect(asked.text).toContain('Let this phone in');
    expect(asked.text.slice(asked.text.indexOf('<main>'))).not.toMatch(/wood|pace|entries/);
    expect(asked.headers['content-security-policy']).toMatch(/default-src 'none'.*frame-ancestors 'none'/);
  });

  test('no socket opens', async () => {
    expect(await server.socket({ origin: `https://${server.host}` })).toMatch(/401/);
  });

  test('nothing that changes the book is done', async () => {
    const before = server.desk.session.book.entries.length;
    for (const [path, options] of everything) await server.ask(path, options);
    expect(server.desk.session.book.entries.length).toBe(before);
  });
});

describe('with its token', () => {
  test('a phone has everything', async () => {
    for (const path of ['/', '/main.js', '/sw.js', '/manifest.webmanifest', '/api/state', '/api/report'])
      expect([path, (await server.ask(path, { headers: { cookie } })).status]).toEqual([path, 200]);
    const socket = await server.socket({ cookie, origin: `https://${server.host}` });
    expect(socket).toBeInstanceOf(WebSocket);
    (socket as WebSocket).close();
  });

  test('the cookie is for this host only, never for scripts, never over a plain connection', async () => {
    const { headers } = await pair(server, newCode());
    expect(headers['set-cookie']).toHaveLength(1);
    expect(headers['set-cookie']![0]).toMatch(/; Path=\/; Secure; HttpOnly; SameSite=Lax; Max-Age=34560000$/);
    expect(headers['set-cookie']![0]).not.toMatch(/Domain/i);
    expect(headers.location).toBe('/');
  });
});

test('a phone that comes back after weeks is known, and its browser is told to keep its token for longer', async () => {
  const phone = await pair(server, newCode(), 'fieldfare');
  const ask = () => server.ask('/api/state', { headers: { cookie: phone.cookie } });
  expect((await ask()).headers['set-cookie']).toBeUndefined();
  const { id } = server.lan.phones.list().phones.find(({ name }) => name === 'fieldfare')!;
  const weeksAgo = Date.now() / 1000 - 40 * 86_400;
  utimesSync(join(server.folder, 'access', 'phones', `${id}.json`), weeksAgo, weeksAgo);
  const back = await ask();
  expect(back.status).toBe(200);
  expect(back.headers['set-cookie']).toEqual([
    `${phone.cookie}; Path=/; Secure; HttpOnly; SameSite=Lax; Max-Age=34560000`,
  ]);
  expect((await ask()).headers['set-cookie']).toBeUndefined();
});

const wrongTokens: readonly (readonly [string, () => string])[] = [
  [
    'a token of the right shape that was never given',
    () => `${cookieName}=${'0'.repeat(16)}.${'A'.repeat(43)}`,
  ],
  ['the id of a phone with another secret', () => `${cookie.split('.')[0]}.${'A'.repeat(43)}`],
  ['a token cut short', () => cookie.slice(0, -1)],
  ['a token under another name', () => cookie.replace(cookieName, 'stemsay')],
  ['an empty token', () => `${cookieName}=`],
  ['a token that is a path', () => `${cookieName}=../../authority.A`],
  ['a very long token', () => `${cookieName}=${'a'.repeat(8000)}`],
];
test.each(wrongTokens)('%s lets nobody in', async (_, value) => {
  const { status } = await server.ask('/api/entries', { headers: { cookie: value() } });
  expect([401, 431]).toContain(status);
});

describe('a phone that was put out', () => {
  test('is out with its next request, and the socket that it had open is closed', async () => {
    const phone = await pair(server, newCode(), 'wren');
    const headers = { cookie: phone.cookie };
    expect((await server.ask('/api/state', { headers })).status).toBe(200);
    const socket = (await server.socket({ ...headers, origin: `https://${server.host}` })) as WebSocket;
    const closed = new Promise<string>((resolve) => {
      let last = '';
      socket.on('message', (data) => {
        last = String(data);
      });
      socket.once('close', () => resolve(last));
    });
    expect(server.lan.phones.remove('wren')).toBe('wren');
    const { status, text } = await server.ask('/api/state', { headers });
    expect([status, sentence(text)]).toEqual([
      401,
      'This phone is not let in any more. What it holds stays on it; pair it again to go on.',
    ]);
    expect(await closed).toContain('not let in any more');
  });

  test('whose file is damaged is told so, and the others are not out', async () => {
    const phone = await pair(server, newCode(), 'siskin');
    const { id } = server.lan.phones.list().phones.find(({ name }) => name === 'siskin')!;
    writeFileSync(join(server.folder, 'access', 'phones', `${id}.json`), '{');
    const { status, text } = await server.ask('/api/state', { headers: { cookie: phone.cookie } });
    expect([status, sentence(text)]).toEqual([401, expect.stringMatching(/cannot be read.*pair it again/)]);
    expect((await server.ask('/api/state', { headers: { cookie } })).status).toBe(200);
  });
});

describe('under another name', () => {
  // DNS rebinding: a name of the attacker's leads here, so that his page counts as ours in the browser.
  test.each([
    ['a name that was rebound', 'wood.example:8418'],
    ['the name as a part of another', 'mill.local.wood.example'],
    ['an address that is not ours', '192.168.77.2:8418'],
    ['localhost, which is the other door', 'localhost:8418'],
    ['the loopback address', '127.0.0.1:8418'],
    ['a name in capitals with a dot at its end', 'MILL.LOCAL.'],
  ])('%s is refused, token or not', async (_, host) => {
    for (const headers of [{ host }, { host, cookie }]) {
      for (const path of ['/', '/pair', '/api/entries']) {
        const { status, text } = await server.ask(path, { headers });
        expect([path, status]).toEqual([path, 403]);
        expect(sentence(text)).toMatch(/under the names of its certificate only/);
      }
    }
    expect(await server.socket({ host, cookie, origin: `https://${host}` })).toMatch(/403/);
  });

  test('the name may be in capitals', async () => {
    const host = server.host.toUpperCase();
    expect((await server.ask('/api/state', { headers: { host, cookie } })).status).toBe(200);
  });
});

describe('from another page', () => {
  const origins = [
    ['of another site', 'https://wood.example'],
    ['of no origin', 'null'],
    ['of another port of this machine', 'https://mill.local:3000'],
    ['of this machine without TLS', 'http://mill.local'],
    ['of the other door', 'http://localhost:8417'],
  ] as const;
  test.each(origins)(
    '%s nothing is read, written or listened to, though the browser sends the token',
    async (_, origin) => {
      const headers = { cookie, origin };
      for (const [path, options] of everything) {
        const { status, text } = await server.ask(path, {
          ...options,
          headers: { ...options.headers, ...headers },
        });
        expect([path, status]).toEqual([path, 403]);
        expect(sentence(text)).toMatch(/answers its own page only/);
      }
      expect(await server.socket(headers)).toMatch(/403/);
    },
  );

  test.each(['cross-site', 'same-site'])(
    'a browser that says %s is refused every address of the book',
    async (site) => {
      for (const { path, method } of Object.values(endpoints)) {
        const { status } = await server.ask(path, { method, headers: { cookie, 'sec-fetch-site': site } });
        expect([path, status]).toEqual([path, 403]);
      }
    },
  );

  test.each(origins)('%s no phone is paired, though the code is right', async (_, origin) => {
    const code = newCode();
    const before = server.lan.phones.list().phones.length;
    const got = await server.ask('/pair', {
      method: 'POST',
      headers: { ...form, origin },
      body: `code=${code}`,
    });
    expect(got.status).toBe(403);
    expect(got.headers['set-cookie']).toBeUndefined();
    expect(server.lan.phones.list().phones).toHaveLength(before);
    expect(server.lan.codes.state.kind).toBe('open');
  });

  test('no other page is told anything by a header that shares', async () => {
    const got = await server.ask('/api/entries', { headers: { cookie } });
    expect(Object.keys(got.headers).filter((name) => name.startsWith('access-control-'))).toEqual([]);
    expect(got.headers['cross-origin-resource-policy']).toBe('same-origin');
    expect(got.headers['cache-control']).toBe('no-store');
  });
});

describe('a code', () => {
  const tokens = () => readdirSync(join(server.folder, 'access', 'phones')).length;

  test('that was used lets no second phone in', async () => {
    const code = newCode();
    expect((await pair(server, code)).status).toBe(303);
    const again = await pair(server, code);
    expect([again.status, again.cookie]).toEqual([403, '']);
    expect(again.text).toContain('That code was used already.');
  });

  test('given by two phones in the same moment lets one of them in', async () => {
    const [code, before] = [newCode(), tokens()];
    const got = await Promise.all([pair(server, code, 'one'), pair(server, code, 'two')]);
    expect(got.map(({ status }) => status).sort()).toEqual([303, 403]);
    expect(tokens()).toBe(before + 1);
  });

  test('guessed ten thousand times lets nobody in', async () => {
    // All in one minute, however slow the machine is.
    const minute = Date.now();
    const guessed = await startLan(page, () => minute);
    try {
      const code = guessed.lan.codes.make();
      const statuses = new Map<number, number>();
      for (let round = 0; round < 100; round++) {
        const got = await Promise.all(
          Array.from({ length: 100 }, (_, at) => {
            const guess = String(round * 100 + at).padStart(8, '0');
            return pair(guessed, guess === code ? '99999999' : guess);
          }),
        );
        for (const { status, cookie: given } of got) {
          expect(given).toBe('');
          statuses.set(status, (statuses.get(status) ?? 0) + 1);
        }
      }
      // Five were compared, from this one address; the rest were told to wait.
      expect(Object.fromEntries(statuses)).toEqual({ 403: 5, 429: 9995 });
      expect(guessed.lan.phones.list().phones).toEqual([]);
    } finally {
      await guessed.close();
    }
  });

  test('in a link that somebody else opens is not used up by opening it', async () => {
    const code = newCode();
    for (const method of ['GET', 'HEAD']) await server.ask(`/pair?code=${code}`, { method });
    expect(server.lan.codes.state.kind).toBe('open');
  });
});

test('a token that was planted before is not taken over by pairing', async () => {
  // Session fixation: who is let in gets a token that nobody could know before.
  const fresh = await startLan(page);
  try {
    const planted = `${cookieName}=${'f'.repeat(16)}.${'B'.repeat(43)}`;
    const got = await fresh.ask('/pair', {
      method: 'POST',
      headers: { ...form, origin: `https://${fresh.host}`, cookie: planted },
      body: `code=${fresh.lan.codes.make()}`,
    });
    expect(got.status).toBe(303);
    expect(got.headers['set-cookie']![0]).not.toContain('f'.repeat(16));
    expect((await fresh.ask('/api/state', { headers: { cookie: planted } })).status).toBe(401);
  } finally {
    await fresh.close();
  }
});

test.each([
  '/../access/authority.key',
  '/..%2faccess%2fauthority.key',
  '/%2e%2e/access/authority.key',
  '/....//access/authority.key',
  '/pair/../api/entries',
  '/pair%2f..%2fapi/entries',
  '/pair/..;/api/entries',
  '/pair/',
  '//api/entries',
  '/API/entries',
  '/api//entries',
  '/api/entries%00',
  '/pair\\..\\api\\entries',
  '/./api/entries',
])('no path leads past the door: %s', async (path) => {
  const { status, text } = await server.ask(path);
  expect([400, 401, 404]).toContain(status);
  expect(text).not.toMatch(/PRIVATE KEY|"entries"|CERTIFICATE/);
});

test('a body larger than the form is refused before it is read', async () => {
  const { status } = await server.ask('/pair', {
    method: 'POST',
    headers: { ...form, origin: `https://${server.host}` },
    body: `code=${'1'.repeat(100_000)}`,
  });
  expect(status).toBe(413);
});

test('what a phone is called is shown as text', async () => {
  const fresh = await startLan(page);
  try {
    await pair(fresh, fresh.lan.codes.make(), '<script>alert(1)</script>');
    const { text } = { text: await (await fresh.lan.startPages.request('/phones')).text() };
    expect(text).toContain('&lt;script&gt;');
    expect(text).not.toContain('<script>');
  } finally {
    await fresh.close();
  }
});
