/**
 * What the learned reader makes of words that nobody read for sure: a meaning that is asked about, a question that is
 * answered, or that nothing of it is for the book. What it writes must be read for sure by the other readers and have
 * every number and every name that was said; so it may choose wrongly, but it cannot make anything up.
 */
import { lengths } from '../../../shared/note/limits.ts';
import type { Candidate, Note, Notes } from '../../../shared/note/note.ts';
import { notesKey } from '../../../shared/note/note-key.ts';
import type { SaidPiece } from '../pieces.ts';
import { tellsMuch } from '../telling.ts';
import type { LearnedReader, PlainForm } from './learned-reader.ts';
import { specialMark } from './plain-form.ts';

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

/** What was said, as a remark. */
const remarkOf = (pieces: readonly SaidPiece[]): Note => ({
  kind: 'remark',
  text: pieces
    .map(({ text }) => text)
    .join(' ')
    .replace(/ ([,;:])/g, '$1'),
});

/** The likeliest meaning that leaves out nothing that must be in it; undefined where there is none. */
export function learnedOffer(pieces: readonly SaidPiece[], parts: OfferParts): LearnedOffer | undefined {
  for (const form of parts.learned.formsOf(pieces)) {
    const { text, chance } = form;
    if (text === `${specialMark}talk`) return { is: 'talk', chance };
    const notes = text === `${specialMark}remark` ? asRemark(pieces) : notesOf(form, pieces, parts);
    if (notes !== undefined)
      return { is: 'notes', notes, words: text, chance, left: leftOut(pieces, parts.piecesOf(text)) };
  }
  return undefined;
}

function asRemark(pieces: readonly SaidPiece[]): Notes | undefined {
  const remark = remarkOf(pieces);
  return remark.kind === 'remark' && remark.text.length <= lengths.remark ? [remark] : undefined;
}

function notesOf(form: PlainForm, pieces: readonly SaidPiece[], parts: OfferParts): Notes | undefined {
  const text = form.text.replace(new RegExp(`^${specialMark}`), '');
  const notes = parts.sure(text);
  if (notes === undefined) return undefined;
  // A question for help has no place for numbers.
  const help = form.text.startsWith(specialMark);
  return help || hasAll(pieces, form, parts.piecesOf(text)) ? notes : undefined;
}

/** "A", "one" of a thing: often no number. */
const article = /^(?:an?|one)$/;

/** Words that turn a meaning round. */
const turning = /^(?:not|no|never|without|isn't|wasn't)$/;

/** Every number and name was copied, or stands there once more; what turns round stands there too. */
function hasAll(
  pieces: readonly SaidPiece[],
  { copied, text }: PlainForm,
  plain: readonly SaidPiece[],
): boolean {
  const numbers = plain.flatMap(({ number, ordinal }) => number?.value ?? ordinal ?? []);
  const names = new Set(plain.map(({ species }) => species));
  return (
    pieces.every((piece, at) => {
      if (copied.has(at)) return true;
      if (piece.number !== undefined) return article.test(piece.text) || numbers.includes(piece.number.value);
      if (piece.species !== undefined) return names.has(piece.species);
      return true;
    }) && text !== ''
  );
}

/** Words that are in no way in the plain form. */
interface LeftOut {
  readonly telling: boolean;
  /** Words that nobody here knows. */
  readonly unknown: boolean;
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
    telling: left.some((at) => tellsMuch(pieces[at]!) || turning.test(pieces[at]!.text)),
    unknown: unknown.length > 0,
    asked: unknown.some((at) => leading.test(pieces[at - 1]?.text ?? '')),
  };
}

/** How likely a plain form must be. Chosen on sittings that the network had not learnt from. */
const chances = {
  /** A question is answered: nothing is kept of it. */
  answered: 0.85,
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

/** Two meanings that are offered for a choice never have more belief than this: the book takes 0.8 without asking. */
const offered = 0.7;

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
  const sure = (posterior: number): readonly Candidate[] => [{ notes, words, posterior }];
  if (chance >= chances.answered && !left.asked && notes.every(({ kind }) => kind === 'ask')) return sure(1);
  const mends = notes.some(({ kind }) => mending.has(kind));
  if (
    chance >= chances.kept &&
    !left.telling &&
    !left.unknown &&
    !mends &&
    notes.every(({ kind }) => kind !== 'remark')
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
