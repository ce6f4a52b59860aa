/**
 * Trees that are counted and not measured: so many on a plot, those on its border, and what is told later of some of
 * several that were counted together.
 */
import type { Tree } from '../book/book.ts';
import { required } from '../core/required.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Note, NoteOf, TreeFacts } from '../note/note.ts';
import { borderMark, type PlotRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { kindInUse, kindOfSize, plotMeant } from './plot-meant.ts';
import { speciesQuestion, treeFields } from './trees.ts';
import { noneSuch, treesOf } from './which-tree.ts';

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

/** What a tree lacks of what is told of it. */
const lacks = (tree: Tree, facts: TreeFacts): boolean =>
  (facts.diameter === undefined || tree.diameterIn === null) &&
  (facts.status === undefined || tree.status !== facts.status) &&
  (facts.logs === undefined || tree.logs === null) &&
  (facts.marks === undefined || !facts.marks.every((mark) => tree.marks.includes(mark)));

/**
 * "One of those pines is dead", "the pines at point three were 12, 12, 15": some of several are told apart. Trees that were
 * counted together go into a record of their own, and the others stay as they were.
 */
export function partOutcome(context: Context, note: NoteOf<'change'>): Outcome {
  const { book, settings, deviceState } = context;
  const { part = 1, of = {}, facts = {}, on } = note;
  const plot = on === undefined ? null : plotMeant(context, on);
  if (on !== undefined && plot === null) return refused(`There is no plot ${on}.`);
  const all = note.of
    ? treesOf(context, of).filter((tree) => plot === null || tree.plot === plot.id)
    : toldLast(context);
  if (all.length === 0)
    return refused(
      note.of ? noneSuch(of, settings.units) : 'Of which trees? Say what they are: one of the pines is dead.',
    );
  const open = all.filter((tree) => lacks(tree, facts));
  // Of several plots that in hand is meant, else the last one with such a tree.
  const here = open.some((tree) => tree.plot === deviceState.plot)
    ? deviceState.plot
    : (open.at(-1)?.plot ?? null);
  const found = open.filter((tree) => tree.plot === here);
  const made = treeFields(context, facts);
  if (!made.ok) return refused(made.error);
  const { fields, askAmong } = made.value;
  const several = found.findLast((tree) => tree.count > 1 && tree.count >= part);
  const named = (tree: Tree | null): string =>
    tree === null ? '' : `Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}.`;
  if (several !== undefined) return splitOff(context, several, part, { fields, askAmong, facts, named });
  const singles = found.filter((tree) => tree.count === 1);
  if (singles.length < part) {
    const name = of.species === undefined ? 'trees' : wording.speciesName(of.species);
    const where = book.plot(here) ?? plot;
    return refused(
      `There are no ${part > 1 ? `${part} ` : ''}${name} ${where ? `on plot ${where.number} ` : ''}of which that is not told yet.`,
    );
  }
  const size = singles[0]?.diameterIn ?? null;
  if (singles.length > part && !singles.every(({ diameterIn }) => diameterIn === size))
    return askWhich(context, singles, part, facts);
  const meant = singles.slice(-part);
  return kept(
    meant.map((tree): Act => ({ act: 'amend', target: tree.id, fields })),
    (after) => meant.map((tree) => named(after.tree(tree.id))).join(' '),
  );
}

/** "Three of them": the trees that were told last, where they were told together. */
function toldLast(context: Context): readonly Tree[] {
  const last = treesOf(context, {}).at(-1);
  return last === undefined || last.count < 2 ? [] : [last];
}

interface Told {
  readonly fields: TreeFields;
  readonly askAmong: readonly number[] | null;
  readonly facts: TreeFacts;
  readonly named: (tree: Tree | null) => string;
}

function splitOff({ id }: Context, several: Tree, part: number, told: Told): Outcome {
  const { fields, askAmong, facts, named } = told;
  const whole = several.count === part;
  const target = whole ? several.id : id;
  const { species, called, diameterIn, status, marks, logs, merchFt, counted, half, plot } = several;
  const acts: Act[] = whole
    ? [{ act: 'amend', target: several.id, fields }]
    : [
        { act: 'amend', target: several.id, fields: { count: several.count - part } },
        {
          act: 'tree',
          id,
          fields: {
            species,
            ...(called ? { called } : {}),
            diameterIn,
            status,
            ...(marks.length > 0 ? { marks: [...marks] } : {}),
            logs,
            merchFt,
            ...(counted ? {} : { counted }),
            ...(half ? { half } : {}),
            ...(plot === null ? {} : { plot }),
            count: part,
            ...fields,
          },
        },
      ];
  const say: Outcome['say'] = (after) =>
    whole ? named(after.tree(target)) : `${named(after.tree(several.id))} ${named(after.tree(id))}`;
  if (askAmong === null) return kept(acts, say);
  const which = speciesQuestion(String(facts.species), askAmong, target);
  return { ...asking(which, acts), say: (after, now) => `${say(after, now)} ${which.text}` };
}

/** Several that differ: which of them it is. */
function askWhich(context: Context, trees: readonly Tree[], part: number, facts: TreeFacts): Outcome {
  const { units } = context.settings;
  const names = trees.map((tree) => `tree ${tree.number}, ${wording.treeFacts(tree, units)}`);
  if (part > 1) return refused(`Which of them: ${wording.list(names, 'or')}? Say each by its number.`);
  const options = trees.slice(0, 6).map((tree) => ({
    say: `tree ${tree.number}`,
    note: { kind: 'change', tree: tree.number, facts } as Note,
  }));
  return asking({ about: 'reading', text: `Which one: ${wording.list(names, 'or')}?`, options });
}
