/**
 * Written words to what they may mean: word for word first; where that fails, what was probably meant; then the same words
 * in another order, as a question. One policy for the server, the command line and the page: keep what is sure, offer two
 * meanings where it is not, else say what was understood, what was not, and what to say.
 */

import { err, ok, type Result } from '../../shared/core/result.ts';
import { nothingBefore, type ToldBefore } from '../../shared/dialogue/told-before.ts';
import { lengths } from '../../shared/note/limits.ts';
import { type Candidate, type Note, type Notes, noteSchema } from '../../shared/note/note.ts';
import { speciesNames } from '../../shared/note/species.ts';
import type { Automaton } from '../automaton/automaton.ts';
import type { Description } from '../description/model.ts';
import { normalise } from '../description/normalise.ts';
import { passedOver } from '../description/other-words/concepts.ts';
import { parseDescription } from '../description/syntax.ts';
import { createLexicon } from '../pronunciation/lexicon.ts';
import { createGraph, type PhoneGraph } from '../pronunciation/phone-graph.ts';
import { type AnotherLook, anotherLook, hasLongName } from './another-look.ts';
import { askedTogether } from './asked-together.ts';
import { Composer } from './composer.ts';
import { numbersACount } from './counted-plots.ts';
import { decide } from './decide.ts';
import { createReader } from './exact.ts';
import { ClauseFrames } from './frames.ts';
import { withoutHesitation } from './hesitation.ts';
import { lastOffer, unreadOf } from './last-offer.ts';
import { type LearnedOffer, learnedOffer, weighLearned } from './learned/learned-offer.ts';
import type { LearnedReader } from './learned/learned-reader.ts';
import type { SaidPiece } from './pieces.ts';
import { PlainReader } from './plainly.ts';
import { hasOwnNames, isMadeUp, isPlausible, leftOutOf, losesHeight } from './plausible.ts';
import { offered, type ReadFailure } from './reading.ts';
import { refusalSentence } from './refusal.ts';
import { remarkApart } from './remark-apart.ts';
import { turnsRound } from './telling.ts';
import { TolerantReader, type TolerantReading } from './tolerant.ts';
import { inUsualWords } from './usual-words.ts';

/** What the words may mean, best first, or the sentence why they mean nothing. */
export type Understanding = Result<readonly Candidate[], string>;

/** Of so few words a slip of one is asked about ("wait chores" for "wait, shorts"), unless it sounds the same. */
const fewWords = 3;
const sameSound = 2.6;

/** The words of a description spelled as sounds, for who reads them nearly right. Takes some tenths of a second. */
export const typedGraph = (automaton: Automaton, { freeWords, knownWords }: Description): PhoneGraph =>
  createGraph(automaton, createLexicon(), { free: freeWords, known: knownWords });

/**
 * `understand('ate paces i five and a half')` is the candidate of "eight paces eye five and a half". What only the
 * nearly right needs (`graph`) is made at the first such sentence, or was made elsewhere. `before`: what was told just now.
 */
export function createUnderstanding(
  automaton: Automaton,
  description: Description,
  graph = (): PhoneGraph => typedGraph(automaton, description),
  learned: () => LearnedReader | undefined = () => undefined,
): (text: string, before?: ToldBefore) => Understanding {
  const exact = createReader(automaton);
  let made: ClauseFrames | undefined;
  const frames = (): ClauseFrames => {
    made ??= new ClauseFrames(parseDescription(description));
    return made;
  };
  let plain: PlainReader | undefined;
  let composing: Composer | undefined;
  const composer = (): Composer => {
    composing ??= new Composer(parseDescription(description), exact);
    return composing;
  };
  const piecesOf = (text: string): readonly SaidPiece[] => composer().piecesOf(text)?.pieces ?? [];
  /** What the pieces say of words that were read word for word; undefined where that is no better. */
  const toldBetter = (text: string, look: AnotherLook | undefined): readonly Candidate[] | undefined => {
    if (look !== 'whole' && look !== 'parted' && look !== 'rival') return undefined;
    const put = composer().read(text);
    if (look === 'rival') return put;
    const sure = put?.length === 1 && put[0]!.posterior === 1 ? put : undefined;
    return look === 'whole' || (sure !== undefined && isBetter(sure[0]!.notes)) ? sure : undefined;
  };
  let tolerant: TolerantReader | undefined;
  const heard = (): TolerantReader => {
    tolerant ??= new TolerantReader(graph(), { fillers: description.fillers });
    return tolerant;
  };
  /** What was probably meant; undefined where that is nothing that could be kept or asked. */
  const soundsLike = (parted: string): readonly Candidate[] | undefined => {
    const words = parted.replaceAll(',', '');
    const decision = decide(heard().read(parted));
    if (decision.kind === 'keep' && isToldToTakeBack(words, decision.reading)) {
      // "You" is no yew: that is asked.
      const written = words.split(' ');
      const read = decision.reading.words.replaceAll(',', '').split(' ');
      // Nor is "wasn't" a walnut: what turns a note round is never read as something else.
      if (losesTurning(written, read)) return undefined;
      // Nor is a number cut in two: "21% cull" is not "twenty, one percent".
      const cut = leftOutOf(piecesOf(parted).filter(isNumber), decision.reading.notes) !== undefined;
      const slipped = written.length <= fewWords && decision.reading.cost > sameSound;
      return [
        candidateOf(decision.reading, cut || slipped || isNameOfSmallWord(written, read) ? offered : 1),
      ];
    }
    if (decision.kind !== 'ask') return undefined;
    const readings = decision.readings.filter(
      (reading) => isHonest(words, reading, frames()) && !isMadeUp(piecesOf(parted), reading.notes),
    );
    const sum = readings.reduce((total, { posterior }) => total + posterior, 0);
    return sum > 0
      ? readings.map((reading) => candidateOf(reading, offered * (reading.posterior / sum)))
      : undefined;
  };
  /** Nothing that was left out of the words makes another thing of what is left. */
  const isAsSaid = (text: string, notes: readonly Note[]): boolean => {
    const pieces = piecesOf(text);
    return (
      isPlausible(text, pieces, notes) &&
      hasOwnNames(pieces, notes) &&
      leftOutOf(pieces.filter(isNumber), notes) === undefined
    );
  };
  /** The description's own words for it, where they lose nothing of what was said. */
  const inPlainWords = (text: string, reader: PlainReader): readonly Candidate[] | undefined => {
    const read = takesEnough(text, reader.read(text));
    return read !== undefined && losesPlace(piecesOf(text), read[0]!.notes) ? undefined : read;
  };
  /** Words that stand in no sentence of the description; `lacks`: they only lack its end. */
  const inOtherWords = (text: string, lacks: boolean): readonly Candidate[] | undefined => {
    plain ??= new PlainReader(exact);
    const put = composer().read(text);
    if (put !== undefined && put[0]!.posterior === 1) return put;
    const plainly = inPlainWords(text, plain);
    if (plainly !== undefined)
      return plainly.length === 1 && isAsSaid(text, plainly[0]!.notes)
        ? plainly
        : plainly.map(asOffered(plainly.length));
    const heardSo = takesEnough(text, soundsLike(plain.asTyped(text)));
    const nearly =
      heardSo?.[0]?.posterior === 1 && !areNamesAsSaid(text, heardSo[0].notes)
        ? heardSo.map(asOffered(1))
        : heardSo;
    // What its pieces tell in two ways is none of them by its sound: "base five" is no basswood.
    const either = put !== undefined && put.length > 1;
    if (nearly !== undefined && nearly[0]!.posterior === 1 && !either) return nearly;
    // What only lacks its end is told so.
    const offer = lacks && put?.[0]?.unread !== undefined ? undefined : put;
    if (offer !== undefined || nearly !== undefined) return offer ?? nearly;
    const proposal = frames().propose(text, exact);
    return proposal === undefined ? undefined : [proposal];
  };
  /** What is read for sure without the learned reader. */
  const sureOf = (text: string): Notes | undefined => {
    const read = exact.read(text);
    plain ??= new PlainReader(exact);
    const found = read.ok ? read.value : (composer().read(text) ?? plain.read(text));
    const [first, second] = found ?? [];
    return first === undefined || second !== undefined || first.posterior < 1 || first.unread !== undefined
      ? undefined
      : first.notes;
  };
  /** "3'10" is one length, however it is written down. */
  const tearsLength = (text: string, notes: readonly Note[]): boolean =>
    leftOutOf(piecesOf(text).filter(isFeetAndInches), notes) !== undefined;
  const asLearned = (text: string, before: ToldBefore): LearnedOffer | undefined => {
    const reader = learned();
    const said = reader && composer().asSaid(text);
    const offer =
      reader && said && learnedOffer(said.scan, before, { learned: reader, sure: sureOf, piecesOf });
    if (offer?.is !== 'notes') return offer;
    // What is asked is no remark.
    const asks = text.trimEnd().endsWith('?') && offer.notes.every(({ kind }) => kind === 'remark');
    // Who skips a height takes none back.
    const skips =
      /\bskip/i.test(text) && offer.notes.some((note) => note.kind === 'scratch' && note.what === 'height');
    const made = offer.notes.some((note) => hasUnsaidMeasure(piecesOf(text), note));
    const numbers = numbersACount(piecesOf(text), offer.notes);
    return asks || numbers || skips || made || tearsLength(text, offer.notes) ? undefined : offer;
  };
  /** Questions are answered; what would be kept must be as it was said. */
  const isToBeAsked = (text: string, { notes, posterior }: Candidate): boolean =>
    posterior === 1 &&
    // A remark has all of it in its own words.
    notes.some(({ kind }) => kind !== 'ask' && kind !== 'remark') &&
    !isAsSaid(text, notes);
  const readNot = (text: string, error: ReadFailure, before: ToldBefore): Understanding => {
    // A number that cannot be one is not taken for another.
    if (error.kind === 'empty' || error.kind === 'tooLong' || error.limit === true) return err(error.message);
    if (composer().isTalk(text)) return err(nothingToKeep);
    const all = inOtherWords(text, error.kind === 'incomplete');
    const torn = all?.some(({ notes }) => tearsLength(text, notes) || numbersACount(piecesOf(text), notes));
    const told = torn === true ? undefined : all;
    const learnt = asLearned(text, before);
    const weighed = learnt && weighLearned(learnt, told);
    if (weighed === 'nothing') return err(nothingToKeep);
    if (weighed !== undefined)
      return ok(weighed.map((one) => (isToBeAsked(text, one) ? asOffered(1)(one) : one)));
    if (told !== undefined) return ok(told);
    const parts = { reader: exact, frames: frames(), composer: composer() };
    const unread = unreadOf(text, parts);
    const offer =
      unread === undefined || error.kind === 'incomplete' ? undefined : lastOffer(text, unread, exact);
    return offer === undefined ? err(refusalSentence(text, error, unread, parts)) : ok([offer]);
  };
  const understand = (said: string, before = nothingBefore): Understanding => {
    const text = inUsualWords(said);
    const apart = remarkApart(text, sureOf);
    if (apart !== undefined) return ok([{ notes: apart, words: text, posterior: 1 }]);
    const read = exact.read(text);
    if (!read.ok) {
      // Sounds between words say nothing, wherever they stand.
      const bare = withoutHesitation(text);
      return bare === text ? readNot(text, read.error, before) : understand(bare, before);
    }
    const better = toldBetter(text, anotherLook(text, read.value));
    if (better !== undefined) return ok(better);
    const sized = text.length > lengths.name ? sizedNames(read.value) : ok(read.value);
    if (!sized.ok || !read.value.some(({ notes }) => notes.some(hasLongName))) return sized;
    return ok(inOtherWords(text, false) ?? read.value);
  };
  return (said, before) => {
    const read = understand(said, before);
    return read.ok ? ok(askedTogether(read.value, said).map((one) => withUnread(one, said))) : read;
  };
}

/** What an offer would leave out in silence is named. */
const withUnread = (one: Candidate, said: string): Candidate =>
  one.posterior < 1 && one.unread === undefined && losesHeight(said, one.notes)
    ? { ...one, unread: 'same height' }
    : one;

/** "No wait, the first birch" points at a tree, and is no birch. */
const losesPlace = (pieces: readonly SaidPiece[], notes: readonly Note[]): boolean =>
  notes.some(({ kind }) => kind === 'change') &&
  pieces.some(({ is }, at) => is === 'ordinal' && pieces[at + 1]?.is === 'species') &&
  !notes.some((note) => JSON.stringify(note).includes('"nth"'));

/** "Same distance, 36 degrees" is not from one chain, "plus 72, minus 8" no percent. */
function hasUnsaidMeasure(pieces: readonly SaidPiece[], note: Note): boolean {
  const height =
    note.kind === 'height' || note.kind === 'tree' || note.kind === 'hand' ? note.height : undefined;
  if (height === undefined || !('distance' in height)) return false;
  const { distance } = height;
  const scaled = 'scale' in height && height.scale !== undefined;
  const said = pieces.some(
    ({ number, text }) =>
      /^(?:deg|pct)$/.test(number?.unit ?? '') || /\b(?:deg|perc|pct|topo|scale)|[%°]/.test(text),
  );
  if (scaled && !said) return true;
  const far = distance.by === 'length' ? distance.length.value : distance.count;
  return !pieces.some(
    ({ number }) => number !== undefined && [number.value, ...(number.pair ?? [])].includes(far),
  );
}

const isFeetAndInches = ({ number }: SaidPiece): boolean =>
  number?.unit === 'ft' && number.pair === undefined && !Number.isInteger(number.value);

const isNumber = ({ is }: SaidPiece): boolean => is === 'number';

const isBetter = (notes: readonly Note[]): boolean =>
  (notes[0]?.kind === 'hand' && notes.at(-1)?.kind === 'remark') ||
  notes.every(
    (note) => note.kind === 'tree' && note.facts.species !== undefined && note.facts.diameter !== undefined,
  );

const nothingToKeep = 'Nothing of that is for the book. I am ready for the next note.';

/** What was read, unless it takes back the last thing alone where "delete all of them" was said. */
const takesEnough = (
  text: string,
  read: readonly Candidate[] | undefined,
): readonly Candidate[] | undefined => {
  const one = (note: Note): boolean => note.kind === 'scratch' && Object.keys(note).length === 1;
  const all = /\b(?:all|everything|both|every)\b/i.test(text);
  return all && read?.some(({ notes }) => notes.some(one)) === true ? undefined : read;
};

/** Names of places are the words that were typed, and few: other words for them are no name. */
const areNamesAsSaid = (text: string, notes: readonly Note[]): boolean =>
  notes.every(
    (note) =>
      (note.kind !== 'stand' && note.kind !== 'stratum') ||
      (!hasLongName(note) && ` ${normalise(text).replaceAll(',', '')} `.includes(` ${note.name} `)),
  );

/** One of so many meanings that are offered for a choice. */
const asOffered =
  (count: number) =>
  (one: Candidate): Candidate => ({ ...one, posterior: offered / count });

const losesTurning = (written: readonly string[], read: readonly string[]): boolean =>
  written.some((word) => turnsRound.test(word) && !read.includes(word));

/** Words that take back by themselves, and those that do with one of the others. */
const takingBack = /^(scratch|strike|delete|remove|drop|undo|forget|cancel)$/;
const takingWith = { first: /^(take|leave|cross)$/, second: /^(off|out|back)$/ } as const;

/** True unless it takes back or deletes without a word for that, said as it is: that is never guessed. */
function isToldToTakeBack(said: string, { notes, words }: TolerantReading): boolean {
  if (!notes.some(({ kind }) => kind === 'scratch' || kind === 'undo')) return true;
  const read = words.replaceAll(',', '').split(' ');
  const own = said.split(' ').filter((word) => read.includes(word));
  const has = (one: RegExp): boolean => own.some((word) => one.test(word));
  return has(takingBack) || (has(takingWith.first) && has(takingWith.second));
}

/** True where a small word that was written became one of a name. */
const isNameOfSmallWord = (written: readonly string[], read: readonly string[]): boolean => {
  const gone = written.filter((word) => passedOver.has(word) && !read.includes(word));
  const come = read.filter((word) => !written.includes(word));
  return (
    come.length > 0 &&
    (gone.some((word) => saysNothing.test(word)) ||
      (gone.length > 0 && come.some((word) => wordsOfNames.has(word))))
  );
};
/** Put in while somebody thinks: "oh dead" is not "all dead". */
const saysNothing = /^(?:oh|ah|well|okay|ok|now|just|hey|please|hi|yeah|yep|yup)$/;
const wordsOfNames: ReadonlySet<string> = new Set(speciesNames.flatMap((name) => name.split(' ')));

/** True when no telling word that was said is left out, nothing is taken back unasked, and no name is made of nothing. */
function isHonest(said: string, reading: TolerantReading, frames: ClauseFrames): boolean {
  if (!isToldToTakeBack(said, reading)) return false;
  const { notes, words, evidence } = reading;
  const written = said.split(' ');
  // A name of words that stand for something else is made of nothing.
  if (notes.some(isNamed) && !naming.test(said)) return false;
  if (notes.some(({ kind }) => kind === 'call') && !/^(call|new)$/.test(written[0] ?? '')) return false;
  const read = words.replaceAll(',', '').split(' ');
  if (losesTurning(written, read)) return false;
  if (evidence === undefined || evidence.passedOver === 0) return true;
  const missing = written.filter((word) => frames.isTelling(word) && !read.includes(word));
  const instead = read.filter((word) => !written.includes(word));
  return missing.length <= instead.length - evidence.supposed;
}

const isNamed = (note: Note): boolean =>
  note.kind === 'stand' ||
  note.kind === 'stratum' ||
  (note.kind === 'setting' && note.set.what === 'attention');
const naming = /(?:^| )(?:stand|stratum|attention|answer to)(?: |$)/;

/** Readings whose names a note can hold; free words run on as far as somebody types. */
function sizedNames(candidates: readonly Candidate[]): Understanding {
  const long = candidates.flatMap(({ notes }) =>
    notes.flatMap((note) => (noteSchema.safeParse(note).success ? [] : longestText(note))),
  );
  if (long.length === 0) return ok(candidates);
  return err(
    `That reads as a name of ${Math.max(...long)} letters; a name has at most ${lengths.name}, a remark ${lengths.remark}.`,
  );
}

/** Letters of the longest text in a note that is longer than any name. */
function longestText(value: unknown): number[] {
  if (typeof value === 'string') return value.length > lengths.name ? [value.length] : [];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(longestText) : [];
}

/** A kept reading is as sure as one that was read word for word; `decide` has weighed it. */
const candidateOf = ({ notes, words }: TolerantReading, posterior: number): Candidate => ({
  notes,
  words,
  posterior,
});
