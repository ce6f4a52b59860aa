/**
 * "Yellow birch 19, 72 feet": how tall it is, or how far off somebody stood with the stick. Where both are sensible it is asked
 * once; what it was then holds for the next of that device. The reply always says which.
 */
import { lengthToFeet, lengthUnitOf } from '../core/units.ts';
import type { Act, Question } from '../note/acts.ts';
import type { Measurement, Note, NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { standing } from './device-entries.ts';
import { bareLength, heightOutcome, type Judged } from './heights.ts';
import { asking, type Context, type Outcome } from './outcome.ts';

/** The tree to which it was told, as it is kept. */
interface Told {
  readonly tree: string;
  /** The note that tells both, and what of the tree is not in the book yet. */
  readonly note?: NoteOf<'tree'>;
  readonly act?: Act;
  readonly of?: Judged;
}

/** What a height comes to that was said in one note with its tree. */
export function heightWithTree(
  context: Context,
  height: Measurement,
  told: Told,
): { readonly outcome: Outcome; readonly meant: Measurement } {
  const length = bareLength({ kind: 'height', height });
  const before: readonly Act[] = told.act === undefined ? [] : [told.act];
  const held = { ...context, afterRefusal: false };
  const worked = (note: NoteOf<'height'>): Outcome =>
    heightOutcome(held, note.height, told.tree, note, {
      before,
      ...(told.of === undefined ? {} : { of: told.of }),
    });
  const distance: NoteOf<'height'> = { kind: 'height', height };
  const asDistance = { outcome: worked(distance), meant: height };
  const plain = length?.unit === undefined || context.sure === true || isFarOff(context.words ?? '');
  if (length === null || plain) return asDistance;
  const tall: NoteOf<'height'> = { kind: 'height', height: { method: 'reading', takes: [length] } };
  const last = takenAs(context);
  if (last === 'reading') return { outcome: worked(tall), meant: tall.height };
  // What only one of them can be is that.
  if (last === 'stick' || isDoubted(asDistance.outcome) || isDoubted(worked(tall))) return asDistance;
  const { units } = context.settings;
  const said = wording.length(lengthToFeet(length, lengthUnitOf(units)), units);
  const text = `Is ${said} the height or the distance?`;
  const ask = (asTall: Note, asFar: Note): Question => ({
    about: 'reading',
    text,
    options: [
      { say: 'the height', note: asTall },
      { say: 'the distance', note: asFar },
    ],
  });
  const behind = context.behind && told.note ? asTrees(context, told.note, tall.height) : null;
  return behind === null
    ? { outcome: asking(ask(tall, distance), before), meant: height }
    : { outcome: asking(ask(...behind)), meant: height };
}

/** Where more was said behind it, all of that waits, so that one answer is enough; null where it would be asked again. */
function asTrees(
  { settings }: Context,
  note: NoteOf<'tree'>,
  tall: Measurement,
): readonly [asTall: Note, asFar: Note] | null {
  const { height } = note;
  if (height?.method !== 'stick' || settings.eye === null) return null;
  const eye = { value: settings.eye.feet, unit: 'ft' } as const;
  return [
    { ...note, height: tall },
    { ...note, height: { ...height, eye } },
  ];
}

/** "66 feet away", "stick, 66 feet": it is told what the length is. */
const isFarOff = (words: string): boolean =>
  /\b(?:away|out|off|back|from|at|distance|stick|cane|tape[ds]?|standing|stood|walked|eye|line[ds]? up)\b/i.test(
    words,
  );

const isDoubted = ({ asks }: Outcome): boolean => asks?.about === 'doubt';

/** How the last such length was meant, by its answer; null where none was asked about. */
function takenAs({ book, deviceState }: Context): 'reading' | 'stick' | null {
  for (const { acts, settles } of standing(book, deviceState)) {
    const asked = settles === undefined ? null : book.entry(settles);
    const measured = acts.find((act) => act.act === 'height');
    if (asked?.note.kind !== 'tree' || asked.note.height === undefined || measured === undefined) continue;
    if (bareLength({ kind: 'height', height: asked.note.height }) === null) continue;
    const { method } = measured.measurement;
    if (method === 'reading' || method === 'stick') return method;
  }
  return null;
}
