/** What a note comes to before it is kept: the acts, the question, the doubts, and the words of the reply. */

import type { Book, DeviceState, OpenQuestion } from '../book/book.ts';
import type { Settings } from '../book/settings.ts';
import { err, ok, type Result } from '../core/result.ts';
import { eyeToFeet, lengthToFeet, lengthUnitOf, plain } from '../core/units.ts';
import type { Height } from '../measuring/height/types.ts';
import type { Act, Doubt, EdgeParts, Question } from '../note/acts.ts';
import type { DeviceId } from '../note/journal.ts';
import type { Note, NoteMeaning, NoteOf } from '../note/note.ts';
import type { Length } from '../note/quantities.ts';
import type { QuestionTopic } from '../note/question-topics.ts';
import type { PhoneKeeper, Tongue } from './types.ts';

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
  /** Who did it, where that is not who speaks. */
  readonly person?: string;
  readonly doubts?: readonly Doubt[];
  /** Done outside of the book before the note is kept; where that fails the note is refused with its sentence. */
  readonly first?: () => Promise<Result<null, string>>;
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
  readonly device: DeviceId;
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
  /** What works out notes of walks, plans and ways, what takes back, what answers questions; null where none is needed yet. */
  readonly land: LandTalk | null;
  readonly mending: Mending | null;
  readonly answerAsk: AnswerOf | null;
  /** Who is let in; null where no note at hand is about it. */
  readonly phones?: PhoneTalk | null;
  /** The edge of a file that came with the words; null where none did. */
  readonly edge: EdgeParts | null;
  /** The note that was said behind this one in the same breath. */
  readonly behind?: Note | undefined;
  /** All that was said in this breath, and in the one whose question is open. */
  readonly words?: string;
  /** True when the note before was refused. */
  readonly afterRefusal?: boolean;
  /** True when the person was asked whether this is meant, and said so: what is odd is kept. */
  readonly sure?: boolean;
}

/** Notes about the phones that are let in. */
export const isOfPhones = (note: Note): boolean =>
  note.kind === 'control' ? note.op === 'putOut' : note.kind === 'ask' && note.about === 'phones';

export interface PhoneTalk {
  list(): Outcome;
  putOut(note: NoteOf<'control'>): Outcome;
}

/** Notes that are about the ground alone. */
export const landKinds = ['traverse', 'leg', 'layout', 'way', 'place', 'around', 'price'] as const;
type LandNote = NoteOf<(typeof landKinds)[number]>;
export type LandTopic = Extract<QuestionTopic, 'closure' | 'edgeArea' | 'legs' | 'plotsLeft' | 'worth'>;

export interface LandTalk {
  outcome(context: Context, note: LandNote): Outcome;
  ask(context: Context, note: NoteOf<'ask'>): Outcome;
  /** The note as an answer to a question about a leg, a walk or its area; null when it is none. */
  answer(context: Context, open: OpenQuestion, note: Note): Outcome | null;
  /** A leg said right, by its number or the last one. */
  change(context: Context, note: NoteOf<'change'>): Outcome;
  /** A slope said after a leg is that leg's; null where no walk is under way. */
  slope(context: Context, note: NoteOf<'plot'>): Outcome | null;
  /** What opening a plot of a plan tells of where its device is. */
  arrived(context: Context, number: number): readonly Act[];
  /** What must be said of a plot that no plan has, where one holds; empty where there is nothing to say. */
  offPlan(context: Context, number: number): string;
}

/** Taking back, putting back, and saying right; `asSaid` is what a note would do if it were said now. */
interface Mending {
  change(context: Context, note: NoteOf<'change'>, asSaid: (note: Note) => Outcome): Outcome;
  /** A number right behind "same tree", as one more reading of its height; null where it is none. */
  readAgain(context: Context, number: NonNullable<NoteOf<'change'>['number']>): Outcome | null;
  scratch(context: Context, note: NoteOf<'scratch'>): Outcome;
  restore(context: Context, note: NoteOf<'restore'>): Outcome;
  undo(context: Context): Outcome;
  /** "Skip it" where nothing is asked; null where nothing was told just now. */
  skipLast(context: Context): Outcome | null;
  /** Counts of trees on a plot and on its border; what is planned for a stand. */
  ofPlots(context: Context, note: NoteOf<'plot'>): Outcome;
}

/** What a note means as an answer to an open question, or to one that is named. */
interface Answers {
  answer(context: Context, open: OpenQuestion, note: Note): Outcome | null;
  answerNamed(context: Context, entry: string, open: OpenQuestion | null, note: Note): Outcome;
  /** A note that waited behind an offer with a late yes: what came since is put under it, too. */
  behindLate(context: Context, open: OpenQuestion, work: (context: Context) => Outcome): Outcome;
}

/** Works out the answer to a question about the book. */
export type AnswerOf = (context: Context, note: NoteOf<'ask'>) => Outcome;

export interface LaterParts {
  readonly answers: Answers;
  readonly answerAsk: AnswerOf;
  readonly land: LandTalk;
  readonly mending: Mending;
  readonly phoneTalk: (keeper: PhoneKeeper | undefined) => Promise<PhoneTalk>;
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
  more: Partial<Pick<Outcome, 'say' | 'doubts' | 'height' | 'settles'>> = {},
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
