/**
 * What the learned reader makes of words that nobody read for sure: a meaning that is asked about, a question that is
 * answered, or that nothing of it is for the book. What it writes must be read for sure by the other readers and have
 * every number and every name that was said; so it may choose wrongly, but it cannot make anything up.
 */
import { lengths } from '../../../shared/note/limits.ts';
import type { Candidate, Note, Notes } from '../../../shared/note/note.ts';
import { notesKey } from '../../../shared/note/note-key.ts';
import type { SaidPiece } from '../pieces.ts';
import { offered } from '../reading.ts';
import type { Scan } from '../scan.ts';
import { tellsMuch, turnsRound } from '../telling.ts';
import type { LearnedReader, PlainForm } from './learned-reader.ts';
import { specialMark } from './plain-form.ts';
import { isCounted } from './symbols.ts';

export type LearnedOffer =
  | {
      readonly is: 'notes';
      readonly notes: Notes;
      readonly words: string;
      readonly chance: number;
      readonly left: LeftOut;
    }
  | { readonly is: 'talk'; readonly chance: number };

/** What it is made with. */
export interface OfferParts {
  readonly learned: LearnedReader;
  /** Notes that are read for sure. */
  sure(text: string): Notes | undefined;
  /** Pieces of a plain form. */
  piecesOf(text: string): readonly SaidPiece[];
}

/** The likeliest meaning that leaves out nothing that must be in it; undefined where there is none. */
export function learnedOffer(said: Scan, parts: OfferParts): LearnedOffer | undefined {
  for (const form of parts.learned.formsOf(said.pieces)) {
    const { text, chance } = form;
    if (text === `${specialMark}talk`) return { is: 'talk', chance };
    const plain = parts.piecesOf(text);
    const notes = text === `${specialMark}remark` ? asRemark(said) : notesOf(form, plain, said, parts);
    if (notes !== undefined)
      return { is: 'notes', notes, words: text, chance, left: leftOut(said.pieces, plain) };
  }
  return undefined;
}

function asRemark(said: Scan): Notes | undefined {
  const text = said.text();
  return text.length <= lengths.remark ? [{ kind: 'remark', text }] : undefined;
}

function notesOf(
  form: PlainForm,
  plain: readonly SaidPiece[],
  said: Scan,
  { sure }: OfferParts,
): Notes | undefined {
  // A question for help has no place for numbers.
  if (form.text.startsWith(specialMark)) return sure(form.text.slice(specialMark.length));
  return form.text !== '' && hasAll(said.pieces, form, plain) ? sure(form.text) : undefined;
}

/** Every number and name was copied, or stands there once more. */
function hasAll(pieces: readonly SaidPiece[], { copied }: PlainForm, plain: readonly SaidPiece[]): boolean {
  const numbers = plain.flatMap(({ number, ordinal }) => number?.value ?? ordinal ?? []);
  const names = new Set(plain.map(({ species }) => species));
  return pieces.every((piece, at) => {
    if (copied.has(at)) return true;
    if (piece.number !== undefined) return !isCounted(piece) || numbers.includes(piece.number.value);
    return piece.species === undefined || names.has(piece.species);
  });
}

/** Words that are in no way in the plain form. */
interface LeftOut {
  readonly telling: boolean;
  /** Words that nobody here knows. */
  readonly unknown: boolean;
  /** What turns a note round: "not", "never". */
  readonly turning: boolean;
  /** Of these, behind "of" and its like: what is asked about, by a name that nobody here knows. */
  readonly asked: boolean;
}

const leading = /^(?:of|for|on|in|about|by)$/;

function leftOut(pieces: readonly SaidPiece[], plain: readonly SaidPiece[]): LeftOut {
  const words = new Set(plain.flatMap(({ text }) => text.split(' ')));
  const concepts = new Set(plain.flatMap(({ concepts: of }) => [...of]));
  const isThere = ({ text, concepts: of }: SaidPiece): boolean =>
    text.split(' ').some((word) => words.has(word)) || [...of].some((concept) => concepts.has(concept));
  const left = [...pieces.keys()].filter((at) => pieces[at]!.is === 'words' && !isThere(pieces[at]!));
  const unknown = left.filter((at) => pieces[at]!.unknown);
  return {
    telling: left.some((at) => tellsMuch(pieces[at]!) || turnsRound.test(pieces[at]!.text)),
    turning: left.some((at) => turnsRound.test(pieces[at]!.text)),
    unknown: unknown.length > 0,
    asked: unknown.some((at) => leading.test(pieces[at - 1]?.text ?? '')),
  };
}

/** How likely a plain form must be. Chosen on sittings that the network had not learnt from. */
const chances = {
  /** A question is answered: nothing is kept of it. */
  answered: 0.92,
  /** It is kept where nothing that tells is left out, as what was put in other words by a table. */
  kept: 0.99,
  /** It is kept where the pieces say the same. */
  agreed: 0.8,
  /** It goes before what the pieces or sounds offer. */
  before: 0.5,
  /** It is offered where nothing else is; what takes back or mends at the second. */
  offered: 0.3,
  offeredToMend: 0.7,
  talk: 0.9,
} as const;

/** Kinds that may be kept: what is measured and told of trees and plots. Who, where and how one measures is asked about. */
const measuring: ReadonlySet<Note['kind']> = new Set<Note['kind']>([
  'tree',
  'height',
  'hand',
  'number',
  'again',
  'next',
  'plot',
]);

/** Kinds that take back or mend what was kept are asked about. */
const mending: ReadonlySet<Note['kind']> = new Set<Note['kind']>(['scratch', 'undo', 'restore', 'change']);

/**
 * What comes of it, beside what the others offer (`told`, best first): candidates, `'nothing'` where nothing of it is for
 * the book, undefined where the others are to be heard.
 */
export function weighLearned(
  offer: LearnedOffer,
  told: readonly Candidate[] | undefined,
): readonly Candidate[] | 'nothing' | undefined {
  if (offer.is === 'talk') return told === undefined && offer.chance >= chances.talk ? 'nothing' : undefined;
  const { notes, words, chance, left } = offer;
  // "Don't use Doyle" is never asked as its contrary; a remark is in the speaker's words.
  if (left.turning && notes.every(({ kind }) => kind === 'setting')) return undefined;
  const sure = (posterior: number): readonly Candidate[] => [{ notes, words, posterior }];
  if (chance >= chances.answered && !left.asked && notes.every(({ kind }) => kind === 'ask')) return sure(1);
  const mends = notes.some(({ kind }) => mending.has(kind));
  if (
    chance >= chances.kept &&
    !left.telling &&
    !left.unknown &&
    notes.every(({ kind }) => measuring.has(kind))
  )
    return sure(1);
  const same = told?.some((one) => notesKey(one.notes) === notesKey(notes)) === true;
  // A word that nobody knows may be the tree's name.
  const nameless =
    left.unknown && notes.some((note) => note.kind === 'tree' && note.facts.species === undefined);
  if (same && chance >= chances.agreed && !mends && !nameless) return sure(1);
  const least = mends ? chances.offeredToMend : told === undefined ? chances.offered : chances.before;
  return chance >= least ? sure(offered) : undefined;
}
