/** Server and browser for the tests of one file: new ones for every test, or one page for all of them. */
import { rm } from 'node:fs/promises';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import {
  type BrowserOptions,
  openPage,
  phone,
  type Server,
  startBrowser,
  startServer,
  type Watched,
} from './harness.ts';
import { buildSite, type StaticHost, serveFolder } from './static.ts';

/** What the page came from. */
export interface Host {
  readonly url: string;
  stop(): Promise<void>;
  start(): Promise<unknown>;
}

/** What belongs to the test that is running, gone after it. */
export interface Own<S extends Host = Server> {
  /** With an empty book. */
  readonly server: S;
  browser(options?: BrowserOptions): Promise<Browser>;
  /** The page in a new browser. */
  open(options?: BrowserOptions): Promise<Watched>;
}

/** A server for each test of the file, and the browsers that it starts. */
export const ownForEach = (): Own =>
  ownOf(
    () => startServer(),
    (server) => server.close(),
  );

/** The page without a server for each test: its folder, built once, on a plain TLS host below a path. */
export function ownFolderForEach(path: string): Own<StaticHost> {
  let folder: string;
  beforeAll(async () => {
    folder = await buildSite();
  }, 300_000);
  afterAll(() => rm(folder, { recursive: true, force: true }));
  return ownOf(
    () => serveFolder(folder, path),
    (host) => host.stop(),
    (host) => ({ trust: host.spki }),
  );
}

function ownOf<S extends Host>(
  start: () => Promise<S>,
  end: (server: S) => Promise<void>,
  more: (server: S) => BrowserOptions = () => ({}),
): Own<S> {
  let server: S;
  let browsers: Browser[] = [];
  beforeEach(async () => {
    server = await start();
  });
  afterEach(async () => {
    for (const browser of browsers) await browser.close();
    browsers = [];
    await end(server);
  });
  const browser = async (options?: BrowserOptions) => {
    const started = await startBrowser({ ...options, ...more(server) });
    browsers.push(started);
    return started;
  };
  return {
    get server() {
      return server;
    },
    browser,
    open: async (options) => openPage(await browser(options), server.url),
  };
}

/** One page on a phone for all tests of the file; `begin` does what comes before the first. */
export function oneForAll(
  options: BrowserContextOptions,
  begin: (page: Page) => Promise<void> = async () => {},
): () => Watched {
  let server: Server;
  let browser: Browser;
  let watched: Watched;
  beforeAll(async () => {
    server = await startServer();
    browser = await startBrowser();
    const context = await browser.newContext({ viewport: phone, ...options });
    watched = await openPage(context, server.url);
    await begin(watched.page);
  });
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });
  return () => watched;
}
