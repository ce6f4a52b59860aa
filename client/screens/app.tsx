/** The frame of the page: which screen is open, the state line, the notices; everything inside it is a screen. */
import { type ComponentType, render } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Conversation } from '../conversation/conversation.ts';
import type { Voice } from '../conversation/voice.ts';
import { type Preferences, writePreferences } from '../device/preferences.ts';
import type { PushToTalk } from '../ear/push-to-talk.ts';
import { stateLine } from '../journal/sync.ts';
import { BookScreen } from './book.tsx';
import { Doubts } from './doubts.tsx';
import {
  type Page,
  PageProvider,
  type Screen,
  screenNames,
  screens,
  useConversation,
  usePage,
} from './page.tsx';
import { Setup } from './setup.tsx';
import { Talk } from './talk.tsx';
import { TotalsScreen } from './totals.tsx';

export interface PageParts {
  readonly conversation: Conversation;
  readonly pushToTalk: PushToTalk;
  readonly voice: Voice;
  readonly prefs: { now: Preferences };
  readonly openEar: () => Promise<string | null>;
  /** Told after the preferences changed. */
  readonly onPrefs: () => void;
}

export function mount(root: HTMLElement, parts: PageParts): void {
  root.textContent = '';
  render(<App {...parts} />, root);
}

const screenOf = (hash: string): Screen => screens.find((one) => `#${one}` === hash) ?? 'talk';

function App({ conversation, pushToTalk, voice, prefs, openEar, onPrefs }: PageParts) {
  const [screen, setScreen] = useState<Screen>(screenOf(location.hash));
  const [chosen, setChosen] = useState(prefs.now);
  useConversation(conversation);
  useEffect(() => {
    const follow = () => setScreen(screenOf(location.hash));
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  }, []);
  useEffect(() => {
    document.documentElement.dataset.theme = chosen.theme;
    document.documentElement.dataset.hand = chosen.deviceState;
  }, [chosen]);
  const page: Page = {
    conversation,
    pushToTalk,
    voice,
    prefs: chosen,
    openEar,
    setPrefs(change) {
      prefs.now = { ...prefs.now, ...change };
      writePreferences(prefs.now);
      setChosen(prefs.now);
      onPrefs();
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
          <Beside screen={screen} />
        </main>
      </div>
    </PageProvider>
  );
}

const beside: Readonly<Record<Exclude<Screen, 'talk' | 'charts'>, ComponentType>> = {
  book: BookScreen,
  totals: TotalsScreen,
  doubts: Doubts,
  setup: Setup,
};

/** Wide enough for the conversation and another leaf side by side. */
const wide = matchMedia('(min-width: 1080px)');

/** The leaf beside the conversation; on a narrow page it lies over it. With Talk chosen, a wide page shows the book. */
function Beside({ screen }: { readonly screen: Screen }) {
  const [isWide, setWide] = useState(wide.matches);
  const leaf = useRef<HTMLElement>(null);
  useEffect(() => {
    const follow = () => setWide(wide.matches);
    wide.addEventListener('change', follow);
    return () => wide.removeEventListener('change', follow);
  }, []);
  useEffect(() => leaf.current?.scrollTo(0, 0), [screen]);
  if (screen === 'talk' && !isWide) return null;
  const Chosen = screen === 'charts' ? Charts : beside[screen === 'talk' ? 'book' : screen];
  return (
    <section
      class="leaf"
      ref={leaf}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key.
      tabIndex={0}
      aria-label={screenNames[screen === 'talk' ? 'book' : screen]}
    >
      <Chosen />
    </section>
  );
}

let chartsLoaded: ComponentType | null = null;

/** The charts and their scales are fetched when they are first looked at. */
function Charts() {
  const [loaded, setLoaded] = useState(() => chartsLoaded);
  useEffect(() => {
    if (!loaded)
      void import('./charts.tsx').then((module) => {
        chartsLoaded = module.Charts;
        setLoaded(() => module.Charts);
      });
  }, [loaded]);
  const Loaded = loaded;
  return Loaded ? <Loaded /> : <p class="none">Drawing the charts.</p>;
}

function StateLine() {
  const { conversation } = usePage();
  return (
    <p class="where" role="status">
      {stateLine(conversation.sync)}
    </p>
  );
}

function OpenDoubts() {
  const { conversation } = usePage();
  const open = conversation.book.doubts.filter((doubt) => doubt.state === 'open').length;
  return open === 0 ? null : <span class="count"> {open}</span>;
}

function Notices() {
  const { conversation } = usePage();
  return (
    <div role="alert">
      {[...conversation.notices].map(([key, sentence]) => (
        <p key={key} class="notice">
          {sentence}
          <button type="button" onClick={() => conversation.notice(key, null)}>
            Seen
          </button>
        </p>
      ))}
    </div>
  );
}
