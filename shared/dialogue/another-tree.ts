/**
 * Which tree a height is of that names none: the one in hand, unless that has a height already from which it differs by
 * more than their errors explain. Then it may be another tree, and is asked before it is kept. The tree is named where it
 * was taken in hand just before; behind "next tree" a height begins one.
 */
import type { Tree } from '../book/book.ts';
import { combine, measure } from '../measuring/height/index.ts';
import type { Height } from '../measuring/height/types.ts';
import type { Act } from '../note/acts.ts';
import type { Measurement, NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { heightWithTree } from './bare-lengths.ts';
import { standing } from './device-entries.ts';
import { bareLength, heightOutcome, isSlopeOpen } from './heights.ts';
import { asking, type Context, type Outcome } from './outcome.ts';
import { redoneAs, toBeRedone } from './redone.ts';

/** What a height comes to that was said without its tree. */
export function heightSaid(context: Context, note: NoteOf<'height'>): Outcome {
  const { book, deviceState } = context;
  const tree = book.tree(deviceState.tree);
  const before = lastInHand(context);
  const redone = toBeRedone(context);
  if (redone !== null) return redoneAs(context, redone, note);
  const length = bareLength(note);
  const again = length && (context.mending?.readAgain(context, length) ?? null);
  if (again) return again;
  if (tree === null)
    return before === 'next' ? ofAnother(context, note) : heightOutcome(context, note.height, null, note);
  if (before === 'hand' || context.sure === true) return heightOutcome(context, note.height, tree.id, note);
  // "Ironwood 6 and 31 feet": said with its tree.
  if (length && isOfThisBreath(context, tree))
    return heightWithTree(context, note.height, { tree: tree.id }).outcome;
  const apart = differing(context, note.height, tree);
  if (apart !== null && note.of === 'this') return ofAnother(context, note);
  return apart !== null || isLeftOpen(context, tree)
    ? whetherAnother(context, note, tree, apart)
    : heightOutcome(context, note.height, tree.id, note);
}

/** Whether a height before it was of this tree was asked, and not answered: so it is not known which tree is meant now. */
const isLeftOpen = ({ deviceState }: Context, { id }: Tree): boolean =>
  deviceState.questions.some(({ question }) => question.about === 'another' && question.target === id);

/** The tree was begun by the note right before it in the same breath. */
function isOfThisBreath({ book, deviceState, words = '' }: Context, { id }: Tree): boolean {
  const entry = book.entry(id);
  return (
    entry?.breath !== undefined && deviceState.entries.at(-1) === id && words.trimEnd().endsWith(entry.words)
  );
}

/** "Same tree" was the last thing said. */
export function saidSameTree({ book, deviceState }: Pick<Context, 'book' | 'deviceState'>): boolean {
  const [last] = standing(book, deviceState);
  const { note } = last ?? {};
  return note?.kind === 'hand' && note.tree === undefined && note.which === undefined && !note.height;
}

/** A height that begins a tree, of which nothing else is known yet. */
export function ofAnother(context: Context, note: NoteOf<'height'>): Outcome {
  const { id } = context;
  const outcome = heightOutcome({ ...context, afterRefusal: false }, note.height, id, note, {
    before: [{ act: 'tree', id, fields: {} }],
    of: { species: null, diameterIn: null, heightFt: null, marks: [], status: 'live' },
  });
  if (outcome.state === 'refused') return outcome;
  return {
    ...outcome,
    say: (after, now) => {
      const number = after.tree(id)?.number;
      const said = outcome.say(after, now);
      return number === undefined
        ? said
        : `Tree ${number}${outcome.asks ? '.' : ':'} ${outcome.asks ? said : wording.lowered(said)}`;
    },
  };
}

const movesOn: ReadonlySet<Act['act']> = new Set([
  'next',
  'hand',
  'tree',
  'height',
  'plot',
  'plotAmend',
  'stand',
]);

/** Whether the last thing that was said of a tree took one in hand, or was done with one. */
export function lastInHand({ book, deviceState }: Context): 'next' | 'hand' | null {
  for (const { acts } of standing(book, deviceState)) {
    const last = acts.findLast(({ act }) => movesOn.has(act));
    if (last !== undefined) return last.act === 'next' || last.act === 'hand' ? last.act : null;
  }
  return null;
}

/**
 * The height of a tree that is nearest to another one, where they cannot be of one tree; null where they may. Where those
 * before differ already, and were told to be of one tree, it need only go with one of them.
 */
export function differing(context: Context, measurement: Measurement, tree: Tree): Differing | null {
  if (isSlopeOpen(measurement)) return null;
  const result = measure(measurement, context.settings);
  if (!result.ok) return null;
  const { value: height } = result;
  const earlier = tree.heights.flatMap((id) => context.book.height(id)?.value ?? []);
  if (earlier.length === 0 || combine([...earlier, height]).agree) return null;
  if (!combine(earlier).agree && earlier.some((one) => combine([one, height]).agree)) return null;
  const [nearest] = earlier.sort((a, b) => Math.abs(a.feet - height.feet) - Math.abs(b.feet - height.feet));
  return nearest === undefined ? null : { height, nearest };
}

interface Differing {
  readonly height: Height;
  readonly nearest: Height;
}

function whetherAnother(
  context: Context,
  note: NoteOf<'height'>,
  { id, number }: Tree,
  apart: Differing | null,
): Outcome {
  const { settings } = context;
  const result = apart === null ? measure(note.height, settings) : null;
  const height = apart?.height ?? (result?.ok ? result.value : null);
  // What cannot be worked out yet waits on the tree in hand.
  if (height === null) return heightOutcome(context, note.height, id, note);
  const words = ({ feet, sdFeet }: Height): string => wording.length(feet, settings.units, sdFeet);
  const has = apart === null ? '' : `, but tree ${number} has ${words(apart.nearest)}`;
  const than = apart === null ? ` than tree ${number}` : '';
  return asking(
    {
      about: 'another',
      text: `${wording.sentence(words(height))}${has}. Is it another tree${than}? If not, say same.`,
      options: [
        { say: 'another tree', note: { kind: 'next' } },
        { say: 'the same tree again', note: { kind: 'hand' } },
      ],
      pending: note,
      target: id,
    },
    [],
    { height: () => height },
  );
}
