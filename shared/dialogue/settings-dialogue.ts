/** Settings said aloud: checked, converted to feet, read back. */

import { isNoWord, type Settings } from '../book/settings.ts';
import { assertNever, type Result } from '../core/result.ts';
import { feetToMetres } from '../core/units.ts';
import { leastPaceFeet } from '../measuring/height/pace.ts';
import type { Act } from '../note/acts.ts';
import { deviations, deviationText, fromSaid, usualDeviations } from '../note/deviations.ts';
import { logRules } from '../note/log-rules.ts';
import type { Length, NoteOf } from '../note/note.ts';
import { declinationWords } from '../wording/ground.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, feetOf, kept, type Outcome, refused } from './outcome.ts';

export function settingOutcome(context: Context, note: NoteOf<'setting'>): Outcome {
  const { settings } = context;
  const { set } = note;
  const act = (value: Extract<Act, { act: 'setting' }>['set']): Act => ({ act: 'setting', set: value });
  const feet = (length: Length, of: 'distance' | 'eye'): Result<number, string> =>
    feetOf(length, of, settings.units);
  switch (set.what) {
    case 'pace': {
      const length = feet(set.length, 'distance');
      return length.ok ? paceOutcome(settings, note, length.value) : refused(length.error);
    }
    case 'walk': {
      const length = feet(set.length, 'distance');
      return length.ok ? walkOutcome(settings, note, set, length.value) : refused(length.error);
    }
    case 'counting':
      return kept([act(set)], (_, now) =>
        set.of === 'steps' ? `Single steps it is${paceTail(now)}.` : `Paces of two steps${paceTail(now)}.`,
      );
    case 'eye': {
      const length = feet(set.length, 'eye');
      if (!length.ok) return refused(length.error);
      return kept(
        [act({ what: 'eye', feet: length.value })],
        (_, now) => `Eye height ${wording.eyeHeight(length.value, now.units)}.`,
      );
    }
    case 'units':
      return kept([act(set)], () =>
        set.units === 'metres' ? 'Metres and centimetres.' : 'Feet and inches.',
      );
    case 'ground':
      return kept([act(set)], () => `Paces counted ${wording.digits(set.shorter, 0)} percent shorter here.`);
    case 'scatter': {
      const length = feet(set.length, 'distance');
      if (!length.ok) return refused(length.error);
      return kept(
        [act({ what: 'scatter', device: set.device, feet: length.value })],
        () => `${wording.sentence(set.device)} scatter ${wording.length(length.value, settings.units)}.`,
      );
    }
    case 'deviation': {
      const { error, unit } = set;
      if (unit !== undefined && unit !== deviations[error].unit) {
        return refused(`Expected ${deviations[error].about} in ${deviations[error].unit}; found ${unit}.`);
      }
      const value = fromSaid(error, set.value);
      const usual = usualDeviations[error];
      if (!(value >= usual / 20 && value <= usual * 20)) {
        return refused(
          `Expected ${deviationText(error, usual)} or a value not too far from it; found ${wording.digits(set.value, 2)}.`,
        );
      }
      return kept(
        [act({ what: 'deviation', error, value })],
        () => `${wording.sentence(deviationText(error, value))}, from now on.`,
      );
    }
    case 'logRule':
      return kept([act(set)], () => `Board feet by ${logRules[set.rule].name} from now on.`);
    case 'formClass':
      if (set.value < 50 || set.value > 100) {
        return refused(
          `Expected a form class from 50 to 100 percent, such as seventy eight; found ${wording.digits(set.value, 1)}.`,
        );
      }
      return kept([act(set)], () => `Form class ${wording.digits(set.value, 0)}.`);
    case 'edge':
      return kept([act(set)], () =>
        set.method === 'none' ? 'No correction at the edge.' : `Edge by ${set.method}.`,
      );
    case 'slopeMethod':
      return kept([act(set)], () =>
        set.method === 'onSlope' ? 'Plots laid on the slope.' : 'Plots by horizontal distance.',
      );
    case 'declination':
      return kept(
        [act({ what: 'declination', degrees: set.value })],
        (_, now) =>
          `Declination ${declinationWords(set.value)}.${now.north === 'true' ? ' Your bearings are from true north; it turns only what the needle is told.' : ''}`,
      );
    case 'north':
      return kept([act({ what: 'north', north: set.north === 'trueNorth' ? 'true' : 'magnetic' })], () =>
        set.north === 'trueNorth' ? 'Bearings from true north.' : 'Bearings by the needle, magnetic.',
      );
    case 'person':
      return kept([act(set)], () => `${wording.sentence(set.name)} it is.`);
    case 'attention':
      return kept([act(set)], () =>
        isNoWord(set.word) ? 'No attention word.' : `I wait for "${set.word}".`,
      );
    default:
      return assertNever(set);
  }
}

function paceOutcome(settings: Settings, note: NoteOf<'setting'>, feet: number): Outcome {
  if (feet < 1 || feet > 12) {
    return refused(
      `A pace of two steps is about five feet; ${wording.length(feet, settings.units)} was said. Say it again.`,
    );
  }
  const step = feet < leastPaceFeet;
  if (step && !settings.countingSaid) return askCounting(note, feet);
  // Whoever counts single steps states the length of one; a pace is two.
  const pace = step && settings.counting === 'steps' ? 2 * feet : feet;
  return kept([{ act: 'setting', set: { what: 'pace', feet: pace } }], (_, now) => paceReply(now));
}

function walkOutcome(
  settings: Settings,
  note: NoteOf<'setting'>,
  { count, of }: Extract<NoteOf<'setting'>['set'], { what: 'walk' }>,
  feet: number,
): Outcome {
  const one = count > 0 ? feet / count : Number.POSITIVE_INFINITY;
  if (of === 'paces' && one >= 1.7 && one < leastPaceFeet && !settings.countingSaid) {
    return askCounting(note, one);
  }
  if (!(one >= 1 && one <= 12)) {
    return refused(
      `${count} ${of} in ${wording.length(feet, settings.units)} is ${wording.digits(one, 1)} feet each; a pace is about five feet. Say it again.`,
    );
  }
  return kept([{ act: 'setting', set: { what: 'walk', count, of, feet } }], (_, now) => paceReply(now));
}

/** A length that is that of one step: which of the two is counted decides by a factor of two, so it is asked. */
function askCounting(pending: NoteOf<'setting'>, feet: number): Outcome {
  return asking({
    about: 'counting',
    text: `That is ${wording.digits(feet, 2)} feet each, a single step. Do you count every step?`,
    options: [
      { say: 'single steps', note: { kind: 'setting', set: { what: 'counting', of: 'steps' } } },
      { say: 'paces', note: { kind: 'setting', set: { what: 'counting', of: 'paces' } } },
    ],
    pending,
  });
}

function paceTail({ pace, units }: Settings): string {
  return pace ? `; pace ${wording.paceLength(pace.feet, units)}` : '';
}

/** "Pace 5.26 feet, give or take 0.1. Walk it again to firm it up." */
export function paceReply({ pace, walks, units }: Settings): string {
  if (!pace) return 'Kept.';
  const from = walks.length > 1 ? ` from ${walks.length} walks` : '';
  const error =
    units === 'metres' ? wording.digits(100 * feetToMetres(pace.sdFeet), 0) : wording.digits(pace.sdFeet, 2);
  const firm = walks.length === 1 ? ' Walk it again to firm it up.' : '';
  if (pace.drift) {
    return `Pace ${wording.paceLength(pace.feet, units)}${from}, give or take ${error}. The last walk gave ${wording.paceLength(pace.drift.laterFeet, units)}, the earlier ones ${wording.paceLength(pace.drift.earlierFeet, units)}: walk it again.`;
  }
  return `Pace ${wording.paceLength(pace.feet, units)}${from}, give or take ${error}.${firm}`;
}
