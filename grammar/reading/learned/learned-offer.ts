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

/** Short for trees, and words for anything else: "my steps get short". */
const looseName =
  /^(?:short|long|red|white|black|sugar|silver|sweet|soft|hard|rock|post|pin|live|water|swamp|sand|table|slash|scrub|bear|grand|noble|paper|river|gr[ae]y|yellow|blue)$/;

/** Every number and name was copied, or stands there once more. */
function hasAll(pieces: readonly SaidPiece[], { copied }: PlainForm, plain: readonly SaidPiece[]): boolean {
  const numbers = plain.flatMap(({ number, ordinal }) => number?.value ?? ordinal ?? []);
  const names = new Set(plain.map(({ species }) => species));
  return pieces.every((piece, at) => {
    if (copied.has(at)) return true;
    if (piece.number !== undefined) return !isCounted(piece) || numbers.includes(piece.number.value);
    return piece.species === undefined || names.has(piece.species) || looseName.test(piece.text);
  });
}

/** Words that are in no way in the plain form. */
interface LeftOut {
  readonly telling: boolean;
  /** Words that nobody here knows. */
  readonly unknown: boolean;
  /** What turns the plain form round: "not" or "never" before something that is in it. */
  readonly turning: boolean;
  /** Of these, behind "of" and its like: what is asked about, by a name that nobody here knows. */
  readonly asked: boolean;
}

const leading = /^(?:of|for|on|in|about|by)$/;

function leftOut(pieces: readonly SaidPiece[], plain: readonly SaidPiece[]): LeftOut {
  const words = new Set(plain.flatMap(({ text }) => text.split(' ')));
  const concepts = new Set(plain.flatMap(({ concepts: of }) => [...of]));
  const names = new Set(plain.map(({ species }) => species));
  const isThere = ({ text, concepts: of }: SaidPiece): boolean =>
    text.split(' ').some((word) => words.has(word)) || [...of].some((concept) => concepts.has(concept));
  const left = [...pieces.keys()].filter((at) => pieces[at]!.is === 'words' && !isThere(pieces[at]!));
  const unknown = left.filter((at) => pieces[at]!.unknown);
  /** What stands behind a "not", to the end of the clause. */
  const turned = (at: number): readonly SaidPiece[] => {
    const rest = pieces.slice(at + 1);
    const end = rest.findIndex(({ is }) => is === 'break');
    return end < 0 ? rest : rest.slice(0, end);
  };
  return {
    telling:
      left.some((at) => tellsMuch(pieces[at]!) || turnsRound.test(pieces[at]!.text)) ||
      pieces.some(
        ({ species, text }) => species !== undefined && looseName.test(text) && !names.has(species),
      ),
    turning: left.some((at) => turnsRound.test(pieces[at]!.text) && turned(at).some(isThere)),
    unknown: unknown.length > 0,
    asked: unknown.some((at) => leading.test(pieces[at - 1]?.text ?? '')),
  };
}

/** How likely a plain form must be. Chosen on sittings that the network had not learnt from. */
const chances = {
  /** A question is answered: nothing is kept of it. */
  answered: 0.92,
  /** What is measured and told of trees is kept; where words that nobody knows, or that tell, are left out, above more. */
  measured: 0.97,
  measuredBesideUnknown: 0.98,
  measuredBesideTelling: 0.99,
  /** What was said is kept in its own words. */
  remarked: 0.97,
  /** How one measures. */
  set: 0.95,
  /** What takes back or mends, and all else but plots, where no word that tells is left out. */
  mended: 0.98,
  other: 0.98,
  plotted: 0.99,
  /** It is kept where the pieces say the same. */
  agreed: 0.8,
  /** It is asked about beside what was to be kept and is something else. */
  against: 0.95,
  /** It goes before what the pieces or sounds offer. */
  before: 0.5,
  /** It is offered where nothing else is; what takes back or mends at the second. */
  offered: 0.3,
  offeredToMend: 0.7,
  talk: 0.9,
  talkAgainstOffer: 0.97,
} as const;

type Kinds = ReadonlySet<Note['kind']>;

/** What is measured and told of trees. */
const measuring: Kinds = new Set<Note['kind']>([
  'tree',
  'height',
  'hand',
  'number',
  'again',
  'next',
  'remark',
]);

/** Kinds that take back or mend what was kept. */
const mending: Kinds = new Set<Note['kind']>(['scratch', 'undo', 'restore', 'change']);

const areOf = (notes: Notes, kinds: Kinds): boolean => notes.every(({ kind }) => kinds.has(kind));

const isOnly = (notes: Notes, kind: Note['kind']): boolean => notes.every((note) => note.kind === kind);

type OfferedNotes = Extract<LearnedOffer, { is: 'notes' }>;

/** Whether it is kept without a question; `same`: the pieces say the same. Who measures is always asked about. */
function isSure({ notes, chance, left }: OfferedNotes, same: boolean): boolean {
  if (isOnly(notes, 'ask')) return chance >= chances.answered && !left.asked;
  // A word that nobody knows may be the tree's name.
  const nameless =
    left.unknown && notes.some((note) => note.kind === 'tree' && note.facts.species === undefined);
  if (nameless || left.turning || notes.some(isPerson)) return false;
  const mends = notes.some(({ kind }) => mending.has(kind));
  if (same && !mends && chance >= chances.agreed) return true;
  if (isOnly(notes, 'remark')) return chance >= chances.remarked;
  if (isOnly(notes, 'setting')) return chance >= chances.set;
  if (areOf(notes, measuring)) return chance >= leastMeasured(left);
  if (left.telling) return false;
  if (mends) return !left.unknown && chance >= chances.mended;
  if (notes.some(({ kind }) => kind === 'plot')) return !left.unknown && chance >= chances.plotted;
  return chance >= chances.other;
}

const isPerson = (note: Note): boolean => note.kind === 'setting' && note.set.what === 'person';

const leastMeasured = ({ telling, unknown }: LeftOut): number =>
  telling ? chances.measuredBesideTelling : unknown ? chances.measuredBesideUnknown : chances.measured;

/** What is measured or done, apart from remarks, whether a length was taped, and one tree told as one. */
function gistOf(notes: Notes): string {
  const measured = notes.filter(({ kind }) => kind !== 'remark');
  return notesKey(
    JSON.parse(
      JSON.stringify(measured, (field, value) =>
        field === 'taped' || (field === 'count' && value === 1) ? undefined : value,
      ),
    ),
  );
}

/** The share of a question that the first of two readings has. */
const firstOfTwo = 0.6;

const namesSomebody = (note: Note): boolean =>
  note.kind === 'setting' &&
  (note.set.what === 'person' || ('whose' in note.set && note.set.whose !== undefined));
const isNaming = (notes: readonly Note[]): boolean => notes.every(namesSomebody);

/**
 * What comes of it, beside what the others say (`told`, best first): candidates, `'nothing'` where nothing of it is for
 * the book, undefined where the others are to be heard. What the others would keep is never kept as something else: where
 * the two differ, both are asked about.
 */
export function weighLearned(
  offer: LearnedOffer,
  told: readonly Candidate[] | undefined,
): readonly Candidate[] | 'nothing' | undefined {
  const kept = told?.[0]?.posterior === 1 ? told[0] : undefined;
  if (offer.is === 'talk') {
    const least = told === undefined ? chances.talk : chances.talkAgainstOffer;
    return kept === undefined && offer.chance >= least ? 'nothing' : undefined;
  }
  const { notes, words, chance, left } = offer;
  // "Don't use Doyle" is never asked as its contrary; a remark is in the speaker's words.
  if (left.turning && isOnly(notes, 'setting')) return undefined;
  const same = told?.some((one) => notesKey(one.notes) === notesKey(notes)) === true;
  if (kept !== undefined) {
    // Two ways to ask, to put a number right, or to be silent, are no reason to doubt it.
    const alike = (['ask', 'change', 'control'] as const).some(
      (kind) => isOnly(kept.notes, kind) && isOnly(notes, kind),
    );
    // Who only helps, whose it is, and what is for the notebook is known by how it is told.
    const names =
      (isNaming(notes) && isOnly(kept.notes, 'remark')) ||
      (kept.notes.some(namesSomebody) && !notes.some(namesSomebody)) ||
      (isOnly(kept.notes, 'control') && isOnly(notes, 'remark'));
    if (alike || names || chance < chances.against || gistOf(kept.notes) === gistOf(notes)) return undefined;
    return [
      { notes, words, posterior: offered * firstOfTwo },
      { ...kept, posterior: offered * (1 - firstOfTwo) },
    ];
  }
  if (isSure(offer, same)) return [{ notes, words, posterior: 1 }];
  const mends = notes.some(({ kind }) => mending.has(kind));
  const least = mends ? chances.offeredToMend : told === undefined ? chances.offered : chances.before;
  return chance >= least ? [{ notes, words, posterior: offered }] : undefined;
}
