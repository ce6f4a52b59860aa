/**
 * "Average those two": heights of one tree are averaged as they come, each as sure as it is, and so are the takes of a device;
 * the answer says what they come to. Of two trees it is asked whether they are of one, where they may be.
 */
import type { Tree } from '../book/book.ts';
import { combine } from '../measuring/height/index.ts';
import type { Height } from '../measuring/height/types.ts';
import type { Note } from '../note/note.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { type AnswerOf, asking, type Context, type Outcome, refused, said } from './outcome.ts';

export const together: AnswerOf = (context, { count }) => {
  const { book, deviceState } = context;
  const last = book.height(deviceState.height ?? deviceState.measured);
  const tree = book.tree(last?.tree ?? deviceState.tree);
  const heights = (tree?.heights ?? []).flatMap((id) => book.height(id)?.value ?? []);
  const read = last?.said.at(-1)?.value;
  const takes = read?.method === 'reading' ? read.takes.length : 0;
  if (heights.length < 2 && takes > 1 && last?.value && (count ?? takes) <= takes)
    return ofTakes(context, tree, takes, last.value);
  if (tree !== null && heights.length > 1 && (count ?? heights.length) <= heights.length)
    return ofOneTree(context, tree, heights, count);
  return ofSeveral(context, count ?? 2);
};

const nameOf = (tree: Tree | null): string => (tree === null ? 'That height' : `Tree ${tree.number}`);

function ofTakes(
  { settings: { units } }: Context,
  tree: Tree | null,
  takes: number,
  height: Height,
): Outcome {
  const comes = wording.heightAndError(height.feet, height.sdFeet, units);
  return said(`${nameOf(tree)} is averaged already: its ${takes} takes come to ${comes}.`);
}

function ofOneTree(
  { settings: { units } }: Context,
  tree: Tree,
  heights: readonly Height[],
  count: number | undefined,
): Outcome {
  const each = (some: readonly Height[]): string =>
    wording.list(some.map(({ feet, sdFeet }) => wording.length(feet, units, sdFeet)));
  const all = combine(heights);
  const comes = wording.heightAndError(all.feet, all.sdFeet, units);
  const whole = `${nameOf(tree)} is averaged already: ${each(heights)}, each as sure as it is, come to ${comes}.`;
  if (count === undefined || count === heights.length) return said(whole);
  const some = heights.slice(-count);
  const mean = wording.length(combine(some).feet, units, combine(some).sdFeet);
  return said(
    `${whole} The last ${count} alone, ${each(some)}, come to ${mean}: scratch the first reading to leave it out.`,
  );
}

/** The last trees of the stand that have a height. */
function ofSeveral(context: Context, count: number): Outcome {
  const { book, device, settings } = context;
  const { units } = settings;
  const stand = book.standOf(device)?.id ?? null;
  const trees = [...book.trees()]
    .filter((tree) => tree.stand === stand && tree.heightFt !== null)
    .slice(-count);
  const [one, two, ...more] = trees;
  if (one === undefined) return refused('There is no height here yet.');
  if (two === undefined || trees.length < count)
    return refused(
      `There ${trees.length === 1 ? 'is only one height' : `are only ${trees.length} heights`} here yet.`,
    );
  const feet = trees.map(({ heightFt }) => heightFt ?? 0);
  const has = wording.list(
    trees.map(
      (tree) => `tree ${tree.number} ${wording.length(tree.heightFt ?? 0, units, tree.heightSdFt ?? 1)}`,
    ),
  );
  const measured = book.height(two.heights.findLast((id) => book.height(id)) ?? null)?.said.at(-1)?.value;
  if (more.length === 0 && measured && mayBeOne(one, two)) {
    const again: Note = { kind: 'hand', tree: one.number, height: measured };
    return asking({
      about: 'confirm',
      text: `${wording.sentence(has)}. Are they of one tree, tree ${one.number}?`,
      options: [{ say: 'one tree', note: { kind: 'scratch', tree: two.number }, behind: [again] }],
    });
  }
  const mean = wording.length(feet.reduce((sum, one) => sum + one, 0) / feet.length, units, 1);
  return said(
    `${wording.sentence(has)}: the mean is ${mean}. They are ${trees.length} trees, and each keeps its own.`,
  );
}

/** The second has a height and tells nothing that the first does not. */
function mayBeOne(one: Tree, two: Tree): boolean {
  const heights = two.heights.length;
  const same = speciesKey(two) === null || speciesKey(two) === speciesKey(one);
  const sized = two.diameterIn === null || two.diameterIn === one.diameterIn;
  return (
    heights === 1 && same && sized && two.logs === null && two.marks.length === 0 && two.plot === one.plot
  );
}
