/**
 * Settings in force: the fold of the setting acts of one book in their order. Taking one back means folding
 * without it, so nothing here is ever undone by hand.
 */
import type { Act } from '../acts.ts';
import { type PaceModel, paceModel } from '../height/pace.ts';
import type { Counting, Device, HeightSettings } from '../height/types.ts';
import type { LogRule } from '../note.ts';

export type SettingAct = Extract<Act, { act: 'setting' }>['set'];
type Walk = { readonly count: number; readonly of: Counting; readonly feet: number };

/** Standard deviation of a stated or measured eye height, feet. Common practice, no source. */
export const eyeSdFeet = 0.15;

export interface Settings extends HeightSettings {
  readonly pace: PaceModel | null;
  readonly walks: readonly Walk[];
  readonly statedPaceFt: number | null;
  /** True once the person said whether steps or paces are counted. */
  readonly countingSaid: boolean;
  readonly logRule: LogRule | null;
  readonly formClass: number | null;
  readonly edge: 'mirage' | 'walkthrough' | 'none';
  readonly slopeMethod: 'onSlope' | 'horizontal';
  readonly person: string | null;
  readonly attention: string | null;
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
  groundShorter: 0,
  scatter: {},
  walks: [],
  statedPaceFt: null,
  logRule: null,
  formClass: null,
  edge: 'none',
  slopeMethod: 'horizontal',
  person: null,
  attention: null,
  quiet: false,
  rate: 1,
  listening: false,
  nicknames: new Map(),
};

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
      return { ...settings, eye: { feet: set.feet, sdFeet: eyeSdFeet } };
    case 'units':
      return { ...settings, units: set.units };
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
    case 'person':
      return { ...settings, person: set.name };
    case 'attention':
      return { ...settings, attention: set.word };
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

function withPace(settings: Settings): Settings {
  return {
    ...settings,
    pace: paceModel(
      settings.walks,
      settings.statedPaceFt,
      settings.countingSaid ? settings.counting : 'paces',
    ),
  };
}

/** One setting act of the book, and whether it still holds. */
export interface Dated {
  readonly entry: string;
  readonly set: SettingAct;
  retracted: boolean;
}

/** All setting acts of a book in order, with the settings in force at any point of them. */
export class SettingsLine {
  readonly #line: Dated[] = [];
  #now: Settings = firstSettings;

  get now(): Settings {
    return this.#now;
  }

  /** Number of acts so far: the point at which something measured now stands. */
  get length(): number {
    return this.#line.length;
  }

  add(entry: string, set: SettingAct): void {
    this.#line.push({ entry, set, retracted: false });
    this.#now = withSetting(this.#now, set);
  }

  /** Takes back what an entry set, or restores it. */
  mark(entry: string, retracted: boolean): void {
    for (const dated of this.#line) if (dated.entry === entry) dated.retracted = retracted;
    this.#now = this.#fold(this.#line.length);
  }

  /**
   * Settings for something measured at a point. A pace or an eye height that was not known then is taken from the
   * first time that it became known: a tree said before the pace is answered when the pace comes.
   */
  at(point: number): Settings {
    let settings = this.#fold(point);
    for (let end = point + 1; end <= this.#line.length && (!settings.pace || !settings.eye); end++) {
      const later = this.#fold(end);
      settings = { ...settings, pace: settings.pace ?? later.pace, eye: settings.eye ?? later.eye };
    }
    return settings;
  }

  #fold(end: number): Settings {
    let settings = firstSettings;
    for (const dated of this.#line.slice(0, end))
      if (!dated.retracted) settings = withSetting(settings, dated.set);
    return settings;
  }
}
