/**
 * Corrections by voice: changing what was said; taking back is `taking-back.ts`, putting back `putting-back.ts`. A
 * correction is worked out as if it had been said right, then kept as an entry of its own that names what it corrects.
 */

import type { Book, DeviceState, Tree } from '../book/book.ts';
import type { HeightNode } from '../book/height-node.ts';
import type { Settings } from '../book/settings.ts';
import { lastOf, required } from '../core/required.ts';
import { err, ok, type Result } from '../core/result.ts';
import { inchesToCentimetres, lengthToFeet } from '../core/units.ts';
import type { Act } from '../note/acts.ts';
import { type Entry, meantBy } from '../note/journal.ts';
import type { Note, NoteOf, TreeFacts } from '../note/note.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { differing, lastInHand, saidSameTree } from './another-tree.ts';
import { changedMeasurement, changedSetting, lengthSaid, replaced } from './changed-values.ts';
import { countsPutRight, takenBackAs } from './counts-put-right.ts';
import { effective, passive } from './device-entries.ts';
import { heightOutcome } from './heights.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { paceAgain } from './paced-again.ts';
import { redoneAs, toBeRedone } from './redone.ts';
import { sightedAgain, stoodElsewhere } from './stood.ts';
import {
  asDiameter,
  isOtherSpecies,
  looseHeight,
  speciesQuestion,
  treeFields,
  treeOutcome,
} from './trees.ts';
import { aboutDiameter } from './waiting.ts';
import { askAmong, askWhetherNew, numberedOn, ofSpecies, treeOf, treesMeant } from './which-tree.ts';

/** What a note would do if it were said now; handed in by `resolve.ts`, which stands after this file. */
export type AsSaid = (note: Note) => Outcome;

/** The same said right: what the earlier entry did is taken back in the same breath. */
export function instead(entry: Entry, means: Note, asSaid: AsSaid): Outcome {
  const outcome = asSaid(means);
  return outcome.state === 'kept'
    ? { ...outcome, means, acts: [{ act: 'retract', targets: [entry.id] }, ...outcome.acts] }
    : outcome;
}

/** A number that is near the diameter of the tree, as it is shown. */
function mayBeDiameter({ settings }: Context, inches: number, value: number): boolean {
  const shown = settings.units === 'metres' ? inchesToCentimetres(inches) : inches;
  return Math.abs(value - shown) < 0.3 * shown;
}

/**
 * "Same tree, seventy four": a number right behind that, or a bare length, is one more reading by the way of the one
 * before. Null where nothing of the kind came before, or no height.
 */
export function readAgain(context: Context, number: NonNullable<NoteOf<'change'>['number']>): Outcome | null {
  const { book, deviceState } = context;
  const redone = toBeRedone(context);
  if (redone === null && !saidSameTree(context)) return null;
  const tree = book.tree(deviceState.tree);
  const node = book.height(tree?.heights.findLast((id) => book.height(id)) ?? null);
  const before = node?.said.at(-1)?.value;
  if (!tree || !before) return null;
  const last = before.method === 'reading' ? { ...before, takes: before.takes.slice(-1) } : before;
  const { value, unit } = number;
  const next = changedMeasurement(last, { kind: 'change', number: { value, ...(unit ? { unit } : {}) } });
  if (!next.ok) return refused(next.error);
  const note: NoteOf<'height'> = { kind: 'height', height: next.value };
  // "Checked it, 14.2" of a tree of fourteen inches and seventy feet.
  const thick =
    unit === undefined && tree.diameterIn !== null && mayBeDiameter(context, tree.diameterIn, value);
  if (thick && differing(context, next.value, tree) !== null)
    return refused(`${wording.digits(value, 2)} of what? Say it with inches, paces or feet.`);
  if (redone !== null) return { ...redoneAs(context, redone, note), means: note };
  return { ...heightOutcome(context, next.value, tree.id, note), means: note };
}

/** What is about no value of the last thing said: a pace, the heights that it made, whose a height is; null for the rest. */
function changeAsWhole(context: Context, note: NoteOf<'change'>, asSaid: AsSaid): Outcome | null {
  if (note.paced) return paceAgain(context);
  if (note.pace) return asSaid({ kind: 'setting', set: { what: 'pace', length: note.pace } });
  if (note.height) return giveHeight(context, note);
  if (note.measured?.of === 'distance') return stoodElsewhere(context, note);
  const anew = note.top && note.base ? sightedAgain(context, toBeRedone(context), note) : null;
  if (anew !== null) return anew;
  return isOfHeight(note) && isWithoutHeight(context)
    ? refused(note.measured ? noHeightInHand : noDistance)
    : null;
}

/** The tree that was taken in hand just before is the one whose distance it is; null where none was, or it has no height. */
function takenInHand(context: Context, { distance }: NoteOf<'change'>): Tree | null {
  const { book, deviceState } = context;
  const tree = distance && lastInHand(context) === 'hand' ? book.tree(deviceState.tree) : null;
  return tree?.heights.some((id) => book.height(id)) ? tree : null;
}

/** "make that nine paces", "no, nine", "that was red maple", "tree four was sixteen inches". */
export function change(context: Context, note: NoteOf<'change'>, asSaid: AsSaid): Outcome {
  const whole = changeAsWhole(context, note, asSaid);
  if (whole !== null) return whole;
  if (note.was !== undefined) return changeNumber(context, note, note.was, asSaid);
  if (note.tree !== undefined || note.of || note.facts) return changeTree(context, note);
  const taken = takenInHand(context, note);
  if (taken !== null) return changeTree(context, { ...note, tree: taken.number });
  // Both angles belong to a distance that has none yet; behind a height that has its own they may be of another tree.
  if (note.top && note.base && !isDistanceAlone(context)) return refused(noDistance);
  return changeNewest(context, note, asSaid);
}

/** The newest thing said that fits. */
function changeNewest(context: Context, note: NoteOf<'change'>, asSaid: AsSaid): Outcome {
  const { book, deviceState, settings } = context;
  for (const entry of effective(book, deviceState)) {
    const act = changeableAct(entry, note);
    if (!act) continue;
    if (act.act === 'height' || act.act === 'remeasure') {
      const changed = changeHeight(context, note, entry, act.act === 'height' ? act.id : act.target);
      if (changed === null) continue;
      return changed;
    }
    const changed = note.eye ? null : changeAct(context, note, entry, act, asSaid);
    if (changed === null) break;
    return changed;
  }
  if (note.eye) return asSaid({ kind: 'setting', set: { what: 'eye', length: note.eye } });
  const unit = settings.units === 'metres' ? 'metres' : 'feet';
  return refused(
    `I cannot tell what that should change. Name it: nine paces, sixty ${unit}, or tree four was sixteen inches.`,
  );
}

/** A height measured anew: the last measurement of it, changed as the note says. */
export function remeasured(context: Context, node: HeightNode, note: NoteOf<'change'>): Outcome {
  const next = changedMeasurement(required(lastOf(node.said).value, 'the measurement'), note);
  if (!next.ok) return refused(next.error);
  const means: NoteOf<'height'> = { kind: 'height', height: next.value };
  return heightOutcome(context, next.value, node.tree, means, { remeasure: node.id });
}

/** Angles and parts belong to the height in hand; that of the tree before is no more, where another tree was begun. */
const isWithoutHeight = ({ book, deviceState }: Context): boolean => book.height(deviceState.height) === null;

/** A distance that waits for its angles. */
function isDistanceAlone({ book, deviceState }: Context): boolean {
  const measured = book.height(deviceState.height)?.said.at(-1)?.value;
  return measured != null && !('top' in measured);
}

const noHeightInHand =
  'No height is in hand to which that belongs. Say the measurement with all its numbers.';
const noDistance = 'How far from the tree is that? Say the angles with their distance.';

const isOfHeight = ({ top, base, scale, measured }: NoteOf<'change'>): boolean =>
  top !== undefined || base?.by === 'angle' || scale !== undefined || measured !== undefined;

/** What of an entry a change may be about; only a height has an angle to its top, and a remark has no value. */
const changeableAct = ({ acts }: Entry, note: NoteOf<'change'>): Act | undefined => {
  // A setting that came with a tree or a height is none that was said.
  const told = acts.filter((each) => !passive.has(each.act) && each.act !== 'remark');
  const alone = told.every((each) => each.act === 'setting');
  const act = told.findLast((each) => alone || each.act !== 'setting');
  return isOfHeight(note) && act?.act !== 'height' && act?.act !== 'remeasure' ? undefined : act;
};

/** A height said right; a doubt about it is mended with it. Null where the height is gone. */
function changeHeight(context: Context, note: NoteOf<'change'>, entry: Entry, id: string): Outcome | null {
  const { book } = context;
  const node = book.height(id);
  if (!node) return null;
  const outcome = remeasured(context, node, note);
  const settled = book.doubts.some((doubt) => doubt.entry === entry.id && doubt.state === 'open');
  return settled && outcome.state === 'kept'
    ? { ...outcome, acts: [...outcome.acts, { act: 'settle', entry: entry.id, code: '*', how: 'mended' }] }
    : outcome;
}

/** Anything but a height said right, by a number or a length without a name; null where that does not fit it. */
function changeAct(
  context: Context,
  note: NoteOf<'change'>,
  entry: Entry,
  act: Act,
  asSaid: AsSaid,
): Outcome | null {
  const meant = meantBy(entry);
  if (act.act === 'leg' || act.act === 'legAmend') {
    const leg = context.book.land.leg(act.act === 'leg' ? act.id : act.target)?.number;
    return context.land?.change(context, { ...note, ...(leg === undefined ? {} : { leg }) }) ?? null;
  }
  if (meant.kind === 'borderline') {
    const length = lengthSaid(note);
    if (!length) return refused('Which distance should it be? Say it with its unit.');
    return instead(entry, { ...meant, distance: { ...meant.distance, ...length } }, asSaid);
  }
  if ((act.act === 'tree' || act.act === 'amend') && note.number) {
    const tree = act.act === 'tree' ? act.id : act.target;
    return amendTree(context, tree, { diameter: asDiameter(note.number) });
  }
  if (act.act === 'setting') {
    const next = changedSetting(act.set, note);
    return next && instead(entry, next, asSaid);
  }
  if (act.act === 'plot' && note.number && meant.kind === 'plot') {
    return instead(entry, { ...meant, number: Math.round(note.number.value) }, asSaid);
  }
  return null;
}

/** The tree that a change is about: named by number or kind, else the one in hand, else the last. */
function meantTree(context: Context, note: NoteOf<'change'>): Result<Tree, string> {
  const { book, deviceState } = context;
  if (note.tree !== undefined) {
    const tree = numberedOn(context, note.tree, note.of?.plot);
    if (!tree)
      return err(
        `There is no tree ${note.tree}${note.of?.plot === undefined ? '' : ` on plot ${note.of.plot}`}.`,
      );
    // "Not a beech" of a tree that is none: another tree was meant, or another number.
    const not = note.of?.species;
    if (not === undefined || ofSpecies(context, not)(tree)) return ok(tree);
    const is = wording.speciesName(speciesKey(tree));
    return err(`Tree ${tree.number} is ${is}, no ${wording.speciesName(not)}. Nothing is changed.`);
  }
  if (note.of) return treeOf(context, note.of);
  const tree = book.tree(deviceState.tree) ?? lastTree(book, deviceState);
  return tree ? ok(tree) : err('No tree is in hand to change.');
}

function changeTree(context: Context, said: NoteOf<'change'>): Outcome {
  const { book, id } = context;
  const apart = takenBackAs(context, said) ?? countsPutRight(context, said);
  if (apart !== null) return apart;
  const note = asDistance(said);
  const named = note.tree !== undefined || note.of !== undefined;
  const facts: TreeFacts = { ...note.facts };
  if (note.number && !facts.diameter) facts.diameter = asDiameter(note.number);
  const loose = named ? null : looseHeight(context);
  const begins = facts.species !== undefined || facts.diameter !== undefined;
  if (begins && !note.distance && (loose !== null || (!named && nothingYet(context)))) {
    // The height came first: "that's a beech" is the tree that it is of.
    const tree = treeOutcome(context, { kind: 'tree', facts });
    if (loose === null || tree.state === 'refused') return tree;
    const assign: Act = { act: 'assign', target: loose, tree: id };
    return {
      ...tree,
      acts: [...tree.acts, assign],
      say: (after, now) => heightOf(after, tree.say(after, now), id, now),
    };
  }
  const among = amongOnPlot(context, note);
  if (among !== null) return among;
  const meant = meantTree(context, note);
  if (!meant.ok) return sizedFirst(note, facts, meant.error);
  const tree = meant.value;
  if (note.distance) {
    const measured = book.height(tree.heights.findLast((each) => book.height(each)) ?? null);
    if (!measured) return refused(`Tree ${tree.number} has no height to change.`);
    return remeasured(context, measured, note);
  }
  if (Object.keys(facts).length === 0)
    return refused(`What about tree ${tree.number}? Say its species or its inches.`);
  if (!named && isOfRefused(context, tree, facts)) return askWhether(context, tree, facts);
  const again =
    !named &&
    facts.species !== undefined &&
    facts.diameter !== undefined &&
    tree.species !== null &&
    tree.diameterIn !== null;
  return again ? askWhichTree(tree, facts) : amendTree(context, tree.id, facts);
}

/** "The red oak on plot one" where several stand there: it is asked which. */
function amongOnPlot(context: Context, { of, ...rest }: NoteOf<'change'>): Outcome | null {
  const among = rest.tree === undefined && of?.plot !== undefined ? treesMeant(context, of) : [];
  return among.length > 1
    ? askAmong(among, (number) => ({ ...rest, tree: number }), context.settings.units)
    : null;
}

/** No tree is so thick: "the hemlock was 68 feet back" is about how far one stood. */
const thickerThanTrees = 30;

/** A length that can be no diameter is the distance. */
function asDistance(note: NoteOf<'change'>): NoteOf<'change'> {
  const { number, ...rest } = note;
  if (number?.unit === undefined || note.distance !== undefined || note.facts !== undefined) return note;
  const { value, unit } = number;
  if (unit !== 'ft' && unit !== 'm') return note;
  return lengthToFeet({ value, unit }, 'ft') < thickerThanTrees
    ? note
    : { ...rest, distance: { by: 'length', length: { value, unit } } };
}

/** Another species right behind a note that was refused, which may have told the tree that is meant. */
const isOfRefused = (context: Context, tree: Tree, facts: TreeFacts): boolean =>
  context.afterRefusal === true &&
  lastInHand(context) !== 'hand' &&
  facts.species !== undefined &&
  isOtherSpecies(tree, facts);

function askWhether({ settings }: Context, tree: Tree, facts: TreeFacts): Outcome {
  return asking({
    about: 'confirm',
    text: `Is that tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}?`,
    options: [{ say: `tree ${tree.number}`, note: { kind: 'change', tree: tree.number, facts } }],
  });
}

/** "The birch is seven and a half" where no birch stands: it may be the first. */
function sizedFirst({ tree, of }: NoteOf<'change'>, facts: TreeFacts, none: string): Outcome {
  const sized = tree === undefined && facts.species === undefined && facts.diameter !== undefined;
  return (sized ? askWhetherNew(of, facts, {}, none) : undefined) ?? refused(none);
}

/** Nothing was said of a tree by this device yet, and none is in hand. */
const nothingYet = ({ book, deviceState }: Context): boolean =>
  book.tree(deviceState.tree) === null && lastTree(book, deviceState) === null;

/** "That's a beech, nine inches" with a whole tree in hand: another one, or that one said right? */
function askWhichTree(tree: Tree, facts: TreeFacts): Outcome {
  const begun: Note = { kind: 'tree', facts };
  return asking({
    about: 'reading',
    text: `A new tree, or is that tree ${tree.number}?`,
    options: [
      { say: 'a new tree', note: begun },
      { say: `tree ${tree.number}`, note: { kind: 'change', tree: tree.number, facts } },
    ],
    pending: begun,
  });
}

/** The reply to a tree that takes over the height said before it. */
function heightOf(book: Book, reply: string, id: string, { units }: Settings): string {
  const tree = book.tree(id);
  if (!tree || tree.heightFt === null || tree.heightSdFt === null) return reply;
  return `${reply.replace(/\.$/, '')}: ${wording.heightAndError(tree.heightFt, tree.heightSdFt, units)}.`;
}

/** "That goes with the gum": the last height is of another tree. */
function giveHeight(context: Context, note: NoteOf<'change'>): Outcome {
  const { book, deviceState } = context;
  const node = book.height(deviceState.height ?? deviceState.measured);
  if (!node) return refused('There is no height to give to a tree.');
  const meant = meantTree(context, note);
  if (!meant.ok) return refused(meant.error);
  const target = meant.value.id;
  return kept([{ act: 'assign', target: node.id, tree: target }], (after, now) => {
    const tree = after.tree(target);
    if (!tree) return 'Changed.';
    return heightOf(after, `Tree ${tree.number}, ${wording.treeFacts(tree, now.units)}.`, target, now);
  });
}

/** "Not eleven, twelve": the newest thing said in which that number stands once. */
function changeNumber(context: Context, note: NoteOf<'change'>, was: number, asSaid: AsSaid): Outcome {
  const to =
    note.number?.value ?? (note.distance && note.distance.by !== 'length' ? note.distance.count : null);
  const says = context.tongue.speak({ kind: 'number', value: was });
  if (to === null) return refused(`What should ${says} be?`);
  const found = changeWhere(context, note, { was, to }, asSaid);
  if (found !== null) return found;
  // What was heard may have been another number than what was said wrong.
  const { was: _, ...rest } = note;
  return change(context, rest, asSaid);
}

/** The newest thing said in which a number stands once, with another; null where there is none. */
export function changeWhere(
  context: Context,
  note: NoteOf<'change'>,
  numbers: { readonly was: number; readonly to: number },
  asSaid: AsSaid,
): Outcome | null {
  const { book, deviceState } = context;
  const of = note.tree === undefined ? null : book.treeNumbered(note.tree);
  for (const entry of effective(book, deviceState)) {
    for (const act of [...entry.acts].reverse()) {
      // Of a tree that is named only what was measured of it.
      if (of !== null && (!isMeasuring(act) || treeOfHeight(book, act) !== of.id)) continue;
      const changed = changeNumberOf(context, entry, act, numbers, asSaid);
      if (changed !== null) return changed;
    }
  }
  return null;
}

const isMeasuring = (act: Act): act is Extract<Act, { act: 'height' | 'remeasure' }> =>
  act.act === 'height' || act.act === 'remeasure';

const treeOfHeight = (book: Book, act: Extract<Act, { act: 'height' | 'remeasure' }>): string | null =>
  book.height(act.act === 'height' ? act.id : act.target)?.tree ?? null;

/** What an act did with another number; null where that number does not stand in it. */
function changeNumberOf(
  context: Context,
  entry: Entry,
  act: Act,
  { was, to }: { readonly was: number; readonly to: number },
  asSaid: AsSaid,
): Outcome | null {
  switch (act.act) {
    case 'height':
    case 'remeasure': {
      const id = act.act === 'height' ? act.id : act.target;
      const node = context.book.height(id);
      const measurement = node?.said.at(-1)?.value;
      const next = measurement ? replaced(measurement, was, to) : null;
      if (!node || next === null) return null;
      return heightOutcome(context, next, node.tree, { kind: 'height', height: next }, { remeasure: id });
    }
    case 'tree':
    case 'amend': {
      const said = diameterSaid(meantBy(entry));
      if (said?.value !== was) return null;
      const target = act.act === 'tree' ? act.id : act.target;
      return amendTree(context, target, { diameter: asDiameter({ value: to, unit: said.unit }) });
    }
    case 'leg':
    case 'legAmend': {
      const leg = context.book.land.leg(act.act === 'leg' ? act.id : act.target);
      if (!leg || !context.land || replaced(leg.said, was, to) === null) return null;
      return context.land.change(context, { kind: 'change', leg: leg.number, was, number: { value: to } });
    }
    case 'setting': {
      const said = entry.note.kind === 'setting' ? replaced(entry.note.set, was, to) : null;
      return said && instead(entry, { kind: 'setting', set: said }, asSaid);
    }
    default:
      return null;
  }
}

/** The diameter that a note gave to a tree, as it was said. */
function diameterSaid(meant: Note) {
  if (meant.kind !== 'tree' && meant.kind !== 'change' && meant.kind !== 'borderline') return undefined;
  return meant.facts?.diameter ?? (meant.kind === 'change' ? meant.number : undefined);
}

function lastTree(book: Book, deviceState: DeviceState): Tree | null {
  for (const entry of effective(book, deviceState)) {
    for (const act of entry.acts) if (act.act === 'tree') return book.tree(act.id);
  }
  return null;
}

function amendTree(context: Context, target: string, facts: TreeFacts): Outcome {
  const { book, settings } = context;
  const before = book.tree(target);
  if (!before) return refused('That tree was scratched.');
  const made = treeFields(context, facts, before.diameterIn);
  if (!made.ok) return refused(made.error);
  const { fields, askAmong } = made.value;
  // What was said holds until somebody says more: the question follows.
  const which = askAmong ? speciesQuestion(String(facts.species), askAmong, target) : null;
  // A doubt about the diameter, not asked about, is answered by another diameter.
  const answered = book.doubts.filter(
    ({ tree, state, doubt, entry }) =>
      fields.diameterIn !== undefined &&
      tree === target &&
      state === 'open' &&
      aboutDiameter(doubt) &&
      book.openQuestion(entry) === null,
  );
  const settling = answered.map(({ entry, doubt }): Act => {
    return { act: 'settle', entry, code: doubt.code, how: 'mended' };
  });
  const acts: Act[] = [{ act: 'amend', target, fields }, ...settling];
  const changed = (after: Book): string => {
    const tree = after.tree(target);
    const plot = facts.plot === undefined ? '' : `, on plot ${facts.plot}`;
    return tree
      ? `Tree ${tree.number} is now ${wording.treeFacts(tree, settings.units)}${plot}.`
      : 'Changed.';
  };
  return which
    ? { ...asking(which, acts), say: (after) => `${changed(after)} ${which.text}` }
    : kept(acts, changed);
}
