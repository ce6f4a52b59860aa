/** What a note comes to before it is kept: the acts, the question, the doubts, and the words of the reply. */

import type { Book, DeviceState } from '../book/book.ts';
import type { Settings } from '../book/settings.ts';
import { err, ok, type Result } from '../core/result.ts';
import { eyeToFeet, lengthToFeet, lengthUnitOf, plain } from '../core/units.ts';
import type { Height } from '../measuring/height/types.ts';
import type { Act, Doubt, Question } from '../note/acts.ts';
import type { Note, NoteMeaning } from '../note/note.ts';
import type { Length } from '../note/quantities.ts';
import type { Tongue } from './types.ts';

export interface Outcome {
  readonly state: 'kept' | 'asking' | 'refused';
  readonly acts: readonly Act[];
  readonly asks?: Question;
  /** The entry whose question this answers. */
  readonly settles?: string;
  /** The note that this came to, where it is not the one that was said. */
  readonly means?: Note;
  /** Notes that were said behind the meaning that this picked. */
  readonly behind?: readonly Note[];
  readonly doubts?: readonly Doubt[];
  /** Worded after the acts were applied, with the settings then in force, so that it can name what they made. */
  readonly say: (book: Book, now: Settings) => string;
  /** More for the page: working, tables, sources. */
  readonly detail?: (book: Book) => string;
  /** The height that the reply is about, kept or only asked about. */
  readonly height?: (book: Book) => Height | null;
}

/** What resolving a note may look at. Nothing in it is changed by resolving. */
export interface Context {
  readonly book: Book;
  /** The device on which it was said, and what it has in hand. */
  readonly device: string;
  readonly deviceState: DeviceState;
  readonly settings: Settings;
  readonly tongue: Tongue;
  /** The id that the entry will bear. */
  readonly id: string;
  readonly time: number;
  /** Number of the day by the clock of the device. */
  readonly today: number;
  /** Other meanings of the same sound or words. */
  readonly others: readonly NoteMeaning[];
  /** The last reply of this device, for "say again". */
  readonly lastReply: string | null;
  /** True when the note before was refused. */
  readonly afterRefusal?: boolean;
}

export const refused = (sentence: string): Outcome => ({ state: 'refused', acts: [], say: () => sentence });

export const kept = (acts: readonly Act[], say: Outcome['say']): Outcome => ({
  state: 'kept',
  acts,
  say,
});

/** An answer that changes nothing. */
export const said = (text: string, detail?: string): Outcome => ({
  ...kept([], () => text),
  ...(detail ? { detail: () => detail } : {}),
});

export function asking(
  question: Question,
  acts: readonly Act[] = [],
  more: Partial<Pick<Outcome, 'say' | 'doubts' | 'height'>> = {},
): Outcome {
  return { state: 'asking', acts, asks: question, say: () => question.text, ...more };
}

/** A positive length in feet, or the sentence that says what was expected. */
export function feetOf(
  length: Length,
  of: 'distance' | 'eye',
  units: Settings['units'],
): Result<number, string> {
  if (of === 'eye') return eyeToFeet(length);
  const feet = lengthToFeet(length, lengthUnitOf(units));
  return feet > 0 && Number.isFinite(feet)
    ? ok(feet)
    : err(`Expected a length above zero; found ${plain(feet)} feet.`);
}
