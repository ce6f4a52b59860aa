/**
 * Several notes in one breath. They are taken in order, each by the book as the one before left it. The first that is
 * asked about before anything of it is kept, or refused, ends the breath: what was said behind it may mean another tree
 * without it. Behind a question it waits and is taken with the answer, if that comes next; behind a refusal it is named
 * and not kept.
 */
import type { OpenQuestion } from '../book/book.ts';
import { lapsesUnanswered } from '../book/device-state.ts';
import type { Entry } from '../note/journal.ts';
import type { Note } from '../note/note.ts';
import type { Outcome } from './outcome.ts';
import type { ToldPart, Utterance } from './types.ts';

/** Where a note stands in its breath, and what all its entries share. */
export interface BreathPlace {
  readonly words: string;
  readonly heard?: Entry['heard'] | undefined;
  /** Absent for the only note. The first note's entry names itself. */
  readonly breath?: { readonly id: string | undefined; readonly at: number; readonly of: number } | undefined;
}

/** A breath as it is taken: what came of its notes so far. */
export class BreathInHand {
  readonly parts: ToldPart[] = [];
  /** Notes that are not kept because of one before them. */
  readonly left: Note[] = [];
  /** True when a question was settled. */
  settles = false;
  #first: string | undefined;
  readonly #details = new Map<string, NonNullable<Outcome['detail']>>();
  readonly #entries = new Set<string>();

  constructor(
    readonly utterance: Utterance,
    readonly of: number,
  ) {}

  /** True once a note of it is in the book. */
  get begun(): boolean {
    return this.#entries.size > 0;
  }

  holds(entry: string): boolean {
    return this.#entries.has(entry);
  }

  /** Where its note number `at` stands; the id of the first is not known before it is kept. */
  place(at: number): BreathPlace {
    const { words, heard } = this.utterance;
    return { words, heard, breath: this.of > 1 ? { id: this.#first, at, of: this.of } : undefined };
  }

  add(entry: Entry, outcome: Outcome, part: ToldPart): void {
    this.#first ??= entry.id;
    this.#entries.add(entry.id);
    this.settles ||= outcome.settles !== undefined;
    if (outcome.detail) this.#details.set(entry.id, outcome.detail);
    this.parts.push(part);
  }

  refuse(note: Note, reply: string): void {
    this.parts.push({ entry: null, note, height: null, doubts: [], question: null, reply, state: 'refused' });
  }

  leave(notes: readonly Note[]): void {
    this.left.push(...notes);
  }

  detailOf(entry: Entry | null | undefined): Outcome['detail'] {
    return entry ? this.#details.get(entry.id) : undefined;
  }
}

/** True when nothing of the note is in the book before it is answered, so that notes behind it must wait. */
export const holdsUp = ({ state, acts }: Outcome): boolean =>
  state === 'refused' ||
  (state === 'asking' && !acts.some(({ act }) => act !== 'settle' && act !== 'remeasure'));

/** The outcome with the notes that wait for its answer. */
export function withNotesBehind(outcome: Outcome, notes: readonly Note[]): Outcome {
  if (notes.length === 0 || outcome.asks === undefined) return outcome;
  return { ...outcome, asks: { ...outcome.asks, behind: [...notes] } };
}

/** Notes that the answer to a question lets go on, or that lapse with it. */
interface NotesBehind {
  readonly notes: readonly Note[];
  readonly lapse: boolean;
}

/**
 * What becomes of the notes that waited behind a question, by what the note after it came to. They go on only when that
 * answers it: a note that does not may have begun another tree. A reading that lapses with it is not kept either. `typed`:
 * it was no sound, which may have been none of the book's business.
 */
export function notesBehind(
  { question }: OpenQuestion,
  outcome: Outcome,
  { answered, typed }: { readonly answered: boolean; readonly typed: boolean },
): NotesBehind {
  const option = question.options[0];
  const notes = question.behind ?? outcome.behind ?? option?.behind ?? [];
  if (!answered) {
    // A single note that was taken for another lapses in silence; what was understood of a breath, or typed, is told.
    const told = question.about === 'rest' || (typed && question.about === 'confirm');
    const alone = (notes.length === 0 && !told) || !lapsesUnanswered(question);
    return { notes: alone || option === undefined ? notes : [option.note, ...notes], lapse: true };
  }
  const dropped =
    outcome.means === undefined && outcome.acts.every((act) => act.act === 'settle' && act.how === 'dropped');
  // "Beech 9, 4, 10": of the trees behind one that is left out nothing is lost.
  const next = notes.findIndex(({ kind }) => kind === 'tree');
  if (dropped && question.about === 'confirm' && question.pending?.kind === 'tree' && next >= 0)
    return { notes: notes.slice(next), lapse: false };
  return { notes, lapse: dropped };
}

/**
 * Of notes that waited behind an offer with a late answer, those that still mean what they meant: what is told of the tree in
 * hand would go to another one by now.
 */
export function stillMeant(notes: readonly Note[]): readonly Note[] {
  const end = notes.findIndex(({ kind }) => kind !== 'remark' && kind !== 'setting' && kind !== 'plot');
  const begins = notes[end];
  const tree = begins?.kind === 'tree' && begins.facts.species !== undefined;
  return end < 0 || tree ? notes : notes.slice(0, end);
}

/** The part that stands for the whole: the last one with a height, else the first that is in the book. */
export const mainPart = (parts: readonly ToldPart[]): ToldPart | undefined =>
  parts.findLast(({ height }) => height !== null) ?? parts.find(({ entry }) => entry !== null) ?? parts[0];
