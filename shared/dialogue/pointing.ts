/**
 * Pointing at one of several that were told lately, and mending it: by a number that was said ("the 22 was a 20"), by its place
 * ("the middle one was 14", "second to last was a beech"). Where more than one fits it is asked which; what is meant is then
 * worked out like any change. Two that are swapped are `swapping.ts`, what was meant of another tree `meant-of-another.ts`.
 */
import type { Tree } from '../book/book.ts';
import type { HeightNode } from '../book/height-node.ts';
import type { Note, NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { replaced } from './changed-values.ts';
import { type AsSaid, change, changeWhere, remeasured } from './corrections.ts';
import { effective, treeOfAct } from './device-entries.ts';
import { meantOfAnother } from './meant-of-another.ts';
import { asking, type Context, type Outcome, refused } from './outcome.ts';
import { swapped } from './swapping.ts';
import { askAmong, isOfSize, treesMeant, treesOf } from './which-tree.ts';

type Change = NoteOf<'change'>;

/** What was told so many entries ago is no more pointed at by a number alone. */
const lately = 15;

/** Whether a change points at something that must be found first. */
export const isPointing = ({ of, meant, swap, nth }: Change): boolean =>
  meant !== undefined ||
  swap !== undefined ||
  nth !== undefined ||
  of?.said !== undefined ||
  of?.middle !== undefined ||
  of?.back !== undefined ||
  (of?.nth !== undefined && of.species === undefined);

export function changePointed(context: Context, note: Change, asSaid: AsSaid): Outcome {
  if (note.swap) return swapped(context, note.swap);
  if (note.meant) return meantOfAnother(context, note, note.meant, asSaid);
  if (note.of?.said !== undefined) return changeSaid(context, note, note.of.said, asSaid);
  const reading = readingMeant(context, note);
  if (reading !== null) return reading;
  const { of, nth: _, ...rest } = note;
  const found = of === undefined ? [] : treesMeant(context, of);
  const [only, another] = found;
  if (only === undefined)
    return refused(
      `There ${treesOf(context, {}).length === 1 ? 'is one tree' : `are ${treesOf(context, {}).length} trees`} here. Say the one you mean by its number.`,
    );
  if (another !== undefined) return askAmong(found, (tree) => ({ ...rest, tree }), context.settings.units);
  const means: Note = { ...rest, tree: only.number };
  const outcome = change(context, means, asSaid);
  return outcome.state === 'refused' ? outcome : { ...outcome, means: outcome.means ?? means };
}

/** Heights of the tree in hand that count, or null where something else was told last. */
function readingsLast({ book, deviceState }: Context): readonly HeightNode[] | null {
  const [last] = effective(book, deviceState);
  const tree = book.tree(deviceState.tree);
  const measured = last?.acts.some(({ act }) => act === 'height' || act === 'remeasure') === true;
  const nodes = (tree?.heights ?? []).flatMap((id) => book.height(id) ?? []);
  return measured && nodes.length > 1 ? nodes : null;
}

/** "The second reading was 15", and "the middle one was 14" behind several readings of one tree; null where it is of a tree. */
function readingMeant(context: Context, note: Change): Outcome | null {
  const { of, nth, number, distance } = note;
  const nodes = readingsLast(context);
  const own = nth !== undefined;
  if (nodes === null)
    return own
      ? refused('There are no several readings of one tree just before. Say the tree by its number.')
      : null;
  if (
    (number === undefined && distance === undefined) ||
    (!own && (note.facts !== undefined || of?.species !== undefined))
  )
    return null;
  const place = placeAmong(nodes.length, nth ?? of?.nth ?? (of?.middle ? 'middle' : undefined), of?.back);
  const node = nodes[place];
  if (!node?.said.at(-1)?.value)
    return own
      ? refused(`There are ${nodes.length} readings. Say which, such as the second reading was fourteen.`)
      : null;
  return remeasured(context, node, {
    kind: 'change',
    ...(number ? { number } : {}),
    ...(distance ? { distance } : {}),
  });
}

/** Where one stands among so many, from 0: by its number, in the middle, or from the end. */
const placeAmong = (count: number, nth: number | 'middle' | undefined, back = 1): number =>
  nth === 'middle' ? (count - 1) / 2 : nth === undefined ? count - back : nth - 1;

/** Trees of which this device told or measured something lately, the newest first. */
function treesLately({ book, deviceState }: Context): readonly Tree[] {
  const found = new Set<string>();
  let seen = 0;
  for (const { acts } of effective(book, deviceState)) {
    for (const act of acts) {
      const id = treeOfAct(book, act);
      if (id !== null) found.add(id);
    }
    if (++seen === lately) break;
  }
  return [...found].flatMap((id) => book.tree(id) ?? []);
}

/** "The 22 was a 20": a diameter or a number of a height told lately; asked where several have it. */
function changeSaid(context: Context, note: Change, was: number, asSaid: AsSaid): Outcome {
  const { book, settings } = context;
  const { units } = settings;
  const { number, distance } = note;
  const to = number?.value ?? (distance === undefined || distance.by === 'length' ? null : distance.count);
  if (to === null) return refused(`What should ${wording.digits(was, 2)} be?`);
  const value = number === undefined ? { distance } : { number };
  const options = treesLately(context).flatMap((tree) => {
    const thick: Note = { kind: 'change', tree: tree.number, ...value };
    const measured: Note = { kind: 'change', tree: tree.number, was, ...value };
    const thickness = number !== undefined && isThickness(number.unit);
    const has = tree.heights.some((id) => {
      const said = book.height(id)?.said.at(-1)?.value;
      return said ? replaced(said, was, to) !== null : false;
    });
    const facts = wording.treeFacts(tree, units);
    return [
      ...(isOfSize(tree, was, units) && thickness
        ? [{ say: `the diameter of tree ${tree.number}, ${facts}`, note: thick }]
        : []),
      ...(has ? [{ say: `the height of tree ${tree.number}, ${facts}`, note: measured }] : []),
    ];
  });
  const [only, another] = options;
  // Of no tree that was told lately: the newest in which it stands, a setting or a leg, too.
  if (only === undefined)
    return (
      changeWhere(context, { kind: 'change', was, ...value }, { was, to }, asSaid) ??
      refused(`Nothing of ${wording.digits(was, 2)} was told lately. Say the tree by its number.`)
    );
  if (another !== undefined) {
    const some = options.slice(0, 3);
    return asking({
      about: 'reading',
      text: `Which ${wording.digits(was, 2)}: ${wording.list(
        some.map(({ say }) => say),
        'or',
      )}?`,
      options: some,
    });
  }
  const outcome = change(context, only.note as Change, asSaid);
  return outcome.state === 'refused' ? outcome : { ...outcome, means: outcome.means ?? only.note };
}

const isThickness = (unit: string | undefined): boolean =>
  unit === undefined || unit === 'in' || unit === 'cm';
