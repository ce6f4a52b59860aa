/** What answers have in common: the option that a note picks, and how the question behind it is settled. */
import type { OpenQuestion } from '../book/book.ts';
import type { Question } from '../note/acts.ts';
import type { Note } from '../note/note.ts';
import { sameNote } from '../note/note-key.ts';
import { type Context, kept, type Outcome } from './outcome.ts';
import { outcomeOf } from './resolve.ts';
import { numbersOf, toldApart } from './telling.ts';

/** A question as it is answered. */
interface Asked {
  readonly context: Context;
  readonly open: OpenQuestion;
  /** The note of the option that the answer picks; null where it picks none. */
  readonly picked: Note | null;
}

/** What a note means as an answer to a question; null when it is no answer to it. */
export type Answering = (asked: Asked, note: Note) => Outcome | null;

export const settled = (open: OpenQuestion, outcome: Outcome): Outcome =>
  outcome.state === 'refused' ? outcome : { ...outcome, settles: outcome.settles ?? open.entry };

/** The same for an answer that completes or confirms a note: that note is what was meant. */
export const completed = (context: Context, open: OpenQuestion, note: Note): Outcome => {
  const outcome = settled(open, outcomeOf(context, note));
  return outcome.state === 'refused' ? outcome : { ...outcome, means: outcome.means ?? note };
};

export function dropped(context: Context, open: OpenQuestion, sentence: string): Outcome {
  const hasDoubt = (context.book.entry(open.entry)?.doubts?.length ?? 0) > 0;
  return {
    ...kept(
      hasDoubt ? [{ act: 'settle', entry: open.entry, code: '*', how: 'dropped' }] : [],
      () => sentence,
    ),
    settles: open.entry,
  };
}

export function mended(open: OpenQuestion, outcome: Outcome, how: 'kept' | 'mended'): Outcome {
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

/** The option that a note picks: by its place, by being it, or by a number or name that only one option has. */
export function pickedOption(
  { options, pending }: Question,
  note: Note,
): Question['options'][number] | undefined {
  if (note.kind === 'pick' && note.what === 'named') return toldApart(options, note.word ?? '');
  if (note.kind === 'pick') return options[{ first: 0, second: 1, third: 2 }[note.what as 'first'] ?? -1];
  const same = options.filter((option) => sameNote(option.note, note));
  const value = saidNumber(note);
  const having =
    same.length > 0 || value === null
      ? same
      : options.filter(({ note: one }) => isOfDoubted(one, pending) && numbersOf(one).includes(value));
  // What all of them begin with picks none.
  return having.length === 1 ? having[0] : undefined;
}

/** A height in doubt is answered by a height: "22" is no diameter of as many inches, though that may be the cause. */
const isOfDoubted = (one: Note, pending: Note | undefined): boolean =>
  pending?.kind !== 'height' || one.kind === 'height';

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
