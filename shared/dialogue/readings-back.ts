/** One of several readings of a tree taken back: by its place, by the number that was read or walked, or by what it came to. */
import type { HeightNode } from '../book/height-node.ts';
import { feetToMetres, type Units } from '../core/units.ts';
import type { Measurement } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';
import { takenBack } from './taken-back.ts';

/** The heights of the tree in hand that count, or the one of no tree. */
function readingsOf({ book, deviceState }: Context): readonly HeightNode[] {
  const tree = book.tree(deviceState.tree);
  const ids = tree?.heights ?? [deviceState.height];
  return ids.flatMap((id) => book.height(id) ?? []);
}

/** "Scratch the second reading", "throw out the middle one": one of several heights, or takes of one. */
export function scratchReading(context: Context, nth: number | 'middle'): Outcome {
  const { deviceState, book, settings } = context;
  const nodes = readingsOf(context);
  const [only] = nodes;
  if (only === undefined) return refused('There is no height to scratch.');
  const said = only.said.at(-1)?.value;
  const takes = nodes.length === 1 && said?.method === 'reading' ? said.takes : [];
  const all = takes.length > 1 ? takes.length : nodes.length;
  const at = nth === 'middle' ? (all - 1) / 2 : nth - 1;
  const tree = book.tree(deviceState.tree);
  if (!Number.isInteger(at) || at >= all || (nth === 'middle' && all < 3))
    return refused(
      `${tree ? `Tree ${tree.number}` : 'That'} has ${all === 1 ? 'one reading' : `${all} readings`}. Say which, such as scratch the ${all === 1 ? 'height' : 'second reading'}.`,
    );
  const take = takes[at];
  if (take !== undefined && said?.method === 'reading')
    return withoutTake(context, only, { ...said, takes: takes.filter((one) => one !== take) }, take.value);
  return withoutReading(context, nodes[at] ?? only, settings.units);
}

/** One reading of a tree goes, and what the others come to. */
export function withoutReading(context: Context, node: HeightNode, units: Units): Outcome {
  const of = context.book.tree(node.tree);
  const size = node.value ? `, ${wording.length(node.value.feet, units, node.value.sdFeet)}` : '';
  const outcome = takenBack(
    context,
    [{ act: 'remeasure', target: node.id, measurement: null }],
    [`the height${of ? ` of tree ${of.number}` : ''}${size}`],
  );
  return {
    ...outcome,
    say: (after, now) => {
      const left = after.tree(node.tree);
      const that =
        left?.heightFt != null && left.heightSdFt !== null
          ? ` That leaves ${wording.heightAndError(left.heightFt, left.heightSdFt, now.units)}.`
          : '';
      return `${outcome.say(after, now)}${that}`;
    },
  };
}

function withoutTake(context: Context, { id }: HeightNode, measurement: Measurement, value: number): Outcome {
  const { settings } = context;
  return kept([{ act: 'remeasure', target: id, measurement }], (after) => {
    const now = after.height(id)?.value;
    return `Scratched: the take of ${wording.digits(value, 2)}.${now ? ` That leaves ${wording.heightAndError(now.feet, now.sdFeet, settings.units)}.` : ''}`;
  });
}

/**
 * One of several readings of the tree in hand, or of several takes of its height, that was so much; null where none was. Of
 * readings it is what was read or walked, or what that came to.
 */
export function takeOf(context: Context, value: number | undefined): Outcome | null {
  const { book, deviceState, settings } = context;
  if (value === undefined) return null;
  const node = book.height(deviceState.height ?? deviceState.measured);
  const said = node?.said.at(-1)?.value;
  if (node && said?.method === 'reading' && said.takes.length > 1) {
    const takes = said.takes.filter((take) => take.value !== value);
    if (takes.length === said.takes.length - 1) return withoutTake(context, node, { ...said, takes }, value);
  }
  const nodes = readingsOf(context);
  const read = nodes.filter((one) => saidNumbersOf(one).includes(value));
  const come = nodes.filter((one) => shownFeet(one, settings.units) === value);
  const [found, another] = read.length > 0 ? read : come;
  return found === undefined || another !== undefined || nodes.length < 2
    ? null
    : withoutReading(context, found, settings.units);
}

/** The number that a reading was told by: what a device showed, or how far off it was taken. */
function saidNumbersOf({ said }: HeightNode): readonly number[] {
  const measurement = said.at(-1)?.value;
  if (!measurement) return [];
  if (measurement.method === 'reading') return measurement.takes.map(({ value }) => value);
  if (!('distance' in measurement)) return [];
  const { distance } = measurement;
  return [distance.by === 'length' ? distance.length.value : distance.count];
}

/** Whole feet, or metres to a tenth, as a reply shows them. */
const shownFeet = ({ value }: HeightNode, units: Units): number | null =>
  value === null
    ? null
    : units === 'metres'
      ? Math.round(feetToMetres(value.feet) * 10) / 10
      : Math.round(value.feet);
