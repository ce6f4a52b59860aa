/**
 * Answers to the open question. A note that does not fit it is processed as a note of its own, and the question
 * stays open. A value once refused is not offered again.
 */

import type { OpenQuestion } from '../book/book.ts';
import { assertNever } from '../core/result.ts';
import type { Question } from '../note/acts.ts';
import type { Measurement, Note, NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { changedMeasurement } from './changed-values.ts';
import { whichOf } from './choosing.ts';
import { heightOutcome } from './heights.ts';
import { asking, type Context, kept, type Outcome, refused, sameNote } from './outcome.ts';
import { outcomeOf } from './resolve.ts';
import { asDiameter, treeOutcome } from './trees.ts';

/** What the note means as an answer to the question; null when it is no answer to it. */
export function answer(context: Context, open: OpenQuestion, note: Note): Outcome | null {
  const { question } = open;
  // Taking back is about what was done last, whatever is open.
  if (note.kind === 'scratch' || note.kind === 'undo' || note.kind === 'restore') return null;
  if (movedOn(context, open) && (note.kind === 'height' || note.kind === 'number')) return null;
  const picked = pickedOption(question, note)?.note ?? null;
  if (note.kind === 'answer' && note.answer === 'dismiss') return dropped(context, open, 'Dropped.');
  if (note.kind === 'answer' && note.answer === 'repeat') return kept([], () => question.text);
  if (
    note.kind === 'answer' &&
    note.answer === 'no' &&
    question.about !== 'doubt' &&
    question.options.length === 0
  ) {
    return dropped(context, open, 'Then it waits.');
  }
  if (isBareYes(question, note)) return kept([], () => whichOf(question));
  switch (question.about) {
    case 'reading':
    case 'confirm':
      return answerReading(context, open, note);
    case 'doubt':
      return answerDoubt(context, open, note, picked);
    case 'pace':
    case 'eye':
      return answerLength(context, open, note, question.about);
    case 'counting': {
      if (note.kind === 'answer' && note.answer === 'yes') return answerCounting(context, open, 'steps');
      if (note.kind === 'answer' && note.answer === 'no') return answerCounting(context, open, 'paces');
      const said = picked ?? note;
      if (said.kind !== 'setting' || said.set.what !== 'counting') return null;
      return answerCounting(context, open, said.set.of);
    }
    case 'scale': {
      const what = note.kind === 'pick' ? note.what : picked?.kind === 'pick' ? picked.what : null;
      const { pending } = question;
      if ((what !== 'deg' && what !== 'pct' && what !== 'topo') || !pending) return null;
      return completed(context, open, withScale(pending, what));
    }
    case 'slope': {
      const what = note.kind === 'pick' ? note.what : picked?.kind === 'pick' ? picked.what : null;
      const { pending } = question;
      if ((what !== 'ground' && what !== 'sight') || !pending) return null;
      return completed(context, open, withSlopeOf(pending, what));
    }
    case 'species': {
      const choice =
        picked ??
        (note.kind === 'tree' && Object.keys(note.facts).length === 1 && note.facts.species ? note : null);
      if (choice?.kind !== 'tree' || typeof choice.facts.species !== 'number') return null;
      return answerSpecies(context, open, choice.facts.species);
    }
    case 'face': {
      const what = note.kind === 'pick' ? note.what : null;
      const { pending } = question;
      if ((what !== 'centre' && what !== 'face') || pending?.kind !== 'borderline') return null;
      return completed(context, open, { ...pending, to: what });
    }
    case 'diameter': {
      const diameter =
        note.kind === 'number'
          ? { value: note.value }
          : note.kind === 'tree'
            ? note.facts.diameter
            : undefined;
      const { pending } = question;
      if (!diameter || pending?.kind !== 'borderline') return null;
      return completed(context, open, { ...pending, facts: { ...pending.facts, diameter } });
    }
    case 'distance': {
      const { pending } = question;
      if (note.kind !== 'height' || pending?.kind !== 'height') return null;
      return settled(open, outcomeOf(context, note));
    }
    case 'bearing':
    case 'walked':
    case 'area':
      return context.land?.answer(context, open, picked ?? note) ?? null;
    default:
      return assertNever(question.about);
  }
}

/**
 * What the note means as an answer to what one entry asked or left in doubt, on whatever device: an open question, or a
 * weak doubt that is right as it is.
 */
export function answerNamed(context: Context, entry: string, open: OpenQuestion | null, note: Note): Outcome {
  if (open !== null) {
    const outcome = answer(
      { ...context, deviceState: { ...context.deviceState, questions: [open] } },
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

/** A doubt that was left open while the next tree was begun: a new height is that tree's, no answer to the doubt. */
function movedOn(
  { book, deviceState }: Context,
  { entry, question: { about, target } }: OpenQuestion,
): boolean {
  if (about === 'bearing')
    return deviceState.tree !== null && book.entry(deviceState.tree)!.time > book.entry(entry)!.time;
  if (about !== 'doubt' || target === undefined || deviceState.tree === null || deviceState.tree === target)
    return false;
  // A height that waited may be doubted when its tree is no longer in hand: then the question is the newer.
  return book.entry(deviceState.tree)!.time > book.entry(entry)!.time;
}

const settled = (open: OpenQuestion, outcome: Outcome): Outcome =>
  outcome.state === 'refused' ? outcome : { ...outcome, settles: outcome.settles ?? open.entry };

/** The same for an answer that completes or confirms a note: that note is what was meant. */
const completed = (context: Context, open: OpenQuestion, note: Note): Outcome => {
  const outcome = settled(open, outcomeOf(context, note));
  return outcome.state === 'refused' ? outcome : { ...outcome, means: outcome.means ?? note };
};

function dropped(context: Context, open: OpenQuestion, sentence: string): Outcome {
  const hasDoubt = (context.book.entry(open.entry)?.doubts?.length ?? 0) > 0;
  return {
    ...kept(
      hasDoubt ? [{ act: 'settle', entry: open.entry, code: '*', how: 'dropped' }] : [],
      () => sentence,
    ),
    settles: open.entry,
  };
}

/** The option that a note picks: by its place, by being it, or by a number or name that only one option has. */
function pickedOption({ options }: Question, note: Note): Question['options'][number] | undefined {
  if (note.kind === 'pick') return options[{ first: 0, second: 1, third: 2 }[note.what as 'first'] ?? -1];
  const same = options.filter((option) => sameNote(option.note, note));
  const value = saidNumber(note);
  const having =
    same.length > 0 || value === null
      ? same
      : options.filter(({ note: one }) => numbersOf(one).includes(value));
  // What all of them begin with picks none.
  return having.length === 1 ? having[0] : undefined;
}

/** Questions to which "yes" says enough. */
const takesYes: ReadonlySet<Question['about']> = new Set(['doubt', 'counting', 'confirm', 'walked', 'area']);

/** "Yes" to a question that it does not answer: one of several, or a value. */
function isBareYes({ about, options }: Question, note: Note): boolean {
  if (note.kind !== 'answer' || takesYes.has(about)) return false;
  return note.answer === 'yes' || (note.answer === 'keep' && about === 'reading' && options.length > 1);
}

/** The number that a short answer says: "thirteen", "no, thirteen", "thirteen paces". */
function saidNumber(note: Note): number | null {
  if (note.kind === 'number') return note.value;
  if (note.kind === 'change') {
    if (note.number) return note.number.value;
    if (note.distance)
      return note.distance.by === 'length' ? note.distance.length.value : note.distance.count;
  }
  if (note.kind === 'height' && note.height.method === 'stick' && !note.height.eye) {
    const { distance } = note.height;
    return distance.by === 'length' ? distance.length.value : distance.count;
  }
  return null;
}

function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (value === null || typeof value !== 'object') return [];
  return Object.values(value).flatMap(numbersOf);
}

function answerReading(context: Context, open: OpenQuestion, note: Note): Outcome | null {
  const { question } = open;
  const said = note.kind === 'answer' ? note.answer : null;
  const yes = said === 'yes' || said === 'keep';
  const option = yes ? question.options[0] : pickedOption(question, note);
  if (option)
    return { ...completed(context, open, option.note), ...(option.behind ? { behind: option.behind } : {}) };
  if (said === 'no' || (note.kind === 'pick' && note.what === 'neither'))
    return dropped(context, open, 'Then say it again.');
  return said === 'redo' ? dropped(context, open, 'Say it again.') : null;
}

function answerDoubt(context: Context, open: OpenQuestion, note: Note, picked: Note | null): Outcome | null {
  const { question } = open;
  const { pending } = question;
  if (!pending) return null;
  const first = question.options[0];
  if (note.kind === 'answer') {
    switch (note.answer) {
      case 'keep':
        return mended(open, sure(context, question, pending), 'kept');
      case 'yes':
        return first
          ? mended(open, sure(context, question, first.note), 'mended')
          : mended(open, sure(context, question, pending), 'kept');
      case 'redo':
        return dropped(context, open, 'Dropped. Measure again.');
      case 'no':
        return refuseFirst(context, open);
      case 'repeat':
      case 'dismiss':
        return null;
    }
  }
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
}

/** The pending note with the number or distance that the answer says. */
function changedPending(pending: Note, note: Note): Note | string | null {
  const number =
    note.kind === 'number' ? { value: note.value, ...(note.unit ? { unit: note.unit } : {}) } : null;
  if (pending.kind === 'height') {
    if (note.kind === 'height')
      return note.height.method === pending.height.method ? mergedHeight(pending, note) : null;
    const to: NoteOf<'change'> | null = number
      ? { kind: 'change', number }
      : note.kind === 'change' && !note.facts && note.tree === undefined
        ? note
        : null;
    if (!to) return null;
    const next = changedMeasurement(pending.height, to);
    return next.ok ? { kind: 'height', height: next.value } : next.error;
  }
  if (pending.kind === 'tree') {
    const to = number ?? (note.kind === 'change' ? note.number : undefined);
    if (!to)
      return note.kind === 'tree' && note.facts.species === undefined
        ? { ...pending, facts: { ...pending.facts, ...note.facts } }
        : null;
    const diameter = { ...pending.facts.diameter, ...asDiameter(to) };
    return { ...pending, facts: { ...pending.facts, diameter } };
  }
  return null;
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
  if (note.kind !== 'change' || pending?.kind !== 'height') return outcomeOf(context, note);
  // The slip was in the tree ("was that the girth?"): the tree is mended and the height that was in doubt is kept.
  const tree = question.target ?? null;
  const change = outcomeOf({ ...context, deviceState: { ...context.deviceState, tree } }, note);
  if (change.state !== 'kept') return change;
  return heightOutcome(context, pending.height, tree, pending, { before: change.acts, sure: true });
}

function mended(open: OpenQuestion, outcome: Outcome, how: 'kept' | 'mended'): Outcome {
  if (outcome.state === 'refused') return outcome;
  return {
    ...outcome,
    acts: [...outcome.acts, { act: 'settle', entry: open.entry, code: '*', how }],
    settles: open.entry,
    say: (book, now) => {
      const said = outcome.say(book, now);
      return outcome.state === 'kept' ? `${said} Kept.` : said;
    },
  };
}

/** "No": the offered value is never offered again; the next is, or the person is asked to say it anew. */
function refuseFirst(context: Context, open: OpenQuestion): Outcome {
  const { question } = open;
  const [first, ...rest] = question.options;
  const next = rest[0];
  const refusedNow = [...(question.refused ?? []), ...(first ? [first.say] : [])];
  const keepIt = question.pending ? context.tongue.speak(question.pending) : 'it';
  const text = next
    ? `Then ${next.say}? Or say keep it, or measure again.`
    : `Then say the number, or keep it for ${keepIt}, or measure again.`;
  const again: Question = { ...question, text, options: rest, refused: refusedNow };
  return {
    ...asking(again),
    settles: open.entry,
    acts: [{ act: 'settle', entry: open.entry, code: '*', how: 'dropped' }],
  };
}

function answerLength(
  context: Context,
  open: OpenQuestion,
  note: Note,
  what: 'pace' | 'eye',
): Outcome | null {
  let setting: Note | null = null;
  if (note.kind === 'setting' && (note.set.what === what || (what === 'pace' && note.set.what === 'walk')))
    setting = note;
  if (note.kind === 'number') {
    const feetInches = what === 'eye' && note.pair ? note.pair[0] + note.pair[1] / 12 : null;
    const unit = note.unit === 'deg' || note.unit === 'pct' || note.unit === 'topo' ? undefined : note.unit;
    const length =
      feetInches !== null
        ? { value: feetInches, unit: 'ft' as const }
        : { value: note.value, ...(unit ? { unit } : {}) };
    setting = { kind: 'setting', set: { what, length } };
  }
  if (
    note.kind === 'height' &&
    note.height.method === 'stick' &&
    note.height.distance.by === 'length' &&
    !note.height.eye
  ) {
    setting = { kind: 'setting', set: { what, length: note.height.distance.length } };
  }
  if (!setting) return null;
  const outcome = outcomeOf(context, setting);
  // A number that cannot be the answer may still be a diameter, say: it goes on as a note of its own.
  if (outcome.state === 'refused') return note.kind === 'number' ? null : outcome;
  return { ...outcome, settles: open.entry };
}

/** Which is counted, and then the walk or pace that raised the question: both in one entry. "Yes" means every step. */
function answerCounting(context: Context, open: OpenQuestion, of: 'paces' | 'steps'): Outcome {
  const first = outcomeOf(context, { kind: 'setting', set: { what: 'counting', of } });
  const { pending } = open.question;
  if (pending?.kind !== 'setting') return settled(open, first);
  const known = { ...context, settings: { ...context.settings, countingSaid: true, counting: of } };
  const set = pending.set.what === 'walk' ? { ...pending.set, of } : pending.set;
  const second = outcomeOf(known, { kind: 'setting', set });
  if (second.state === 'refused') return second;
  return { ...second, acts: [...first.acts, ...second.acts], settles: open.entry };
}

function withScale(pending: Note, scale: 'deg' | 'pct' | 'topo'): Note {
  if (pending.kind === 'height' && pending.height.method === 'angles') {
    return { kind: 'height', height: { ...pending.height, scale } };
  }
  return pending;
}

/** The pending height with what its slope is of. */
function withSlopeOf(pending: Note, slopeOf: 'ground' | 'sight'): Note {
  const height = pending.kind === 'height' || pending.kind === 'tree' ? pending.height : undefined;
  if (height === undefined || !('distance' in height) || height.distance.by !== 'length') return pending;
  const measured = { ...height, distance: { ...height.distance, slopeOf } };
  return pending.kind === 'tree' ? { ...pending, height: measured } : { kind: 'height', height: measured };
}

function answerSpecies(context: Context, open: OpenQuestion, code: number): Outcome {
  const target = open.question.target;
  if (!target) return refused('That tree was scratched.');
  const said = context.book.entry(open.entry)?.note;
  const nickname =
    said?.kind === 'tree' && typeof said.facts.species === 'string' ? said.facts.species : null;
  return {
    ...kept(
      [
        { act: 'amend', target, fields: { species: code } },
        // In one wood a nickname means one species: it is not asked twice.
        ...(nickname
          ? [{ act: 'setting' as const, set: { what: 'nickname' as const, nickname, species: code } }]
          : []),
      ],
      (book) => {
        const tree = book.tree(target);
        return tree ? `Tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)}.` : 'Kept.';
      },
    ),
    settles: open.entry,
  };
}
