/** What was said last is done over to the tree that was meant: "not the pine, the hemlock", "I meant tree two". */
import type { Tree } from '../book/book.ts';
import type { Act } from '../note/acts.ts';
import { type Entry, meantBy } from '../note/journal.ts';
import { type Note, type NoteOf, type SpeciesRef, turnsEntries } from '../note/note.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { lastInHand } from './another-tree.ts';
import { type AsSaid, change, instead } from './corrections.ts';
import { standing, treeOfAct } from './device-entries.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { scratchTree } from './scratched-records.ts';
import { turnedEntries } from './taken-back.ts';
import { askAmong, ofSpecies, treesMeant } from './which-tree.ts';

type Change = NoteOf<'change'>;

/** "Not the pine, the hemlock": what was said last is done over to that tree. */
export function meantOfAnother(
  context: Context,
  note: Change,
  meant: NonNullable<Change['meant']>,
  asSaid: AsSaid,
): Outcome {
  const [entry] = saidOfTree(context);
  if (entry === undefined) return refused('Nothing was said of a tree just before.');
  const was = treeOfEntry(context, entry);
  const denied = was === null ? null : deniedWrongly(context, note, was);
  if (denied !== null) return refused(denied);
  const others = othersMeant(context, meant).filter((tree) => tree.id !== was?.id);
  const kind = meant.which?.species;
  const asKind =
    was === null || kind === undefined ? null : ofKind(context, { entry, was, kind, others }, asSaid);
  if (asKind !== null) return asKind;
  const [only, another] = others;
  if (only === undefined) {
    const name = kind === undefined ? 'tree' : wording.speciesName(kind);
    const none = `There is no other ${name} here. Say the tree by its number.`;
    return refused(meant.tree === undefined ? none : `There is no tree ${meant.tree}.`);
  }
  if (another !== undefined)
    return askAmong(others, (tree) => ({ kind: 'change', meant: { tree } }), context.settings.units);
  return doneOver(context, entry, only, asSaid);
}

function othersMeant(context: Context, { tree, which }: NonNullable<Change['meant']>): readonly Tree[] {
  if (tree === undefined) return treesMeant(context, which ?? {});
  const numbered = context.book.treeNumbered(tree);
  return numbered === null ? [] : [numbered];
}

/** What was said last was of another tree than the one that it is denied of. */
function deniedWrongly(context: Context, { tree, of }: Change, was: Tree): string | null {
  if (tree !== undefined && tree !== was.number)
    return `That was of tree ${was.number}, not of tree ${tree}. Nothing is changed.`;
  if (of?.species === undefined || ofSpecies(context, of.species)(was)) return null;
  const is = speciesKey(was);
  const name = is === null ? 'of no species yet' : wording.speciesName(is);
  return `Tree ${was.number} is ${name}, no ${wording.speciesName(of.species)}. Nothing is changed.`;
}

/**
 * The name that was meant is what the tree is: where it began just now, or where there is no other such tree. Where it was not
 * pointed at, either may be meant; null where only another tree may.
 */
function ofKind(
  context: Context,
  { entry, was, kind, others }: { entry: Entry; was: Tree; kind: SpeciesRef; others: readonly Tree[] },
  asSaid: AsSaid,
): Outcome | null {
  const means: Note = { kind: 'change', tree: was.number, facts: { species: kind } };
  const [first] = others;
  const begun = entry.acts.some(({ act }) => act === 'tree');
  if (begun || first === undefined) return { ...change(context, means, asSaid), means };
  if (pointed(context, entry)) return null;
  const options: { say: string; note: Note }[] = [
    { say: `tree ${was.number} is ${wording.speciesName(kind)}`, note: means },
    { say: `that was of tree ${first.number}`, note: { kind: 'change', meant: { tree: first.number } } },
  ];
  const says = options.map(({ say }) => say);
  return asking({ about: 'reading', text: `Which: ${wording.list(says, 'or')}?`, options });
}

/** Whether the tree of an entry was named, or taken in hand just before: then another may have been meant. */
function pointed(context: Context, entry: Entry): boolean {
  const means = meantBy(entry);
  return (
    turnsEntries(means) ||
    means.kind === 'hand' ||
    (means.kind === 'change' && (means.tree !== undefined || means.of !== undefined)) ||
    lastInHand(context) === 'hand' ||
    wasHandedBefore(context, entry)
  );
}

/** The entry right before it took the tree in hand. */
function wasHandedBefore({ book, deviceState }: Context, { id }: Entry): boolean {
  const before = book.entry(deviceState.entries[deviceState.entries.indexOf(id) - 1] ?? '');
  return before?.note.kind === 'hand';
}

/** The last entries that told something of a tree, or took one in hand, or back, the newest first. */
function* saidOfTree({ book, deviceState }: Context): Iterable<Entry> {
  for (const entry of standing(book, deviceState))
    if (
      entry.acts.some((act) => /^(?:tree|amend|height|remeasure|assign|hand|remark|retract)$/.test(act.act))
    )
      yield entry;
}

/** The tree that an entry is about. */
function treeOfEntry({ book }: Context, { acts }: Entry): Tree | null {
  for (const act of acts) {
    const tree = book.tree(treeOfAct(book, act));
    if (tree !== null) return tree;
  }
  return null;
}

function doneOver(context: Context, entry: Entry, to: Tree, asSaid: AsSaid): Outcome {
  const { book } = context;
  const means = meantBy(entry);
  const hand: Act = { act: 'hand', target: to.id };
  if (turnsEntries(means)) {
    // Only of a tree that was taken back by its name another may have been meant.
    const named = means.kind === 'scratch' && (means.tree !== undefined || means.of !== undefined);
    if (!named) return refused('Say what to scratch, or to put back, by the number of its tree.');
    const gone = scratchTree(context, to.number);
    const back = turnedEntries([entry], book);
    return {
      ...gone,
      acts: [...back, ...gone.acts],
      say: (after, now) => `Put back. ${gone.say(after, now)}`,
    };
  }
  if (means.kind === 'change') {
    const { of: _, ...rest } = means;
    return instead(entry, { ...rest, tree: to.number }, asSaid);
  }
  if (means.kind === 'hand')
    return instead(
      entry,
      { kind: 'hand', tree: to.number, ...(means.height ? { height: means.height } : {}) },
      asSaid,
    );
  if (means.kind === 'tree' && entry.acts.every(({ act }) => act === 'amend'))
    return instead(entry, { kind: 'change', tree: to.number, facts: means.facts }, asSaid);
  if (means.kind === 'remark') {
    const outcome = instead(entry, means, asSaid);
    const acts = outcome.acts.map((act): Act => (act.act === 'remark' ? { ...act, tree: to.id } : act));
    return {
      ...outcome,
      acts: [...acts, hand],
      say: () => `Remark kept of tree ${to.number}: ${means.text}.`,
    };
  }
  const heights = entry.acts.flatMap((act) =>
    act.act === 'height' ? [act.id] : act.act === 'remeasure' ? [act.target] : [],
  );
  // What began a tree is that tree's: its height was told with it.
  if (heights.length === 0 || entry.acts.some(({ act }) => act === 'tree'))
    return refused('I cannot tell what to move. Say it again with the number of its tree.');
  const acts = heights.map((target): Act => ({ act: 'assign', target, tree: to.id }));
  return kept([...acts, hand], (after, { units }) => {
    const tree = after.tree(to.id);
    if (!tree) return 'Changed.';
    const height =
      tree.heightFt === null || tree.heightSdFt === null
        ? ''
        : `: ${wording.heightAndError(tree.heightFt, tree.heightSdFt, units)}`;
    return `Tree ${tree.number}, ${wording.treeFacts(tree, units)}${height}.`;
  });
}
