/**
 * What can be set: one row a setting. How it is said, how the book keeps it, and whose it is. The schemas of note and
 * act are made of these rows, and each must have its phrases (`grammar/description/rules/settings.ts`), its value in
 * the book and its words (`shared/book/settings.ts`): one that lacks any of them does not compile.
 */
import * as z from 'zod/mini';
import { keysOf, keysWhere, rowsOf } from '../core/tables.ts';
import { deviationNames, deviationUnits } from './deviations.ts';
import { keptNorths, saidNorths } from './land-words.ts';
import { idSchema, nameOf, textOf, wholeWithin, within } from './limits.ts';
import { logRuleKeys } from './log-rules.ts';
import { lengthSchema, plotSizeSchema } from './quantities.ts';
import { regions } from './species-regions.ts';

interface SettingRow {
  /** As it is said; null where it is no note of its own. */
  readonly said: z.ZodMiniObject | null;
  /** As the book keeps it, in feet. */
  readonly kept: z.ZodMiniObject;
  /** `person`: of who said it, never used for what others measure. `book`: of all. */
  readonly whose: 'person' | 'book';
}

const form = <W extends string, F extends z.core.$ZodShape>(what: W, fields: F) =>
  z.strictObject({ what: z.literal(what), ...fields });

/** Kept as it is said. */
const alike = <F extends z.ZodMiniObject>(fields: F) => ({ said: fields, kept: fields });

/** Of somebody else than who speaks. */
const whose = { whose: z.optional(nameOf('name')) };

const countings = ['paces', 'steps'] as const;
const devices = z.enum(['laser', 'sonic', 'tape', 'other']);
const error = z.enum(deviationNames);

const settingTable = {
  pace: {
    /** `of` steps: the length of a single step was said. */
    said: form('pace', { length: lengthSchema, of: z.optional(z.literal('steps')), ...whose }),
    kept: form('pace', { feet: within('paceFt'), ...whose }),
    whose: 'person',
  },
  eye: {
    said: form('eye', { length: lengthSchema, ...whose }),
    kept: form('eye', { feet: within('eyeFt'), ...whose }),
    whose: 'person',
  },
  units: { ...alike(form('units', { units: z.enum(['feet', 'metres']) })), whose: 'person' },
  counting: { ...alike(form('counting', { of: z.enum(countings), ...whose })), whose: 'person' },
  /** A calibration walk: so many paces (or steps) over a known distance. What is missing is that of the walk before, or asked. */
  walk: {
    said: form('walk', {
      count: z.optional(within('paces')),
      of: z.optional(z.enum(countings)),
      length: z.optional(lengthSchema),
    }),
    kept: form('walk', { count: within('walkPaces'), of: z.enum(countings), feet: within('walkFt') }),
    whose: 'person',
  },
  /** Stated allowance on the pace for brush or slope: percent shorter. */
  ground: { ...alike(form('ground', { shorter: within('groundShorter') })), whose: 'person' },
  /** How far single readings of a device scatter. */
  scatter: {
    said: form('scatter', { device: devices, length: lengthSchema }),
    kept: form('scatter', { device: devices, feet: within('sdFt') }),
    whose: 'book',
  },
  /** What is supposed about an error of hand, eye or tool, in its unit; said as a percent, kept as a part. */
  deviation: {
    said: form('deviation', {
      error,
      value: within('deviationSaid'),
      unit: z.optional(z.enum(deviationUnits)),
    }),
    kept: form('deviation', { error, value: within('deviation') }),
    whose: 'person',
  },
  logRule: { ...alike(form('logRule', { rule: z.enum(logRuleKeys) })), whose: 'book' },
  formClass: { ...alike(form('formClass', { value: within('formClass') })), whose: 'book' },
  edge: { ...alike(form('edge', { method: z.enum(['mirage', 'walkthrough', 'none']) })), whose: 'book' },
  slopeMethod: {
    ...alike(form('slopeMethod', { method: z.enum(['onSlope', 'horizontal']) })),
    whose: 'book',
  },
  /** Degrees by which the needle points east of true north; west is negative. */
  declination: {
    said: form('declination', { value: within('declination') }),
    kept: form('declination', { degrees: within('declination') }),
    whose: 'book',
  },
  /** Which north the bearings are from that are said without one. */
  north: {
    said: form('north', { north: z.enum(saidNorths) }),
    kept: form('north', { north: z.enum(keptNorths) }),
    whose: 'person',
  },
  /** Where the stands are: what short names of trees mean. */
  region: { ...alike(form('region', { region: z.enum(regions) })), whose: 'book' },
  person: { ...alike(form('person', { name: nameOf('name') })), whose: 'person' },
  attention: { ...alike(form('attention', { word: textOf('word') })), whose: 'person' },
  /** Size of the plots that are begun from here on; said as the size of a plot. */
  plotSize: { said: null, kept: form('plotSize', { size: plotSizeSchema }), whose: 'person' },
  /** So many plots are planned for a stand; null for where no stand was named. */
  planned: {
    said: null,
    kept: form('planned', { stand: z.nullable(idSchema), plots: wholeWithin('count') }),
    whose: 'book',
  },
  /** The smallest diameter that is measured in a stand; null inches: any. */
  leastDiameter: {
    said: null,
    kept: form('leastDiameter', { stand: z.nullable(idSchema), inches: z.nullable(within('diameterIn')) }),
    whose: 'book',
  },
  /** "Here 'fir' means balsam fir": the answer to a question. */
  nickname: {
    said: null,
    kept: form('nickname', { nickname: nameOf('name'), species: wholeWithin('speciesCode') }),
    whose: 'book',
  },
  voice: {
    said: null,
    kept: form('voice', {
      quiet: z.optional(z.boolean()),
      /** Of what is kept only the first sentence is told. */
      short: z.optional(z.boolean()),
      rate: z.optional(within('rate')),
      listening: z.optional(z.boolean()),
    }),
    whose: 'person',
  },
} as const satisfies Record<string, SettingRow>;

type Table = typeof settingTable;
export type SettingName = keyof Table;
/** Settings that are notes of their own. */
export type SaidSetting = {
  [W in SettingName]: Table[W]['said'] extends z.ZodMiniObject ? W : never;
}[SettingName];
/** Settings that are kept in another form than they are said: lengths in feet. */
export type ConvertedSetting = {
  [W in SaidSetting]: Table[W]['kept'] extends Table[W]['said'] ? never : W;
}[SaidSetting];

/** A setting as it is said, and as the book keeps it. */
export type SettingSaid<W extends SaidSetting = SaidSetting> = {
  [S in W]: z.infer<Table[S]['said']>;
}[W];
export type SettingAct<W extends SettingName = SettingName> = {
  [S in W]: z.infer<Table[S]['kept']>;
}[W];

export const settingNames = keysOf(settingTable);
const saidSettings = keysWhere(settingTable, (what): what is SaidSetting => settingTable[what].said !== null);

export const settingSaidSchema = z.discriminatedUnion(
  'what',
  rowsOf(saidSettings, (what) => settingTable[what].said),
);
export const settingActSchema = z.discriminatedUnion(
  'what',
  rowsOf(settingNames, (what) => settingTable[what].kept),
);

/** Whether a setting belongs to who said it; others (a log rule, the scatter of a device) hold for the whole book. */
export const isPersonal = (what: SettingName): boolean => settingTable[what].whose === 'person';

/** Whose it is, where that is not who speaks. */
export const whoseOf = (set: SettingAct): string | undefined => ('whose' in set ? set.whose : undefined);
