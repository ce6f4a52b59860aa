/**
 * The local network, only when asked: an HTTPS listener for phones that were let in, a plain one that hands out the
 * certificate, and a certificate that follows the machine's addresses while the server runs.
 */
import type { Server as HttpServer } from 'node:http';
import { createServer as createHttps, type Server as HttpsServer } from 'node:https';
import type { Server as NetServer, Socket } from 'node:net';
import { hostname, networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { serve } from '@hono/node-server';
import { getConnInfo } from '@hono/node-server/conninfo';
import type { Hono } from 'hono';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { hostsOf, isPrivate, type LocalNames, localNames } from './addresses.ts';
import { type Authority, openAuthority } from './authority.ts';
import { Codes } from './codes.ts';
import { type PhoneDoor, phoneDoor } from './door.ts';
import { Phones } from './phones.ts';
import { certificateRoutes, pairingRoutes, startRoutes } from './routes.ts';
import { boundRequests, timeLimits } from './slow-requests.ts';
import { addressesOf, type LanAddresses } from './start-page.ts';

/** Milliseconds between looks at the machine's addresses, and a certificate's age at which it is made anew. */
const lookEveryMs = 3000;
const leafAge = 30 * 86_400_000;
/** Connections of the local network at once, and those of one address among them. */
const mostConnections = 256;
const mostOfEach = 128;

interface LanParts {
  /** Where authority and phones are kept. */
  readonly folder: string;
  /** Ports of the book and of the certificate's page; 0: any free one. */
  readonly ports: { readonly book: number; readonly certificate: number };
  /** Told what a person at the computer should know. */
  readonly tell: (sentence: string) => void;
  readonly now?: () => number;
  readonly names?: () => LocalNames;
}

const machineNames = (): LocalNames => localNames(networkInterfaces(), hostname());

export class Lan {
  readonly codes: Codes;
  readonly phones: Phones;
  readonly door: PhoneDoor;
  #names: LocalNames;
  #book: HttpsServer | null = null;
  #certificate: HttpServer | null = null;
  #ports = { book: 0, certificate: 0 };
  #made = 0;
  #timer: NodeJS.Timeout | undefined;
  /** Told of the id of a phone that was put out from the start page. */
  onOut: (id: string) => void = () => {};

  private constructor(
    private readonly parts: LanParts,
    private readonly authority: Authority,
  ) {
    this.codes = new Codes(parts.now);
    this.phones = new Phones(join(parts.folder, 'phones'), parts.now);
    this.#names = (parts.names ?? machineNames)();
    this.door = phoneDoor(this.phones, () => this.#names);
  }

  /** Reads or makes the authority. Fails with a sentence. */
  static async open(parts: LanParts): Promise<Result<Lan, string>> {
    try {
      const authority = await openAuthority(parts.folder, hostname(), (parts.now ?? Date.now)());
      return authority.ok ? ok(new Lan(parts, authority.value)) : err(authority.error);
    } catch (cause) {
      return err(
        `The folder ${parts.folder} cannot be written: ${cause instanceof Error ? cause.message : cause}`,
      );
    }
  }

  get addresses(): LanAddresses {
    return addressesOf(this.#names, this.#ports.book, this.#ports.certificate);
  }

  /** What the phones' door serves to anyone who comes under the right name. */
  get openToAll(): Hono {
    return pairingRoutes({
      codes: this.codes,
      phones: this.phones,
      door: this.door,
      sender: (c) => getConnInfo(c).remote.address ?? 'unknown',
      tell: this.parts.tell,
    });
  }

  /** What the machine's own door serves besides the book. */
  get startPages(): Hono {
    return startRoutes({
      codes: this.codes,
      phones: this.phones,
      fingerprint: this.authority.fingerprint,
      addresses: () => this.addresses,
      now: this.parts.now ?? Date.now,
      onOut: (id) => this.onOut(id),
    });
  }

  /**
   * Begins to listen; `fetch` answers what comes through the phones' door, `sockets` adds what listens to them.
   * Fails with the sentence why a port cannot be had.
   */
  async listen(
    fetch: Parameters<typeof serve>[0]['fetch'],
    sockets: (server: HttpServer) => void,
  ): Promise<Result<null, string>> {
    const leaf = await this.#issue();
    try {
      this.#book = await listening<HttpsServer>((done) =>
        serve(
          {
            fetch,
            port: this.parts.ports.book,
            hostname: '0.0.0.0',
            createServer: createHttps,
            serverOptions: {
              ...leaf,
              ...timeLimits,
              minVersion: 'TLSv1.2',
              handshakeTimeout: timeLimits.headersTimeout,
            },
          },
          done,
        ),
      );
      const page = certificateRoutes(this.authority.certificate, this.authority.fingerprint, (host) =>
        hostsOf(this.#names).includes(host) ? `https://${host}:${this.#ports.book}` : null,
      );
      this.#certificate = await listening<HttpServer>((done) =>
        serve(
          {
            fetch: page.fetch,
            port: this.parts.ports.certificate,
            hostname: '0.0.0.0',
            serverOptions: timeLimits,
          },
          done,
        ),
      );
    } catch (cause) {
      this.close();
      const { code, message } = cause as NodeJS.ErrnoException;
      return err(
        code === 'EADDRINUSE'
          ? 'The ports for phones (the next two after the book) are taken. Choose another: PORT=9417 npm start -- --lan'
          : `The server cannot listen on the local network: ${message}`,
      );
    }
    this.#ports = { book: portOf(this.#book), certificate: portOf(this.#certificate) };
    for (const server of [this.#book, this.#certificate]) {
      server.maxConnections = mostConnections;
      server.on('connection', keepPrivate);
      server.on('connection', fewOfEach());
      server.on('error', (cause) => this.parts.tell(`The local network: ${cause.message}`));
      boundRequests(server as HttpServer);
    }
    sockets(this.#book as HttpServer);
    this.#timer = setInterval(() => void this.look(), lookEveryMs).unref();
    this.codes.make();
    return ok(null);
  }

  /** Looks whether the machine has other addresses now, and serves a certificate for them if so. */
  async look(): Promise<void> {
    const names = (this.parts.names ?? machineNames)();
    const same = JSON.stringify(names) === JSON.stringify(this.#names);
    const now = (this.parts.now ?? Date.now)();
    if (same && Math.abs(now - this.#made) < leafAge) return;
    this.#names = names;
    try {
      this.#book?.setSecureContext({ ...(await this.#issue()), minVersion: 'TLSv1.2' });
    } catch (cause) {
      this.parts.tell(
        `No certificate could be made for the new address: ${cause instanceof Error ? cause.message : cause}`,
      );
      return;
    }
    const [address] = this.addresses.book;
    if (!same)
      this.parts.tell(
        address === undefined
          ? 'This machine has left its local network; phones keep their notes until it is back.'
          : `The address for phones is now ${address}.`,
      );
  }

  close(): void {
    clearInterval(this.#timer);
    for (const server of [this.#book, this.#certificate]) {
      server?.close();
      server?.closeAllConnections();
    }
  }

  async #issue(): Promise<{ key: string; cert: string }> {
    this.#made = (this.parts.now ?? Date.now)();
    return this.authority.issue(this.#names, this.#made);
  }
}

/** One machine that opens connections without end keeps no other out. */
function fewOfEach(): (socket: Socket) => void {
  const open = new Map<string, number>();
  return (socket) => {
    const from = socket.remoteAddress ?? '';
    const count = (open.get(from) ?? 0) + 1;
    open.set(from, count);
    socket.once('close', () => {
      const left = (open.get(from) ?? 1) - 1;
      if (left > 0) open.set(from, left);
      else open.delete(from);
    });
    if (count > mostOfEach) socket.destroy();
  };
}

/** A connection that reached this machine under a public address is let go before a byte is read. */
function keepPrivate(socket: Socket): void {
  if (!isPrivate(socket.localAddress ?? '') && !isLoopback(socket.localAddress ?? '')) socket.destroy();
}

const isLoopback = (address: string): boolean => /^(::ffff:)?127\./.test(address);

function portOf(server: NetServer): number {
  const address = server.address();
  return typeof address === 'object' && address !== null ? address.port : 0;
}

/** A server once it listens; rejects when it cannot. */
function listening<S extends NetServer>(begin: (done: () => void) => unknown): Promise<S> {
  return new Promise((resolve, reject) => {
    const server = begin(() => resolve(server)) as S;
    server.once('error', reject);
  });
}
