/**
 * Answers to the open question, by what it is about. A note that does not fit it is processed as a note of its own,
 * and the question stays open.
 */
import type { OpenQuestion } from '../book/book.ts';
import type { Question } from '../note/acts.ts';
import { type Note, type NoteOf, turnsEntries } from '../note/note.ts';
import { ofAnother } from './another-tree.ts';
import { type Answering, completed, dropped, pickedOption, settled } from './answer-outcomes.ts';
import { restsOthers, whichOf } from './choosing.ts';
import { isLeftBehind, toldSince } from './device-entries.ts';
import { answerDoubt, changedPending } from './doubt-answers.ts';
import { heightOutcome } from './heights.ts';
import { answersLate, asItWas, droppedLate, withWhatCameSince } from './late-yes.ts';
import { leaveOutAsked, skipsTold } from './left-out.ts';
import {
  answerCount,
  answerCounting,
  answerDiameter,
  answerDistance,
  answerFace,
  answerLength,
  answerScale,
  answerSlope,
  answerSpecies,
} from './missing-answers.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';
import { isPointing } from './pointing.ts';
import { numbersOf } from './telling.ts';
import { treeOutcome } from './trees.ts';

interface AnswerKind {
  /** Whether "yes" alone answers it; elsewhere "yes" is asked back. */
  readonly takesYes: boolean;
  readonly answer: Answering;
}

const answerReading: Answering = ({ context, open }, note) => {
  const { options } = open.question;
  const said = note.kind === 'answer' ? note.answer : null;
  const option = said === 'yes' || said === 'keep' ? options[0] : pickedOption(open.question, note);
  if (option)
    return { ...completed(context, open, option.note), ...(option.behind ? { behind: option.behind } : {}) };
  if (said === 'no' || (note.kind === 'pick' && note.what === 'neither'))
    return dropped(context, open, 'Then say it again.');
  return said === 'redo' ? dropped(context, open, 'Say it again.') : null;
};

/** A tree that is below what is measured: kept all the same, or left out. */
const answerConfirm: Answering = (asked, note) => {
  const { context, open } = asked;
  const { pending } = open.question;
  if (pending?.kind !== 'tree') return answerReading(asked, note);
  const said = note.kind === 'answer' ? note.answer : null;
  if (said === 'yes' || said === 'keep')
    return { ...settled(open, treeOutcome(context, pending, { sure: true })), means: pending };
  return said === 'no' || isOfWhatWaits(note) ? dropped(context, open, 'Left out.') : null;
};

/** "Leave it out" right behind the question whether it is kept: of that, and of nothing that was kept before. */
const isOfWhatWaits = (note: Note): boolean =>
  note.kind === 'scratch' &&
  Object.entries(note).every(([key, value]) => key === 'kind' || value === 'tree' || value === 1);

/** Of legs, walks and their area. */
function answerLand({ context, open, picked }: Parameters<Answering>[0], note: Note): Outcome | null {
  return context.land?.answer(context, open, picked ?? note) ?? null;
}
/** Kinds of notes that may be the part of a breath that was not understood. */
const partKinds: ReadonlySet<Note['kind']> = new Set(['tree', 'height', 'remark']);

/** A breath has one height, so another is no part of it that was not understood. */
const hasHeight = (note: Note): boolean =>
  note.kind === 'height' || (note.kind === 'tree' && note.height !== undefined);
const isTree = ({ kind }: Note): boolean => kind === 'tree';

/** A tree of which only the name was not understood, with the name that is said now. */
function withName(held: Note, said: Note): Note | undefined {
  const facts = said.kind === 'tree' || said.kind === 'change' ? said.facts : undefined;
  const isName = facts?.species !== undefined && Object.keys(facts).length === 1;
  if (!isName || (said.kind === 'tree' ? said.height !== undefined : Object.keys(said).length > 2))
    return undefined;
  return held.kind === 'tree' && held.facts.species === undefined && held.facts.diameter !== undefined
    ? { ...held, facts: { ...held.facts, ...facts } }
    : undefined;
}

/** The rest of a breath is kept with yes, or with the part of it that is said anew. */
const answerRest: Answering = (answering, note) => {
  if (note.kind === 'answer' || note.kind === 'pick') return answerReading(answering, note);
  const { context, open } = answering;
  const [rest] = open.question.options;
  const named = rest === undefined ? undefined : withName(rest.note, note);
  if (named !== undefined) return completed(context, open, named);
  const begins = note.kind === 'tree' && note.facts.species !== undefined;
  if (rest === undefined || !partKinds.has(note.kind) || begins) return null;
  const held = [rest.note, ...(rest.behind ?? [])];
  // What is told of a tree is a part only of what is told of one.
  if (!held.some(isTree) || (hasHeight(note) && held.some(hasHeight))) return null;
  return { ...completed(context, open, rest.note), behind: [...(rest.behind ?? []), note] };
};

/** Whether a height is of another tree: it is kept of that, or as one more of the tree in hand. */
const answerAnother: Answering = ({ context, open, picked }, note) => {
  const { pending, target } = open.question;
  if (pending?.kind !== 'height' || target === undefined) return null;
  const said = note.kind === 'answer' ? note.answer : null;
  if (said === 'redo') return dropped(context, open, 'Dropped. Measure again.');
  if (said === 'keep') return kept([], () => whichOf(open.question));
  const meant = said === 'yes' ? 'next' : said === 'no' ? 'hand' : picked?.kind;
  if (meant === 'next') return settled(open, { ...ofAnother(context, pending), means: pending });
  if (meant === 'hand')
    return settled(open, {
      ...heightOutcome(context, pending.height, target, pending),
      means: { kind: 'hand', height: pending.height },
    });
  const other = note.kind === 'change' ? changedPending(pending, note) : null;
  if (other === null || typeof other === 'string') return other === null ? null : refused(other);
  const { deviceState } = context;
  const questions = deviceState.questions.filter(({ entry }) => entry !== open.entry);
  return completed({ ...context, deviceState: { ...deviceState, questions } }, open, other);
};

const answerKinds = {
  reading: { takesYes: false, answer: answerReading },
  confirm: { takesYes: true, answer: answerConfirm },
  another: { takesYes: true, answer: answerAnother },
  rest: { takesYes: true, answer: answerRest },
  doubt: { takesYes: true, answer: answerDoubt },
  pace: { takesYes: false, answer: answerLength('pace') },
  eye: { takesYes: false, answer: answerLength('eye') },
  counting: { takesYes: true, answer: answerCounting },
  walk: { takesYes: false, answer: answerCount },
  scale: { takesYes: false, answer: answerScale },
  slope: { takesYes: false, answer: answerSlope },
  species: { takesYes: false, answer: answerSpecies },
  face: { takesYes: false, answer: answerFace },
  diameter: { takesYes: false, answer: answerDiameter },
  distance: { takesYes: false, answer: answerDistance },
  bearing: { takesYes: false, answer: answerLand },
  walked: { takesYes: true, answer: answerLand },
  area: { takesYes: true, answer: answerLand },
} satisfies Record<Question['about'], AnswerKind>;

/** What the note means as an answer to the question; null when it is no answer to it. */
export function answer(context: Context, open: OpenQuestion, note: Note): Outcome | null {
  const { question } = open;
  if (note.kind === 'scratch' && note.leave) return leaveOutAsked(context, open);
  const said = saidBy(note, question);
  if (passesBy(context, open, note, said)) return null;
  const behind = isLeftBehind(context, open);
  if (behind && (said === 'no' || said === 'dismiss')) return droppedLate(context, open);
  if (said === 'dismiss') return skipsTold(context, open) ?? dropped(context, open, 'Dropped.');
  if (said === 'repeat') return kept([], () => question.text);
  if (isBareYes(question, said)) return kept([], () => whichOf(question));
  const picked = pickedOption(question, note)?.note ?? null;
  if (note.kind === 'change' && isOfNewer(context, open, note)) return null;
  // "The 22 was a 20" is about what was told, not about what waits.
  if (picked === null && note.kind === 'change' && isPointing(note)) return null;
  const instead = behind ? null : (borderCountedIn(question, note) ?? offerPutRight(question, note));
  if (instead !== null) return insteadOf(context, open, instead);
  const held = behind ? asItWas(context, open) : context;
  const outcome = answerKinds[question.about].answer({ context: held, open, picked }, asSaid(note, said));
  if (outcome === null && said === 'no' && question.options.length === 0)
    return dropped(context, open, 'Then it waits.');
  return outcome === null || outcome.settles !== open.entry || !holdsGround(question)
    ? outcome
    : withWhatCameSince(context, open, outcome);
}

/** Whether the note is about something else, whatever it says. */
function passesBy(
  context: Context,
  open: OpenQuestion,
  note: Note,
  said: NoteOf<'answer'>['answer'] | null,
): boolean {
  const { about, pending } = open.question;
  const behind = isLeftBehind(context, open);
  // Taking back is about what was done last, whatever is open.
  const leavesOut = about === 'confirm' && pending?.kind === 'tree' && isOfWhatWaits(note) && !behind;
  return (
    (turnsEntries(note) && !leavesOut) ||
    (movedOn(context, open) && goesOn.has(note.kind)) ||
    (said === 'redo' && isMeasuredBehind(context) && !measuring.has(about)) ||
    (behind && !answersLate(note, open))
  );
}

/** What a short answer says: "count it" is a yes to what is kept or offered. */
function saidBy(note: Note, { about }: Question): NoteOf<'answer'>['answer'] | null {
  if (note.kind === 'answer') return note.answer;
  if (!isCountedIn(note)) return null;
  return about === 'doubt' ? 'keep' : about === 'confirm' || about === 'rest' ? 'yes' : null;
}

const asSaid = (note: Note, said: NoteOf<'answer'>['answer'] | null): Note =>
  said !== null && note.kind !== 'answer' ? { kind: 'answer', answer: said } : note;

/** "Okay, count it": nothing else is told. */
const isCountedIn = (note: Note): boolean =>
  note.kind === 'tree' && note.facts.border === 'in' && Object.keys(note.facts).length === 1;

/** "Count it" while it is asked how the one on the border was measured: it is in; null where that is not asked. */
function borderCountedIn({ pending: waits, options }: Question, note: Note): Note | null {
  const pending = waits ?? (options.length === 1 ? options[0]?.note : undefined);
  if (pending?.kind !== 'borderline') return null;
  if (note.kind === 'answer' && note.answer === 'keep')
    return { kind: 'tree', facts: { ...pending.facts, border: 'in' } };
  if (note.kind !== 'tree' || note.facts.border !== 'in') return null;
  const { species } = note.facts;
  if (species !== undefined && species !== pending.facts?.species) return null;
  return { kind: 'tree', facts: { ...pending.facts, ...note.facts } };
}

/** Another note in the place of the one that is offered or waits; what was said behind that still follows. */
function insteadOf(context: Context, open: OpenQuestion, note: Note): Outcome {
  const behind = open.question.options[0]?.behind;
  return { ...completed(context, open, note), ...(behind ? { behind } : {}) };
}

/** "Wait, I meant 19.4" of a tree that is only offered: it is of that one, and of none that was kept. */
function offerPutRight(question: Question, note: Note): Note | null {
  const { about, options, pending } = question;
  const [offer, ...others] = options;
  const offers = (about === 'confirm' || about === 'rest') && pending === undefined && others.length === 0;
  const number = note.kind === 'change' && Object.keys(note).every((key) => /^(?:kind|number)$/.test(key));
  if (offers && number && offer?.note.kind === 'tree') {
    const other = changedPending(offer.note, note);
    if (typeof other !== 'string' && other !== null) return other;
  }
  return withCountSaid(question, note);
}

/** "Just the one beech" of an offer of two: the same with that count; null where it is of no such offer. */
function withCountSaid({ options }: Question, note: Note): Note | null {
  const [offer, ...others] = options;
  const { count, species, ...more } = (note.kind === 'change' && note.facts) || {};
  if (offer?.note.kind !== 'tree' || others.length > 0 || count === undefined) return null;
  const { count: _, ...facts } = offer.note.facts;
  if (facts.species !== species || Object.keys(more).length > 0) return null;
  return { ...offer.note, facts: count === 1 ? facts : { ...facts, count } };
}

/** A height was kept since it was asked: what is put right is that, unless the number that it was is of what waits. */
function isOfNewer(context: Context, { entry, question }: OpenQuestion, { was }: NoteOf<'change'>): boolean {
  if (question.about !== 'another') return false;
  if (was !== undefined && numbersOf(question.pending).includes(was)) return false;
  return toldSince(context, entry).some(({ acts }) =>
    acts.some(({ act }) => act === 'height' || act === 'remeasure'),
  );
}

/** "Do it again: 31 paces" is about the height, whatever else is asked. */
const isMeasuredBehind = ({ behind }: Context): boolean =>
  behind?.kind === 'height' || (behind?.kind === 'change' && behind.top !== undefined);
const measuring: ReadonlySet<Question['about']> = new Set([
  'doubt',
  'another',
  'scale',
  'slope',
  'pace',
  'eye',
]);

/** Whether what waits for the answer is a plot or a setting, on which other notes rest. */
const holdsGround = ({ options, pending }: Question): boolean =>
  [...options.map(({ note }) => note), ...(pending ? [pending] : [])].some(restsOthers);

/** What tells of the next tree once that is in hand. */
const goesOn: ReadonlySet<Note['kind']> = new Set(['height', 'number', 'next', 'hand']);

/** "Yes" to a question that it does not answer: one of several, or a value. */
function isBareYes({ about, options }: Question, said: string | null): boolean {
  if (answerKinds[about].takesYes) return false;
  return said === 'yes' || (said === 'keep' && about === 'reading' && options.length > 1);
}

/**
 * What the note means as an answer to what one entry asked or left in doubt, on whatever device: an open question, or a
 * weak doubt that is right as it is.
 */
export function answerNamed(context: Context, entry: string, open: OpenQuestion | null, note: Note): Outcome {
  if (open !== null) {
    const { about, target } = open.question;
    // What is named is in hand for its answer.
    const tree = about === 'species' && target !== undefined ? target : context.deviceState.tree;
    const outcome = answer(
      { ...context, deviceState: { ...context.deviceState, tree, questions: [open] } },
      open,
      note,
    );
    return outcome ?? refused(`That is no answer to it. ${open.question.text}`);
  }
  const keeps = note.kind === 'answer' && note.answer === 'keep';
  if (keeps && context.book.doubts.some((one) => one.entry === entry && one.state === 'open'))
    return kept([{ act: 'settle', entry, code: '*', how: 'kept' }], () => 'Kept as it is.');
  return refused('That was settled already.');
}

/** Whether the tree in hand was begun after an entry. */
const wasLater = (book: Context['book'], tree: string, than: string): boolean =>
  (book.entry(tree)?.time ?? 0) > (book.entry(than)?.time ?? 0);

/** A doubt that was left open while the next tree was begun: a new height is that tree's, no answer to the doubt. */
function movedOn(
  { book, deviceState }: Context,
  { entry, question: { about, target } }: OpenQuestion,
): boolean {
  if (about === 'bearing') return deviceState.tree !== null && wasLater(book, deviceState.tree, entry);
  if (
    (about !== 'doubt' && about !== 'another') ||
    target === undefined ||
    deviceState.tree === null ||
    deviceState.tree === target
  )
    return false;
  // A height that waited may be doubted when its tree is no longer in hand: then the question is the newer.
  return wasLater(book, deviceState.tree, entry);
}
