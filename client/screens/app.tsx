/** The frame of the page: which screen is open, the state line, the notices; everything inside it is a screen. */
import { type ComponentType, render } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Conversation } from '../conversation/conversation.ts';
import type { Personal } from '../conversation/personal.ts';
import type { Voice } from '../conversation/voice.ts';
import { type Preferences, writePreferences } from '../device/preferences.ts';
import { followTheme } from '../device/theme.ts';
import type { Microphone } from '../ear/microphone.ts';
import type { PushToTalk } from '../ear/push-to-talk.ts';
import { stateLine } from '../journal/sync.ts';
import { HandsFreeBar } from './hands-free-bar.tsx';
import { InHand } from './in-hand.tsx';
import {
  type Page,
  PageProvider,
  type Screen,
  screenNames,
  screens,
  useConversation,
  usePage,
} from './page.tsx';
import { Talk } from './talk.tsx';

interface PageParts {
  readonly conversation: Conversation;
  readonly pushToTalk: PushToTalk;
  readonly microphone: Microphone;
  readonly voice: Voice;
  readonly prefs: { now: Preferences };
  readonly openEar: () => Promise<string | null>;
  readonly personal: () => Promise<Personal>;
  /** Told after the preferences changed. */
  readonly onPrefs: () => void;
}

export function mount(root: HTMLElement, parts: PageParts): void {
  root.textContent = '';
  render(<App {...parts} />, root);
}

interface Place {
  readonly screen: Screen;
  readonly leaf: string;
}

/** "#setup/voice" is the leaf "voice" of Setup. */
function placeOf(hash: string): Place {
  const [name = '', ...leaf] = hash.slice(1).split('/');
  return { screen: screens.find((one) => one === name) ?? 'talk', leaf: leaf.join('/') };
}

function App(parts: PageParts) {
  const { conversation, prefs, onPrefs } = parts;
  const [{ screen, leaf }, setPlace] = useState<Place>(placeOf(location.hash));
  const [chosen, setChosen] = useState(prefs.now);
  useConversation(conversation);
  useEffect(() => {
    const follow = () => setPlace(placeOf(location.hash));
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  }, []);
  useEffect(() => {
    document.documentElement.dataset.hand = chosen.hand;
    return followTheme(chosen.theme);
  }, [chosen]);
  const page: Page = {
    ...parts,
    prefs: chosen,
    leaf,
    setPrefs(change) {
      prefs.now = { ...prefs.now, ...change };
      writePreferences(prefs.now);
      setChosen(prefs.now);
      onPrefs();
    },
    go(to, inner) {
      location.hash = inner ? `${to}/${inner}` : to;
    },
  };
  return (
    <PageProvider value={page}>
      <div class={`frame on-${screen}`}>
        <a class="skip" href="#words">
          To the line for notes
        </a>
        <header>
          <InHand />
          <StateLine />
          <a class="tohelp" href="#help" aria-current={screen === 'help' ? 'page' : undefined}>
            Help
          </a>
          {conversation.parts.apart && <Practice />}
          <Notices />
        </header>
        <nav aria-label="Screens">
          {screens.map((one) => (
            <a
              key={one}
              class={`to-${one}`}
              href={`#${one}`}
              aria-current={one === screen ? 'page' : undefined}
            >
              {screenNames[one]}
              {one === 'doubts' && <OpenDoubts />}
            </a>
          ))}
        </nav>
        <main>
          <Talk />
          <Beside screen={screen} leaf={leaf} />
        </main>
        <HandsFreeBar screen={screen} />
      </div>
    </PageProvider>
  );
}

/** Fetched when the first of them is looked at: what they need is in no one's way before. */
const leaves = () => import('./leaves.ts');

const beside: Readonly<Record<Exclude<Screen, 'talk'>, ComponentType>> = {
  book: fetched(async () => (await leaves()).BookScreen, 'Opening the book.'),
  totals: fetched(async () => (await leaves()).TotalsScreen, 'Adding up.'),
  doubts: fetched(async () => (await leaves()).Doubts, 'Opening the doubts.'),
  charts: fetched(async () => (await leaves()).Charts, 'Drawing the charts.'),
  setup: fetched(async () => (await leaves()).Setup, 'Opening the setup.'),
  help: fetched(async () => (await leaves()).HelpScreen, 'Opening the help.'),
};

/** Wide enough for the conversation and another leaf side by side. */
const wide = matchMedia('(min-width: 1080px)');

/** The leaf beside the conversation; on a narrow page it lies over it. With Talk chosen, a wide page shows the book. */
function Beside({ screen, leaf }: Place) {
  const [isWide, setWide] = useState(wide.matches);
  const sheet = useRef<HTMLElement>(null);
  useEffect(() => {
    const follow = () => setWide(wide.matches);
    wide.addEventListener('change', follow);
    return () => wide.removeEventListener('change', follow);
  }, []);
  useEffect(() => sheet.current?.scrollTo(0, 0), [screen, leaf]);
  if (screen === 'talk' && !isWide) return null;
  const Chosen = beside[screen === 'talk' ? 'book' : screen];
  return (
    <section
      class="leaf"
      ref={sheet}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key.
      tabIndex={0}
      aria-label={screenNames[screen === 'talk' ? 'book' : screen]}
    >
      <Chosen />
    </section>
  );
}

/** A leaf that comes as a file of its own; once it is here it is shown at once. */
function fetched(get: () => Promise<ComponentType>, meanwhile: string): ComponentType {
  let here: ComponentType | null = null;
  return function Fetched() {
    const [Loaded, setLoaded] = useState(() => here);
    const [trouble, setTrouble] = useState('');
    useEffect(() => {
      if (Loaded) return;
      get().then(
        (module) => {
          here = module;
          setLoaded(() => module);
        },
        () => setTrouble('This leaf is not in this browser yet, and it cannot be fetched now.'),
      );
    }, [Loaded]);
    return Loaded ? <Loaded /> : <p class="none meanwhile">{trouble || meanwhile}</p>;
  };
}

/** Over a practice book, on every screen: that it is one, and the way back. */
function Practice() {
  return (
    <p class="practice">
      <span>
        <b>Practice book.</b> Nothing here counts.
      </span>
      <a class="button" href="./">
        Your book
      </a>
    </p>
  );
}

function StateLine() {
  const { conversation } = usePage();
  return (
    <p class="where" role="status">
      {stateLine(conversation.sync)}
      {conversation.sync.kind === 'shutOut' && (
        <a class="button" href="pair">
          Pair again
        </a>
      )}
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
          {key === 'newer' && (
            <button type="button" onClick={() => location.reload()}>
              Use it now
            </button>
          )}
          <button type="button" onClick={() => conversation.notice(key, null)}>
            Seen
          </button>
        </p>
      ))}
    </div>
  );
}
