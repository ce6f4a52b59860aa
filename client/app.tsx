/** The frame of the page: which screen is open, the state line, the notices; everything inside it is a screen. */
import { render } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Host } from './host.ts';
import { type Page, PageProvider, type Screen, screenNames, screens, useHost, usePage } from './page.tsx';
import { type Prefs, writePrefs } from './prefs.ts';
import { Talk } from './screens/talk.tsx';
import { stateLine } from './sync.ts';
import type { Talking } from './talking.ts';
import type { Voice } from './voice.ts';

export interface AppParts {
  readonly host: Host;
  readonly talking: Talking;
  readonly voice: Voice;
  readonly prefs: { now: Prefs };
}

export function mount(root: HTMLElement, parts: AppParts): void {
  root.textContent = '';
  render(<App {...parts} />, root);
}

const screenOf = (hash: string): Screen => screens.find((one) => `#${one}` === hash) ?? 'talk';

function App({ host, talking, voice, prefs }: AppParts) {
  const [screen, setScreen] = useState<Screen>(screenOf(location.hash));
  const [chosen, setChosen] = useState(prefs.now);
  useHost(host);
  useEffect(() => {
    const follow = () => setScreen(screenOf(location.hash));
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  }, []);
  useEffect(() => {
    document.documentElement.dataset.theme = chosen.theme;
    document.documentElement.dataset.hand = chosen.hand;
  }, [chosen]);
  const page: Page = {
    host,
    talking,
    voice,
    prefs: chosen,
    setPrefs(change) {
      prefs.now = { ...prefs.now, ...change };
      writePrefs(prefs.now);
      setChosen(prefs.now);
    },
    go(to) {
      location.hash = to;
    },
  };
  return (
    <PageProvider value={page}>
      <div class={`frame on-${screen}`}>
        <a class="skip" href="#words">
          To the line for notes
        </a>
        <header>
          <StateLine />
          <Notices />
        </header>
        <nav aria-label="Screens">
          {screens.map((one) => (
            <a key={one} href={`#${one}`} aria-current={one === screen ? 'page' : undefined}>
              {screenNames[one]}
              {one === 'doubts' && <OpenDoubts />}
            </a>
          ))}
        </nav>
        <main>
          <Talk />
        </main>
      </div>
    </PageProvider>
  );
}

function StateLine() {
  const { host } = usePage();
  return (
    <p class="kept" role="status">
      {stateLine(host.sync)}
    </p>
  );
}

function OpenDoubts() {
  const { host } = usePage();
  const open = host.book.doubts.filter((doubt) => doubt.state === 'open').length;
  return open === 0 ? null : <span class="count"> {open}</span>;
}

function Notices() {
  const { host } = usePage();
  return (
    <div role="alert">
      {[...host.notices].map(([key, sentence]) => (
        <p key={key} class="notice">
          {sentence}
          <button type="button" onClick={() => host.notice(key, null)}>
            Seen
          </button>
        </p>
      ))}
    </div>
  );
}
