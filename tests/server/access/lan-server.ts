/** A server on its local network in this process, and a phone that asks it over TLS and trusts its authority only. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import type { Server } from 'node:http';
import { request } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect } from 'node:tls';
import { WebSocket } from 'ws';
import type { LocalNames } from '../../../server/access/addresses.ts';
import { phoneKeeper } from '../../../server/access/keeper.ts';
import { Lan } from '../../../server/access/lan.ts';
import { phonesLetIn } from '../../../server/access/phones.ts';
import { Desk } from '../../../server/desk/desk.ts';
import { createApp } from '../../../server/http/app.ts';
import { addListening } from '../../../server/http/listen.ts';
import { openStore } from '../../../server/journal/sqlite.ts';
import { fakeHearing, fakeLanguage, noon } from '../../support/fakes.ts';

export interface Got {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly text: string;
}
export interface AskOptions {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string;
}

export interface LanServer {
  readonly lan: Lan;
  readonly desk: Desk;
  readonly folder: string;
  readonly said: string[];
  /** Names that the machine has from now on. */
  names: LocalNames;
  /** `mill.local:PORT`. */
  readonly host: string;
  ask(path: string, options?: AskOptions): Promise<Got>;
  /** Opens the listening socket; gives why not, or the socket. */
  socket(headers: Readonly<Record<string, string>>): Promise<WebSocket | string>;
  /** Host names that the certificate which is served now vouches for. */
  served(): Promise<string>;
  close(): Promise<void>;
}

export async function startLan(page: string): Promise<LanServer> {
  const folder = mkdtempSync(join(tmpdir(), 'lan-'));
  const store = openStore(join(folder, 'wood.book'));
  if (!store.ok) throw new Error(store.error.sentence);
  const said: string[] = [];
  const desk = await Desk.open({
    store: store.value,
    language: fakeLanguage,
    hearing: fakeHearing,
    now: noon,
    phones: phoneKeeper(phonesLetIn(join(folder, 'wood.book')), (sentence) => said.push(sentence)),
  });
  const self = { names: { addresses: ['192.168.77.1'], name: 'mill.local' } as LocalNames };
  const opened = await Lan.open({
    folder: join(folder, 'access'),
    ports: { book: 0, certificate: 0 },
    tell: (sentence) => said.push(sentence),
    names: () => self.names,
  });
  if (!opened.ok) throw new Error(opened.error);
  const lan = opened.value;
  const app = createApp({
    desk,
    version: '0',
    book: 'wood.book',
    mounts: [{ prefix: '/', folder: page }],
    report: () => '<!doctype html><title>report</title>',
    door: lan.door,
    shownToAll: lan.openToAll,
  });
  let stopListening = () => {};
  const listens = await lan.listen(app.fetch, (server: Server) => {
    stopListening = addListening(
      server,
      async () => ({
        follow: ({ ready }) => {
          ready('energy');
          return { push() {}, attend() {}, close() {}, waiting: 0 };
        },
      }),
      lan.door,
    );
  });
  if (!listens.ok) throw new Error(listens.error);
  const port = Number(new URL(lan.addresses.book[0]!).port);
  const host = `mill.local:${port}`;
  const ca = readFileSync(join(folder, 'access', 'authority.crt'));
  const connection = { host: '127.0.0.1', port, servername: 'mill.local', ca };
  return {
    lan,
    desk,
    folder,
    said,
    get names() {
      return self.names;
    },
    set names(names) {
      self.names = names;
    },
    host,
    ask: (path, { method = 'GET', headers = {}, body } = {}) =>
      new Promise((resolve, reject) => {
        const asking = request({ ...connection, path, method, headers: { host, ...headers } }, (answer) => {
          const parts: Buffer[] = [];
          answer.on('data', (part: Buffer) => parts.push(part));
          answer.on('end', () =>
            resolve({
              status: answer.statusCode!,
              headers: answer.headers,
              text: Buffer.concat(parts).toString('utf8'),
            }),
          );
        });
        asking.on('error', reject);
        asking.end(body);
      }),
    socket: (headers) =>
      new Promise((resolve) => {
        const options = { servername: 'mill.local', ca, headers: { host, ...headers } };
        const socket = new WebSocket(`wss://127.0.0.1:${port}/api/listen`, options);
        socket.once('open', () => resolve(socket));
        socket.once('error', (cause) => resolve(cause.message));
      }),
    served: () =>
      new Promise((resolve, reject) => {
        const socket = connect({ ...connection, rejectUnauthorized: false }, () => {
          resolve(socket.getPeerCertificate().subjectaltname ?? '');
          socket.destroy();
        });
        socket.once('error', reject);
      }),
    async close() {
      stopListening();
      lan.close();
      await desk.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Pairs a phone as its browser does: gives the cookie that it keeps. */
export async function pair(
  server: LanServer,
  code: string,
  name = 'linnet',
): Promise<Got & { cookie: string }> {
  const got = await server.ask('/pair', {
    method: 'POST',
    headers: {
      'content-type': 'application/x-www-form-urlencoded',
      origin: `https://${server.host}`,
    },
    body: new URLSearchParams({ code, name }).toString(),
  });
  const [cookie = ''] = got.headers['set-cookie'] ?? [];
  return { ...got, cookie: cookie.split(';')[0]! };
}
