/** What a device told just now, for readers that look at more than the note itself. */
import type { Entry } from '../note/journal.ts';
import { meantBy } from '../note/journal.ts';
import type { Note } from '../note/note.ts';

/** What stood before a note. */
export interface ToldBefore {
  /** What came of the last utterances, in the notebook's own words, the newest first. */
  readonly told: readonly string[];
  /** Whether lengths are metres. */
  readonly metric: boolean;
}

export const nothingBefore: ToldBefore = { told: [], metric: false };

/** Utterances that are looked back to. */
export const mostBefore = 2;

/** Entries that are looked at for it: few utterances have more. */
export const mostEntriesBefore = 12;

/** What came of the last utterances. `entries`: of one device, the newest first. What was only offered is nothing yet. */
export function wordsBefore(entries: Iterable<Entry>, speak: (note: Note) => string): string[] {
  const told: string[] = [];
  let breath: string | undefined;
  for (const entry of entries) {
    if (entry.asks !== undefined && entry.acts.length === 0) continue;
    const words = speak(meantBy(entry));
    const last = told.length - 1;
    if (breath !== undefined && entry.breath?.id === breath) told[last] = `${words}, ${told[last]}`;
    else if (told.length === mostBefore) break;
    else told.push(words);
    breath = entry.breath?.id;
  }
  return told;
}
