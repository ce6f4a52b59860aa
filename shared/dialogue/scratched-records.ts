/** Trees, plots and legs that are taken back by their number or by what they are. */
import type { Tree } from '../book/book.ts';
import type { EdgeWalk } from '../book/land-records.ts';
import type { Which } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { nameOfEntry } from './naming.ts';
import { asking, type Context, type Outcome, refused } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { takeOf } from './readings-back.ts';
import { settingsKept, takenBack, turnedEntries } from './taken-back.ts';
import { treeOf, treesOf } from './which-tree.ts';

/** "Scratch the beech", "remove both redbuds", "throw out the 66". */
export function scratchKind(context: Context, which: Which, count: number | undefined): Outcome {
  const take =
    which.species === undefined && which.nth === undefined ? takeOf(context, which.diameter) : null;
  const all = treesOf(context, which);
  if (take !== null && all.length === 0) return take;
  if (take !== null)
    return refused(
      'That may be a take of the height or a tree. Say the tree by its number, or the height again.',
    );
  if (count === undefined || all.length === 0) {
    const tree = treeOf(context, which);
    if (!tree.ok) return refused(tree.error);
    return askWhereElse(context, which, tree.value) ?? scratchTree(context, tree.value.number);
  }
  if (all.length !== count) {
    const numbers = wording.list(
      all.map(({ number }) => String(number)),
      'and',
    );
    const [first] = all;
    return refused(
      `There ${all.length === 1 ? 'is one' : `are ${all.length}`}: ${all.length === 1 ? 'tree' : 'trees'} ${numbers}. Say which, such as scratch tree ${first?.number}.`,
    );
  }
  const { book, settings } = context;
  const entries = all.flatMap(({ id }) => book.entry(id) ?? []);
  return takenBack(
    context,
    [...turnedEntries(entries, book), ...settingsKept(entries)],
    all.map((tree) => `tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}`),
  );
}

/** A tree that stands on another plot than the one in hand is asked about, unless its plot was named. */
function askWhereElse(context: Context, which: Which, tree: Tree): Outcome | null {
  const { book, deviceState, settings } = context;
  const plot = book.plot(tree.plot);
  const left = plot !== null && tree.plot !== deviceState.plot && (deviceState.plot !== null || plot.closed);
  if (which.plot !== undefined || !left || tree.id === book.lastTree?.id) return null;
  return asking({
    about: 'confirm',
    text: `None here. Scratch tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}, on plot ${plot.number}?`,
    options: [{ say: 'scratch it', note: { kind: 'scratch', tree: tree.number } }],
  });
}

export function scratchTree(context: Context, number: number): Outcome {
  const { book, settings } = context;
  const tree = book.treeNumbered(number);
  const entry = tree && book.entry(tree.id);
  if (!tree || !entry)
    return refused(
      book.takenBackTree(number)
        ? `Tree ${number} is scratched already. Say restore tree ${number} to have it back.`
        : `There is no tree ${number}.`,
    );
  const height =
    tree.heightFt === null ? '' : `, ${wording.length(tree.heightFt, settings.units, tree.heightSdFt ?? 1)}`;
  return takenBack(
    context,
    [...turnedEntries([entry], context.book), ...settingsKept([entry])],
    [`tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}${height}`],
  );
}

/** The walk that a leg is of: that under way here, else the last one. */
export const walkMeant = ({ book, device }: Context): EdgeWalk | null => {
  const walks = [...book.land.walks.values()];
  return walks.findLast((walk) => walk.device === device) ?? walks.at(-1) ?? null;
};

export function scratchLeg(context: Context, number: number): Outcome {
  const { book, settings, tongue } = context;
  const walk = walkMeant(context);
  const leg = walk?.legs.find((one) => one.number === number);
  const entry = leg && book.entry(leg.entry);
  if (!entry)
    return refused(
      walk && book.land.takenBackLeg(walk.id, number)
        ? `Leg ${number} is scratched already. Say restore leg ${number} to have it back.`
        : `There is no leg ${number}.`,
    );
  return takenBack(context, turnedEntries([entry], context.book), [
    nameOfEntry(book, tongue, entry, settings.units),
  ]);
}

/** A plot with all its trees. The plot that it closed stays closed. */
export function scratchPlot(context: Context, number: number): Outcome {
  const { book, device, settings } = context;
  const stand = book.standOf(device)?.id ?? null;
  const plot = plotMeant(context, number);
  const entry = plot && book.entry(plot.id);
  if (!plot || !entry)
    return refused(
      book.takenBackPlot(number, stand)
        ? `Plot ${number} is scratched already. Say restore plot ${number} to have it back.`
        : `There is no plot ${number}.`,
    );
  const trees = [...book.trees()].filter((tree) => tree.plot === plot.id);
  const entries = [entry, ...trees.flatMap((tree) => book.entry(tree.id) ?? [])];
  const closings = entry.acts.filter(
    (act) => act.act === 'plotAmend' && act.closed && act.target !== plot.id,
  );
  const what = plot.size ? `, ${wording.plotSize(plot, settings.units)}` : '';
  const count = trees.reduce((sum, tree) => sum + tree.count, 0);
  const withTrees = count === 0 ? '' : `, with its ${count === 1 ? 'tree' : wording.treeCount(count)}`;
  return takenBack(
    context,
    [...turnedEntries(entries, context.book), ...closings, ...settingsKept(entries)],
    [`plot ${plot.number}${what}${withTrees}`],
  );
}
