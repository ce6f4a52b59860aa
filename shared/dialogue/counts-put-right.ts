/** How many there were put right ("make that seven beech", "just the one beech"), and a tree that was taken back as another. */
import type { Tree } from '../book/book.ts';
import type { Act } from '../note/acts.ts';
import { type NoteOf, type SpeciesRef, type TreeFacts, turnsEntries } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { standing } from './device-entries.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { scratchTree } from './scratched-records.ts';
import { treeFields, treeOutcome } from './trees.ts';
import { isOfSize, treesOf } from './which-tree.ts';

type Change = NoteOf<'change'>;

/** So many of a kind, and nothing else: a bare whole number before a name may be how many there are. */
function countSaid({ facts, number, distance, of }: Change): number | null {
  const { species, count, diameter, ...others } = facts ?? {};
  // "Beech is seven": of a kind that was counted.
  if (of !== undefined && facts === undefined && number?.unit === undefined)
    return number !== undefined && Number.isInteger(number.value) ? number.value : null;
  if (species === undefined || Object.keys(others).length > 0 || number || distance) return null;
  if (count !== undefined) return diameter === undefined || count === 1 ? count : null;
  const plain = diameter !== undefined && diameter.unit === undefined && diameter.girth === undefined;
  return plain && Number.isInteger(diameter.value) ? diameter.value : null;
}

/** A change of how many trees of a kind were counted on the plot in hand; null where none were counted so. */
export function countsPutRight(context: Context, note: Change): Outcome | null {
  const { deviceState } = context;
  const count = countSaid(note);
  const species = kindCounted(note);
  if (count === null || species === undefined || note.tree !== undefined) return null;
  const here = treesOf(context, { species }).filter(({ plot }) => plot === deviceState.plot);
  const counted = here.filter((tree) => tree.diameterIn === null || tree.count > 1);
  const said = note.facts?.count !== undefined;
  const thick = note.facts?.diameter;
  const lots = said
    ? thick === undefined
      ? counted
      : []
    : counted.filter(({ diameterIn }) => diameterIn === null);
  const lot = lots.at(-1);
  if (lot !== undefined) return withCount(context, lot, count);
  if (!said || count !== 1) return null;
  if (thick === undefined) return oneOfTwo(context, here);
  const { units } = context.settings;
  const sized = here.filter((tree) => isOfSize(tree, thick.value, units));
  // "Only one ash of twelve": where none is told yet, that one.
  return sized.length > 0
    ? oneOfTwo(context, sized)
    : treeOutcome(context, { kind: 'tree', facts: { species, diameter: thick } });
}

/** The kind alone by which trees are named; undefined where more is said of them. */
function kindCounted({ of, facts }: Change): SpeciesRef | undefined {
  if (of === undefined) return facts?.species;
  return Object.keys(of).length === 1 && facts === undefined ? of.species : undefined;
}

const withCount = ({ settings: { units } }: Context, lot: Tree, count: number): Outcome =>
  kept([{ act: 'amend', target: lot.id, fields: { count } }], (after) => {
    const tree = after.tree(lot.id);
    return tree ? `Tree ${tree.number} is now ${wording.treeFacts(tree, units)}.` : 'Changed.';
  });

/** "Just the one beech" of two that are alike and were told last: the later one goes. */
function oneOfTwo(context: Context, here: readonly Tree[]): Outcome | null {
  const [one, two] = here.slice(-2);
  if (one === undefined) return refused('No such tree stands on this plot. Nothing is changed.');
  if (two === undefined) return refused(`There is one: tree ${one.number}. Nothing is changed.`);
  const alike = one.diameterIn === two.diameterIn;
  return alike ? scratchTree(context, two.number) : null;
}

/** Trees that the last thing that was done took back; none where anything was told since. */
function justTakenBack({ book, deviceState }: Context): readonly string[] {
  for (const entry of standing(book, deviceState)) {
    // What was only asked did nothing since.
    if (entry.acts.length === 0) continue;
    if (!turnsEntries(entry.note)) return [];
    const gone = entry.acts.flatMap((act) => (act.act === 'retract' ? act.targets : []));
    return gone.filter((id) => book.entry(id)?.acts.some(({ act }) => act === 'tree') === true);
  }
  return [];
}

const isSpeciesAlone = (facts: TreeFacts | undefined): boolean =>
  facts?.species !== undefined && Object.keys(facts).length === 1;

/**
 * "It was a basswood, same size" right behind a tree that was taken back: that tree comes back so. Without a word for it, it
 * may be the tree in hand as well, which is asked. Null where nothing was taken back just now.
 */
export function takenBackAs(context: Context, note: Change): Outcome | null {
  const { book, settings } = context;
  if (note.tree !== undefined || note.of !== undefined || !isSpeciesAlone(note.facts)) return null;
  const [id, ...others] = justTakenBack(context);
  const entry = id === undefined ? undefined : book.entry(id);
  const act = entry?.acts.find((one): one is Extract<Act, { act: 'tree' }> => one.act === 'tree');
  if (id === undefined || others.length > 0 || act === undefined) return null;
  const inHand = book.tree(context.deviceState.tree);
  if (!note.back && inHand !== null) {
    const size =
      act.fields.diameterIn == null ? '' : ` of ${wording.diameter(act.fields.diameterIn, settings.units)}`;
    return asking({
      about: 'reading',
      text: `The tree${size} that was scratched, or tree ${inHand.number}, ${wording.treeFacts(inHand, settings.units)}?`,
      options: [
        { say: 'the one that was scratched', note: { ...note, back: true } },
        { say: `tree ${inHand.number}`, note: { ...note, tree: inHand.number } },
      ],
    });
  }
  const made = treeFields(context, note.facts ?? {});
  if (!made.ok) return refused(made.error);
  const acts: Act[] = [
    { act: 'restore', targets: [id] },
    { act: 'amend', target: id, fields: made.value.fields },
  ];
  return kept(acts, (after) => {
    const tree = after.tree(id);
    return tree
      ? `Tree ${tree.number} is back as ${wording.treeFacts(tree, settings.units)}.`
      : 'Back again.';
  });
}
