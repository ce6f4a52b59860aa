/**
 * The service worker: keeps exactly the files of one build, so that the page starts without a network, and hands over
 * to the next build whole. It touches nothing but GET requests of this page's own address, and no data of the book.
 */

/** Names of the shell's files and their fingerprint: put in by the build. */
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

const prefix = 'stemsay-shell-';
const shell = `${prefix}${SHELL_VERSION}`;
const own = new Set(SHELL);
/** What only some want (hearing in the page, some twenty megabytes) is kept once it was fetched. */
const later = 'stemsay-later';
const fetchedLater = /^\/(piece-|runtime\/|activity\/)/;

self.addEventListener('install', (event) => {
  (event as Lasting).waitUntil(
    (async () => {
      const cache = await caches.open(shell);
      // Past the browser's own cache: half of an old build with half of a new one would be neither.
      await cache.addAll(SHELL.map((name) => new Request(name, { cache: 'reload' })));
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
  if (url.pathname.startsWith('/api/')) return;
  if (request.mode === 'navigate') (event as Fetching).respondWith(answer('/', request));
  else if (own.has(url.pathname)) (event as Fetching).respondWith(answer(url.pathname, request));
  else if (fetchedLater.test(url.pathname)) (event as Fetching).respondWith(keepOnUse(request));
});

async function answer(name: string, request: Request): Promise<Response> {
  const cache = await caches.open(shell);
  return (await cache.match(name)) ?? (await caches.match(name)) ?? fetch(request);
}

async function keepOnUse(request: Request): Promise<Response> {
  const known = await caches.match(request);
  if (known) return known;
  const response = await fetch(request);
  if (response.ok) await (await caches.open(later)).put(request, response.clone());
  return response;
}
