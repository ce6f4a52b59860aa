/**
 * Taking back. Nothing is ever gone: an entry names what it takes back, a later one may put it back (`putting-back.ts`),
 * and each can itself be turned round. What is taken back without a name is always the newest thing that this device
 * did to the book, whatever question is open.
 */

import type { Tree } from '../book/book.ts';
import type { Units } from '../core/units.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { effective, scratchableEntries } from './device-entries.ts';
import { leaveOut } from './left-out.ts';
import { nameOfEntry } from './naming.ts';
import { asking, type Context, type Outcome, refused } from './outcome.ts';
import { scratchReading, withoutReading } from './readings-back.ts';
import { scratchKind, scratchLeg, scratchPlot, scratchTree } from './scratched-records.ts';
import { settingsKept, takenBack, turnedEntries } from './taken-back.ts';
import { askAmong, numberedOn, treesMeant, treesOf } from './which-tree.ts';

export function scratch(context: Context, note: NoteOf<'scratch'>): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const { units } = settings;
  if (note.tree !== undefined) {
    const on = note.of?.plot;
    if (on === undefined) return scratchTree(context, note.tree);
    const tree = numberedOn(context, note.tree, on);
    return tree ? scratchTree(context, tree.number) : refused(`There is no tree ${note.tree} on plot ${on}.`);
  }
  if (note.plot !== undefined) return scratchPlot(context, note.plot);
  if (note.leg !== undefined) return scratchLeg(context, note.leg);
  if (note.leave) return leaveOut(context);
  if (note.what === 'breath') return scratchBreath(context);
  if (note.of !== undefined) return scratchKind(context, note.of, note.count);
  if (note.back === 1) return scratchLast(context);
  if (note.back !== undefined) return scratchFromEnd(context, note.back, note.what);
  if (note.nth !== undefined) return scratchPlaced(context, note.nth);
  if (note.what !== undefined) return scratchNamed(context, note.what);
  const found: Entry[] = [];
  for (const entry of scratchableEntries(book, deviceState)) {
    found.push(entry);
    if (found.length === (note.count ?? 1)) break;
  }
  if (found.length === 0) return refused('There is nothing to scratch.');
  const names = found.map((entry) => nameOfEntry(book, tongue, entry, units));
  const fewer =
    note.count !== undefined && found.length < note.count ? ` Only ${found.length} were there.` : '';
  return takenBack(context, turnedEntries(found, context.book), names, fewer);
}

/** "The middle one" is of the readings of the tree in hand, where there are so many; else of the trees. */
function scratchPlaced(context: Context, nth: number | 'middle'): Outcome {
  const reading = scratchReading(context, nth);
  if (nth !== 'middle' || reading.state !== 'refused') return reading;
  const trees = treesMeant(context, { middle: true });
  const [only, another] = trees;
  if (only === undefined) return reading;
  if (another === undefined) return scratchTree(context, only.number);
  return askAmong(trees, (tree) => ({ kind: 'scratch', tree }), context.settings.units);
}

/**
 * "Forget the last one": the last tree where trees were told last, or something of one; of several readings of a tree the
 * last one. Where a tree has one height, either may be meant: it is asked. Else what was said last.
 */
function scratchLast(context: Context): Outcome {
  const { book, deviceState } = context;
  const [newest] = scratchableEntries(book, deviceState);
  const did = new Set(newest?.acts.map(({ act }) => act));
  const tree = treesOf(context, {}).at(-1);
  const heights = tree?.heights.filter((id) => book.height(id)) ?? [];
  if (tree !== undefined && (did.has('tree') || did.has('amend'))) return scratchTree(context, tree.number);
  const measured = did.has('height') || did.has('remeasure');
  if (tree === undefined || !measured || deviceState.tree !== tree.id || heights.length !== 1)
    return scratch(context, { kind: 'scratch' });
  return asking({
    about: 'reading',
    text: `The height, or tree ${tree.number}?`,
    options: [
      { say: 'the height', note: { kind: 'scratch', what: 'height' } },
      { say: `tree ${tree.number}`, note: { kind: 'scratch', tree: tree.number } },
    ],
  });
}

/** "Take back the one before the last": what came after it stays. */
function scratchFromEnd(context: Context, back: number, what: NoteOf<'scratch'>['what']): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const last: Entry[] = [];
  for (const entry of scratchableEntries(book, deviceState)) {
    last.push(entry);
    if (last.length === back) break;
  }
  const found = last[back - 1];
  if (found === undefined)
    return refused(
      last.length === 0
        ? 'There is nothing to scratch.'
        : 'So much was not said yet. Say scratch that for the last thing.',
    );
  const name = nameOfEntry(book, tongue, found, settings.units);
  const tree = treesOf(context, {}).at(-back);
  const isTree = found.acts.some((act) => act.act === 'tree');
  if (what === 'tree' || (isTree && found.id === tree?.id))
    return tree === undefined
      ? refused('There are not so many trees here.')
      : scratchTree(context, tree.number);
  // What was said, or the tree: which of them nobody can tell.
  if (isTree || last.some(({ acts }) => acts.some((act) => act.act === 'tree' || act.act === 'amend')))
    return refused(
      `That may be ${name}${tree === undefined ? '' : ` or tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}`}. Say it by its name, such as scratch tree ${tree?.number ?? 1}.`,
    );
  return takenBack(context, [...turnedEntries([found], book), ...settingsKept([found])], [name]);
}

/** "Scratch all of that": every note of the last breath. */
function scratchBreath(context: Context): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const all = [...scratchableEntries(book, deviceState)];
  const id = all[0]?.breath?.id;
  const found = id === undefined ? all.slice(0, 1) : all.filter(({ breath }) => breath?.id === id);
  if (found.length === 0) return refused('There is nothing to scratch.');
  const names = found.map((entry) => nameOfEntry(book, tongue, entry, settings.units));
  return takenBack(context, turnedEntries(found, context.book), names);
}

/** "scratch the height": the newest of its kind, the rest of what was said with it stays. */
function scratchNamed(
  context: Context,
  what: Exclude<NonNullable<NoteOf<'scratch'>['what']>, 'breath'>,
): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const { units } = settings;
  const newest = (test: (act: Act) => boolean): Entry | undefined => {
    for (const entry of effective(book, deviceState)) if (entry.acts.some(test)) return entry;
    return undefined;
  };
  const whole = (entry: Entry | undefined, missing: string): Outcome =>
    entry
      ? takenBack(context, turnedEntries([entry], context.book), [nameOfEntry(book, tongue, entry, units)])
      : refused(missing);
  switch (what) {
    case 'tree': {
      const tree = book.tree(deviceState.tree) ?? book.tree(newest((act) => act.act === 'tree')?.id ?? null);
      return tree ? scratchTree(context, tree.number) : refused('There is no tree to scratch.');
    }
    case 'plot': {
      const plot = book.plot(deviceState.plot) ?? book.plot(newest((act) => act.act === 'plot')?.id ?? null);
      return plot ? scratchPlot(context, plot.number) : refused('There is no plot to scratch.');
    }
    case 'leg':
      return whole(
        newest((act) => act.act === 'leg'),
        'There is no leg to scratch.',
      );
    case 'remark':
      return whole(
        newest((act) => act.act === 'remark'),
        'There is no remark to scratch.',
      );
    case 'pace':
      return whole(
        newest((act) => act.act === 'setting' && (act.set.what === 'pace' || act.set.what === 'walk')),
        'No pace was said here.',
      );
    case 'eye':
      return whole(
        newest((act) => act.act === 'setting' && act.set.what === 'eye'),
        'No eye height was said here.',
      );
    case 'height': {
      const tree = book.tree(deviceState.tree);
      const id =
        deviceState.height ?? tree?.heights.findLast((each) => book.height(each)) ?? deviceState.measured;
      const node = book.height(id);
      if (!node) {
        const waiting = deviceState.questions.findLast(({ question }) => question.pending?.kind === 'height');
        return whole(waiting && book.entry(waiting.entry), 'There is no height to scratch.');
      }
      return withoutReading(context, node, units);
    }
    case 'diameter':
    case 'species':
    case 'logs':
      return scratchFact(context, what);
  }
}

/** What can be scratched of a tree by itself: the field that holds it, and its words, null where it has none. */
const treeFact = {
  diameter: {
    field: 'diameterIn',
    words: ({ diameterIn }, units) => (diameterIn === null ? null : wording.diameter(diameterIn, units)),
  },
  species: {
    field: 'species',
    words: ({ species }) => (species === null ? null : wording.speciesName(species)),
  },
  logs: { field: 'logs', words: ({ logs }) => (logs === null ? null : wording.logs(logs)) },
} satisfies Record<string, { field: keyof TreeFields; words: (tree: Tree, units: Units) => string | null }>;

function scratchFact(context: Context, what: keyof typeof treeFact): Outcome {
  const { book, deviceState, settings } = context;
  const tree = book.tree(deviceState.tree) ?? book.lastTree;
  if (!tree) return refused('No tree is in hand.');
  const { field, words } = treeFact[what];
  const value = words(tree, settings.units);
  if (value === null) return refused(`Tree ${tree.number} has no ${what} to scratch.`);
  return takenBack(
    context,
    [{ act: 'amend', target: tree.id, fields: { [field]: null } }],
    [`the ${what} of tree ${tree.number}, ${value}`],
  );
}
