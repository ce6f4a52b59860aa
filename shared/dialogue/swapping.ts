/** "Swap those two": what was told of two trees is of each other. Where they differ in several things it is asked in which. */
import type { Tree } from '../book/book.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Note, NoteOf } from '../note/note.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { treeOf, treesOf } from './which-tree.ts';

type Swap = NonNullable<NoteOf<'change'>['swap']>;

/** What two trees may have of each other. */
const parts = {
  height: {
    words: 'the heights',
    differ: (a, b) => a.heightFt !== null || b.heightFt !== null,
    acts: (context, a, b) => [...heightsTo(context, a, b), ...heightsTo(context, b, a)],
  },
  diameter: {
    words: 'the diameters',
    differ: (a, b) => a.diameterIn !== b.diameterIn,
    acts: (_, a, b) => fieldsOf(a, b, ({ diameterIn }) => ({ diameterIn })),
  },
  species: {
    words: 'the species',
    differ: (a, b) => speciesKey(a) !== speciesKey(b),
    acts: (_, a, b) => fieldsOf(a, b, ({ species, called }) => ({ species, called: called ?? null })),
  },
} satisfies Record<
  Exclude<NonNullable<Swap['what']>, 'all'>,
  {
    words: string;
    differ: (a: Tree, b: Tree) => boolean;
    acts: (context: Context, a: Tree, b: Tree) => Act[];
  }
>;
const partNames = Object.keys(parts) as (keyof typeof parts)[];

const heightsTo = ({ book }: Context, from: Tree, to: Tree): Act[] =>
  from.heights.filter((id) => book.height(id)).map((target) => ({ act: 'assign', target, tree: to.id }));

const fieldsOf = (a: Tree, b: Tree, fields: (tree: Tree) => TreeFields): Act[] => [
  { act: 'amend', target: a.id, fields: fields(b) },
  { act: 'amend', target: b.id, fields: fields(a) },
];

/** "Swap those two": asked of what, where they differ in several things. */
export function swapped(context: Context, swap: Swap): Outcome {
  const { book, settings } = context;
  const pair = pairMeant(context, swap);
  if (typeof pair === 'string') return refused(pair);
  const [a, b] = pair;
  const differing = partNames.filter((name) => parts[name].differ(a, b));
  const names = `tree ${a.number} and tree ${b.number}`;
  const { what } = swap;
  const meant = what === 'all' ? differing : what !== undefined ? [what] : differing;
  const some = meant.filter((name) => differing.includes(name));
  if (some.length === 0)
    return refused(
      `There is nothing to swap: ${names} have ${what === undefined || what === 'all' ? 'the same' : `${parts[what].words.replace('the ', 'the same ')}, or none`}.`,
    );
  if (what === undefined && some.length > 1) {
    const trees: [number, number] = [a.number, b.number];
    const options = [
      ...some.map((name) => ({
        say: parts[name].words,
        note: { kind: 'change', swap: { what: name, trees } } satisfies Note,
      })),
      { say: 'all of it', note: { kind: 'change', swap: { what: 'all', trees } } satisfies Note },
    ];
    return asking({
      about: 'reading',
      text: `Swap what of ${names}: ${wording.list(
        options.map(({ say }) => say),
        'or',
      )}?`,
      options,
    });
  }
  const acts = some.flatMap((name) => parts[name].acts(context, a, b));
  return kept(acts, (after) => {
    const told = [a, b]
      .map(({ id }) => book.tree(id) ?? after.tree(id))
      .flatMap((tree) => {
        const now = tree && after.tree(tree.id);
        if (!now) return [];
        const height =
          now.heightFt === null
            ? ''
            : `, ${wording.length(now.heightFt, settings.units, now.heightSdFt ?? 1)}`;
        return [`tree ${now.number} is ${wording.treeFacts(now, settings.units)}${height}`];
      });
    return `Swapped ${wording.list(some.map((name) => parts[name].words))}: ${told.join('; ')}.`;
  });
}

/** The two trees, or why there are none. */
function pairMeant(context: Context, { trees, kinds }: Swap): readonly [Tree, Tree] | string {
  if (trees !== undefined) {
    const [a, b] = trees.map((number) => context.book.treeNumbered(number));
    if (!a || !b) return `There is no tree ${a ? trees[1] : trees[0]}.`;
    return a.id === b.id ? 'Say two trees.' : [a, b];
  }
  if (kinds !== undefined) {
    const [a, b] = kinds.map((species) => treeOf(context, { species }));
    if (!a?.ok) return a?.error ?? 'Say two trees.';
    if (!b?.ok) return b?.error ?? 'Say two trees.';
    return a.value.id === b.value.id ? 'Say two trees.' : [a.value, b.value];
  }
  const [a, b] = treesOf(context, {}).slice(-2);
  return a && b ? [a, b] : 'There are no two trees here yet to swap.';
}
