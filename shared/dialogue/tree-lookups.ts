/**
 * Questions about single trees: what one of them is, which there are, how two of them differ, how slender one is, how far
 * from the middle one counts.
 */

import type { Book, Tree } from '../book/book.ts';
import { required } from '../core/required.ts';
import { ok, type Result } from '../core/result.ts';
import { diameterToInches, lengthToFeet, type Units } from '../core/units.ts';
import type { Height } from '../measuring/height/types.ts';
import type { NoteOf, Scope } from '../note/note.ts';
import { designOf, limitingDistance } from '../totals/plots.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { scopeOf, speciesKeysOf } from './asked-scope.ts';
import { type Context, type Outcome, refused, said } from './outcome.ts';
import { treeOf } from './which-tree.ts';

type Ask = NoteOf<'ask'>;
type Meant =
  | { readonly ok: true; readonly value: Tree | null }
  | { readonly ok: false; readonly error: string };

/** The tree that a question names; null where it names none. */
export function treeMeant(context: Context, note: Ask): Meant {
  const { book } = context;
  if (note.which !== undefined) return treeOf(context, note.which);
  if (note.tree === undefined) return { ok: true, value: null };
  const tree = book.treeNumbered(note.tree);
  if (tree) return { ok: true, value: tree };
  return {
    ok: false,
    error: book.takenBackTree(note.tree)
      ? `Tree ${note.tree} was scratched.`
      : `There is no tree ${note.tree}.`,
  };
}

/** "What was tree one", "how tall was the beech". */
export function treeNumbered(context: Context, note: Ask): Outcome {
  const { book, settings } = context;
  const meant = treeMeant(context, note);
  if (!meant.ok) return refused(meant.error);
  const tree = meant.value;
  if (!tree) return refused('Which tree? Say its number, or what it is.');
  const plot = book.plot(tree.plot);
  const units = note.units ?? settings.units;
  return said(
    `Tree ${tree.number}${plot ? ` on plot ${plot.number}` : ''}, ${wording.treeFacts(tree, units)}${heightTail(tree, units)}.`,
  );
}

const heightTail = (tree: Tree, units: Units): string =>
  tree.heightFt !== null && tree.heightSdFt !== null
    ? `: ${wording.heightAndError(tree.heightFt, tree.heightSdFt, units)}`
    : ', no height yet';

/** Trees that are said; all are on the page. */
const mostListed = 6;

const lacks: Readonly<Record<NonNullable<Scope['lacks']>, (tree: Tree) => boolean>> = {
  height: ({ heightFt }) => heightFt === null,
  diameter: ({ diameterIn }) => diameterIn === null,
  species: ({ species }) => species === null,
  logs: ({ logs }) => logs === null,
};

/** Whether a tree is of the size that is asked for. */
function isOfSize(tree: Tree, size: NonNullable<Scope['size']>, units: Units): boolean {
  const [has, limit] = sizeOf(tree, size, units);
  if (has === null) return false;
  if (size.is === 'over') return has > limit;
  if (size.is === 'under') return has < limit;
  // Both bounds count: trees are told in whole classes.
  const [, upper] = sizeOf(tree, { ...size, value: size.to ?? size.value }, units);
  return has >= limit - 1e-9 && has <= upper + 1e-9;
}

function sizeOf(
  tree: Tree,
  { of, value, unit }: NonNullable<Scope['size']>,
  units: Units,
): [number | null, number] {
  const metric = units === 'metres';
  if (of === 'height')
    return [tree.heightFt, lengthToFeet({ value, ...(unit ? { unit } : {}) }, metric ? 'm' : 'ft')];
  // "Over a metre", "over two feet": across.
  if (unit === 'm' || unit === 'ft') return [tree.diameterIn, lengthToFeet({ value, unit }, unit) * 12];
  return [tree.diameterIn, diameterToInches({ value, ...(unit ? { unit } : {}) }, units)];
}

function sizeWords(size: NonNullable<Scope['size']>, units: Units): string {
  const metric = units === 'metres';
  const one = (size.to ?? size.value) <= 1;
  const names = one
    ? ({ in: 'inch', cm: 'centimetre', ft: 'foot', m: 'metre' } as const)
    : ({ in: 'inches', cm: 'centimetres', ft: 'feet', m: 'metres' } as const);
  const unit = size.unit ?? (size.of === 'height' ? (metric ? 'm' : 'ft') : metric ? 'cm' : 'in');
  const from = size.to === undefined ? '' : `${wording.digits(size.value, 2)} and `;
  return ` ${size.is} ${from}${wording.digits(size.to ?? size.value, 2)} ${names[unit]}${size.of === 'height' ? ' high' : ''}`;
}

const orders: Readonly<Record<NonNullable<Ask['first']>, (a: Tree, b: Tree) => number>> = {
  shortest: (a, b) => (a.heightFt ?? Infinity) - (b.heightFt ?? Infinity),
  tallest: (a, b) => (b.heightFt ?? 0) - (a.heightFt ?? 0),
  thinnest: (a, b) => (a.diameterIn ?? Infinity) - (b.diameterIn ?? Infinity),
  thickest: (a, b) => (b.diameterIn ?? 0) - (a.diameterIn ?? 0),
};

/** Trees of a scope in the stand of the device, and the words for it. */
function treesOfScope(
  context: Context,
  scoped: Scope | undefined,
): Result<{ readonly found: Tree[]; readonly words: string }, string> {
  const { book, device, settings } = context;
  const keys = scoped?.species === undefined ? null : speciesKeysOf(context, scoped.species);
  const { species: _species, lacks: lack, size, mark, ...wider } = scoped ?? {};
  const made = scopeOf(context, wider);
  if (!made.ok) return made;
  const { scope, words } = made.value;
  const stand = book.standOf(device)?.id ?? null;
  const found = [...book.trees()].filter(
    (tree) =>
      tree.stand === stand &&
      (keys === null || keys.includes(speciesKey(tree))) &&
      (scope.plot === undefined || tree.plot === scope.plot) &&
      (scope.status === undefined || tree.status === scope.status) &&
      (lack === undefined || lacks[lack](tree)) &&
      (mark === undefined || tree.marks.includes(mark)) &&
      (size === undefined || isOfSize(tree, size, settings.units)),
  );
  return ok({ found, words });
}

/** A tree by its height or diameter: "72 feet: tree 3 on plot 2, red oak, 14 inches". */
export function toldBySize(
  { book, settings: { units } }: Context,
  tree: Tree,
  by: 'height' | 'diameter',
): Outcome {
  const plot = book.plot(tree.plot);
  const size =
    by === 'height' && tree.heightFt !== null
      ? wording.length(tree.heightFt, units, tree.heightSdFt ?? 1)
      : tree.diameterIn !== null
        ? wording.diameter(tree.diameterIn, units)
        : '';
  return said(
    `${wording.sentence(size)}: tree ${tree.number}${plot ? ` on plot ${plot.number}` : ''}, ${wording.treeFacts(tree, units)}.`,
  );
}

/** "Shortest tree", "thinnest beech on plot two": of those whose height or diameter was measured. */
export function least(context: Context, note: Ask): Outcome {
  const made = treesOfScope(context, note.scope);
  if (!made.ok) return refused(made.error);
  const byHeight = note.about === 'shortest';
  const measured = made.value.found.filter((tree) => (byHeight ? tree.heightFt : tree.diameterIn) !== null);
  const [tree] = measured.sort(orders[byHeight ? 'shortest' : 'thinnest']);
  if (tree === undefined) return said(byHeight ? 'No height yet.' : 'No diameter yet.');
  return toldBySize(context, tree, byHeight ? 'height' : 'diameter');
}

const sumOf = (trees: readonly Tree[]): number => trees.reduce((sum, tree) => sum + tree.count, 0);

/** "List the trees", "read back the last three trees", the newest last; "which lack a height", "any over twenty inches". */
export function listTrees(context: Context, note: Ask): Outcome {
  const { units } = context.settings;
  const { species, lacks: lack, size, mark } = note.scope ?? {};
  const made = treesOfScope(context, note.scope);
  if (!made.ok) return refused(made.error);
  const { found, words } = made.value;
  if (note.first !== undefined) found.sort(orders[note.first]);
  const wanted = note.count === undefined ? found : found.slice(-note.count);
  const of = `${species === undefined ? '' : ` of ${typeof species === 'string' ? species : wording.speciesName(species)}`}${words}${size === undefined ? '' : sizeWords(size, units)}${lack === undefined ? '' : ` without ${lack}`}${mark === undefined ? '' : ` with the mark ${mark}`}`;
  const narrowed = size !== undefined || lack !== undefined || mark !== undefined;
  if (wanted.length === 0) return said(`No trees${of}.`);
  const lines = wanted.map(
    (tree) =>
      `Tree ${tree.number}, ${wording.treeFacts(tree, units)}${tree.heightFt === null ? '' : heightTail(tree, units)}`,
  );
  // Asked how many there are, that alone is said; all of them are on the page.
  if (note.alone)
    return said(`${wording.sentence(wording.treeCount(sumOf(wanted)))}${of}.`, lines.join('\n'));
  const more = lines.length > mostListed ? ` And ${lines.length - mostListed} more on the page.` : '';
  const headed = narrowed || (note.scope?.plot !== undefined && species === undefined && wanted.length > 1);
  const count = headed ? `${wording.sentence(wording.treeCount(sumOf(wanted)))}${of}. ` : '';
  return said(`${count}${lines.slice(0, mostListed).join('. ')}.${more}`, lines.join('\n'));
}

/** One of two that are held against each other: what it is, and a number with its standard deviation. */
interface Side {
  readonly name: string;
  readonly feet: number;
  readonly sdFeet: number;
}

/** Heights of one tree that still count, the oldest first. */
const takesOf = (book: Book, tree: Tree): Height[] =>
  tree.heights.flatMap((id) => {
    const value = book.height(id)?.value;
    return value === null || value === undefined ? [] : [value];
  });

/** Beyond so many standard deviations two readings of one height do not agree; the normal 95 percent. */
const apartFrom = 1.96;

/** "Do they agree", "mean of those two", "the difference between the two trees". */
export function compared(context: Context, note: Ask): Outcome {
  const { book, deviceState, settings, device } = context;
  const { units } = settings;
  const stand = book.standOf(device)?.id ?? null;
  const trees = [...book.trees()].filter((tree) => tree.stand === stand);
  const inHand = book.tree(deviceState.tree);
  const takes = inHand === null || note.first !== undefined ? [] : takesOf(book, inHand);
  if (takes.length > 1 && inHand !== null)
    return said(
      twoHeights(
        takes.slice(-2).map(({ feet, sdFeet }) => ({ name: '', feet, sdFeet })),
        `Tree ${inHand.number}`,
        units,
      ),
    );
  const last = trees.slice(-2);
  const [one, two] = last;
  if (one === undefined || two === undefined)
    return refused('There are no two trees and no two heights of one tree here yet.');
  const sides = last.flatMap(({ number, heightFt, heightSdFt }): Side[] =>
    heightFt === null || heightSdFt === null
      ? []
      : [{ name: `tree ${number}`, feet: heightFt, sdFeet: heightSdFt }],
  );
  const names = `Tree ${one.number} and tree ${two.number}`;
  const thick = differenceOfDiameters(one, two, units);
  if (sides.length < 2) return said(`${names}: ${thick ?? 'no two heights and no two diameters yet'}.`);
  return said(`${twoHeights(sides, names, units)}${thick === null ? '' : ` ${wording.sentence(thick)}.`}`);
}

function differenceOfDiameters(one: Tree, two: Tree, units: Units): string | null {
  if (one.diameterIn === null || two.diameterIn === null) return null;
  const apart = wording.diameter(Math.abs(one.diameterIn - two.diameterIn), units);
  return `${wording.diameter(one.diameterIn, units)} and ${wording.diameter(two.diameterIn, units)} across, ${apart} apart, mean ${wording.diameter((one.diameterIn + two.diameterIn) / 2, units)}`;
}

function twoHeights(sides: readonly Side[], names: string, units: Units): string {
  const [a, b] = [required(sides[0], 'first height'), required(sides[1], 'second height')];
  const apart = Math.abs(a.feet - b.feet);
  const sd = Math.hypot(a.sdFeet, b.sdFeet);
  const say = (feet: number): string => wording.length(feet, units, sd);
  const agree =
    apart <= apartFrom * sd ? 'no more than their errors explain' : 'more than their errors explain';
  return `${names}: ${say(a.feet)} and ${say(b.feet)}, ${wording.length(apart, units, sd / 10)} apart, ${agree}. Mean ${say((a.feet + b.feet) / 2)}.`;
}

/** Height by diameter, both in one unit; forestry says it as a plain number. */
export function slenderness(context: Context, note: Ask): Outcome {
  const meant = treeMeant(context, note);
  if (!meant.ok) return refused(meant.error);
  const tree = meant.value ?? context.book.tree(context.deviceState.tree);
  if (!tree) return refused('No tree is in hand. Say which, by its number or what it is.');
  if (tree.heightFt === null || tree.diameterIn === null)
    return said(`Tree ${tree.number} has no ${tree.heightFt === null ? 'height' : 'diameter'} yet.`);
  const ratio = (tree.heightFt * 12) / tree.diameterIn;
  return said(
    `${wording.digits(ratio, 0)}: tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)}${heightTail(tree, context.settings.units)}.`,
    'Height divided by diameter at breast height, both in the same unit.',
  );
}

/** How far a tree may stand from the middle of the plot in hand and still count. */
export function limit(context: Context, note: Ask): Outcome {
  const { book, deviceState, settings } = context;
  const { units } = settings;
  // Where none is open, of those that are to come.
  const size = book.plot(deviceState.plot)?.size ?? deviceState.plotSize;
  if (!size) return refused('Of what plot? Open one with its size or factor first.');
  const design = designOf(size);
  if (design.kind === 'tally') return said('Every tree counts here, however far it stands.');
  if (design.kind === 'fixed')
    return said(`${wording.sentence(wording.smallLength(design.radiusFt, units))}, whatever its diameter.`);
  const tree = book.tree(deviceState.tree);
  const inches = note.diameter ? diameterToInches(note.diameter, units) : (tree?.diameterIn ?? null);
  if (inches === null)
    return refused(
      units === 'metres'
        ? 'How thick? Say, how far can a thirty centimetre tree be.'
        : 'How thick? Say, how far can a fourteen inch tree be.',
    );
  const centre = wording.length(limitingDistance(design.factor, inches), units, 0.01);
  const face = wording.length(limitingDistance(design.factor, inches, 'face'), units, 0.01);
  return said(
    `${wording.sentence(wording.diameter(inches, units))}: up to ${centre} to the middle of the stem, ${face} to its face, on the level.`,
  );
}

/** "Does that go in the basal area": of the tree that is meant, else of those in hand the last. */
function countsIn(context: Context, tree: Tree): Outcome {
  const why =
    tree.status === 'dead'
      ? 'it is dead, and basal area and volume are of the living unless you ask for the dead'
      : !tree.counted
        ? 'it is out of its plot'
        : tree.diameterIn === null
          ? 'it has no diameter yet'
          : null;
  const name = `tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)}`;
  return said(why === null ? `Yes, ${name}.` : `No, not ${name}: ${why}.`);
}

/** "Is the dead one counted". */
export function counted(context: Context, note: Ask): Outcome {
  const { book, settings } = context;
  const inHand =
    note.which !== undefined && Object.keys(note.which).length === 0
      ? book.tree(context.deviceState.tree)
      : null;
  const meant = inHand === null ? treeMeant(context, note) : ok(inHand);
  if (!meant.ok) return refused(meant.error);
  if (meant.value !== null) return countsIn(context, meant.value);
  const trees = [...book.trees()];
  const dead = trees.filter(({ status }) => status === 'dead').length;
  const bare = trees.filter(({ diameterIn }) => diameterIn === null).length;
  const per = settings.units === 'metres' ? 'trees a hectare' : 'trees an acre';
  return said(
    `Counts of trees have the dead in them; basal area, ${per} and volume are of the living unless you ask for the dead. ${wording.sentence(wording.treeCount(dead))} dead here, ${wording.treeCount(bare)} without a diameter.`,
  );
}

/** "What's still missing": how many trees of the stand lack what others have, and what is asked and open. */
export function missing(context: Context): Outcome {
  const { book, device, deviceState } = context;
  const stand = book.standOf(device)?.id ?? null;
  const trees = [...book.trees()].filter((tree) => tree.stand === stand && tree.counted);
  const live = trees.filter(({ status }) => status === 'live');
  // Where nobody tells logs or heights, none are missing.
  const used = (has: (tree: Tree) => boolean): boolean => live.some(has);
  const without = (of: readonly Tree[], lack: (tree: Tree) => boolean, name: string): string[] => {
    const some = of.filter(lack);
    return some.length === 0 ? [] : [`${wording.treeCount(sumOf(some))} without ${name}`];
  };
  const parts = [
    ...without(trees, lacks.diameter, 'a diameter'),
    ...(used(({ heightFt }) => heightFt !== null) ? without(live, lacks.height, 'a height') : []),
    ...(used(({ logs }) => logs !== null) ? without(live, lacks.logs, 'logs') : []),
    ...without(trees, (tree) => speciesKey(tree) === null, 'a species'),
  ];
  const open = deviceState.questions.map(({ question }) => question.text);
  const asked =
    open.length === 0
      ? ''
      : ` Still open: ${open.at(-1)}${open.length > 1 ? ` And ${open.length - 1} more.` : ''}`;
  if (parts.length === 0) return said(`Nothing is missing of the trees here.${asked}`, open.join('\n'));
  return said(`${wording.sentence(wording.list(parts))}.${asked}`, open.join('\n'));
}

/** "Is this thing on". */
export function ready({ book, deviceState }: Context): Outcome {
  const plot = book.plot(deviceState.plot);
  const tree = book.tree(deviceState.tree);
  const where = plot ? `plot ${plot.number} is open` : 'no plot is open';
  const what = tree
    ? `tree ${tree.number}, ${wording.speciesName(speciesKey(tree))}, is in hand`
    : 'no tree is in hand';
  return said(`I am here: ${where}, ${what}.`);
}
