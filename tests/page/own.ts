/** Server and browser for the tests of one file: new ones for every test, or one page for all of them. */
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

/** What belongs to the test that is running, gone after it. */
export interface Own {
  /** With an empty book. */
  readonly server: Server;
  browser(options?: BrowserOptions): Promise<Browser>;
  /** The page in a new browser. */
  open(options?: BrowserOptions): Promise<Watched>;
}

/** A server for each test of the file, and the browsers that it starts. */
export function ownForEach(): Own {
  let server: Server;
  let browsers: Browser[] = [];
  beforeEach(async () => {
    server = await startServer();
  });
  afterEach(async () => {
    for (const browser of browsers) await browser.close();
    browsers = [];
    await server.close();
  });
  const browser = async (options?: BrowserOptions) => {
    const started = await startBrowser(options);
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
