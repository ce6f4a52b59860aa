/** What one person said in a book, and what of it stood: what the profiles of a person are learnt from. */
import { type Entry, treeOfEntry } from '../note/journal.ts';
import type { Book } from './book.ts';

interface SaidEntry {
  readonly entry: Entry;
  /** False: it was taken back, or what it said was corrected. */
  readonly stood: boolean;
}

/** Entries of a book that are looked at, from the newest; older habits are habits no more. */
const mostEntries = 1500;

/**
 * The entries of one speaker, oldest first, answers to questions of the tool among them. A speaker is the person that is
 * named on the device, else whoever has the device, by the device's name.
 */
export function saidBy(
  book: Pick<Book, 'entries' | 'isRetracted' | 'settings'>,
  speaker: string,
): SaidEntry[] {
  const latest = book.entries.slice(-mostEntries);
  const named = new Set(latest.flatMap(({ device, acts }) => (acts.some(namesPerson) ? [device] : [])));
  /** By device, who speaks there; where nobody is named in these entries, who is named now. */
  const speakers = new Map<string, string>();
  const mine = latest.filter((entry) => {
    const { device, person } = entry;
    for (const act of entry.acts) if (namesPerson(act)) speakers.set(device, act.set.name);
    const before = named.has(device) ? null : book.settings.personOn(device);
    return (person ?? speakers.get(device) ?? before ?? device) === speaker;
  });
  const corrected = correctedIn(mine);
  return mine.map((entry) => ({ entry, stood: !corrected.has(entry.id) && !book.isRetracted(entry.id) }));
}

/** What a speaker said, as the profile of the language takes it: the notes of a breath share their words. */
export const wordsSaid = (
  said: readonly SaidEntry[],
): { readonly words: string; readonly stood: boolean }[] =>
  said
    .filter(({ entry }) => (entry.breath?.at ?? 0) === 0)
    .map(({ entry, stood }) => ({ words: entry.words, stood }));

/** Notes whose sound teaches the voice, the newest first: spoken alone, kept without a question, never corrected. */
export const learnable = (said: readonly SaidEntry[]): { readonly words: string; readonly clip: string }[] =>
  said
    .flatMap(({ entry, stood }) => {
      const clip = entry.heard?.clip;
      const isAlone = (entry.breath?.of ?? 1) === 1;
      return stood && clip !== undefined && isAlone && entry.asks === undefined
        ? [{ words: entry.words, clip }]
        : [];
    })
    .reverse();

type Act = Entry['acts'][number];
type SettingPerson = Extract<Act, { act: 'setting' }> & { readonly set: { readonly what: 'person' } };
const namesPerson = (act: Act): act is SettingPerson => act.act === 'setting' && act.set.what === 'person';

/** A correction is about the newest entry before it that has to do with the same tree or height. */
function correctedIn(entries: readonly Entry[]): Set<string> {
  const corrected = new Set<string>();
  const newest = new Map<string, string>();
  for (const entry of entries) {
    const isChange = (entry.means ?? entry.note).kind === 'change';
    for (const act of entry.acts) {
      if (act.act !== 'amend' && act.act !== 'remeasure') continue;
      if (isChange || act.act === 'remeasure') corrected.add(newest.get(act.target) ?? act.target);
    }
    const tree = treeOfEntry(entry);
    if (tree !== null && !isChange) newest.set(tree, entry.id);
  }
  return corrected;
}
