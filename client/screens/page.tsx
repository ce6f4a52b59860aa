/** What every screen of the page shares: the conversation, the preferences and the way to be told of changes. */
import { createContext } from 'preact';
import { useContext, useEffect, useState } from 'preact/hooks';
import type { Conversation } from '../conversation/conversation.ts';
import type { Personal } from '../conversation/personal.ts';
import type { Voice } from '../conversation/voice.ts';
import type { Preferences } from '../device/preferences.ts';
import type { Microphone } from '../ear/microphone.ts';
import type { PushToTalk } from '../ear/push-to-talk.ts';

export const screens = ['talk', 'book', 'totals', 'doubts', 'charts', 'setup', 'help'] as const;
export type Screen = (typeof screens)[number];
export const screenNames: Readonly<Record<Screen, string>> = {
  talk: 'Talk',
  book: 'Book',
  totals: 'Totals',
  doubts: 'Doubts',
  charts: 'Charts',
  setup: 'Setup',
  help: 'Help',
};

export interface Page {
  readonly conversation: Conversation;
  readonly pushToTalk: PushToTalk;
  readonly microphone: Microphone;
  readonly voice: Voice;
  readonly prefs: Preferences;
  /** What follows the screen in the address: a leaf of Setup, a tree of the Book; "" for the screen itself. */
  readonly leaf: string;
  setPrefs(change: Partial<Preferences>): void;
  go(screen: Screen, leaf?: string): void;
  /** Loads the page's own ear; null, or the sentence why it cannot be had. */
  openEar(): Promise<string | null>;
  /** What this device knows of who speaks. */
  personal(): Promise<Personal>;
}

const PageContext = createContext<Page | null>(null);
export const PageProvider = PageContext.Provider;

export function usePage(): Page {
  const page = useContext(PageContext);
  if (page === null) throw new Error('usePage outside of the page');
  return page;
}

/** Draws again whenever the conversation has something new. */
export function useConversation(conversation: Conversation): number {
  const [version, setVersion] = useState(conversation.version);
  useEffect(() => conversation.subscribe(() => setVersion(conversation.version)), [conversation]);
  return version;
}

/** "8:42", or with the day before it when it is not today. */
export function clockTime(time: number, now: number): string {
  const date = new Date(time);
  const hours = `${date.getHours()}:${String(date.getMinutes()).padStart(2, '0')}`;
  if (date.toDateString() === new Date(now).toDateString()) return hours;
  return `${date.toLocaleDateString(undefined, { day: 'numeric', month: 'short' })}, ${hours}`;
}
