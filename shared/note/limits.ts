/**
 * What a book can hold: the least and the most of every quantity, with its unit, and the longest of every text and list.
 * The schemas of notes, acts, entries, messages and imported tables all take their limits from here, so what one door
 * lets in every other does. They are far wider than any wood: what is merely unlikely is a doubt and is asked about; what
 * is out of them would only spoil sums, and is refused with a sentence that names the limit.
 */
import * as z from 'zod/mini';

// The small zod has no sentences for what is wrong until it is given a language.
z.config(z.locales.en());

interface Limit {
  readonly least: number;
  readonly most: number;
  readonly unit: string;
}

/** By what is measured. Widths by judgement: no source, and no tree, plot or instrument comes near them. */
export const limits = {
  /** A length in the unit in which it was said. */
  length: { least: 0, most: 1_000_000, unit: 'of its unit' },
  /** Degrees, percent or feet in 66 feet: 1 000 000 percent is a sighting almost straight up. */
  angle: { least: -1_000_000, most: 1_000_000, unit: 'of its unit' },
  /** Any number said by itself. */
  number: { least: -1_000_000_000, most: 1_000_000_000, unit: '' },
  paces: { least: 0, most: 100_000, unit: 'paces or steps' },
  /** A reading of a held scale. */
  scale: { least: 0, most: 1_000_000, unit: 'scale units' },
  diameterSaid: { least: 0, most: 100_000, unit: 'inches or centimetres' },
  diameterIn: { least: 0.01, most: 5000, unit: 'inches' },
  heightFt: { least: 0.01, most: 100_000, unit: 'feet' },
  logs: { least: 0, most: 100, unit: 'logs of sixteen feet' },
  merchFt: { least: 0.01, most: 10_000, unit: 'feet' },
  percent: { least: 0, most: 100, unit: 'percent' },
  formClass: { least: 0, most: 1000, unit: 'percent' },
  /** Trees alike, told at once. */
  count: { least: 1, most: 100_000, unit: 'trees' },
  /** Numbers of trees and plots. */
  ordinal: { least: 1, most: 10_000_000, unit: '' },
  speciesCode: { least: 1, most: 100_000, unit: '' },
  sdFt: { least: 0.001, most: 10_000, unit: 'feet' },
  paceFt: { least: 0.01, most: 1000, unit: 'feet' },
  walkFt: { least: 0.01, most: 1_000_000, unit: 'feet' },
  walkPaces: { least: 0.5, most: 100_000, unit: 'paces or steps' },
  eyeFt: { least: 0.01, most: 1000, unit: 'feet' },
  groundShorter: { least: 0, most: 60, unit: 'percent' },
  /** Of the supposed errors, in the unit of each; parts as parts. */
  deviation: { least: 1e-6, most: 10_000, unit: 'of its unit' },
  deviationSaid: { least: 0, most: 1_000_000, unit: 'of its unit' },
  area: { least: 0.0001, most: 100_000_000, unit: 'acres or hectares' },
  /** A bearing as it was said: more than a full turn is asked about, not lost. */
  azimuthSaid: { least: 0, most: 3600, unit: 'degrees' },
  latitude: { least: -90, most: 90, unit: 'degrees' },
  longitude: { least: -180, most: 180, unit: 'degrees' },
  azimuth: { least: 0, most: 360, unit: 'degrees' },
  /** East positive. */
  declination: { least: -180, most: 180, unit: 'degrees' },
  /** A place on the plane of a stand, from where its walk began. */
  errorFt: { least: 0, most: 10_000_000, unit: 'feet' },
  placeFt: { least: -10_000_000, most: 10_000_000, unit: 'feet' },
  dollars: { least: 0.0001, most: 1_000_000, unit: 'dollars' },
  plotRadius: { least: 0.1, most: 100_000, unit: 'of its unit' },
  areaFactor: { least: 0.001, most: 100_000, unit: 'square feet an acre or square metres a hectare' },
  slopePct: { least: -1_000_000, most: 1_000_000, unit: 'percent' },
  rate: { least: 0.1, most: 10, unit: 'times the usual speed' },
  /** Milliseconds since 1970, up to the end of the year 9999: what a date of four digits can say. */
  time: { least: 0, most: 253_402_300_799_999, unit: 'milliseconds since 1970' },
  /** What random numbers grow from. */
  seed: { least: 0, most: 4_294_967_295, unit: '' },
  /** Number of an entry on its device. */
  seq: { least: 1, most: 1_000_000_000, unit: '' },
  /** Of what was heard: natural log units. */
  margin: { least: -1_000_000, most: 1_000_000, unit: 'natural log units' },
  seconds: { least: 0, most: 86_400, unit: 'seconds' },
  accuracyMetres: { least: 0, most: 10_000_000, unit: 'metres' },
} as const satisfies Record<string, Limit>;
export type LimitName = keyof typeof limits;

/** Longest texts, characters. */
export const lengths = {
  /** What was said, as one note. */
  words: 2000,
  remark: 2000,
  /** A sentence of the program's own: a question, a doubt. */
  sentence: 4000,
  /** Names of people, stands, strata. */
  name: 80,
  /** A word of the user's own, and the name of a species or a mark. */
  word: 80,
  mark: 80,
  device: 64,
  /** Codes, versions and references of the program's own. */
  code: 100,
} as const;

/** Most items of a list. */
export const sizes = {
  marks: 24,
  takes: 12,
  /** Of one tree that forks below breast height. */
  stems: 8,
  acts: 100,
  /** Entries that one retraction names. */
  targets: 10_000,
  doubts: 50,
  slips: 50,
  options: 8,
  refused: 100,
  wordTimes: 2000,
  /** Plots that one layout holds, and corners of an edge that was brought in. */
  planned: 2000,
  corners: 5000,
  /** Rings of such an edge: its parts, and the holes of each. */
  rings: 100,
  /** Legs of one walk. */
  legs: 1000,
  /** Other devices that an entry knew. */
  seen: 1000,
  /** Words in a word of the user's own. */
  wordsInWord: 8,
} as const;

/** "from 0.01 to 5000 inches" */
function limitWords({ least, most, unit }: Limit): string {
  return `from ${least} to ${most}${unit === '' ? '' : ` ${unit}`}`;
}

/**
 * A number within a limit of the table; NaN and the infinities are never within one.
 *
 * @example within('diameterIn').safeParse(1e308).success // false
 */
export function within(name: LimitName): z.ZodMiniNumber<number> {
  const limit: Limit = limits[name];
  const said = `expected ${limitWords(limit)}`;
  return z.number(said).check(z.minimum(limit.least, said), z.maximum(limit.most, said));
}

/** A whole number within a limit of the table. */
export const wholeWithin = (name: LimitName): z.ZodMiniNumber<number> => within(name).check(z.int());

/** An identity, in small letters however it was written: in capitals it is the same (RFC 9562, section 4). */
export const idSchema = z.uuid().check(z.toLowerCase());

/** A text of at most so many characters. */
export const textOf = (name: keyof typeof lengths): z.ZodMiniString<string> =>
  z.string().check(z.maxLength(lengths[name], `expected at most ${lengths[name]} characters`));

/** A name of a person or a place: something stands there, and nothing that no screen or file can show. */
export const nameOf = (name: keyof typeof lengths): z.ZodMiniString<string> =>
  textOf(name).check(z.regex(/^[^\p{Cc}]*[^\p{Cc}\s][^\p{Cc}]*$/u, 'expected a name'));

/** Letters, figures and common marks: a word can stand in a pattern of the grammar and in a list parted by semicolons. */
export const wordOf = (name: keyof typeof lengths): z.ZodMiniString<string> =>
  textOf(name).check(
    z.regex(/^[^\p{Cc}\s{}[\]()<>|=@#;"\\][^\p{Cc}{}[\]()<>|=@#;"\\]*$/u, 'expected a word without signs'),
    z.regex(
      new RegExp(`^\\s*(?:\\S+\\s*){1,${sizes.wordsInWord}}$`),
      `expected at most ${sizes.wordsInWord} words`,
    ),
  );
