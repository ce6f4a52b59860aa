/** Settings said aloud: checked, converted to feet, read back. */

import { type Settings, settingRow } from '../book/settings.ts';
import { leastPaceFeet } from '../measuring/height/pace.ts';
import type { Act } from '../note/acts.ts';
import { deviations, deviationText, fromSaid, usualDeviations } from '../note/deviations.ts';
import type { NoteOf } from '../note/note.ts';
import type { Length } from '../note/quantities.ts';
import {
  type ConvertedSetting,
  type SaidSetting,
  type SettingAct,
  type SettingSaid,
  settingActSchema,
} from '../note/settings.ts';
import * as wording from '../wording/wording.ts';
import { walkOutcome } from './calibration.ts';
import { oddEye, oddPace } from './odd-values.ts';
import { type Context, feetOf, kept, type Outcome, refused } from './outcome.ts';
import { paceReply, usualPace } from './pace-words.ts';

/** What one setting comes to where it is said: the act, or why it cannot be. */
interface SettingDialogue<S extends SettingSaid> {
  outcome(context: Context, set: S): Outcome;
}

/** The others are kept as they are said. */
const settingDialogues: {
  readonly [W in ConvertedSetting]: SettingDialogue<SettingSaid<W>>;
} & { readonly [W in SaidSetting]?: SettingDialogue<SettingSaid<W>> } = {
  pace: {
    outcome: (context, said) => {
      const { settings } = context;
      const set = { ...said, length: inCentimetres(said.length) };
      const feet = feetOf(set.length, 'distance', settings.units);
      if (!feet.ok) return refused(feet.error);
      return withUnits(
        settings,
        set.length,
        (!context.sure && oddPace(context, set, feet.value)) || paceOutcome(settings, feet.value, set),
      );
    },
  },
  walk: {
    outcome: (context, set) => withUnits(context.settings, set.length, walkOutcome(context, set)),
  },
  counting: {
    outcome: (_, set) =>
      settingKept(set, (now) =>
        set.of === 'steps' ? `Single steps it is${paceTail(now)}.` : `Paces of two steps${paceTail(now)}.`,
      ),
  },
  eye: {
    outcome: (context, set) => {
      const { settings } = context;
      const feet = feetOf(set.length, 'eye', settings.units);
      if (!feet.ok) return refused(feet.error);
      return withUnits(
        settings,
        set.length,
        (!context.sure && oddEye(context, set, feet.value)) ||
          settingKept({ what: 'eye', feet: feet.value, ...own(set) }),
      );
    },
  },
  person: {
    // "Back to me": who spoke before.
    outcome: ({ book, device, settings }, set) => {
      if (set.name !== 'me') return settingKept(set);
      if (settings.person === null) return kept([], () => 'Then it is you who measures.');
      const name = book.personBefore(device);
      if (name === null) return refused('Say your name, such as I am, and the name.');
      const named: SettingAct<'person'> = { what: 'person', name };
      return { ...settingKept(named), means: { kind: 'setting', set: named } };
    },
  },
  scatter: {
    outcome: ({ settings }, { device, length }) => {
      const feet = feetOf(length, 'distance', settings.units);
      return feet.ok ? settingKept({ what: 'scatter', device, feet: feet.value }) : refused(feet.error);
    },
  },
  declination: {
    outcome: (_, { value }) => settingKept({ what: 'declination', degrees: value }),
  },
  north: {
    outcome: (_, { north }) =>
      settingKept({ what: 'north', north: north === 'trueNorth' ? 'true' : 'magnetic' }),
  },
  deviation: { outcome: (_, set) => deviationOutcome(set) },
  formClass: {
    outcome: (_, set) =>
      set.value >= 50 && set.value <= 100
        ? settingKept(set)
        : refused(
            `Expected a form class from 50 to 100 percent, such as seventy eight; found ${wording.digits(set.value, 1)}.`,
          ),
  },
};

/** A row for who holds a setting of any kind; it fits that setting alone. */
const dialogueOf = (what: SaidSetting): SettingDialogue<SettingSaid> | undefined => settingDialogues[what];

export function settingOutcome(context: Context, { set: said }: NoteOf<'setting'>): Outcome {
  const set = ofSpeaker(context, said);
  const own = dialogueOf(set.what);
  return own ? own.outcome(context, set) : settingKept(settingActSchema.parse(set));
}

/** Of whom it is, where that is not who speaks. */
const own = ({ whose }: { readonly whose?: string | undefined }) => (whose === undefined ? {} : { whose });

/** What is said of who speaks is told as of anybody who speaks. */
function ofSpeaker({ settings }: Context, set: SettingSaid): SettingSaid {
  if (!('whose' in set) || set.whose === undefined || set.whose !== settings.person) return set;
  const { whose: _, ...mine } = set;
  return mine;
}

/** The setting in force, and a reply worded with it: what it comes to, unless another is given. */
function settingKept(set: SettingAct, say?: (now: Settings) => string): Outcome {
  return kept([{ act: 'setting', set }], (_, now) =>
    say ? say(now) : `${settingRow(set.what).told(set, now.units)}.`,
  );
}

function deviationOutcome({ error, unit, value: found }: SettingSaid<'deviation'>): Outcome {
  if (unit !== undefined && unit !== deviations[error].unit) {
    return refused(`Expected ${deviations[error].about} in ${deviations[error].unit}; found ${unit}.`);
  }
  const value = fromSaid(error, found);
  const usual = usualDeviations[error];
  if (!(value >= usual / 20 && value <= usual * 20)) {
    return refused(
      `Expected ${deviationText(error, usual)} or a value not too far from it; found ${wording.digits(found, 2)}.`,
    );
  }
  return settingKept(
    { what: 'deviation', error, value },
    () => `${wording.sentence(deviationText(error, value))}, from now on.`,
  );
}

/**
 * Who says an eye height or a pace in metres works in metres from there on, unless units were said: else the next bare
 * diameter would be read in inches.
 */
function withUnits({ unitsSaid, units }: Settings, length: Length | undefined, outcome: Outcome): Outcome {
  const unit = length?.unit;
  const metric = unit === 'm' || unit === 'cm';
  if (!metric || unitsSaid || units === 'metres' || outcome.state !== 'kept') return outcome;
  const acts: Act[] = [{ act: 'setting', set: { what: 'units', units: 'metres' } }, ...outcome.acts];
  return {
    ...outcome,
    acts,
    say: (book, now) => `${outcome.say(book, now)} Metres and centimetres from here on.`,
  };
}

/** A step or a pace of seventy five, said without a unit, can be nothing but centimetres. */
const inCentimetres = (length: Length): Length =>
  length.unit === undefined && length.value >= 45 && length.value <= 200 ? { ...length, unit: 'cm' } : length;

/** `of`: whether the length was said of a step. */
function paceOutcome(settings: Settings, feet: number, set: SettingSaid<'pace'>): Outcome {
  const { of, whose } = set;
  if (feet < 1 || feet > 12) {
    return refused(
      `A pace of two steps is about ${usualPace(settings.units)}; ${wording.length(feet, settings.units)} was said. Say it again.`,
    );
  }
  const knowsPaces = settings.countingSaid && settings.counting === 'paces';
  const step = of === 'steps' || (of === undefined && feet < leastPaceFeet && !(knowsPaces && !whose));
  const act = (one: SettingAct): Act => ({ act: 'setting', set: one });
  const pace: SettingAct = { what: 'pace', feet: step ? 2 * feet : feet, ...own(set) };
  // The length of what is counted was said: by so much each count is multiplied, whatever it is called.
  const counting = step ? [act({ what: 'counting', of: 'steps', ...own(set) })] : [];
  return kept([...counting, act(pace)], (_, now) =>
    whose === undefined
      ? ofPace(now, step)
      : `${settingRow('pace').told({ ...pace, feet }, now.units)}${step ? ' for each step' : ''}.`,
  );
}

/** Of who counts steps and tells the length of a pace, both. */
const ofPace = (now: Settings, step: boolean): string =>
  step || now.counting === 'paces' || now.pace === null
    ? paceReply(now)
    : `${paceReply({ ...now, counting: 'paces' })} That is ${wording.paceLength(now.pace.feet / 2, now.units)} for each step that you count.`;

function paceTail({ pace, units }: Settings): string {
  return pace ? `; pace ${wording.paceLength(pace.feet, units)}` : '';
}
