/** Composition root of the page: opens the book, loads the language, wires the voice and the ear, draws the page. */
import './jitless.ts';
import { mount } from './app.tsx';
import { keepPage, stayLit, watchPlace } from './device.ts';
import { createEarcons } from './earcons.ts';
import { openBareEar, openPageEar, openServerEar } from './freeear.ts';
import { HandsFree } from './handsfree.ts';
import { watchHeadset } from './headset.ts';
import { Host } from './host.ts';
import { watchTalkKey } from './keys.ts';
import { createLanguage, OwnHearing } from './language.ts';
import { Messenger } from './messenger.ts';
import { Microphone } from './microphone.ts';
import { readPrefs } from './prefs.ts';
import { PageStore } from './store.ts';
import { Talking } from './talking.ts';
import { createVoice } from './voice.ts';

const root = document.getElementById('page')!;
let host: Host | undefined;
const prefs = { now: readPrefs() };
document.documentElement.dataset.theme = prefs.now.theme;

try {
  const messenger = new Messenger(() => new Worker('/worker.js', { type: 'module' }));
  const language = createLanguage(messenger);
  const ownHearing = new OwnHearing(messenger);
  const store = await PageStore.open('stemsay', {
    onOlder: () =>
      host?.notice('older', 'A newer page is open in another tab. Reload this one; nothing is lost.'),
    onCleared: async () =>
      host
        ?.writeAgain()
        .catch(() =>
          host?.notice(
            'cleared',
            'The browser cleared what it kept of this page, and takes nothing now. Take the book with you from the Book screen before you close this page.',
          ),
        ),
  });
  host = await Host.open({
    store,
    language,
    ownEar: () => (prefs.now.hearHere ? ownHearing : null),
  });
  const { book } = host;
  const voice = createVoice();
  const microphone = new Microphone();
  const free = new HandsFree({
    host,
    microphone,
    // Its own ear where the page has one: nothing then depends on the way to the server.
    openEar: async (parts) => {
      if (prefs.now.hearHere && (await ownHearing.open()) === null) {
        await language.teach(book.taught).catch(() => undefined);
        return openPageEar(messenger, parts);
      }
      return openServerEar(parts);
    },
    openBare: openBareEar,
  });
  const talking = new Talking(host, voice, createEarcons(), () => prefs.now, free, microphone);
  const lit = stayLit(() => prefs.now.awake || free.on);
  const place = watchPlace(() => prefs.now.place, host);
  host.position = () => place.now();
  const follow = () => {
    lit();
    place.update();
  };
  follow();
  mount(root, { host, talking, voice, prefs, openEar: () => ownHearing.open(), onPrefs: follow });
  watchTalkKey(talking, () => prefs.now.talkKey);
  watchHeadset(talking, () => free.on);
  talking.onListening.push(lit);
  host.subscribe(() => free.follow());
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
