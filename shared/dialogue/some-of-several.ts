/** What is told later of some of several trees that were told together: "one of the six is dead", "both of the pears are". */
import type { Tree } from '../book/book.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Note, NoteOf, TreeFacts } from '../note/note.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { speciesQuestion, treeFields } from './trees.ts';
import { noneSuch, treesOf } from './which-tree.ts';

/** What a tree lacks of what is told of it. */
const lacks = (tree: Tree, facts: TreeFacts): boolean =>
  (facts.diameter === undefined || tree.diameterIn === null) &&
  (facts.status === undefined || tree.status !== facts.status) &&
  (facts.logs === undefined || tree.logs === null) &&
  (facts.marks === undefined || !facts.marks.every((mark) => tree.marks.includes(mark)));

type Change = NoteOf<'change'>;

/**
 * "One of those pines is dead", "the pines at point three were 12, 12, 15": some of several are told apart. Trees that were
 * counted together go into a record of their own, and the others stay as they were.
 */
export function partOutcome(context: Context, note: Change): Outcome {
  const { book, settings, deviceState } = context;
  const { part = 1, of = {}, facts = {}, on } = note;
  const plot = on === undefined ? null : plotMeant(context, on);
  if (on !== undefined && plot === null) return refused(`There is no plot ${on}.`);
  const all = note.of
    ? treesOf(context, of).filter((tree) => plot === null || tree.plot === plot.id)
    : toldLast(context, note.among);
  if (all.length === 0) return refused(noneTold(context, note));
  const open = all.filter((tree) => lacks(tree, facts));
  // Of several plots that in hand is meant, else the last one with such a tree.
  const here = open.some((tree) => tree.plot === deviceState.plot)
    ? deviceState.plot
    : (open.at(-1)?.plot ?? null);
  const found = open.filter((tree) => tree.plot === here);
  const others = found.length === 0 ? null : otherCount(note, all, here);
  if (others !== null) return refused(others);
  const made = treeFields(context, facts);
  if (!made.ok) return refused(made.error);
  const { fields, askAmong } = made.value;
  const several = found.findLast((tree) => tree.count > 1 && tree.count >= part);
  const named = (tree: Tree | null): string =>
    tree === null ? '' : `Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}.`;
  if (several !== undefined) return splitOff(context, several, part, { fields, askAmong, facts, named });
  const meant = singlesMeant(context, note, found);
  if (meant === null) {
    const name = of.species === undefined ? 'trees' : wording.speciesName(of.species);
    const where = book.plot(here) ?? plot;
    return refused(
      `There are no ${part > 1 ? `${part} ` : ''}${name} ${where ? `on plot ${where.number} ` : ''}of which that is not told yet.`,
    );
  }
  if (!Array.isArray(meant)) return meant;
  return kept(
    meant.map((tree): Act => ({ act: 'amend', target: tree.id, fields })),
    (after) => meant.map((tree) => named(after.tree(tree.id))).join(' '),
  );
}

/** Which of trees that stand by themselves; null where they are too few, a question where it may be any of them. */
function singlesMeant(context: Context, note: Change, found: readonly Tree[]): Tree[] | Outcome | null {
  const { part = 1, among, facts = {} } = note;
  const singles = found.filter((tree) => tree.count === 1);
  // "Both are dead" of two of which one is dead already; "three of the four" may be any.
  if (among === part && singles.length > 0 && found.length === singles.length) return singles;
  if (among !== undefined && singles.length !== among)
    return askWhich(context, singles, Math.max(part, 2), facts);
  if (singles.length < part) return null;
  const size = singles[0]?.diameterIn ?? null;
  if (singles.length > part && !singles.every(({ diameterIn }) => diameterIn === size))
    return askWhich(context, singles, part, facts);
  return singles.slice(-part);
}

function noneTold({ settings }: Context, { among, of }: Change): string {
  if (of !== undefined) return noneSuch(of, settings.units);
  return among === undefined
    ? 'Of which trees? Say what they are: one of the pines is dead.'
    : `I know of no ${among} trees that were told together. Say what they are, or each by its number.`;
}

/** That there are so many of them, where another count was said; null where it is the same. */
function otherCount({ among, of }: Change, all: readonly Tree[], plot: string | null): string | null {
  const count = countOf(all.filter((tree) => tree.plot === plot));
  if (of === undefined || among === undefined || count === among) return null;
  const name = of.species === undefined ? 'them' : wording.speciesName(of.species);
  return `I know ${wording.treeCount(count)} of ${name} here, not ${among}. Say each by its number.`;
}

const countOf = (trees: readonly Tree[]): number => trees.reduce((sum, { count }) => sum + count, 0);

/** "Three of them", "one of the six" (`among`): the trees that were told last, where they were told together. */
function toldLast(context: Context, among: number | undefined): readonly Tree[] {
  const all = treesOf(context, {});
  if (among === undefined) {
    const last = all.at(-1);
    return last === undefined || last.count < 2 ? [] : [last];
  }
  // Some of them may be told apart already.
  const { plot } = context.deviceState;
  const here = all.filter((tree) => tree.plot === plot);
  const lot = here.findLast(({ count }) => count === among);
  if (lot !== undefined) return [lot];
  const last = here.at(-1);
  const other = here.findLastIndex((tree) => last === undefined || speciesKey(tree) !== speciesKey(last));
  const alike = here.slice(other + 1);
  return countOf(alike) === among ? alike : [];
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
