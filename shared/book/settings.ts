/**
 * Settings in force: the fold of the setting acts of one book in their order. Taking one back means folding
 * without it, so nothing here is ever undone by hand. A pace or an eye height is one person's own: several people in
 * one book never measure with each other's.
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

const inForce = (settings: Settings): Deviations => ({ ...usualDeviations, ...settings.deviations });

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
const personal: ReadonlySet<SettingAct['what']> = new Set([
  'pace',
  'walk',
  'counting',
  'eye',
  'units',
  'ground',
  'deviation',
  'person',
  'attention',
  'voice',
]);

/** The settings of someone after somebody's act: their own, or that of another. */
function afterAct(settings: Settings, set: SettingAct, own: boolean): Settings {
  if (own || !personal.has(set.what)) return withSetting(settings, set);
  // The book is shown in the units of its crew to who never said any.
  return set.what === 'units' && !settings.unitsSaid ? { ...settings, units: set.units } : settings;
}

/** One setting act of the book, and whether it still holds. */
interface Dated {
  readonly entry: string;
  readonly device: string;
  readonly set: SettingAct;
  /** Who had been named on the device by then; nobody for the naming itself. */
  who: string | undefined;
  retracted: boolean;
}

/** What the settings of one device were after each act of the line; grown when it is asked for. */
interface History {
  /** Who speaks on the device at the end of what is known. */
  me: string | undefined;
  /** One more than acts: the first is before any. */
  readonly states: Settings[];
}

/** Whether what was said is the own of who speaks on a device. */
function isOwn(said: Pick<Dated, 'device' | 'who'>, device: string, me: string | undefined): boolean {
  // What was said on a device before anybody was named there serves whoever speaks on it.
  return said.who === undefined ? said.device === device : said.who === me;
}

/** All setting acts of a book in order, with the settings in force at any point of them. */
export class SettingsLine {
  readonly #line: Dated[] = [];
  /** Who speaks on which device, as far as they were named. */
  readonly #people = new Map<string, string>();
  readonly #histories = new Map<string, History>();
  #now: Settings = firstSettings;

  /** As last said by anybody: how the book as a whole is shown. */
  get now(): Settings {
    return this.#now;
  }

  /** Number of acts so far: the point at which something measured now stands. */
  get length(): number {
    return this.#line.length;
  }

  /** In force for who speaks on a device. */
  of(device: string): Settings {
    return this.#statesOf(device).at(-1)!;
  }

  /** Who speaks on the devices now, as far as they were named. */
  get people(): readonly string[] {
    return [...new Set(this.#people.values())];
  }

  /** Whether one person speaks on both devices. */
  sameSpeaker(a: string, b: string): boolean {
    return a === b || isOwn({ device: a, who: this.#people.get(a) }, b, this.#people.get(b));
  }

  add(entry: string, device: string, set: SettingAct): void {
    this.#line.push(this.#take({ entry, device, set, who: undefined, retracted: false }));
  }

  /** Takes back what an entry set. */
  retract(entry: string): void {
    this.#hold(entry, false);
  }

  /** What an entry set holds again. */
  restore(entry: string): void {
    this.#hold(entry, true);
  }

  #hold(entry: string, holds: boolean): void {
    for (const dated of this.#line) if (dated.entry === entry) dated.retracted = !holds;
    this.#histories.clear();
    this.#people.clear();
    this.#now = firstSettings;
    for (const dated of this.#line) if (!dated.retracted) this.#take(dated);
  }

  /**
   * Settings for something measured on a device at a point. A pace or an eye height that was not known then is taken
   * from the first time that it became known: a tree said before the pace is answered when the pace comes.
   */
  at(device: string, point: number): Settings {
    const states = this.#statesOf(device);
    const firstWith = (known: (settings: Settings) => boolean): Settings => {
      let from = point;
      while (from < states.length - 1 && !known(states[from]!)) from++;
      return states[from]!;
    };
    const then = states[point]!;
    if (then.pace && then.eye) return then;
    const { pace, walks, statedPaceFt } = firstWith((one) => one.pace !== null);
    const { eye } = firstWith((one) => one.eye !== null);
    return { ...then, pace, walks, statedPaceFt, eye };
  }

  /** Lets an act hold from here on. */
  #take(dated: Dated): Dated {
    const { device, set } = dated;
    this.#now = withSetting(this.#now, set);
    if (set.what === 'person') this.#people.set(device, set.name);
    else dated.who = this.#people.get(device);
    return dated;
  }

  #statesOf(device: string): readonly Settings[] {
    let history = this.#histories.get(device);
    if (!history) {
      history = { me: undefined, states: [firstSettings] };
      this.#histories.set(device, history);
    }
    const { states } = history;
    for (let at = states.length - 1; at < this.#line.length; at++) {
      const dated = this.#line[at]!;
      const { set } = dated;
      if (!dated.retracted && set.what === 'person' && dated.device === device && set.name !== history.me) {
        history.me = set.name;
        // Somebody else speaks here now: theirs is also what they said before, on whatever device.
        states.push(this.#fold(device, set.name, at + 1));
      } else states.push(step(states[at]!, dated, device, history.me));
    }
    return states;
  }

  #fold(device: string, me: string, end: number): Settings {
    let settings = firstSettings;
    for (let at = 0; at < end; at++) settings = step(settings, this.#line[at]!, device, me);
    return settings;
  }
}

/** The settings of who speaks on a device after one act more. */
function step(settings: Settings, dated: Dated, device: string, me: string | undefined): Settings {
  return dated.retracted ? settings : afterAct(settings, dated.set, isOwn(dated, device, me));
}
