/**
 * A yes that comes late: a plot or a setting was offered, nobody answered, and what was told next hangs in the old place. The
 * offer stays open for it. The yes does what was offered and puts what came since under it, in one entry, so that undo turns
 * all of it round; a no leaves everything as it is. Nothing else answers it once something came in between.
 */
import type { OpenQuestion, Tree } from '../book/book.ts';
import { type Settings, withSetting } from '../book/settings.ts';
import { methodOf } from '../measuring/height/methods.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import { type Entry, meantBy } from '../note/journal.ts';
import { sizes } from '../note/limits.ts';
import type { Measurement, Note } from '../note/note.ts';
import { sameNote } from '../note/note-key.ts';
import * as wording from '../wording/wording.ts';
import { dropped } from './answer-outcomes.ts';
import { toldSince } from './device-entries.ts';
import { withUnits } from './heights.ts';
import { type Context, type Outcome, refused } from './outcome.ts';
import { treeFields } from './trees.ts';

/** Whether a note may still answer an offer that was left behind. */
export const answersLate = (note: Note, { question: { options } }: OpenQuestion): boolean =>
  note.kind === 'answer' ||
  (note.kind === 'pick' && options.length > 1) ||
  options.some((option) => sameNote(option.note, note));

/** "No" to an offer that was left behind. */
export const droppedLate = (context: Context, open: OpenQuestion): Outcome =>
  dropped(
    context,
    open,
    `Not kept: ${wording.list(
      open.question.options.map(({ say }) => say),
      'or',
    )}. What came since stays where it is.`,
  );

/** What is in hand for an offer that was left behind: a plot that was begun since is not closed by it. */
export const asItWas = (context: Context, { entry }: OpenQuestion): Context =>
  toldSince(context, entry).some(({ acts }) => acts.some(({ act }) => act === 'plot'))
    ? { ...context, deviceState: { ...context.deviceState, plot: null } }
    : context;

/** What was offered as it is kept now, with all that rests on it. */
export function withWhatCameSince(context: Context, open: OpenQuestion, outcome: Outcome): Outcome {
  const since = toldSince(context, open.entry).filter(({ acts }) => acts.length > 0);
  if (outcome.state !== 'kept' || since.length === 0) return outcome;
  const plot = outcome.acts.find((act) => act.act === 'plot');
  const more =
    plot === undefined ? underSettings(context, outcome.acts, since) : ontoPlot(context, open, plot.id);
  if (more === null) return outcome;
  const acts = [...outcome.acts, ...more.acts];
  if (acts.length > sizes.acts)
    return refused(
      `More came since than can be put under it at once. Say no, then tell it again before what is next.`,
    );
  return { ...outcome, acts, say: (after, now) => `${outcome.say(after, now)}${more.say(after, now)}` };
}

/** What rests on an offer: what is done with it, and how that is told. */
interface Resting {
  readonly acts: readonly Act[];
  readonly say: Outcome['say'];
}

/** Trees told since, up to the next plot, go onto the plot that was offered; it is closed where it would be by now. */
function ontoPlot(context: Context, open: OpenQuestion, id: string): Resting {
  const { book, deviceState } = context;
  const all = toldSince(context, open.entry);
  const end = all.findIndex(({ acts }) => acts.some(({ act }) => act === 'plot' || act === 'stand'));
  const reach = end < 0 ? all : all.slice(0, end);
  const begun = reach.flatMap(({ acts }) =>
    acts.flatMap((act) => (act.act === 'tree' ? (book.tree(act.id) ?? []) : [])),
  );
  // What was told of another plot by its number stays there.
  const old = begun.find(({ plot }) => plot !== null)?.plot ?? null;
  const moved = begun.filter(({ plot }) => plot === old);
  const closed =
    end >= 0 || reach.some(({ acts }) => acts.some((act) => act.act === 'plotAmend' && act.closed === true));
  const later = end < 0 ? null : deviceState.plot;
  const inHand = book.tree(deviceState.tree);
  const again = inHand !== null && (closed ? inHand.plot === later : moved.includes(inHand));
  const acts: Act[] = [
    ...moved.map((tree): Act => ({ act: 'amend', target: tree.id, fields: { plot: id } })),
    ...(closed ? [{ act: 'plotAmend' as const, target: id, closed: true }] : []),
    ...(later === null ? [] : [{ act: 'plotAmend' as const, target: later, closed: false }]),
    ...(again ? [{ act: 'hand' as const, target: inHand.id }] : []),
  ];
  const numbers = moved.map(({ number }) => number);
  const which =
    numbers.length === 1 ? `Tree ${numbers[0]} is` : `Trees ${wording.list(numbers.map(String))} are`;
  return {
    acts,
    say: (after) => {
      const stands = after.plot(later);
      const on = numbers.length === 0 ? '' : ` ${which} on it.`;
      return `${on}${stands ? ` Plot ${stands.number} is in hand.` : closed ? ' It is closed.' : ''}`;
    },
  };
}

/** Heights and diameters told since, worked out with a pace, an eye height or units as if these had been kept at once. */
function underSettings(context: Context, own: readonly Act[], since: readonly Entry[]): Resting | null {
  // What was told of another place stays there: nobody can tell how much of it was meant of this one.
  if (own.some(({ act }) => act === 'stand' || act === 'stratum'))
    return { acts: [], say: () => ' What came since stays where it is.' };
  const sets = own.flatMap((act) => (act.act === 'setting' ? [act.set] : []));
  if (sets.length === 0) return null;
  const now = sets.reduce(withSetting, context.settings);
  const acts = since.flatMap((entry) => [
    ...(sets.some(({ what }) => what === 'units') ? namedAnew(context, entry, now) : []),
    ...measuredAnew(context, entry, now),
  ]);
  const trees = new Set(acts.flatMap((act) => treeOfAct(context, act) ?? []));
  return {
    acts,
    say: (after, { units }) => {
      const told = [...trees].slice(0, 5).flatMap((id) => {
        const tree = after.tree(id);
        return tree === null ? [] : [`tree ${tree.number}${valuesOf(tree, units)}`];
      });
      return told.length === 0 ? '' : ` Worked out with it: ${wording.list(told)}.`;
    },
  };
}

const treeOfAct = ({ book }: Context, act: Act): string | null =>
  act.act === 'amend' ? act.target : act.act === 'remeasure' ? (book.height(act.target)?.tree ?? null) : null;

const valuesOf = ({ diameterIn, heightFt, heightSdFt }: Tree, units: Settings['units']): string =>
  heightFt !== null
    ? ` ${wording.length(heightFt, units, heightSdFt ?? 1)}`
    : diameterIn !== null
      ? ` ${wording.diameter(diameterIn, units)}`
      : '';

/** Species and diameter that the units of the book tell, as they are by these. */
function namedAnew(context: Context, entry: Entry, now: Settings): Act[] {
  const note = meantBy(entry);
  if ((note.kind !== 'tree' && note.kind !== 'change') || note.facts === undefined) return [];
  const { species, diameter } = note.facts;
  const facts = { ...(species === undefined ? {} : { species }), ...(diameter ? { diameter } : {}) };
  const made = treeFields({ ...context, settings: now }, facts);
  if (!made.ok) return [];
  return entry.acts.flatMap((act): Act[] => {
    if (act.act !== 'tree' && act.act !== 'amend') return [];
    const target = act.act === 'tree' ? act.id : act.target;
    const tree = context.book.tree(target);
    const fields: TreeFields = {};
    // What was said right since stays as it was said.
    for (const of of ['species', 'diameterIn'] as const) {
      const [was, is] = [act.fields[of], made.value.fields[of]];
      if (was != null && is != null && was !== is && tree?.[of] === was) fields[of] = is;
    }
    return Object.keys(fields).length === 0 ? [] : [{ act: 'amend', target, fields }];
  });
}

/** A height as it is by settings that were meant to hold when it was told; none where nothing of it changes. */
function measuredAnew({ book, settings }: Context, entry: Entry, now: Settings): Act[] {
  const note = meantBy(entry);
  const said = 'height' in note && typeof note.height === 'object' ? note.height : undefined;
  return entry.acts.flatMap((act): Act[] => {
    if (act.act !== 'height' || said === undefined) return [];
    const node = book.height(act.id);
    const kept = node?.said.at(-1);
    // What waited is worked out by the setting itself; what was said right since stays as it was said.
    if (!node?.value || kept?.entry !== node.entry || !kept.value) return [];
    const units = now.units === settings.units ? kept.value : withUnits(said, now.units);
    const paced = withPace(units, now, settings);
    const measurement = node.value.sketch.eyeFt === null ? paced : withEye(paced, now, settings);
    return measurement === kept.value ? [] : [{ act: 'remeasure', target: act.id, measurement }];
  });
}

function withPace(measurement: Measurement, { pace }: Settings, before: Settings): Measurement {
  if (!('distance' in measurement) || pace === null || pace === before.pace) return measurement;
  const { distance } = measurement;
  if (distance.by === 'length' || distance.pace !== undefined) return measurement;
  return { ...measurement, distance: { ...distance, pace: { feet: pace.feet, sdFeet: pace.sdFeet } } };
}

function withEye(measurement: Measurement, { eye }: Settings, before: Settings): Measurement {
  if (eye === null || eye.feet === before.eye?.feet || !methodOf(measurement).takesBase) return measurement;
  const own = 'eye' in measurement ? measurement.eye : undefined;
  return own === undefined
    ? ({ ...measurement, eye: { value: eye.feet, unit: 'ft' } } as Measurement)
    : measurement;
}

/** A plot or a setting that waited behind an offer, as it is kept with a late yes. */
export const behindLate = (
  context: Context,
  open: OpenQuestion,
  work: (context: Context) => Outcome,
): Outcome => withWhatCameSince(context, open, work(asItWas(context, open)));
