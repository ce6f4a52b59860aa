/**
 * What the learned reader makes of words that nobody read for sure: a meaning that is asked about, a question that is
 * answered, or that nothing of it is for the book. What it writes must be read for sure by the other readers and have
 * every number and every name that was said; so it may choose wrongly, but it cannot make anything up.
 */
import type { ToldBefore } from '../../../shared/dialogue/told-before.ts';
import { lengths } from '../../../shared/note/limits.ts';
import type { Candidate, Note, NoteOf, Notes } from '../../../shared/note/note.ts';
import { notesKey } from '../../../shared/note/note-key.ts';
import { placeKey } from '../../../shared/note/place-key.ts';
import { isVerdict } from '../compose-borderline.ts';
import type { SaidPiece } from '../pieces.ts';
import { offered } from '../reading.ts';
import type { Scan } from '../scan.ts';
import { tellsMuch, turnsRound } from '../telling.ts';
import { shownBefore } from './before.ts';
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
export function learnedOffer(said: Scan, before: ToldBefore, parts: OfferParts): LearnedOffer | undefined {
  for (const form of parts.learned.formsOf(said.pieces, shownBefore(before, parts.piecesOf))) {
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

/** A name that nobody said may stand for a word that nobody here knows, or a short one; else it is made up. */
function namesMadeUp(pieces: readonly SaidPiece[], plain: readonly SaidPiece[]): boolean {
  const said = new Set(pieces.map(({ species }) => species));
  const more = plain.filter(({ species }) => species !== undefined && !said.has(species)).length;
  const open = pieces.filter(
    ({ is, unknown, text, species }) =>
      unknown || species !== undefined || (is === 'words' && looseName.test(text)),
  ).length;
  return more > open;
}

/** Every number and name was copied, or stands there once more. */
function hasAll(pieces: readonly SaidPiece[], { copied }: PlainForm, plain: readonly SaidPiece[]): boolean {
  const numbers = plain.flatMap(({ number, ordinal }) => number?.value ?? ordinal ?? []);
  const names = new Set(plain.map(({ species }) => species));
  if (namesMadeUp(pieces, plain)) return false;
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
  /** Of these, at the head of a clause and before a number: it may be the name of a tree. */
  readonly named: boolean;
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
    named: unknown.some(
      (at) => (at === 0 || pieces[at - 1]!.is === 'break') && pieces[at + 1]?.is === 'number',
    ),
    asked: unknown.some((at) => leading.test(pieces[at - 1]?.text ?? '')),
  };
}

/** How likely a plain form must be. Chosen on sittings that the network had not learnt from. */
const chances = {
  /** A question is answered: nothing is kept of it. */
  answered: 0.85,
  /** What is measured and told of trees is kept; above more where words that nobody knows are left out. */
  measured: 0.9,
  measuredBesideUnknown: 0.99,
  /** What was said is kept in its own words. */
  remarked: 0.9,
  /** How one measures. */
  set: 0.9,
  /** What takes back or mends, where no word that tells is left out. */
  mended: 0.95,
  plotted: 0.93,
  other: 0.93,
  /** It is kept where the pieces say the same. */
  agreed: 0.8,
  /** It is asked about beside what was to be kept and is something else; where either is a plot, the second. */
  against: 0.85,
  againstPlot: 0.8,
  /** It goes before what the pieces or sounds offer. */
  before: 0.5,
  /** It is offered where nothing else is; what takes back or mends at the second. */
  offered: 0.3,
  offeredToMend: 0.7,
  talk: 0.8,
  talkAgainstOffer: 0.93,
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

/** A tree that is named, and what of it is put right. */
const puttingRight: Kinds = new Set<Note['kind']>(['hand', 'change']);

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
  if (mends) return !left.telling && !left.unknown && chance >= chances.mended;
  if (notes.some(isPlot)) return chance >= chances.plotted;
  return !left.telling && chance >= chances.other;
}

const isPerson = (note: Note): boolean => note.kind === 'setting' && note.set.what === 'person';

const isPlot = ({ kind }: Note): boolean => kind === 'plot';

const leastMeasured = ({ unknown }: LeftOut): number =>
  unknown ? chances.measuredBesideUnknown : chances.measured;

const unweighed: ReadonlySet<string> = new Set(['taped', 'leave', 'marks', 'same']);

/**
 * What is measured or done, apart from remarks and marks, whether a length was taped, one tree told as one, and how it was
 * taken back.
 */
function gistOf(notes: Notes): string {
  const measured = joined(notes.filter((note) => note.kind !== 'remark' && !isMarkOnly(note)));
  return notesKey(
    JSON.parse(
      JSON.stringify(measured, (field, value) =>
        unweighed.has(field) || (field === 'count' && value === 1)
          ? undefined
          : field === 'name'
            ? placeKey(String(value))
            : value,
      ),
    ),
  );
}

/** Trees with what is told of them behind other notes: "two logs" is of the tree before it, however it is parted. */
function joined(notes: readonly Note[]): readonly Note[] {
  const all: Note[] = [];
  for (const note of notes) {
    const before = all.at(-1);
    const more = note.kind === 'tree' && note.height === undefined && Object.keys(note.facts).every(isMore);
    if (more && before?.kind === 'tree')
      all[all.length - 1] = { ...before, facts: { ...before.facts, ...note.facts } };
    // "Plot four, empty" is one plot; "plot five, a fiftieth acre" begins it where it is not there.
    else if (isEmpty(note) && before?.kind === 'plot' && before.op === 'open')
      all[all.length - 1] = { ...note, ...(before.number === undefined ? {} : { number: before.number }) };
    else if (note.kind === 'plot' && note.op === 'open' && note.size !== undefined)
      all.push({ ...note, op: 'size' });
    else all.push(note);
  }
  return all;
}
const isEmpty = (note: Note): note is NoteOf<'plot'> => note.kind === 'plot' && note.op === 'empty';

const isMore = (fact: string): boolean => /^(?:logs|defect|status|merch|border)$/.test(fact);

const isMarkOnly = (note: Note): boolean =>
  note.kind === 'tree' && note.height === undefined && Object.keys(note.facts).join() === 'marks';

/** What it was never taught: what it writes in its place says nothing against it. */
const isUntaught = (note: Note): boolean =>
  (note.kind === 'plot' && (note.op === 'plan' || note.op === 'least' || note.same !== undefined)) ||
  (note.kind === 'stand' && (note.back === true || note.done === true));

/** Both ask something besides, and the rest is the same. */
function differInQuestions(one: Notes, other: Notes): boolean {
  const told = (notes: Notes): readonly Note[] => notes.filter(({ kind }) => kind !== 'ask');
  const [a, b] = [told(one), told(other)];
  return a.length < one.length && b.length < other.length && notesKey(a) === notesKey(b);
}

/** Whether what was written is no reason to doubt what is kept. */
function agrees(kept: Notes, written: Notes): boolean {
  // Two ways to ask, to put a number right, or to be silent.
  const alike =
    (['ask', 'control'] as const).some((kind) => isOnly(kept, kind) && isOnly(written, kind)) ||
    [kept, written].every((all) => areOf(all, puttingRight) && all.at(-1)?.kind === 'change');
  // Who only helps, whose it is, and what is for the notebook is known by how it is told.
  const names =
    (isNaming(written) && isOnly(kept, 'remark')) ||
    (kept.some(namesSomebody) && !written.some(namesSomebody)) ||
    (isOnly(kept, 'control') && isOnly(written, 'remark'));
  return (
    alike ||
    names ||
    isVerdict(kept[0]) ||
    differInQuestions(kept, written) ||
    gistOf(kept) === gistOf(written)
  );
}

const leastAgainst = (kept: Notes, written: Notes): number =>
  [...kept, ...written].some(isPlot) ? chances.againstPlot : chances.against;

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
  // "That's it for the day, give me the report" is no command to stop.
  if ((left.unknown || left.telling) && notes.some(({ kind }) => kind === 'control')) return undefined;
  // "Ym 10.6" is asked for by the word that nobody knows.
  if (left.named && !notes.some(({ kind }) => kind === 'remark' || kind === 'ask')) return undefined;
  if (told?.[0]?.notes.some(isUntaught)) return undefined;
  const same = told?.some((one) => notesKey(one.notes) === notesKey(notes)) === true;
  if (kept !== undefined) {
    if (agrees(kept.notes, notes) || chance < leastAgainst(kept.notes, notes)) return undefined;
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
