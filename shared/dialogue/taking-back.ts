/**
 * Taking back and putting back. Nothing is ever gone: an entry names what it takes back, a later one may put it back,
 * and each can itself be turned round. What is taken back without a name is always the newest thing that this device
 * did to the book, whatever question is open.
 */

import type { Book, DeviceState, Tree } from '../book/book.ts';
import type { EdgeWalk } from '../book/land-records.ts';
import type { Units } from '../core/units.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { NoteOf, Which } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { effective, isVoice, passive, standing, turning } from './device-entries.ts';
import { handWords, nameOfEntry, nameOfRecord } from './naming.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { scratchReading, takeOf, withoutReading } from './readings-back.ts';
import { askedAgain, takenBack } from './taken-back.ts';
import { isOfSize, noneSuch, ofSpecies, treeOf, treesOf } from './which-tree.ts';

/** The same, and those that only asked and still wait for their answer. */
function* scratchableEntries(book: Book, deviceState: DeviceState): Iterable<Entry> {
  const open = new Set(deviceState.questions.map(({ entry }) => entry));
  for (const entry of standing(book, deviceState)) {
    if (turning.has(entry.note.kind)) continue;
    const did = entry.acts.some((act) => !passive.has(act.act) && !isVoice(act));
    if (did || open.has(entry.id)) yield entry;
  }
}

/**
 * What turns entries round: what they did is out, what they took back or put back is as before them. What stands
 * otherwise by now is left alone, or turning this round would change more than this did.
 */
function turned(entries: readonly Entry[], book: Book): Act[] {
  const out = new Set(entries.map(({ id }) => id));
  const back = new Set<string>();
  for (const { acts } of entries)
    for (const act of [...acts].reverse()) {
      if (act.act === 'retract')
        for (const id of act.targets.filter((one) => !out.has(one) && book.isRetracted(one))) back.add(id);
      if (act.act === 'restore') {
        for (const id of act.targets) back.delete(id);
        for (const id of act.targets.filter((one) => !book.isRetracted(one))) out.add(id);
      }
    }
  return [
    { act: 'retract', targets: [...out] },
    ...(back.size > 0 ? [{ act: 'restore' as const, targets: [...back] }] : []),
  ];
}

/** What an entry set besides the thing that is taken back by its name stays set. */
function settingsKept(entries: readonly Entry[]): Act[] {
  return entries.flatMap(({ acts }) =>
    acts.some((act) => act.act === 'tree' || act.act === 'height')
      ? acts.filter((act) => act.act === 'setting')
      : [],
  );
}

export function scratch(context: Context, note: NoteOf<'scratch'>): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const { units } = settings;
  if (note.tree !== undefined) return scratchTree(context, note.tree);
  if (note.plot !== undefined) return scratchPlot(context, note.plot);
  if (note.leg !== undefined) return scratchLeg(context, note.leg);
  if (note.what === 'breath') return scratchBreath(context);
  if (note.of !== undefined) return scratchKind(context, note.of, note.count);
  if (note.back === 1) return scratchLast(context);
  if (note.back !== undefined) return scratchFromEnd(context, note.back, note.what);
  if (note.nth !== undefined) return scratchReading(context, note.nth);
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
  return takenBack(context, turned(found, context.book), names, fewer);
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
  return takenBack(context, [...turned([found], book), ...settingsKept([found])], [name]);
}

/** "Scratch the beech", "remove both redbuds", "throw out the 66". */
function scratchKind(context: Context, which: Which, count: number | undefined): Outcome {
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
    return tree.ok ? scratchTree(context, tree.value.number) : refused(tree.error);
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
    [...turned(entries, book), ...settingsKept(entries)],
    all.map((tree) => `tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}`),
  );
}

/** "Scratch all of that": every note of the last breath. */
function scratchBreath(context: Context): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const all = [...scratchableEntries(book, deviceState)];
  const id = all[0]?.breath?.id;
  const found = id === undefined ? all.slice(0, 1) : all.filter(({ breath }) => breath?.id === id);
  if (found.length === 0) return refused('There is nothing to scratch.');
  const names = found.map((entry) => nameOfEntry(book, tongue, entry, settings.units));
  return takenBack(context, turned(found, context.book), names);
}

function scratchTree(context: Context, number: number): Outcome {
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
    [...turned([entry], context.book), ...settingsKept([entry])],
    [`tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}${height}`],
  );
}

/** The walk that a leg is of: that under way here, else the last one. */
const walkMeant = ({ book, device }: Context): EdgeWalk | null => {
  const walks = [...book.land.walks.values()];
  return walks.findLast((walk) => walk.device === device) ?? walks.at(-1) ?? null;
};

function scratchLeg(context: Context, number: number): Outcome {
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
  return takenBack(context, turned([entry], context.book), [
    nameOfEntry(book, tongue, entry, settings.units),
  ]);
}

/** A plot with all its trees. The plot that it closed stays closed. */
function scratchPlot(context: Context, number: number): Outcome {
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
    [...turned(entries, context.book), ...closings, ...settingsKept(entries)],
    [`plot ${plot.number}${what}${withTrees}`],
  );
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
      ? takenBack(context, turned([entry], context.book), [nameOfEntry(book, tongue, entry, units)])
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

/** The newest thing that was done is turned round, a taking back as well. */
export function undo(context: Context): Outcome {
  const { book, deviceState } = context;
  const open = new Set(deviceState.questions.map(({ entry }) => entry));
  for (const entry of standing(book, deviceState)) {
    if (turning.has(entry.note.kind)) {
      if (entry.acts.length > 0) return turnedRound(context, entry);
      continue;
    }
    if (entry.acts.some((act) => !isVoice(act)) || entry.settles !== undefined || open.has(entry.id))
      return takenBack(context, turned([entry], context.book), [
        nameOfEntry(book, context.tongue, entry, context.settings.units),
      ]);
  }
  return refused('There is nothing to undo.');
}

/** A taking back, or a putting back, is itself taken back. */
function turnedRound(context: Context, entry: Entry): Outcome {
  const { device, tongue } = context;
  const before = { ...context.deviceState };
  const acts = turned([entry], context.book);
  const came = entry.acts.flatMap((act) => (act.act === 'retract' ? act.targets : []));
  const went = entry.acts.flatMap((act) => (act.act === 'restore' ? act.targets : []));
  const measured = entry.acts.flatMap((act) =>
    act.act === 'remeasure' || act.act === 'amend' || act.act === 'assign' ? [act.target] : [],
  );
  const names = (book: Book, ids: readonly string[], units: Context['settings']['units']): string =>
    wording.list(
      ids.flatMap((id) => {
        const one = book.entry(id);
        return one && !turning.has(one.note.kind) ? [nameOfEntry(book, tongue, one, units)] : [];
      }),
    );
  const gone = names(context.book, went, context.settings.units);
  return kept(acts, (after, { units }) => {
    const values = measured.flatMap((id) => nameOfRecord(after, id, units) ?? []);
    const back = [names(after, came, units), ...values].filter((text) => text !== '');
    const said = [
      ...(back.length > 0 ? [`Back again: ${wording.list(back)}.`] : []),
      ...(gone !== '' ? [`Scratched: ${gone}.`] : []),
    ];
    return `${said.join(' ') || 'Undone.'} ${handWords(after, device, units)}${askedAgain(before, after, device)}`;
  });
}

/** Puts back what was taken back: the last thing, a tree or a plot. */
export function restore(context: Context, note: NoteOf<'restore'>): Outcome {
  const { book, device, deviceState } = context;
  if (note.tree !== undefined) return restoreTree(context, note.tree);
  if (note.plot !== undefined) {
    const stand = book.standOf(device)?.id ?? null;
    const plot = book.takenBackPlot(note.plot, stand);
    if (!plot)
      return refused(
        plotMeant(context, note.plot)
          ? `Plot ${note.plot} was not scratched.`
          : `There is no plot ${note.plot} to put back.`,
      );
    // What went with the plot comes with it: the same entry took it back.
    for (const entry of standing(book, deviceState))
      if (
        turning.has(entry.note.kind) &&
        entry.acts.some((act) => act.act === 'retract' && act.targets.includes(plot.id))
      )
        return turnedRound(context, entry);
    return putBack(context, [plot.id]);
  }
  if (note.leg !== undefined) return restoreLeg(context, note.leg);
  if (note.of !== undefined) return restoreKind(context, note.of);
  const taken = [...takingsBack(book, deviceState)];
  if (note.count !== undefined) return restoreSeveral(context, taken, note.count);
  const [last] = taken;
  return last ? turnedRound(context, last) : refused('Nothing was scratched that could be put back.');
}

/** Entries that took something back which is still out, the newest first. */
function* takingsBack(book: Book, deviceState: DeviceState): Iterable<Entry> {
  for (const entry of standing(book, deviceState)) {
    if (entry.note.kind !== 'scratch' && entry.note.kind !== 'undo') continue;
    const out = entry.acts.some(
      (act) =>
        (act.act === 'retract' && act.targets.some((id) => book.isRetracted(id))) ||
        act.act === 'remeasure' ||
        act.act === 'amend',
    );
    if (out) yield entry;
  }
}

/** "Restore the last two": what the last takings back took, one by one where each took one thing. */
function restoreSeveral(context: Context, taken: readonly Entry[], count: number): Outcome {
  const { book, device, tongue } = context;
  const back: { readonly entry: Entry; readonly ids: readonly string[] }[] = [];
  let found = 0;
  for (const entry of taken) {
    const ids = entry.acts.flatMap((act) =>
      act.act === 'retract' ? act.targets.filter((id) => book.isRetracted(id)) : [],
    );
    back.push({ entry, ids });
    found += Math.max(1, ids.length);
    if (found >= count) break;
  }
  if (found === 0) return refused('Nothing was scratched that could be put back.');
  if (found > count)
    return refused(`${count} cannot be told from what went with them. Say put it back, or restore tree two.`);
  const targets = back.flatMap(({ ids }) => ids);
  // What changed a value, as the height of a tree, is itself taken back.
  const turns = back.flatMap(({ entry, ids }) => (ids.length === 0 ? [entry.id] : []));
  const acts: Act[] = [
    ...(targets.length > 0 ? [{ act: 'restore' as const, targets }] : []),
    ...(turns.length > 0 ? [{ act: 'retract' as const, targets: turns }] : []),
  ];
  const fewer = found < count ? ` Only ${found} could be put back.` : '';
  return kept(acts, (after, { units }) => {
    const names = targets.flatMap((id) => {
      const entry = after.entry(id);
      return entry ? [nameOfEntry(after, tongue, entry, units)] : [];
    });
    const values = back.flatMap(({ entry, ids }) =>
      ids.length > 0
        ? []
        : entry.acts.flatMap((act) =>
            act.act === 'remeasure' || act.act === 'amend'
              ? (nameOfRecord(after, act.target, units) ?? [])
              : [],
          ),
    );
    return `Back again: ${wording.list([...names, ...values])}. ${handWords(after, device, units)}${fewer}`;
  });
}

/** "Put the beech back": of the trees of that kind the one that was taken back last. */
function restoreKind(context: Context, which: Which): Outcome {
  const { book, deviceState, settings } = context;
  const isOf = which.species === undefined ? null : ofSpecies(context, which.species);
  const fits = (id: string): boolean =>
    book.isRetracted(id) &&
    (book.entry(id)?.acts ?? []).some(
      (act) =>
        act.act === 'tree' &&
        act.id === id &&
        (isOf === null || isOf({ species: act.fields.species ?? null, called: act.fields.called ?? null })) &&
        (which.diameter === undefined ||
          isOfSize({ diameterIn: act.fields.diameterIn ?? null }, which.diameter, settings.units)),
    );
  for (const entry of standing(book, deviceState))
    for (const act of turning.has(entry.note.kind) ? entry.acts : [])
      if (act.act === 'retract') {
        const found = act.targets.filter(fits);
        if (found.length > 0) return putBack(context, found.slice(-1));
      }
  const there = treeOf(context, which);
  return refused(
    there.ok
      ? `Tree ${there.value.number} was not scratched.`
      : noneSuch(which, settings.units).replace(' here.', ' to put back.'),
  );
}

function restoreTree(context: Context, number: number): Outcome {
  const { book } = context;
  const tree = book.takenBackTree(number);
  if (tree) return putBack(context, [tree.id]);
  return refused(
    book.treeNumbered(number)
      ? `Tree ${number} was not scratched.`
      : `There is no tree ${number} to put back.`,
  );
}

function restoreLeg(context: Context, number: number): Outcome {
  const walk = walkMeant(context);
  const entry = walk && context.book.land.takenBackLeg(walk.id, number);
  return entry ? putBack(context, [entry]) : refused(`Leg ${number} was not scratched.`);
}

function putBack(context: Context, targets: string[]): Outcome {
  const { device, tongue } = context;
  return kept([{ act: 'restore', targets }], (after, { units }) => {
    const names = targets.flatMap((id) => {
      const entry = after.entry(id);
      return entry ? [nameOfEntry(after, tongue, entry, units)] : [];
    });
    return `Back again: ${wording.list(names)}. ${handWords(after, device, units)}`;
  });
}
