/** What the page asks of the device: to stay lit, to say where it is, to keep the page for a start without network. */
import type { Entry } from '../../shared/note/journal.ts';
import { ownFile } from '../device/home.ts';
import type { Conversation } from './conversation.ts';

/** Milliseconds between looks for a newer page while this one is seen. */
const lookForNewerMs = 50_000;

/** Resolves when what the page fetches from now on is kept; at the latest when that has taken too long. */
async function controlled(): Promise<void> {
  if (navigator.serviceWorker.controller !== null) return;
  await new Promise<void>((resolve) => {
    navigator.serviceWorker.addEventListener('controllerchange', () => resolve(), { once: true });
    setTimeout(resolve, 30_000);
  });
}

/** Registers the service worker; without one the page works as long as it is open. */
export async function keepPage(conversation: Conversation): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  let had = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (had)
      conversation.notice(
        'newer',
        'A newer page is here. It is used from the next start on, or now; nothing is lost.',
      );
    had = true;
  });
  try {
    const registration = await navigator.serviceWorker.register(ownFile('sw.js'));
    const look = () => {
      if (!document.hidden) registration.update().catch(() => undefined);
    };
    document.addEventListener('visibilitychange', look);
    setInterval(look, lookForNewerMs);
    await controlled();
  } catch {
    conversation.notice('offline', 'This browser cannot keep the page for a start without a network.');
  }
}

/** Asks the browser, at the first note that is kept here, never to clear what it keeps of this page; once a start. */
export function askToKeep(conversation: Conversation): void {
  const begun = conversation.book.entries.length;
  const end = conversation.subscribe(() => {
    if (conversation.book.entries.length <= begun) return;
    end();
    void navigator.storage
      ?.persisted?.()
      .then((kept) => kept || navigator.storage.persist())
      .catch(() => undefined);
  });
}

/**
 * Keeps the screen lit while wanted and the page is seen; browsers take the lock back with every look away. `onDark` is
 * told when the device takes it back, or never gives it, while it is wanted; and with false when it is held again.
 */
export function stayLit(wanted: () => boolean, onDark: (dark: boolean) => void = () => {}): () => void {
  let lock: WakeLockSentinel | null = null;
  const update = async (): Promise<void> => {
    if (!wanted() || document.hidden) {
      const held = lock;
      lock = null;
      await held?.release().catch(() => undefined);
      return;
    }
    if (lock && !lock.released) return;
    lock = (await navigator.wakeLock?.request('screen').catch(() => null)) ?? null;
    onDark(lock === null);
    const held = lock;
    held?.addEventListener('release', () => {
      if (lock === held && wanted() && !document.hidden) onDark(true);
    });
  };
  document.addEventListener('visibilitychange', () => void update());
  return () => void update();
}

/** Positions older than this are not put beside a note, milliseconds. */
const freshForMs = 60_000;

/** Watches the position while wanted. `now()` gives the last one, if it is fresh. */
export function watchPlace(
  wanted: () => boolean,
  conversation: Conversation,
): { update(): void; now(): Entry['position'] | undefined } {
  let watch: number | null = null;
  let last: { readonly position: NonNullable<Entry['position']>; readonly at: number } | null = null;
  return {
    update() {
      if (!navigator.geolocation) return;
      if (!wanted()) {
        if (watch !== null) navigator.geolocation.clearWatch(watch);
        watch = null;
        last = null;
        return;
      }
      watch ??= navigator.geolocation.watchPosition(
        ({ coords }) => {
          const { latitude, longitude, accuracy } = coords;
          last = { position: { latitude, longitude, accuracyMetres: accuracy }, at: performance.now() };
        },
        () => conversation.notice('place', 'The position is not known here; notes are kept without it.'),
        { enableHighAccuracy: true, maximumAge: freshForMs },
      );
    },
    now: () => (last && performance.now() - last.at < freshForMs ? last.position : undefined),
  };
}
