/** Trees that are counted and not measured: so many on a plot, and those on its border. */
import type { Tree } from '../book/book.ts';
import { required } from '../core/required.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { NoteOf } from '../note/note.ts';
import { borderMark, type PlotRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';
import { kindInUse, kindOfSize, plotMeant } from './plot-meant.ts';

const isOnBorder = ({ marks }: Tree): boolean => marks.includes(borderMark);
const isBare = ({ species, called, diameterIn }: Tree): boolean =>
  species === null && (called ?? null) === null && diameterIn === null;

const nameOfLot = (tree: Tree): string =>
  isBare(tree)
    ? wording.treeCount(tree.count)
    : `${tree.count} ${wording.speciesName(tree.species ?? tree.called ?? null)}`;

const treesOnPlot = ({ book }: Context, { id }: PlotRecord): Tree[] =>
  [...book.trees()].filter(({ plot }) => plot === id);

/** "Plot four was six trees": the count of a plot, put right where there is one already. */
export function countOutcome(context: Context, note: NoteOf<'plot'>): Outcome {
  const { book, deviceState, id } = context;
  const { count, number } = note;
  const plot = number === undefined ? book.plot(deviceState.plot) : plotMeant(context, number);
  if (!plot)
    return refused(
      number === undefined
        ? 'No plot is open. Say its number first, such as plot one, six trees.'
        : `There is no plot ${number}. Say plot ${number}, then its trees.`,
    );
  if (count === undefined) return refused(`How many trees are on plot ${plot.number}?`);
  const trees = treesOnPlot(context, plot);
  const say: Outcome['say'] = (after) =>
    `Plot ${plot.number}: ${wording.treeCount(after.ledger.treesOnPlot(plot.id))}.`;
  if (trees.length === 0) {
    const reopened: Act[] = plot.empty ? [{ act: 'plotAmend', target: plot.id, empty: false }] : [];
    return kept([...reopened, { act: 'tree', id, fields: { count, plot: plot.id } }, { act: 'next' }], say);
  }
  const [sure, ...others] = trees.filter((tree) => !isOnBorder(tree));
  const border = trees.filter(isOnBorder).reduce((sum, tree) => sum + tree.count, 0);
  const told = sure !== undefined && others.length === 0 && (isBare(sure) || trees.length === 1);
  if (!told || border >= count)
    return refused(
      `Plot ${plot.number} has ${wording.list(trees.map((tree) => nameOfLot(tree)))}. Say which of them is wrong, such as tree ${required(trees[0], 'a tree').number}.`,
    );
  // Of all that were counted those on the border are told apart already.
  return kept([{ act: 'amend', target: sure.id, fields: { count: count - border } }], say);
}

/** "Count borderlines as half": those that were told, and by the last of them those that are told later. */
export function bordersOutcome(context: Context, note: NoteOf<'plot'>): Outcome {
  const { book, device } = context;
  const stand = book.standOf(device)?.id ?? null;
  const { border = 'half', number } = note;
  const plot = number === undefined ? null : plotMeant(context, number);
  if (number !== undefined && plot === null) return refused(`There is no plot ${number}.`);
  const kind = kindInUse(context);
  const ofKind = (id: string | null): boolean => kindOfSize(book.plot(id)?.size ?? null) === kind;
  const found = [...book.trees()].filter(
    (tree) =>
      isOnBorder(tree) && tree.stand === stand && (plot === null ? ofKind(tree.plot) : tree.plot === plot.id),
  );
  if (found.length === 0) return refused('No borderline tree was told here yet. Say it behind the tree.');
  const fields: TreeFields = { counted: border !== 'out', half: border === 'half' };
  const plots = [...new Set(found.map((tree) => tree.plot))];
  const count = found.reduce((sum, tree) => sum + tree.count, 0);
  const how = { in: 'in full', out: 'not at all', half: 'half' }[border];
  return kept(
    found.map((tree): Act => ({ act: 'amend', target: tree.id, fields })),
    (after) => {
      const sums = plots.flatMap((id) => {
        const on = after.plot(id);
        return on ? [`plot ${on.number} has ${wording.treeCount(after.ledger.treesOnPlot(on.id))}`] : [];
      });
      return `${wording.sentence(wording.treeCount(count))} on the border, counted ${how}${sums.length > 0 ? `: ${wording.list(sums)}` : ''}.`;
    },
  );
}
