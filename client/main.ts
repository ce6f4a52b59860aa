/** Composition root of the page: opens the book, loads the language, wires the voice and the ear, draws the page. */
import { required } from '../shared/core/required.ts';
import './device/jitless.ts';
import { Conversation } from './conversation/conversation.ts';
import { askToKeep, keepPage, stayLit, watchPlace } from './conversation/device.ts';
import { createPageLanguage, OwnHearing } from './conversation/language.ts';
import { Messenger } from './conversation/messenger.ts';
import type { Personal } from './conversation/personal.ts';
import { createVoice } from './conversation/voice.ts';
import { hasServer, ownFile } from './device/home.ts';
import { readPreferences } from './device/preferences.ts';
import { followTheme } from './device/theme.ts';
import { fetchBareEar, openBareEar } from './ear/bare-ear.ts';
import { createEarcons } from './ear/earcons.ts';
import { HandsFree } from './ear/hands-free.ts';
import { watchTalkKey } from './ear/keys.ts';
import { Microphone } from './ear/microphone.ts';
import { PushToTalk } from './ear/push-to-talk.ts';
import { PageStore } from './journal/indexeddb.ts';
import { mount } from './screens/app.tsx';

const root = required(document.getElementById('page'), 'the place of the page');
let conversation: Conversation | undefined;
/** What is known of who speaks, once it was asked for. */
let known: Personal | undefined;
const prefs = { now: readPreferences() };
/** A second book in this browser to try things out in; what is in it is sent nowhere. */
const practice = new URLSearchParams(location.search).has('practice');
followTheme(prefs.now.theme)();

try {
  const messenger = new Messenger(() => new Worker(ownFile('worker.js'), { type: 'module' }));
  const language = createPageLanguage(messenger);
  const ownHearing = new OwnHearing(messenger);
  const store = await PageStore.open(practice ? 'stemsay-practice' : 'stemsay', {
    onOlder: () =>
      conversation?.notice('older', 'A newer page is open in another tab. Reload this one; nothing is lost.'),
    onCleared: async () =>
      conversation
        ?.writeAgain()
        .catch(() =>
          conversation?.notice(
            'cleared',
            'The browser cleared what it kept of this page, and takes nothing now. Take the book with you from the Book screen before you close this page.',
          ),
        ),
  });
  conversation = await Conversation.open({
    store,
    language,
    ownEar: () => (prefs.now.hearHere ? ownHearing : null),
    ownEarFirst: () => known?.isHeard ?? false,
    apart: practice,
    keepsSounds: () => prefs.now.keepSounds,
  });
  const { book } = conversation;
  const opened = conversation;
  let opening: Promise<Personal> | undefined;
  const personal = () => {
    opening ??= import('./conversation/personal.ts').then(async ({ Personal }) => {
      const allowed = () => prefs.now.learns;
      known = await Personal.open({ conversation: opened, worker: messenger, store, allowed, now: Date.now });
      return known;
    });
    return opening;
  };
  let heedsHeadset = false;
  const voice = createVoice();
  const microphone = new Microphone();
  const free = new HandsFree({
    conversation,
    microphone,
    // Its own ear where the page has one: nothing then depends on the way to the server.
    openEar: async (parts) => {
      const { openPageEar, openServerEar } = await import('./ear/listening-client.ts');
      if (prefs.now.hearHere && (await ownHearing.open()) === null) {
        await language.teach(book.taught).catch(() => undefined);
        return openPageEar(messenger, parts);
      }
      // When the way is lost, it is too late to fetch what keeps the sound.
      const [opened] = await Promise.all([openServerEar(parts), fetchBareEar().catch(() => undefined)]);
      return opened;
    },
    openBare: openBareEar,
  });
  const pushToTalk = new PushToTalk({
    conversation,
    voice,
    earcons: createEarcons(),
    prefs: () => prefs.now,
    free,
    microphone,
  });
  const lit = stayLit(
    () => prefs.now.awake || free.on,
    (dark) =>
      conversation?.notice(
        'lit',
        dark
          ? 'This device lets its screen go dark, to save its battery perhaps. Hands-free stops hearing when it does.'
          : null,
      ),
  );
  const place = watchPlace(() => prefs.now.place, conversation);
  conversation.position = () => place.now();
  const follow = () => {
    lit();
    place.update();
  };
  follow();
  const openEar = () => ownHearing.open();
  mount(root, { conversation, pushToTalk, microphone, voice, prefs, openEar, personal, onPrefs: follow });
  pushToTalk.onForget = () => void personal().then((mine) => mine.forget());
  watchTalkKey(pushToTalk, () => prefs.now.talkKey);
  pushToTalk.onListening.push(lit, () => {
    // What only hands-free wants is fetched when it is first turned on.
    if (heedsHeadset) return;
    heedsHeadset = true;
    import('./ear/headset.ts').then(
      ({ watchHeadset }) => watchHeadset(pushToTalk, () => free.on),
      () => {
        heedsHeadset = false;
      },
    );
  });
  conversation.subscribe(() => free.follow());
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) void pushToTalk.rest();
    else {
      void microphone.wake();
      conversation?.startSync();
    }
  });
  addEventListener('online', () => conversation?.startSync());
  conversation.startSync();
  (window.requestIdleCallback ?? setTimeout)(() => language.warm());
  askToKeep(conversation);
  await keepPage(conversation);
  // After the page is kept, so that what the ear fetches is kept with it.
  if (prefs.now.learns) await personal();
  if (prefs.now.hearHere) {
    const sentence = await ownHearing.open();
    if (sentence === null) await conversation.hearWaiting();
    else if (!hasServer) conversation.notice('ear', sentence);
  }
} catch (cause) {
  console.error(cause);
  root.textContent = `The page could not start: ${cause instanceof Error ? cause.message : cause} Nothing that was kept is lost.`;
}
