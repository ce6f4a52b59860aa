/**
 * The service worker: keeps exactly the files of one build, so that the page starts without a network, and hands over
 * to the next build whole. It touches nothing but GET requests of this page's own address, and no data of the book.
 */

/** Names of the shell's files, the page itself as "", and their fingerprint: put in by the build. */
declare const SHELL: readonly string[];
declare const SHELL_VERSION: string;

export {};

interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetching extends Lasting {
  readonly request: Request;
  respondWith(response: Promise<Response>): void;
}
declare const self: EventTarget & {
  readonly location: Location;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
};

/** The folder of this page: other pages of the same host are none of ours. */
const home = new URL('./', self.location.href).pathname;
const prefix = `stemsay-shell ${home} `;
const shell = `${prefix}${SHELL_VERSION}`;
/** Paths of the shell's files; the page itself is its folder. */
const own = new Set(SHELL.map((name) => home + name));
/** What only some want (hearing in the page, some twenty megabytes) is kept once it was fetched. */
const later = 'stemsay-later';
const fetchedLater = /^(piece-|runtime\/)/;

self.addEventListener('install', (event) => {
  (event as Lasting).waitUntil(
    (async () => {
      const cache = await caches.open(shell);
      // Past the browser's own cache: half of an old build with half of a new one would be neither.
      await cache.addAll([...own].map((path) => new Request(path, { cache: 'reload' })));
      // A page that is open goes on with what it has loaded; the next start has the new build.
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener('activate', (event) => {
  (event as Lasting).waitUntil(
    (async () => {
      await self.clients.claim();
      // One build back is kept: an open page may still fetch a piece of it.
      const shells = (await caches.keys()).filter((name) => name.startsWith(prefix) && name !== shell);
      for (const name of shells.slice(0, -1)) await caches.delete(name);
    })(),
  );
});

self.addEventListener('fetch', (event) => {
  const { request } = event as Fetching;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin) return;
  if (!url.pathname.startsWith(home)) return;
  const name = url.pathname.slice(home.length);
  // Of pages there is this one and its documents; others (where a phone is let in) are the server's own.
  if (request.mode === 'navigate') {
    if (name === '' || name === 'index.html') (event as Fetching).respondWith(answer(home, request));
    else if (own.has(url.pathname)) (event as Fetching).respondWith(answer(url.pathname, request));
  } else if (own.has(url.pathname)) (event as Fetching).respondWith(answer(url.pathname, request));
  else if (fetchedLater.test(name)) (event as Fetching).respondWith(keepOnUse(request));
});

async function answer(path: string, request: Request): Promise<Response> {
  const cache = await caches.open(shell);
  return (await cache.match(path)) ?? (await caches.match(path)) ?? fetch(request);
}

async function keepOnUse(request: Request): Promise<Response> {
  const known = await caches.match(request);
  if (known) return known;
  const response = await fetch(request);
  if (response.ok) await (await caches.open(later)).put(request, response.clone());
  return response;
}
