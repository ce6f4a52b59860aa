/**
 * The page as a folder on a plain static server over TLS, at a path of its own: a server that knows files and nothing
 * else, as any host has it. The browser trusts its certificate by the public key, as if an authority had signed it.
 */
import { spawn } from 'node:child_process';
import { createHash, webcrypto, X509Certificate } from 'node:crypto';
import { readFile, rm } from 'node:fs/promises';
import { createServer, type Server } from 'node:https';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import 'reflect-metadata';
import * as x509 from '@peculiar/x509';

const root = fileURLToPath(new URL('../..', import.meta.url));
const types: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
};

/** Builds the folder as a user does. */
export async function buildSite(): Promise<string> {
  const folder = join(tmpdir(), `site-${process.pid}`);
  await new Promise<void>((resolve, reject) => {
    const child = spawn('npm', ['run', 'build', '--', folder], {
      cwd: root,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let said = '';
    child.stderr.on('data', (part) => {
      said += part;
    });
    child.once('exit', (code) => (code === 0 ? resolve() : reject(new Error(said))));
  });
  return folder;
}

export interface StaticHost {
  /** `https://localhost:PORT/woods/book/`. */
  readonly url: string;
  /** SHA-256 of the public key, as Chromium's switch takes it. */
  readonly spki: string;
  /** Every request that came, `GET /woods/book/main.js`. */
  readonly asked: string[];
  /** Files that are not there for now. */
  hide(names: RegExp | null): void;
  stop(): Promise<void>;
  start(): Promise<void>;
  close(): Promise<void>;
}

const algorithm = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' } as const;

async function certificate(): Promise<{ key: string; cert: string; spki: string }> {
  const keys = (await webcrypto.subtle.generateKey(algorithm, true, [
    'sign',
    'verify',
  ])) as webcrypto.CryptoKeyPair;
  const made = await x509.X509CertificateGenerator.createSelfSigned({
    name: 'CN=localhost',
    keys,
    signingAlgorithm: algorithm,
    notBefore: new Date(Date.now() - 86_400_000),
    notAfter: new Date(Date.now() + 30 * 86_400_000),
    extensions: [new x509.SubjectAlternativeNameExtension([{ type: 'dns', value: 'localhost' }])],
  });
  const cert = made.toString('pem');
  const spki = new X509Certificate(cert).publicKey.export({ type: 'spki', format: 'der' });
  return {
    cert,
    key: x509.PemConverter.encode(await webcrypto.subtle.exportKey('pkcs8', keys.privateKey), 'PRIVATE KEY'),
    spki: createHash('sha256').update(spki).digest('base64'),
  };
}

/** Serves a folder below a path; everything else is not there. */
export async function serveFolder(folder: string, path = '/woods/book/'): Promise<StaticHost> {
  const { key, cert, spki } = await certificate();
  const asked: string[] = [];
  let hidden: RegExp | null = null;
  let server: Server | null = null;
  let port = 0;
  const start = async (): Promise<void> => {
    const made = createServer({ key, cert }, async (request, response) => {
      asked.push(`${request.method} ${request.url}`);
      const name = new URL(request.url!, 'https://localhost').pathname;
      const file = normalize(join(folder, name.slice(path.length) || 'index.html'));
      const body =
        name.startsWith(path) && file.startsWith(folder) && !hidden?.test(file)
          ? await readFile(file).catch(() => null)
          : null;
      response.writeHead(body ? 200 : 404, {
        'content-type': types[extname(file)] ?? 'application/octet-stream',
      });
      response.end(body ?? 'not here');
    });
    await new Promise<void>((resolve) => made.listen(port, '127.0.0.1', resolve));
    const address = made.address();
    port = typeof address === 'object' && address ? address.port : 0;
    server = made;
  };
  const stop = async (): Promise<void> => {
    const ending = server;
    server = null;
    ending?.closeAllConnections();
    await new Promise<void>((resolve) => (ending ? ending.close(() => resolve()) : resolve()));
  };
  await start();
  return {
    url: `https://localhost:${port}${path}`,
    spki,
    asked,
    hide(names) {
      hidden = names;
    },
    start,
    stop,
    async close() {
      await stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}
