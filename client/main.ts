/** Composition root of the page: opens the book, loads the language, wires the voice and the ear, draws the page. */
import './jitless.ts';
import { mount } from './app.tsx';
import { keepPage, stayLit, watchPlace } from './device.ts';
import { createEarcons } from './earcons.ts';
import { Host } from './host.ts';
import { watchTalkKey } from './keys.ts';
import { createLanguage, OwnHearing } from './language.ts';
import { Messenger } from './messenger.ts';
import { readPrefs } from './prefs.ts';
import { PageStore } from './store.ts';
import { Talking } from './talking.ts';
import { createVoice } from './voice.ts';

const root = document.getElementById('page')!;
let host: Host | undefined;
const prefs = { now: readPrefs() };
document.documentElement.dataset.theme = prefs.now.theme;

try {
  const messenger = new Messenger(new Worker('/worker.js', { type: 'module' }));
  const language = createLanguage(messenger);
  const ownHearing = new OwnHearing(messenger);
  const store = await PageStore.open('stemsay', () =>
    host?.notice('older', 'A newer page is open in another tab. Reload this one; nothing is lost.'),
  );
  host = await Host.open({
    store,
    language,
    ownEar: () => (prefs.now.hearHere ? ownHearing : null),
  });
  const voice = createVoice();
  const talking = new Talking(host, voice, createEarcons(), () => prefs.now);
  const lit = stayLit(() => prefs.now.awake);
  const place = watchPlace(() => prefs.now.place, host);
  host.position = () => place.now();
  const follow = () => {
    lit();
    place.update();
  };
  follow();
  mount(root, { host, talking, voice, prefs, openEar: () => ownHearing.open(), onPrefs: follow });
  watchTalkKey(talking, () => prefs.now.talkKey);
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) talking.rest();
    else host?.startSync();
  });
  addEventListener('online', () => host?.startSync());
  host.startSync();
  void keepPage(host);
  (window.requestIdleCallback ?? setTimeout)(() => {
    language.warm();
    if (prefs.now.hearHere) void ownHearing.open();
  });
} catch (cause) {
  console.error(cause);
  root.textContent = `The page could not start: ${cause instanceof Error ? cause.message : cause} Nothing that was kept is lost.`;
}
