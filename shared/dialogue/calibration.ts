/**
 * A known length that is walked and counted: once with its length, and then again with the count alone ("coming back I got
 * 39"). Half of a walk is asked for.
 */
import type { Settings } from '../book/settings.ts';
import { leastPaceFeet } from '../measuring/height/pace.ts';
import type { Note, NoteOf } from '../note/note.ts';
import type { SettingAct, SettingSaid } from '../note/settings.ts';
import * as wording from '../wording/wording.ts';
import { standing } from './device-entries.ts';
import { oddWalk, unitsOf } from './odd-values.ts';
import { asking, type Context, feetOf, kept, type Outcome, refused } from './outcome.ts';
import { paceReply, usualPace } from './pace-words.ts';

type Walk = SettingSaid<'walk'>;
/** One that lacks nothing. */
type WholeWalk = Walk & { readonly [K in 'count' | 'of' | 'length']: NonNullable<Walk[K]> };

/** Feet: the shortest that is walked in a step. */
const leastStepFeet = 1.7;
/** A count of the same length differs by less than this part of it. */
const apart = 0.25;

const passesOver: ReadonlySet<Note['kind']> = new Set(['ask', 'answer', 'control', 'hand']);

/** The walk that was told right before, questions and "once more" aside; null where something else was. */
function walkBefore({ book, deviceState }: Context): SettingAct<'walk'> | null {
  for (const { note, acts } of standing(book, deviceState)) {
    const walk = acts.find((act) => act.act === 'setting' && act.set.what === 'walk');
    if (walk?.act === 'setting' && walk.set.what === 'walk') return walk.set;
    if (!passesOver.has(note.kind)) return null;
  }
  return null;
}

export function walkOutcome(context: Context, set: Walk): Outcome {
  const { units } = context.settings;
  const before = set.length === undefined ? walkBefore(context) : null;
  if (set.count === undefined) return askCount(context, set);
  const again = before === null ? undefined : { value: before.feet, unit: 'ft' as const };
  const length = set.length ?? again;
  if (length === undefined)
    return refused('Over what length? Say both, such as thirty nine paces in a hundred feet.');
  const feet = feetOf(length, 'distance', units);
  if (!feet.ok) return refused(feet.error);
  const outcome = counted(
    context,
    { what: 'walk', count: set.count, of: set.of ?? before?.of ?? 'paces', length },
    feet.value,
  );
  if (before === null || outcome.state !== 'kept') return outcome;
  const means: Note = { kind: 'setting', set: { ...set, of: set.of ?? before.of, length } };
  const lead = `${wording.sentence(wording.length(before.feet, units))} once more: `;
  return { ...outcome, means, say: (book, now) => `${lead}${wording.lowered(outcome.say(book, now))}` };
}

/** What is missing of a walk is asked for. */
function askCount({ settings }: Context, set: Walk): Outcome {
  const { length } = set;
  const feet = length && feetOf(length, 'distance', settings.units);
  if (feet?.ok === false) return refused(feet.error);
  const text =
    length === undefined || feet === undefined
      ? 'Walk a known length and say both, such as thirty eight paces in a hundred feet.'
      : `${wording.sentence(wording.length(feet.value, unitsOf(length, settings.units)))}: how many paces, or steps?`;
  return asking({ about: 'walk', text, options: [], pending: { kind: 'setting', set } });
}

/** So many over a known length. */
function counted(context: Context, said: WholeWalk, feet: number): Outcome {
  const { count, of } = said;
  const { settings } = context;
  const one = count > 0 ? feet / count : Number.POSITIVE_INFINITY;
  const isStep = of === 'paces' && one >= leastStepFeet && one < leastPaceFeet;
  // Who counted paces until now may have miscounted, or counts steps from here on.
  if (isStep && !settings.countingSaid && settings.pace !== null && settings.counting === 'paces')
    return askCounting(said, one, settings.units);
  if (!(one >= 1 && one <= 12)) {
    return refused(
      `${count} ${of} in ${wording.length(feet, settings.units)} is ${wording.length(one, settings.units)} each; a pace is about ${usualPace(settings.units)}. Say it again.`,
    );
  }
  // What is counted is as long as it comes out, whatever it is called: it is said, and counts are taken so.
  const known = settings.countingSaid ? settings.counting === 'steps' : isStep;
  const set: WholeWalk = { ...said, of: known ? 'steps' : of };
  const odd = context.sure ? null : oddWalk(context, set, one);
  return (
    odd ??
    kept([{ act: 'setting', set: { what: 'walk', count, of: set.of, feet } }], (_, now) => paceReply(now))
  );
}

/** A length that is that of one step: which of the two is counted decides by a factor of two, so it is asked. */
function askCounting(set: Walk, feet: number, units: Settings['units']): Outcome {
  return asking({
    about: 'counting',
    text: `That is ${wording.paceLength(feet, units)} each, a single step. Do you count every step?`,
    options: [
      { say: 'single steps', note: { kind: 'setting', set: { what: 'counting', of: 'steps' } } },
      { say: 'paces', note: { kind: 'setting', set: { what: 'counting', of: 'paces' } } },
    ],
    pending: { kind: 'setting', set },
  });
}

/** The count that a note says and nothing else: "41", "forty one paces". */
export function countSaid(note: Note): Pick<Walk, 'count' | 'of'> | null {
  if (note.kind === 'number') return note.unit === undefined && !note.pair ? { count: note.value } : null;
  if (note.kind !== 'height' || note.height.method !== 'stick') return null;
  const { distance, eye, base, lean } = note.height;
  return distance.by === 'length' || eye || base || lean ? null : { count: distance.count, of: distance.by };
}

/**
 * A count right behind a walk is the same length once more where it comes near the first; with a tree in hand it may be that
 * tree's, and is asked. Null where it is none.
 */
export function walkedAgain(context: Context, note: NoteOf<'number' | 'height' | 'hand'>): Outcome | null {
  const next = note.kind === 'hand' ? (isBareHand(note) ? context.behind : undefined) : note;
  const said = next === undefined ? null : countSaid(next);
  const before = said?.count === undefined ? null : walkBefore(context);
  if (said === null || before === null || said.count === undefined) return null;
  if (Math.abs(said.count - before.count) > apart * before.count) return null;
  // "Did it again, 41": the count tells of what.
  if (note.kind === 'hand') return kept([], () => '');
  const set: Walk = { what: 'walk', ...said };
  const { units } = context.settings;
  const tree = context.book.tree(context.deviceState.tree);
  if (tree === null) return walkOutcome(context, set);
  const walk: Note = {
    kind: 'setting',
    set: { ...set, of: said.of ?? before.of, length: { value: before.feet, unit: 'ft' } },
  };
  const once = `${wording.length(before.feet, units)} once more`;
  return asking({
    about: 'reading',
    text: `Is that ${once}, or tree ${tree.number}?`,
    options: [
      { say: once, note: walk },
      { say: `tree ${tree.number}`, note },
    ],
  });
}

const isBareHand = ({ tree, which, height }: NoteOf<'hand'>): boolean =>
  tree === undefined && which === undefined && height === undefined;
