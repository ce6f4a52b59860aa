/** What one utterance brings: the answer that is said, and what the page needs to draw it. */

import type { Result } from '../core/result.ts';
import type { Height } from '../measuring/height/types.ts';
import type { Doubt, EdgeParts, Question } from '../note/acts.ts';
import type { DeviceId, Entry, Heard } from '../note/journal.ts';
import type { Candidate, Note } from '../note/note.ts';

/** The answer in the form that `--json` prints; see `answerSchema` in `wire.ts`. */
export interface Answer {
  readonly words: string;
  /** The first of the notes; null when all were refused. */
  readonly note: Note | null;
  /** What was taken of the breath, in order; empty when all was refused. */
  readonly notes: readonly Note[];
  readonly height: {
    readonly feet: number;
    readonly metres: number;
    readonly sdFeet: number;
    readonly method: string;
  } | null;
  /** One breath, number first; digits in the text, said as words by the voice. */
  readonly reply: string;
  readonly doubts: readonly {
    readonly code: string;
    readonly strength: number;
    readonly slips: readonly { readonly slip: string; readonly feet: number | null }[];
  }[];
  readonly asks: string | null;
  readonly state: 'kept' | 'asking' | 'refused';
  readonly heard: { readonly margin: number; readonly posterior: number } | null;
}

/** What one note of a breath brings. */
export interface ToldPart {
  /** Null when it was refused. */
  readonly entry: Entry | null;
  readonly note: Note;
  readonly height: Height | null;
  readonly doubts: readonly Doubt[];
  /** The question that it put. */
  readonly question: Question | null;
  readonly reply: string;
  readonly state: Answer['state'];
}

/** What a breath brings: height, entry and detail are those of its last note with a height, else of its first. */
export interface Told {
  readonly answer: Answer;
  readonly entry: Entry | null;
  readonly height: Height | null;
  readonly doubts: readonly Doubt[];
  readonly question: Question | null;
  /** A longer text for the page (working, sources), where there is one. */
  readonly detail: string | null;
  /** One for each note of the breath that was taken or refused, in order; none where no note was understood. */
  readonly parts: readonly ToldPart[];
}

/** What reached the book: the meanings that the words may have, or why they could not be read. */
export interface Utterance {
  readonly words: string;
  readonly candidates: readonly Candidate[];
  /** The sentence to say when there is no candidate: what was expected, what was found, where. */
  readonly refusal?: string;
  readonly heard?: Heard;
  readonly position?: Entry['position'];
  /** The edge of a file that was brought in with these words. */
  readonly edge?: EdgeParts;
  /** The entry whose question or doubt this answers, where it is not just the newest question here. */
  readonly answers?: string;
}

/** The side of the grammar that the book needs; handed in, because `shared` does not know the grammar. */
export interface Tongue {
  readonly version: string;
  /** The canonical words of a note. */
  speak(note: Note): string;
  /** Fetches what the words of these notes need, where it is not there yet: the help is a part of its own. */
  prepare?(notes: readonly Note[]): Promise<void>;
  /** A few sentences of what can be said now. */
  hints(): readonly string[];
  /** What can be said about a topic, and what it does: "shadow", "plots". */
  help(topic: string): string;
}

/** A phone that the computer lets in. */
export interface PhoneLetIn {
  /** Sixteen hexadecimal digits. */
  readonly id: string;
  readonly name: string;
}

/** Where phones are let in: failures are sentences to say. */
export interface PhoneKeeper {
  list(): Promise<Result<readonly PhoneLetIn[], string>>;
  /** Puts one out, at once. */
  putOut(id: string): Promise<Result<null, string>>;
}

/** Clock and identities are handed in; nothing in `shared` reads them itself. */
export interface Surroundings {
  readonly device: DeviceId;
  /** Milliseconds since 1970. */
  now(): number;
  /** Minutes by which the clock of the place is ahead of universal time then; none where missing. */
  zone?(time: number): number;
  /** Missing: phones are let in nowhere that this conversation knows of. */
  readonly phones?: PhoneKeeper;
  /** A fresh UUIDv7 for this time. */
  id(timeMs: number): string;
}
