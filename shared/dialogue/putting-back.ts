/** Undo and putting back: what was taken back comes again, and a taking back is itself turned round. */
import type { Book, DeviceState } from '../book/book.ts';
import type { Act } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import { type NoteOf, turnsEntries, type Which } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { isVoice, standing } from './device-entries.ts';
import { handWords, nameOfEntry, nameOfRecord } from './naming.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { walkMeant } from './scratched-records.ts';
import { askedAgain, takenBack, turnedEntries } from './taken-back.ts';
import { isOfSize, noneSuch, ofSpecies, treeOf } from './which-tree.ts';

/** The newest thing that was done is turned round, a taking back as well. */
export function undo(context: Context): Outcome {
  const { book, deviceState } = context;
  const open = new Set(deviceState.questions.map(({ entry }) => entry));
  for (const entry of standing(book, deviceState)) {
    if (turnsEntries(entry.note)) {
      if (entry.acts.length > 0) return turnedRound(context, entry);
      continue;
    }
    if (entry.acts.some((act) => !isVoice(act)) || entry.settles !== undefined || open.has(entry.id))
      return takenBack(context, turnedEntries([entry], context.book), [
        nameOfEntry(book, context.tongue, entry, context.settings.units),
      ]);
  }
  return refused('There is nothing to undo.');
}

/** A taking back, or a putting back, is itself taken back. */
function turnedRound(context: Context, entry: Entry): Outcome {
  const { device, tongue } = context;
  const before = { ...context.deviceState };
  const acts = turnedEntries([entry], context.book);
  const came = entry.acts.flatMap((act) => (act.act === 'retract' ? act.targets : []));
  const went = entry.acts.flatMap((act) => (act.act === 'restore' ? act.targets : []));
  const measured = entry.acts.flatMap((act) =>
    act.act === 'remeasure' || act.act === 'amend' || act.act === 'assign' ? [act.target] : [],
  );
  const names = (book: Book, ids: readonly string[], units: Context['settings']['units']): string =>
    wording.list(
      ids.flatMap((id) => {
        const one = book.entry(id);
        return one && !turnsEntries(one.note) ? [nameOfEntry(book, tongue, one, units)] : [];
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
        turnsEntries(entry.note) &&
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
    for (const act of turnsEntries(entry.note) ? entry.acts : [])
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
