/** The local network while the server runs: addresses that change, the certificate's own page, the pictures to scan. */
import { X509Certificate } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { get } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import jsQr from 'jsqr';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Lan } from '../../../server/access/lan.ts';
import { startPage } from '../../../server/access/start-page.ts';
import { type LanServer, pair, startLan } from './lan-server.ts';

const page = mkdtempSync(join(tmpdir(), 'page-'));
let server: LanServer;
beforeAll(async () => {
  writeFileSync(join(page, 'index.html'), '<!doctype html><title>page</title>');
  server = await startLan(page);
});
afterAll(async () => {
  await server.close();
  rmSync(page, { recursive: true, force: true });
});

/** Asks the plain listener, which is no part of the phones' door. */
const plain = (path: string, host = 'mill.local'): Promise<{ status: number; type: string; body: Buffer }> =>
  new Promise((resolve, reject) => {
    const { port } = new URL(server.lan.addresses.certificate[0]!);
    get({ host: '127.0.0.1', port, path, headers: { host: `${host}:${port}` } }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () =>
        resolve({
          status: answer.statusCode!,
          type: answer.headers['content-type'] ?? '',
          body: Buffer.concat(parts),
        }),
      );
    }).on('error', reject);
  });

test('when the address changes, the next handshake has a certificate for it, and phones stay in', async () => {
  const { cookie } = await pair(server, server.lan.codes.make());
  expect(await server.served()).toBe('IP Address:192.168.77.1, DNS:mill.local');
  server.names = { addresses: ['10.3.2.1', '192.168.77.1'], name: 'mill.local' };
  await server.lan.look();
  expect(await server.served()).toBe('IP Address:10.3.2.1, IP Address:192.168.77.1, DNS:mill.local');
  expect(server.said.at(-1)).toMatch(/^The address for phones is now https:\/\/10\.3\.2\.1:\d+\.$/);
  const { port } = new URL(server.lan.addresses.book[0]!);
  // On both networks at once, and by name.
  for (const host of ['10.3.2.1', '192.168.77.1', 'mill.local'])
    expect((await server.ask('/api/state', { headers: { host: `${host}:${port}`, cookie } })).status).toBe(
      200,
    );
  server.names = { addresses: [], name: 'mill.local' };
  await server.lan.look();
  expect(server.said.at(-1)).toMatch(/has left its local network; phones keep their notes/);
  expect(server.lan.addresses).toEqual({ book: [], certificate: [] });
  server.names = { addresses: ['192.168.77.1'], name: 'mill.local' };
  await server.lan.look();
  expect((await server.ask('/api/state', { headers: { cookie } })).status).toBe(200);
});

test('a connection that is open when the address changes is not cut', async () => {
  const { cookie } = await pair(server, server.lan.codes.make());
  const socket = await server.socket({ cookie, origin: `https://${server.host}` });
  if (typeof socket === 'string') throw new Error(socket);
  server.names = { addresses: ['192.168.77.9'], name: 'mill.local' };
  await server.lan.look();
  await new Promise((resolve) => setTimeout(resolve, 200));
  expect(socket.readyState).toBe(socket.OPEN);
  socket.close();
});

describe('the page of the certificate', () => {
  test('hands out the certificate as phones take it, and no key', async () => {
    const { status, type, body } = await plain('/authority.crt');
    expect([status, type]).toEqual([200, 'application/x-x509-ca-cert']);
    const certificate = new X509Certificate(body);
    expect(certificate.ca).toBe(true);
    const kept = new X509Certificate(readFileSync(join(server.folder, 'access', 'authority.crt')));
    expect(certificate.fingerprint256).toBe(kept.fingerprint256);
    expect(body.toString('latin1')).not.toContain('PRIVATE');
  });

  test('says how to install it and what to compare, and knows no code', async () => {
    const code = server.lan.codes.make();
    const { status, body } = await plain('/');
    expect(status).toBe(200);
    expect(body.toString()).toMatch(/CA certificate.*Certificate Trust Settings.*fingerprint/s);
    expect(body.toString()).not.toContain(code);
    expect(body.toString()).toContain(`https://mill.local:`);
  });

  test.each(['/api/state', '/pair', '/phones', '/authority.key', '/../authority.key', '/index.html'])(
    'has nothing else: %s',
    async (path) => expect((await plain(path)).status).toBe(404),
  );

  test('leads nowhere under a name that is not ours', async () => {
    expect((await plain('/', 'wood.example')).status).toBe(403);
  });
});

describe('the start page', () => {
  const shown = async () => (await server.lan.startPages.request('/phones')).text();

  /** Draws the dark area of a picture and reads it as a camera would: jsQR, an independent reader. */
  function read(svg: string): string {
    const [left = 0, top = 0, side = 0] = (/viewBox="([^"]+)"/.exec(svg)?.[1] ?? '').split(' ').map(Number);
    const scale = 4;
    const size = side * scale;
    const pixels = new Uint8ClampedArray(size * size * 4).fill(255);
    // Closed paths of straight lines; what an odd number of upright edges lies to the left of is dark.
    const edges: { x: number; from: number; to: number }[] = [];
    for (const ring of / d="([^"]+)"/.exec(svg)![1]!.split('Z').filter(Boolean)) {
      const corners = ring
        .split(/[ML]/)
        .filter(Boolean)
        .map((corner) => corner.split(' ').map(Number));
      for (const [at, [x = 0, y = 0]] of corners.entries()) {
        const [nextX, nextY = 0] = corners[(at + 1) % corners.length]!;
        if (x === nextX) edges.push({ x, from: Math.min(y, nextY), to: Math.max(y, nextY) });
      }
    }
    for (let row = 0; row < size; row++) {
      const at = top + (row + 0.5) / scale;
      for (let column = 0; column < size; column++) {
        const crossed = edges.filter(
          (edge) => edge.from < at && at < edge.to && edge.x <= left + (column + 0.5) / scale,
        ).length;
        if (crossed % 2 === 1) pixels.fill(0, (row * size + column) * 4, (row * size + column) * 4 + 3);
      }
    }
    return jsQr(pixels, size, size)?.data ?? '';
  }

  test('shows pictures that a camera reads as the two addresses, the second with the code', async () => {
    const code = server.lan.codes.make();
    const pictures = (await shown()).match(/<svg[\s\S]*?<\/svg>/g)!;
    const { book, certificate } = server.lan.addresses;
    expect(pictures.map(read)).toEqual([certificate[0], `${book[0]}/pair?code=${code}`]);
  });

  test('shows the code in fours, the fingerprint, and what became of the code', async () => {
    const code = server.lan.codes.make();
    expect(await shown()).toContain(`${code.slice(0, 4)} ${code.slice(4)}`);
    expect(await shown()).toMatch(/([0-9A-F]{4} ){15}[0-9A-F]{4}/);
    await pair(server, '00000000');
    expect(await shown()).toContain('1 wrong code was tried.');
    await pair(server, code, 'wren');
    expect(await shown()).toMatch(/The code was used: that phone is in.*wren/s);
    expect(await shown()).not.toContain(code.slice(0, 4));
  });

  test('makes a new code and puts a phone out by its buttons', async () => {
    await pair(server, server.lan.codes.make(), 'dunnock');
    const out: string[] = [];
    server.lan.onOut = (id) => out.push(id);
    const post = (path: string, body = '') =>
      server.lan.startPages.request(path, {
        method: 'POST',
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
        body,
      });
    const { id } = server.lan.phones.list().phones.find(({ name }) => name === 'dunnock')!;
    expect((await post('/phones/out', `id=${id}`)).status).toBe(303);
    expect(out).toEqual([id]);
    expect(await shown()).not.toContain('dunnock');
    await post('/phones/code');
    expect(server.lan.codes.state.kind).toBe('open');
  });

  test('without an address says what to do', () => {
    const markup = String(
      startPage({
        addresses: { book: [], certificate: [] },
        code: { kind: 'none' },
        fingerprint: '',
        phones: { phones: [], damaged: ['0123456789abcdef'] },
        now: 0,
      }),
    );
    expect(markup).toContain('no address on a local network');
    expect(markup).toContain('0123456789abcdef cannot be read');
  });
});

test('a folder that cannot be written is a sentence', async () => {
  const file = join(page, 'a-file');
  writeFileSync(file, '');
  const opened = await Lan.open({
    folder: join(file, 'access'),
    ports: { book: 0, certificate: 0 },
    tell: () => {},
  });
  expect(opened.ok ? '' : opened.error).toMatch(/cannot be written/);
});

test('a port that is taken is a sentence that says what to do', async () => {
  const { port } = new URL(server.lan.addresses.book[0]!);
  const opened = await Lan.open({
    folder: join(server.folder, 'other'),
    ports: { book: Number(port), certificate: 0 },
    tell: () => {},
  });
  if (!opened.ok) throw new Error(opened.error);
  const listens = await opened.value.listen(
    () => new Response(),
    () => {},
  );
  expect(listens.ok ? '' : listens.error).toMatch(/are taken\. Choose another: PORT=/);
});
