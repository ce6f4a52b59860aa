/**
 * Settings in force after some setting acts: what they are and what each act makes of them. `settings-line.ts` tells which
 * acts of a book those are, at any point and for anybody.
 */

import { type PaceModel, paceModel } from '../measuring/height/pace.ts';
import type { Counting, Device, HeightSettings } from '../measuring/height/types.ts';
import type { Act } from '../note/acts.ts';
import { type Deviations, usualDeviations } from '../note/deviations.ts';
import type { LogRule } from '../note/log-rules.ts';

export type SettingAct = Extract<Act, { act: 'setting' }>['set'];
type Walk = { readonly count: number; readonly of: Counting; readonly feet: number };

export interface Settings extends HeightSettings {
  readonly pace: PaceModel | null;
  /** True once this person said the units; until then those of the book hold. */
  readonly unitsSaid: boolean;
  readonly walks: readonly Walk[];
  readonly statedPaceFt: number | null;
  /** True once the person said whether steps or paces are counted. */
  readonly countingSaid: boolean;
  readonly logRule: LogRule | null;
  readonly formClass: number | null;
  readonly edge: 'mirage' | 'walkthrough' | 'none';
  readonly slopeMethod: 'onSlope' | 'horizontal';
  /** Degrees that the needle points east of true north; null: not said. */
  readonly declination: number | null;
  /** Which north bearings are from that are said without one. */
  readonly north: 'true' | 'magnetic';
  readonly person: string | null;
  readonly wakeWord: string | null;
  readonly quiet: boolean;
  readonly rate: number;
  readonly listening: boolean;
  readonly nicknames: ReadonlyMap<string, number>;
}

export const firstSettings: Settings = {
  pace: null,
  eye: null,
  counting: 'paces',
  countingSaid: false,
  units: 'feet',
  unitsSaid: false,
  groundShorter: 0,
  scatter: {},
  walks: [],
  statedPaceFt: null,
  logRule: null,
  formClass: null,
  edge: 'none',
  slopeMethod: 'horizontal',
  declination: null,
  north: 'magnetic',
  person: null,
  wakeWord: null,
  quiet: false,
  rate: 1,
  listening: false,
  nicknames: new Map(),
};

/** What is said instead of an attention word for going on without one. */
export const isNoWord = (word: string): boolean => word === '' || word === 'none';

/** The settings after one more act. Pure; a pace is recomputed from all walks and the stated length. */
export function withSetting(settings: Settings, set: SettingAct): Settings {
  switch (set.what) {
    case 'pace':
      return withPace({ ...settings, statedPaceFt: set.feet });
    case 'walk':
      return withPace({
        ...settings,
        walks: [...settings.walks, { count: set.count, of: set.of, feet: set.feet }],
        counting: settings.countingSaid ? settings.counting : set.of,
      });
    case 'counting':
      return withPace({ ...settings, counting: set.of, countingSaid: true });
    case 'eye':
      return { ...settings, eye: { feet: set.feet, sdFeet: inForce(settings).eyeFeet } };
    case 'deviation':
      return withDeviation({ ...settings, deviations: { ...settings.deviations, [set.error]: set.value } });
    case 'units':
      return { ...settings, units: set.units, unitsSaid: true };
    case 'ground':
      return { ...settings, groundShorter: set.shorter };
    case 'scatter':
      return { ...settings, scatter: { ...settings.scatter, [set.device as Device]: set.feet } };
    case 'logRule':
      return { ...settings, logRule: set.rule };
    case 'formClass':
      return { ...settings, formClass: set.value };
    case 'edge':
      return { ...settings, edge: set.method };
    case 'slopeMethod':
      return { ...settings, slopeMethod: set.method };
    case 'declination':
      return { ...settings, declination: set.degrees };
    case 'north':
      return { ...settings, north: set.north };
    case 'person':
      return { ...settings, person: set.name };
    case 'attention':
      return { ...settings, wakeWord: isNoWord(set.word) ? null : set.word };
    case 'nickname':
      return { ...settings, nicknames: new Map(settings.nicknames).set(set.nickname, set.species) };
    case 'voice':
      return {
        ...settings,
        quiet: set.quiet ?? settings.quiet,
        rate: set.rate ?? settings.rate,
        listening: set.listening ?? settings.listening,
      };
  }
}

export const inForce = (settings: Pick<Settings, 'deviations'>): Deviations => ({
  ...usualDeviations,
  ...settings.deviations,
});

/** An eye height and a pace that are known have the errors that are supposed now. */
function withDeviation(settings: Settings): Settings {
  const { eye } = settings;
  return withPace(
    eye === null ? settings : { ...settings, eye: { ...eye, sdFeet: inForce(settings).eyeFeet } },
  );
}

function withPace(settings: Settings): Settings {
  return {
    ...settings,
    pace: paceModel(
      settings.walks,
      settings.statedPaceFt,
      settings.countingSaid ? settings.counting : 'paces',
      inForce(settings),
    ),
  };
}

/** What belongs to who said it. Everything else (a log rule, the scatter of a device) holds for the whole book. */
export const personal: ReadonlySet<SettingAct['what']> = new Set([
  'pace',
  'walk',
  'counting',
  'eye',
  'units',
  'ground',
  'deviation',
  'north',
  'person',
  'attention',
  'voice',
]);
