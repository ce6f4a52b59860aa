/**
 * Settings in force after some setting acts: what each act makes of them and how it is told, one row a setting.
 * `settings-line.ts` tells which acts of a book those are, at any point and for anybody.
 */
import type { Units } from '../core/units.ts';
import { type PaceModel, paceModel } from '../measuring/height/pace.ts';
import type { Counting, HeightSettings } from '../measuring/height/types.ts';
import { type Deviations, deviationText, usualDeviations } from '../note/deviations.ts';
import { type LogRule, logRules } from '../note/log-rules.ts';
import { type SettingAct, type SettingName, settingNames } from '../note/settings.ts';
import type { Region } from '../note/species-regions.ts';
import { declinationWords } from '../wording/ground.ts';
import * as wording from '../wording/wording.ts';

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
  /** Where the stands are, once somebody said it. */
  readonly region: Region | null;
  readonly person: string | null;
  readonly wakeWord: string | null;
  readonly quiet: boolean;
  /** Replies are short. */
  readonly short: boolean;
  readonly rate: number;
  readonly listening: boolean;
  readonly nicknames: ReadonlyMap<string, number>;
  /** By stand, under null where none was named: how many plots are planned, and the smallest tree that is measured, inches. */
  readonly planned: ReadonlyMap<string | null, number>;
  readonly leastDiameters: ReadonlyMap<string | null, number | null>;
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
  region: null,
  person: null,
  wakeWord: null,
  quiet: false,
  short: false,
  rate: 1,
  listening: false,
  nicknames: new Map(),
  planned: new Map(),
  leastDiameters: new Map(),
};

/** What is said instead of an attention word for going on without one. */
const isNoWord = (word: string): boolean => word === '' || word === 'none';

const regionNames = {
  europe: 'Europe',
  america: 'North America',
  east: 'eastern North America',
  west: 'western North America',
} as const satisfies Record<Region, string>;

/** What an act says about one side of a thing in the book. */
export interface Stated {
  readonly thing: string;
  readonly side: string;
  readonly value: unknown;
}

interface RowWords {
  /** In the line of all settings in use; null where nothing is worth a word. Settings that others tell have none. */
  readonly inUse?: (settings: Settings) => string | null;
  /** Whether heights are computed with it. */
  readonly changesHeights: boolean;
  /** What a height takes from it later on, where that was not known when it was measured. */
  readonly lookedFor?: readonly ('pace' | 'eye')[];
  /** Which heights that waited it may answer: a name may bring all that its bearer said before. */
  readonly brings?: 'pace' | 'eye' | 'any';
}

/** A row for who holds an act of any setting; it fits that setting alone (`settingRow`). */
interface BookSetting<S extends SettingAct> extends RowWords {
  /** The settings after one more act; a pace is recomputed from all walks and the stated length. */
  after(settings: Settings, set: S): Settings;
  /** How it is named when it is taken back; null where that is not told. */
  named(set: S, units: Units): string | null;
  /** What it comes to: a sentence without its full stop. */
  told(set: S, units: Units): string;
  /** What it states of what, where two people who did not know of each other may contradict each other. */
  states?(set: S): Stated;
}

/** Of a setting that is one value, the last of which holds. */
const lastSaid =
  <S extends SettingAct>(values: (set: S) => Partial<Settings>) =>
  (settings: Settings, set: S): Settings => ({ ...settings, ...values(set) });

type Owned = { readonly whose?: string | undefined };
/** "Ann's ", "Ann, ": whose it is, where that is not who speaks. */
const whom = ({ whose }: Owned): string => (whose === undefined ? '' : `${wording.placeName(whose)}'s `);
const ofWhom = ({ whose }: Owned): string => (whose === undefined ? '' : `${wording.placeName(whose)}, `);

const settingRows: { readonly [W in SettingName]: BookSetting<SettingAct<W>> } = {
  pace: {
    // Walks before it have no more say: who says a pace after them means that one.
    after: (settings, { feet }) =>
      withPace({
        ...settings,
        walks: [],
        statedPaceFt: feet,
        counting: settings.countingSaid ? settings.counting : firstSettings.counting,
      }),
    named: (set, units) => `the pace of ${ofWhom(set)}${wording.paceLength(set.feet, units)}`,
    told: (set, units) => wording.sentence(`${whom(set)}pace ${wording.paceLength(set.feet, units)}`),
    inUse: ({ pace, units }) => (pace ? `pace ${wording.paceLength(pace.feet, units)}` : 'no pace'),
    brings: 'pace',
    changesHeights: true,
    lookedFor: ['pace'],
  },
  eye: {
    after: (settings, { feet }) => ({ ...settings, eye: { feet, sdFeet: inForce(settings).eyeFeet } }),
    named: (set, units) => `the eye height of ${ofWhom(set)}${wording.eyeHeight(set.feet, units)}`,
    told: (set, units) => wording.sentence(`${whom(set)}eye height ${wording.eyeHeight(set.feet, units)}`),
    inUse: ({ eye, units }) => (eye ? `eye ${wording.eyeHeight(eye.feet, units)}` : 'no eye height'),
    brings: 'eye',
    changesHeights: true,
    lookedFor: ['eye'],
  },
  units: {
    after: (settings, { units }) => ({ ...settings, units, unitsSaid: true }),
    named: (set) => `the units, ${set.units}`,
    told: (set) => (set.units === 'metres' ? 'Metres and centimetres' : 'Feet and inches'),
    inUse: ({ units }) => (units === 'metres' ? 'metric' : 'feet'),
    changesHeights: true,
  },
  counting: {
    after: (settings, { of }) => withPace({ ...settings, counting: of, countingSaid: true }),
    named: ({ of }) => `counting ${of}`,
    told: ({ of }) => (of === 'steps' ? 'Single steps are counted' : 'Paces of two steps are counted'),
    inUse: ({ counting }) => (counting === 'steps' ? 'single steps' : 'paces of two steps'),
    changesHeights: true,
    lookedFor: ['pace'],
  },
  walk: {
    after: (settings, { count, of, feet }) =>
      withPace({
        ...settings,
        walks: [...settings.walks, { count, of, feet }],
        counting: settings.countingSaid ? settings.counting : of,
      }),
    named: (set, units) => `the walk of ${walkWords(set, units)}`,
    told: walkWords,
    brings: 'pace',
    changesHeights: true,
    lookedFor: ['pace'],
  },
  ground: {
    after: lastSaid(({ shorter }) => ({ groundShorter: shorter })),
    named: ({ shorter }) => `paces ${wording.digits(shorter, 0)} percent shorter`,
    told: ({ shorter }) => `Paces counted ${wording.digits(shorter, 0)} percent shorter here`,
    inUse: ({ groundShorter }) =>
      groundShorter > 0 ? `${wording.digits(groundShorter, 0)} percent shorter ground` : null,
    changesHeights: true,
  },
  scatter: {
    after: (settings, { device, feet }) => ({
      ...settings,
      scatter: { ...settings.scatter, [device]: feet },
    }),
    named: ({ device, feet }, units) => `the ${device} scatter of ${wording.length(feet, units)}`,
    told: ({ device, feet }, units) => `${wording.sentence(device)} scatter ${wording.length(feet, units)}`,
    inUse: ({ scatter, units }) =>
      Object.entries(scatter)
        .map(([device, feet]) => `${device} scatter ${wording.length(feet, units)}`)
        .join(', ') || null,
    changesHeights: true,
  },
  deviation: {
    after: (settings, { error, value }) =>
      withDeviation({ ...settings, deviations: { ...settings.deviations, [error]: value } }),
    named: ({ error, value }) => `the supposed error of ${deviationText(error, value)}`,
    told: ({ error, value }) => `Supposed error of ${deviationText(error, value)}`,
    inUse: ({ deviations }) => {
      const changed = Object.keys(deviations ?? {}).length;
      return changed === 0 ? null : `${changed} supposed ${changed === 1 ? 'error' : 'errors'} changed`;
    },
    changesHeights: true,
    lookedFor: ['pace', 'eye'],
  },
  logRule: {
    after: lastSaid(({ rule }) => ({ logRule: rule })),
    named: ({ rule }) => `the log rule, ${rule}`,
    told: ({ rule }) => `Board feet by ${logRules[rule].name} from now on`,
    inUse: ({ logRule }) => logRule && logRules[logRule].name,
    states: ({ rule }) => ({ thing: 'book', side: 'log rule', value: rule }),
    changesHeights: false,
  },
  formClass: {
    after: lastSaid(({ value }) => ({ formClass: value })),
    named: ({ value }) => `form class ${wording.digits(value, 0)}`,
    told: ({ value }) => `Form class ${wording.digits(value, 0)}`,
    inUse: ({ formClass }) => (formClass === null ? null : `form class ${wording.digits(formClass, 0)}`),
    states: ({ value }) => ({ thing: 'book', side: 'form class', value }),
    changesHeights: false,
  },
  edge: {
    after: lastSaid(({ method }) => ({ edge: method })),
    named: ({ method }) => `edge ${method}`,
    told: ({ method }) => (method === 'none' ? 'No correction at the edge' : `Edge by ${method}`),
    inUse: ({ edge }) => (edge === 'none' ? null : `edge by ${edge}`),
    changesHeights: false,
  },
  slopeMethod: {
    after: lastSaid(({ method }) => ({ slopeMethod: method })),
    named: ({ method }) => (method === 'onSlope' ? 'plots on the slope' : 'plots by horizontal distance'),
    told: ({ method }) => (method === 'onSlope' ? 'Plots laid on the slope' : 'Plots by horizontal distance'),
    inUse: ({ slopeMethod }) => (slopeMethod === 'onSlope' ? 'plots on the slope' : null),
    changesHeights: false,
  },
  declination: {
    after: lastSaid(({ degrees }) => ({ declination: degrees })),
    named: ({ degrees }) => `the declination, ${declinationWords(degrees)}`,
    told: ({ degrees }) => `Declination ${declinationWords(degrees)}`,
    inUse: ({ declination }) =>
      declination === null ? null : `declination ${declinationWords(declination)}`,
    states: ({ degrees }) => ({ thing: 'book', side: 'declination', value: degrees }),
    changesHeights: false,
  },
  north: {
    after: lastSaid(({ north }) => ({ north })),
    named: ({ north }) => `bearings from ${north} north`,
    told: ({ north }) => (north === 'true' ? 'Bearings from true north' : 'Bearings by the needle'),
    inUse: ({ north }) => (north === 'true' ? 'bearings from true north' : null),
    changesHeights: false,
  },
  region: {
    after: lastSaid(({ region }) => ({ region })),
    named: ({ region }) => `the trees of ${regionNames[region]}`,
    told: ({ region }) => `Short names mean the trees of ${regionNames[region]} from here on`,
    inUse: ({ region }) => (region === null ? null : `trees of ${regionNames[region]}`),
    states: ({ region }) => ({ thing: 'book', side: 'region', value: region }),
    changesHeights: false,
  },
  person: {
    after: lastSaid(({ name }) => ({ person: name })),
    named: ({ name }) => `the name ${wording.sentence(name)}`,
    told: ({ name }) => `${wording.placeName(name)} it is`,
    brings: 'any',
    changesHeights: true,
    lookedFor: ['pace', 'eye'],
  },
  attention: {
    after: lastSaid(({ word }) => ({ wakeWord: isNoWord(word) ? null : word })),
    named: ({ word }) => `the attention word "${word}"`,
    told: ({ word }) => (isNoWord(word) ? 'No attention word' : `I wait for "${word}"`),
    inUse: ({ wakeWord }) => wakeWord && `attention word ${wakeWord}`,
    changesHeights: false,
  },
  plotSize: {
    // It is in hand, per device, with the plots: `device-state.ts`.
    after: (settings) => settings,
    named: ({ size }, units) => `the size of plots, ${wording.plotSize({ size }, units)}`,
    told: ({ size }, units) => `Plots from here on: ${wording.plotSize({ size }, units)}`,
    changesHeights: false,
  },
  planned: {
    after: (settings, { stand, plots }) => ({
      ...settings,
      planned: new Map(settings.planned).set(stand, plots),
    }),
    named: ({ plots }) => `the plan of ${wording.plotCount(plots)}`,
    told: ({ plots }) => `${wording.sentence(wording.plotCount(plots))} planned`,
    changesHeights: false,
  },
  leastDiameter: {
    after: (settings, { stand, inches }) => ({
      ...settings,
      leastDiameters: new Map(settings.leastDiameters).set(stand, inches),
    }),
    named: ({ inches }, units) =>
      inches === null ? 'measuring every tree' : `measuring from ${wording.diameter(inches, units)}`,
    told: ({ inches }, units) =>
      inches === null ? 'Every tree is measured' : `Trees from ${wording.diameter(inches, units)} up`,
    changesHeights: false,
  },
  nickname: {
    after: (settings, { nickname, species }) => ({
      ...settings,
      nicknames: new Map(settings.nicknames).set(nickname, species),
    }),
    named: ({ nickname, species }) => `${nickname} for ${wording.speciesName(species)}`,
    told: ({ nickname, species }) => `"${nickname}" is ${wording.speciesName(species)} here`,
    states: ({ nickname, species }) => ({
      thing: `word ${nickname}`,
      side: 'meaning',
      value: [species, undefined],
    }),
    changesHeights: false,
  },
  voice: {
    after: (settings, { quiet, short, rate, listening }) => ({
      ...settings,
      quiet: quiet ?? settings.quiet,
      short: short ?? settings.short,
      rate: rate ?? settings.rate,
      listening: listening ?? settings.listening,
    }),
    // How fast and whether it speaks is no thing of the book, and told again is soon put right.
    named: ({ short }) => (short === undefined ? null : short ? 'the short answers' : 'the whole answers'),
    inUse: ({ short }) => (short ? 'short answers' : null),
    told: ({ listening }) =>
      listening === undefined ? 'The voice' : listening ? 'Listening' : 'Not listening',
    changesHeights: false,
  },
};

export const settingRow = (what: SettingName): BookSetting<SettingAct> => settingRows[what];

/** The settings after one more act. */
export const withSetting = (settings: Settings, set: SettingAct): Settings =>
  settingRow(set.what).after(settings, set);

function walkWords({ count, of, feet }: SettingAct<'walk'>, units: Units): string {
  return `${wording.digits(count, 1)} ${of} in ${wording.length(feet, units)}`;
}

/** "Pace 5.26 feet, eye 5.4 feet, feet and paces of two steps.": all that is in use. */
export function settingsInUse(settings: Settings): string {
  const parts = settingNames.flatMap((what) => settingRow(what).inUse?.(settings) ?? []);
  return `${wording.sentence(wording.list(parts))}.`;
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
