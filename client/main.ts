/** Composition root of the page: opens the book, loads the language, wires the voice and the ear, draws the page. */
import './jitless.ts';
import { mount } from './app.tsx';
import { createEarcons } from './earcons.ts';
import { Host } from './host.ts';
import { watchTalkKey } from './keys.ts';
import { loadLanguage } from './language.ts';
import { readPrefs } from './prefs.ts';
import { PageStore } from './store.ts';
import { Talking } from './talking.ts';
import { createVoice } from './voice.ts';

const root = document.getElementById('page')!;
let host: Host | undefined;
const prefs = { now: readPrefs() };
document.documentElement.dataset.theme = prefs.now.theme;

try {
  const [language, store] = await Promise.all([
    loadLanguage(),
    PageStore.open('stemsay', () =>
      host?.notice('older', 'A newer page is open in another tab. Reload this one; nothing is lost.'),
    ),
  ]);
  host = await Host.open({ store, language });
  const voice = createVoice();
  const talking = new Talking(host, voice, createEarcons(), () => prefs.now);
  mount(root, { host, talking, voice, prefs });
  watchTalkKey(talking, () => prefs.now.talkKey);
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) talking.rest();
    else host?.startSync();
  });
  addEventListener('online', () => host?.startSync());
  host.startSync();
  (window.requestIdleCallback ?? setTimeout)(() => language.warm());
} catch (cause) {
  console.error(cause);
  root.textContent = `The page could not start: ${cause instanceof Error ? cause.message : cause} Nothing that was kept is lost.`;
}
