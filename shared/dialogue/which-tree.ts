/** The tree that is meant by a number, by what it is, or by nothing: the newest that fits. */

import type { Tree } from '../book/book.ts';
import { err, ok, type Result } from '../core/result.ts';
import { inchesToCentimetres, type Units } from '../core/units.ts';
import type { Note, NoteOf, SpeciesRef, TreeFacts, Which } from '../note/note.ts';
import { genusOfName } from '../note/species.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, type Outcome } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { speciesNamed } from './species-of.ts';

/** Diameters are named by what the reply showed: to a tenth. */
const sameSize = 0.051;

/**
 * The newest tree of that species and diameter, in the stand in hand; an error says what is there.
 * `treeOf(context, { species: 531 })` is the beech said last.
 */
export function treeOf(context: Context, which: Which): Result<Tree, string> {
  const { units } = context.settings;
  const [found, ...others] = treesMeant(context, which);
  if (found !== undefined && others.length > 0 && which.middle === undefined)
    return err(`${whichOf([found, ...others], units)} Say the tree by its number.`);
  return found !== undefined ? ok(found) : err(noneSuch(which, units));
}

/** The tree that is meant, or those among which it is not plain; none where there is none. */
export function treesMeant(context: Context, which: Which): readonly Tree[] {
  const all = treesOf(context, which);
  const only = (tree: Tree | undefined): readonly Tree[] => (tree === undefined ? [] : [tree]);
  // "The second oak" is counted on the plot in hand, where there is one on it.
  const own = which.plot === undefined ? all.filter(({ plot }) => plot === context.deviceState.plot) : all;
  const here = own.length > 0 ? own : all;
  const latest = isNthAlone(which) ? lastSeries(context)[(which.nth ?? 0) - 1] : undefined;
  if (latest !== undefined) return [latest];
  if (which.most !== undefined) return foremostOf(here, which.most);
  // "The dead one" of several may be any of them.
  if (which.status !== undefined && which.species === undefined) return here;
  if (which.middle) return middleOf(context, here);
  if (which.back !== undefined) return only(all.at(-which.back));
  // Of a plot that is named nobody knows which was told last.
  if (which.plot !== undefined && which.nth === undefined) return here;
  return only(which.nth === undefined ? all.at(-1) : here[which.nth - 1]);
}

/** "The second one", of whatever kind. */
const isNthAlone = ({ nth, ...others }: Which): boolean =>
  nth !== undefined && Object.keys(others).length === 0;

/** Trees that were told last in one breath, or one after another as the same again; none where a single one was. */
function lastSeries({ book, deviceState }: Context): readonly Tree[] {
  const trees: Tree[] = [];
  let breath: string | undefined;
  for (const id of [...deviceState.entries].reverse()) {
    const tree = book.tree(id);
    const entry = book.entry(id);
    if (tree === null || entry === null || entry === undefined || tree.id !== id) continue;
    const [later] = trees;
    const goesOn =
      later === undefined ||
      (breath !== undefined && entry.breath?.id === breath) ||
      book.entry(later.id)?.note.kind === 'again';
    if (!goesOn || (later !== undefined && tree.plot !== later.plot)) break;
    breath = entry.breath?.id;
    trees.unshift(tree);
  }
  return trees.length > 1 ? trees : [];
}

/** The tree that is thinner, thicker, shorter or taller than all others, or those that are so alike. */
function foremostOf(trees: readonly Tree[], most: NonNullable<Which['most']>): readonly Tree[] {
  const high = most === 'tallest' || most === 'shortest';
  const sign = most === 'tallest' || most === 'thickest' ? -1 : 1;
  const sized = trees.flatMap((tree) => {
    const size = high ? tree.heightFt : tree.diameterIn;
    return size === null ? [] : [{ tree, size: sign * size }];
  });
  const least = Math.min(...sized.map(({ size }) => size));
  return sized.filter(({ size }) => size - least <= 1e-6).map(({ tree }) => tree);
}

/** The middle one: of the last breath, where that told three or five; else of all that are here, or of the last three. */
function middleOf({ book, deviceState }: Context, here: readonly Tree[]): readonly Tree[] {
  const breathOf = (id: string): string | undefined => book.entry(id)?.breath?.id;
  const last = deviceState.entries.flatMap(breathOf).at(-1);
  const breath = last === undefined ? [] : here.filter(({ id }) => breathOf(id) === last);
  const told = breath.length > 2 && breath.at(-1) === here.at(-1) ? [breath] : [here.slice(-3), here];
  const middles = told.flatMap((some) =>
    some.length > 2 && some.length % 2 === 1 ? (some[(some.length - 1) / 2] ?? []) : [],
  );
  return [...new Set(middles)];
}

/** "Tree two on point one": the tree of that number, or the second on that plot where it stands elsewhere. */
export function numberedOn(context: Context, number: number, plot: number | undefined): Tree | null {
  const { book } = context;
  const tree = book.treeNumbered(number);
  if (plot === undefined) return tree;
  const there = treesOf(context, { plot });
  return there.find(({ id }) => id === tree?.id) ?? there[number - 1] ?? null;
}

/** Several may be meant: which of them, each with the note that it stands for. */
export function askAmong(trees: readonly Tree[], note: (tree: number) => Note, units: Units): Outcome {
  const options = trees.map((tree) => ({ say: sayOf(tree, units), note: note(tree.number) }));
  return asking({ about: 'reading', text: whichOf(trees, units), options });
}

const sayOf = (tree: Tree, units: Units): string => `tree ${tree.number}, ${wording.treeFacts(tree, units)}`;
const whichOf = (trees: readonly Tree[], units: Units): string =>
  `Which: ${wording.list(
    trees.map((tree) => sayOf(tree, units)),
    'or',
  )}?`;

/** All trees of that species and diameter in the stand in hand, the oldest first. */
export function treesOf(context: Context, which: Which): readonly Tree[] {
  const { book, settings, device } = context;
  const stand = book.standOf(device)?.id ?? null;
  const on = which.plot === undefined ? undefined : (plotMeant(context, which.plot)?.id ?? null);
  if (on === null) return [];
  const isOf = which.species === undefined ? null : ofSpecies(context, which.species);
  return [...book.trees()].filter(
    (tree) =>
      tree.stand === stand &&
      (on === undefined || tree.plot === on) &&
      (isOf === null || isOf(tree)) &&
      (which.status === undefined || tree.status === which.status) &&
      (which.diameter === undefined || isOfSize(tree, which.diameter, settings.units)),
  );
}

/** Whether a tree is of a species as it was said: of one that the name may mean, or of its genus. */
export function ofSpecies(
  context: Context,
  said: SpeciesRef,
): (tree: Pick<Tree, 'species' | 'called'>) => boolean {
  const species = speciesNamed(context, said);
  const genus = typeof said === 'string' ? genusOfName(said) : undefined;
  const codes = 'code' in species ? [species.code] : [...species.codes, genus ?? 0];
  return (tree) =>
    tree.species === null ? isNamedWithin(context, tree.called, codes) : codes.includes(tree.species);
}

/** "White pine", which may be either of two, is a pine. */
function isNamedWithin(context: Context, name: string | null | undefined, codes: readonly number[]): boolean {
  if (name === null || name === undefined) return false;
  const species = speciesNamed(context, name);
  const meant = 'code' in species ? [species.code] : species.codes;
  return meant.length > 0 && meant.every((code) => codes.includes(code));
}

export function isOfSize({ diameterIn }: Pick<Tree, 'diameterIn'>, said: number, units: Units): boolean {
  if (diameterIn === null) return false;
  const shown = units === 'metres' ? inchesToCentimetres(diameterIn) : diameterIn;
  return Math.abs(shown - said) <= sameSize;
}

export function noneSuch(which: Which, units: Units): string {
  const name = which.species === undefined ? null : wording.speciesName(which.species);
  const size =
    which.diameter === undefined
      ? ''
      : units === 'metres'
        ? ` of ${wording.digits(which.diameter, 1)} centimetres`
        : ` of ${wording.digits(which.diameter, 1)} inches`;
  if (which.most !== undefined)
    return `No ${/tallest|shortest/.test(which.most) ? 'height' : 'diameter'} of such a tree yet, so I cannot tell the ${which.most}.`;
  const state = which.status === undefined ? '' : `${which.status} `;
  const where = which.plot === undefined ? 'here' : `on plot ${which.plot}`;
  return `There is no ${state}${name ?? 'tree'}${size} ${where}. Say the tree by its number.`;
}

/**
 * What is told of a tree by its kind where none such stands yet: it may be the first of them. Undefined where it was told of
 * nothing that begins a tree. `none` says that there is none.
 */
export function askWhetherNew(
  which: Which | undefined,
  facts: TreeFacts,
  height: Pick<NoteOf<'tree'>, 'height'>,
  none: string,
): Outcome | undefined {
  if (which?.species === undefined || which.nth !== undefined || which.most !== undefined) return undefined;
  if (which.plot !== undefined) return undefined;
  const { species, diameter } = which;
  if (diameter !== undefined && facts.diameter !== undefined) return undefined;
  const size = diameter === undefined ? {} : { diameter: { value: diameter } };
  return asking({
    about: 'confirm',
    text: none.replace('Say the tree by its number.', 'Is it a new tree?'),
    options: [
      { say: 'a new tree', note: { kind: 'tree', facts: { species, ...size, ...facts }, ...height } },
    ],
  });
}
