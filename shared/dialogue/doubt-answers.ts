/** Answers to a doubt: the value is kept, put right or measured again. A value once refused is not offered again. */
import type { OpenQuestion } from '../book/book.ts';
import type { Question } from '../note/acts.ts';
import type { Measurement, Note, NoteOf } from '../note/note.ts';
import { sameNote } from '../note/note-key.ts';
import type { Length } from '../note/quantities.ts';
import { type Answering, dropped, mended } from './answer-outcomes.ts';
import { changedMeasurement, lengthSaid } from './changed-values.ts';
import { heightOutcome } from './heights.ts';
import { asking, type Context, type Outcome, refused } from './outcome.ts';
import { outcomeOf } from './resolve.ts';
import { asDiameter, treeOutcome } from './trees.ts';

export const answerDoubt: Answering = ({ context, open, picked }, note) => {
  const { question } = open;
  const { pending } = question;
  if (!pending) return null;
  if (note.kind === 'answer' && note.answer !== 'repeat' && note.answer !== 'dismiss')
    return doubtAnswers[note.answer](context, open, pending);
  if (picked) return mended(open, sure(context, question, picked), 'mended');
  const other = changedPending(pending, note);
  if (!other) return null;
  if (typeof other === 'string') return refused(other);
  if (sameNote(other, pending)) return mended(open, sure(context, question, pending), 'kept');
  const outcome =
    other.kind === 'height'
      ? heightOutcome(context, other.height, question.target ?? null, other)
      : outcomeOf(context, other);
  return mended(open, outcome, 'mended');
};

type OfDoubt = (context: Context, open: OpenQuestion, pending: Note) => Outcome;

const keepIt: OfDoubt = (context, open, pending) =>
  mended(open, sure(context, open.question, pending), 'kept');

/** What the short answers to a doubt do; "yes" is to what was offered first. */
const doubtAnswers = {
  keep: keepIt,
  yes: (context, open, pending) => {
    const first = open.question.options[0];
    return first
      ? mended(open, sure(context, open.question, first.note), 'mended')
      : keepIt(context, open, pending);
  },
  redo: (context, open) => dropped(context, open, 'Dropped. Measure again.'),
  no: (context, open) => refuseFirst(context, open),
} satisfies Record<'keep' | 'yes' | 'redo' | 'no', OfDoubt>;

/** The pending note with the number or distance that the answer says; a sentence where that cannot be. */
export function changedPending(pending: Note, note: Note): Note | string | null {
  if (pending.kind === 'height') return changedHeight(pending, note);
  if (pending.kind === 'tree') return changedFacts(pending, note);
  return pending.kind === 'setting' || pending.kind === 'plot' ? saidAgain(pending, note) : null;
}

/** "Five foot nine" by itself, which would be a distance where nothing is asked. */
const plainLength = (note: Note): Length | null =>
  note.kind === 'height' &&
  note.height.method === 'stick' &&
  note.height.distance.by === 'length' &&
  note.height.eye === undefined
    ? note.height.distance.length
    : null;

/** A length, a size or a factor in the place of the one that was odd. */
function saidAgain(pending: NoteOf<'setting' | 'plot'>, note: Note): Note | null {
  if (pending.kind === 'plot') {
    if (note.kind === 'plot' && note.op === 'size' && note.number === undefined && note.size)
      return { ...pending, size: note.size };
    const factor = newNumber(note);
    return factor && pending.size?.by === 'factor'
      ? { ...pending, size: { ...pending.size, value: factor.value } }
      : null;
  }
  const { set } = pending;
  const to: NoteOf<'change'> | null =
    note.kind === 'change'
      ? note
      : note.kind === 'number'
        ? { kind: 'change', number: newNumber(note) }
        : null;
  if (set.what !== 'pace' && set.what !== 'eye') return null;
  const length = to === null ? plainLength(note) : (to.eye ?? lengthSaid(to));
  if (length === null) return null;
  const unit = length.unit ?? set.length.unit;
  return { ...pending, set: { ...set, length: { value: length.value, ...(unit ? { unit } : {}) } } };
}

type Changed = NonNullable<NoteOf<'change'>['number']>;

/** The number that an answer is, or that it says to change to. */
function newNumber(note: Note): Changed | undefined {
  if (note.kind === 'number') return { value: note.value, ...(note.unit ? { unit: note.unit } : {}) };
  return note.kind === 'change' ? note.number : undefined;
}

function changedHeight(pending: NoteOf<'height'>, note: Note): Note | string | null {
  if (note.kind === 'height')
    return note.height.method === pending.height.method ? mergedHeight(pending, note) : null;
  const number = newNumber(note);
  const isPlainChange = note.kind === 'change' && !note.facts && note.tree === undefined;
  const to = isPlainChange
    ? note
    : note.kind === 'number' && number
      ? { kind: 'change' as const, number }
      : null;
  if (!to) return null;
  const next = changedMeasurement(pending.height, to);
  return next.ok ? { kind: 'height', height: next.value } : next.error;
}

function changedFacts(pending: NoteOf<'tree'>, note: Note): Note | null {
  const to = newNumber(note);
  if (to) {
    const diameter = { ...pending.facts.diameter, ...asDiameter(to) };
    return { ...pending, facts: { ...pending.facts, diameter } };
  }
  return note.kind === 'tree' && note.facts.species === undefined
    ? { ...pending, facts: { ...pending.facts, ...note.facts } }
    : null;
}

/** "thirteen paces" in answer to a doubted "thirty paces, eye five and a half" keeps the eye height. */
function mergedHeight(pending: NoteOf<'height'>, said: NoteOf<'height'>): Note {
  return { kind: 'height', height: { ...pending.height, ...said.height } as Measurement };
}

function sure(context: Context, question: Question, note: Note): Outcome {
  if (note.kind === 'height')
    return heightOutcome(context, note.height, question.target ?? null, note, { sure: true });
  if (note.kind === 'tree') return treeOutcome(context, note, { sure: true });
  const { pending } = question;
  if (note.kind !== 'change' || pending?.kind !== 'height')
    return outcomeOf({ ...context, sure: true }, note);
  // The slip was in the tree ("was that the girth?"): the tree is mended and the height that was in doubt is kept.
  const tree = question.target ?? null;
  const change = outcomeOf({ ...context, deviceState: { ...context.deviceState, tree } }, note);
  if (change.state !== 'kept') return change;
  return heightOutcome(context, pending.height, tree, pending, { before: change.acts, sure: true });
}

/** "No": the offered value is never offered again; the next is, or the person is asked to say it anew. */
function refuseFirst(context: Context, open: OpenQuestion): Outcome {
  const { question } = open;
  const [first, ...rest] = question.options;
  const next = rest[0];
  const refusedNow = [...(question.refused ?? []), ...(first ? [first.say] : [])];
  const { pending } = question;
  const measured = pending?.kind === 'height' || pending?.kind === 'tree';
  const keepIt = question.pending ? context.tongue.speak(question.pending) : 'it';
  const orMeasure = measured ? ', or measure again' : '';
  const text = next
    ? `Then ${next.say}? Or say keep it${orMeasure}.`
    : `Then say the ${measured ? 'number' : 'right one'}, or keep it for ${keepIt}${orMeasure}.`;
  const again: Question = { ...question, text, options: rest, refused: refusedNow };
  return {
    ...asking(again),
    settles: open.entry,
    acts: [{ act: 'settle', entry: open.entry, code: '*', how: 'dropped' }],
  };
}
