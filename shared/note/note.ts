/**
 * The note: what one utterance means, typed. It carries no time, no identity and nothing that the words did
 * not say: a missing unit stays missing until the book supplies it. Every field is reached by a tag of the
 * grammar, whose path is the field's path here (`distance.count`, `eye.value`, `eye.unit`).
 *
 * Law: reading what `speak` says of a note gives that note.
 */
import * as z from 'zod/mini';
import { angleUnits, areaUnits, lengthUnits } from '../core/units.ts';
import { priceUnits, products, saidNorths } from './land-words.ts';
import { nameOf, sizes, textOf, wholeWithin, within, wordOf } from './limits.ts';
import { logRuleKeys } from './log-rules.ts';
import { angleSchema, lengthSchema, plotSizeSaidSchema } from './quantities.ts';
import { breakdowns, questions } from './question-topics.ts';
import { settingSaidSchema } from './settings.ts';

const nameSchema = nameOf('name');
const ordinal = wholeWithin('ordinal');
const areaSchema = z.strictObject({ value: within('area'), unit: z.optional(z.enum(areaUnits)) });
const diameterSaid = within('diameterSaid');

/** A pace by which a count is taken, where another was said after it was walked. */
const paceSaidLater = {
  pace: z.optional(z.strictObject({ feet: within('paceFt'), sdFeet: within('sdFt') })),
};

/** How far the eye stands from the stem. `slope` makes a length a distance along that slope. */
export const distanceSchema = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('paces'), count: within('paces'), ...paceSaidLater }),
  z.strictObject({ by: z.literal('steps'), count: within('paces'), ...paceSaidLater }),
  z.strictObject({
    by: z.literal('length'),
    length: lengthSchema,
    /** True when "taped" was said; otherwise the length was just stated. */
    taped: z.optional(z.literal(true)),
    slope: z.optional(angleSchema),
    /** Whether that is the slope of the ground or of the line from the eye to the base, once it was asked. */
    slopeOf: z.optional(z.enum(['ground', 'sight'])),
  }),
]);
export type Distance = z.infer<typeof distanceSchema>;

/** Where the tree's base is, seen from the eye or from the feet. */
const baseSchema = z.discriminatedUnion('by', [
  /** Height of the base against the observer's feet ("base four feet below me"). */
  z.strictObject({ by: z.literal('feet'), length: lengthSchema, side: z.enum(['below', 'above']) }),
  /** Height of the base against the observer's eye ("base four feet below eye"). */
  z.strictObject({ by: z.literal('eye'), length: lengthSchema, side: z.enum(['below', 'above']) }),
  /** A sighted angle to the base, positive when the base is above the eye. */
  z.strictObject({ by: z.literal('angle'), angle: angleSchema }),
]);
export type Base = z.infer<typeof baseSchema>;

/**
 * A direction on the ground: an azimuth clockwise from north, 0 to 360, a turn from north or south towards east or west,
 * or straight one of the four. More degrees than there are can be said, and are asked about.
 */
export const bearingSchema = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('azimuth'), degrees: within('azimuthSaid') }),
  z.strictObject({
    by: z.literal('quadrant'),
    from: z.enum(['north', 'south']),
    degrees: within('azimuthSaid'),
    towards: z.enum(['east', 'west']),
  }),
  z.strictObject({ by: z.literal('due'), towards: z.enum(['north', 'east', 'south', 'west']) }),
]);
/** Which north it is from; without it that of the compass as it was last said. */
const bearingSaid = { bearing: z.optional(bearingSchema), north: z.optional(z.enum(saidNorths)) };

/** A stand or a stratum by its name; the one in hand where none is named. */
const placeNamed = { stand: z.optional(nameSchema), stratum: z.optional(nameSchema) };

const leanSchema = z.strictObject({
  /** Horizontal distance from the stem to the point under the tip, or the lean's angle from vertical. */
  length: z.optional(lengthSchema),
  angle: z.optional(angleSchema),
  direction: z.optional(z.enum(['toward', 'away', 'left', 'right'])),
});
export type Lean = z.infer<typeof leanSchema>;

const sighted = { eye: z.optional(lengthSchema), base: z.optional(baseSchema), lean: z.optional(leanSchema) };

/** One way of getting a height, with what was said of it. */
export const measurementSchema = z.discriminatedUnion('method', [
  /** Stick as long as the reach, held upright at eye level, so 45 degrees: height = distance + eye. */
  z.strictObject({ method: z.literal('stick'), distance: distanceSchema, ...sighted }),
  /** The stick spans base to top: no eye height. `stick` and `arm` when they differ. */
  z.strictObject({
    method: z.literal('spans'),
    distance: distanceSchema,
    stick: z.optional(lengthSchema),
    arm: z.optional(lengthSchema),
    lean: z.optional(leanSchema),
  }),
  /** A stick of another length than the reach, sighted from eye level: height = eye + stick / arm x distance. */
  z.strictObject({
    method: z.literal('ratio'),
    distance: distanceSchema,
    stick: lengthSchema,
    arm: lengthSchema,
    ...sighted,
  }),
  /** The stick turned down to the ground: height = distance walked from stem to where its tip points. */
  z.strictObject({ method: z.literal('laid'), distance: distanceSchema }),
  /** A pole of known height beside the stem, both read on a held scale. */
  z.strictObject({
    method: z.literal('pole'),
    pole: lengthSchema,
    poleReads: within('scale'),
    treeReads: within('scale'),
  }),
  z.strictObject({
    method: z.literal('shadow'),
    shadow: lengthSchema,
    pole: lengthSchema,
    poleShadow: lengthSchema,
  }),
  /** Two sighted angles, or one and the eye height. `scale` missing: the book asks. */
  z.strictObject({
    method: z.literal('angles'),
    scale: z.optional(z.enum(angleUnits)),
    top: within('angle'),
    distance: distanceSchema,
    ...sighted,
  }),
  /** Line-of-sight ranges with degrees: height = range sin(angle), top minus base. */
  z.strictObject({
    method: z.literal('ranges'),
    topRange: lengthSchema,
    topAngle: within('angle'),
    baseRange: lengthSchema,
    baseAngle: within('angle'),
  }),
  /** What a device showed, one or more takes. */
  z.strictObject({
    method: z.literal('reading'),
    device: z.optional(z.enum(['laser', 'sonic', 'tape', 'other'])),
    takes: z.array(lengthSchema).check(z.minLength(1), z.maxLength(sizes.takes)),
    /** Standard deviation of one take, feet, where it came with the value, as from a table. */
    sdFeet: z.optional(within('sdFt')),
    /** How it was measured, where that came with the value. */
    was: z.optional(textOf('word')),
  }),
]);
export type Measurement = z.infer<typeof measurementSchema>;
export type Method = Measurement['method'];

/** A species: its FIA numeric code, or the nickname as said when more than one species bears it. */
const speciesSchema = z.union([wholeWithin('speciesCode'), nameSchema]);
export type SpeciesRef = z.infer<typeof speciesSchema>;

export const statuses = ['live', 'dead', 'cull'] as const;
export type Status = (typeof statuses)[number];

/** Facts of one tree. All optional: people give them over several breaths. */
const treeFactsSchema = z.strictObject({
  species: z.optional(speciesSchema),
  /** Dbh; `girth` when a plain tape went round the stem (divide by pi). */
  diameter: z.optional(
    z.strictObject({
      value: diameterSaid,
      unit: z.optional(z.enum(['in', 'cm'])),
      girth: z.optional(z.literal(true)),
    }),
  ),
  /** Sixteen-foot logs, in halves. */
  logs: z.optional(within('logs')),
  /** Merchantable height. */
  merch: z.optional(lengthSchema),
  status: z.optional(z.enum(statuses)),
  /** A word from the book's list of marks: forked, hollow, broken top, ... */
  marks: z.optional(z.array(wordOf('mark')).check(z.maxLength(sizes.marks))),
  /** Marks that it has not: "it is not hollow". */
  unmarked: z.optional(z.array(wordOf('mark')).check(z.maxLength(sizes.marks))),
  /** Percent of the volume lost to defect. */
  defect: z.optional(within('percent')),
  /** So many trees alike. */
  count: z.optional(wholeWithin('count')),
  /** Girard form class, percent. */
  formClass: z.optional(within('formClass')),
  /** Diameters of all stems of one tree that forks below breast height, in the unit of `diameter`. */
  stems: z.optional(
    z
      .array(z.strictObject({ value: diameterSaid, unit: z.optional(z.enum(['in', 'cm'])) }))
      .check(z.maxLength(sizes.stems)),
  ),
  /** At the border of the plot: not counted where it is out, and as half a tree where nobody can tell. */
  border: z.optional(z.enum(['in', 'out', 'half'])),
  /** Number of the plot that it belongs to, where that is not the one in hand. */
  plot: z.optional(ordinal),
});
export type TreeFacts = z.infer<typeof treeFactsSchema>;

/** A tree named by what it is: "the beech", "the fourteen inch one". */
const whichSchema = z.strictObject({
  species: z.optional(speciesSchema),
  diameter: z.optional(diameterSaid),
  /** First, second, ... of those on the plot in hand. */
  nth: z.optional(ordinal),
  /** Counted from the end: 1 is the last, 2 the one before it. */
  back: z.optional(ordinal),
  /** The middle one of those told last. */
  middle: z.optional(z.literal(true)),
  /** Whatever was told lately with that number: a diameter, a count of paces, what a device showed. Of a change only. */
  said: z.optional(within('number')),
  /** The foremost of those on the plot in hand. */
  most: z.optional(z.enum(['thinnest', 'thickest', 'shortest', 'tallest'])),
  /** "The dead birch": only those. */
  status: z.optional(z.enum(statuses)),
  /** Number of the plot on which it stands, where that was said. */
  plot: z.optional(ordinal),
});
export type Which = z.infer<typeof whichSchema>;

/** What can be taken back by its name. */
const scratchable = [
  'leg',
  'tree',
  'height',
  'diameter',
  'species',
  'logs',
  'remark',
  'plot',
  'pace',
  'eye',
  /** All that was said in the last breath. */
  'breath',
] as const;

/** What a question is narrowed to. */
const scopeSchema = z.strictObject({
  species: z.optional(speciesSchema),
  plot: z.optional(z.union([z.literal('this'), ordinal])),
  stratum: z.optional(nameSchema),
  /** The seven days up to today; of these only the foremost tree is told. */
  day: z.optional(z.enum(['today', 'yesterday', 'week'])),
  /** In all stands of the book. */
  everywhere: z.optional(z.literal(true)),
  person: z.optional(nameSchema),
  status: z.optional(z.enum(statuses)),
  /** Trees that lack it; of these two only lists and counts of trees know. */
  lacks: z.optional(z.enum(['height', 'diameter', 'species', 'logs'])),
  /** Trees with that mark. */
  mark: z.optional(wordOf('mark')),
  /** Trees over or under a size. */
  size: z.optional(
    z.strictObject({
      of: z.enum(['diameter', 'height']),
      is: z.enum(['over', 'under', 'between']),
      value: within('number'),
      /** Of `between`, the upper bound. */
      to: z.optional(within('number')),
      unit: z.optional(z.enum(['in', 'cm', 'ft', 'm'])),
    }),
  ),
});
export type Scope = z.infer<typeof scopeSchema>;

export const noteSchema = z.discriminatedUnion('kind', [
  /** A height of the tree in hand. */
  z.strictObject({
    kind: z.literal('height'),
    height: measurementSchema,
    /** "This one": of another tree than the one in hand, where they cannot be of one. */
    of: z.optional(z.literal('this')),
  }),
  /** Facts of a tree; with a species or a count it begins a new one, else it adds to the one in hand. */
  z.strictObject({ kind: z.literal('tree'), facts: treeFactsSchema, height: z.optional(measurementSchema) }),
  z.strictObject({ kind: z.literal('next') }),
  /** A tree like the last one. */
  z.strictObject({
    kind: z.literal('again'),
    count: z.optional(z.int().check(z.minimum(2), z.maximum(99))),
    /** What is other than with the last one. */
    facts: z.optional(treeFactsSchema),
    /** All else is as with the last one, not its kind alone: "same again but fourteen". */
    same: z.optional(z.literal(true)),
  }),
  /**
   * Takes an earlier tree in hand: what is said next is about it. Its height may be said at once. Without number and kind
   * it is the one in hand, or the last: "same tree".
   */
  z.strictObject({
    kind: z.literal('hand'),
    tree: z.optional(ordinal),
    which: z.optional(whichSchema),
    height: z.optional(measurementSchema),
  }),
  z.strictObject({
    kind: z.literal('number'),
    value: within('number'),
    /** "five six": read as feet and inches for an eye height, as 5.6 for a diameter. */
    pair: z.optional(z.tuple([within('number'), within('number')])),
    unit: z.optional(z.enum([...lengthUnits, ...angleUnits])),
  }),
  z.strictObject({ kind: z.literal('setting'), set: settingSaidSchema }),
  z.strictObject({
    kind: z.literal('plot'),
    op: z.enum([
      'open',
      'close',
      'reopen',
      'renumber',
      'empty',
      'slope',
      'size',
      'count',
      'borders',
      /** So many are planned for the stand in hand. */
      'plan',
      /** The smallest tree that is measured in the stand in hand; any where no diameter is said. */
      'least',
    ]),
    number: z.optional(ordinal),
    /** The new number. */
    to: z.optional(ordinal),
    size: z.optional(plotSizeSaidSchema),
    /** The size is that of coming plots; the one in hand keeps its own. */
    next: z.optional(z.literal(true)),
    slope: z.optional(angleSchema),
    /** Its slope is that of the plot before. */
    same: z.optional(z.literal('slope')),
    /** So many trees were counted on it, of whatever species; of a plan, so many plots. */
    count: z.optional(wholeWithin('count')),
    diameter: z.optional(z.strictObject({ value: diameterSaid, unit: z.optional(z.enum(['in', 'cm'])) })),
    /** How those on its border are counted. */
    border: z.optional(z.enum(['in', 'out', 'half'])),
    /** Who did it, where that is not who tells of it. */
    by: z.optional(nameSchema),
  }),
  z.strictObject({
    kind: z.literal('borderline'),
    facts: z.optional(treeFactsSchema),
    distance: lengthSchema,
    to: z.optional(z.enum(['centre', 'face'])),
    slope: z.optional(angleSchema),
  }),
  z.strictObject({
    kind: z.literal('stand'),
    name: nameSchema,
    area: z.optional(areaSchema),
    /** One that was named before is in hand again, by its name or a part of it; or it is done with. */
    back: z.optional(z.literal(true)),
    done: z.optional(z.literal(true)),
  }),
  z.strictObject({
    kind: z.literal('stratum'),
    name: nameSchema,
    area: z.optional(areaSchema),
  }),
  z.strictObject({
    kind: z.literal('ask'),
    about: z.enum(questions),
    /** What help is asked about: "shadow", "plots". */
    topic: z.optional(nameSchema),
    scope: z.optional(scopeSchema),
    /** Each with its own value. */
    by: z.optional(z.enum(breakdowns)),
    /** In percent of all: of a species, or of each part of a breakdown. */
    share: z.optional(z.literal(true)),
    /** In metric units, whatever the book's are: "trees per hectare", "cubic metres". */
    units: z.optional(z.literal('metres')),
    /** The quantity whose error, or whose plots, are asked for. */
    of: z.optional(z.enum(questions)),
    /** Tree by its number. */
    tree: z.optional(ordinal),
    which: z.optional(whichSchema),
    /** Only how many there are, and not which. */
    alone: z.optional(z.literal(true)),
    /** How many of the last; of trees and plots, how many are wanted. */
    count: z.optional(ordinal),
    /** Confidence, percent. */
    confidence: z.optional(z.number().check(z.minimum(50), z.maximum(99.9))),
    rule: z.optional(z.enum(logRuleKeys)),
    percent: z.optional(within('percent')),
    /** Which of the listed trees comes first. */
    first: z.optional(z.enum(['shortest', 'tallest', 'thinnest', 'thickest'])),
    diameter: z.optional(z.strictObject({ value: diameterSaid, unit: z.optional(z.enum(['in', 'cm'])) })),
    /** The plot whose circle is asked for; nothing is set by it. */
    size: z.optional(plotSizeSaidSchema),
  }),
  /** Taking back or changing what was said. Without a target: the last thing, or the question in hand. */
  z.strictObject({
    kind: z.literal('scratch'),
    /** So many of the last; of the trees of a kind, all of them, which must be so many. */
    count: z.optional(ordinal),
    /** Counted from the end: 2 is the one before the last; 1 the last one, of trees where these are told. */
    back: z.optional(ordinal),
    tree: z.optional(ordinal),
    plot: z.optional(ordinal),
    leg: z.optional(ordinal),
    /** The newest of these. */
    what: z.optional(z.enum(scratchable)),
    /** The newest tree of that kind; by a diameter alone, the reading of the tree in hand that was so much. */
    of: z.optional(whichSchema),
    /** With the height: which of several readings of the tree in hand. */
    nth: z.optional(z.union([ordinal, z.literal('middle')])),
    /** "Leave it out": what was told or offered just now, and nothing before it. */
    leave: z.optional(z.literal(true)),
  }),
  /** Turns round the last thing that was done, a taking back as well. */
  z.strictObject({ kind: z.literal('undo') }),
  /** Puts back what was taken back: a tree, a plot, or the last thing. */
  z.strictObject({
    kind: z.literal('restore'),
    tree: z.optional(ordinal),
    plot: z.optional(ordinal),
    leg: z.optional(ordinal),
    /** The tree of that kind that was taken back last. */
    of: z.optional(whichSchema),
    /** So many of what was taken back last. */
    count: z.optional(ordinal),
  }),
  z.strictObject({
    kind: z.literal('change'),
    /** Tree number, when one was named. */
    tree: z.optional(ordinal),
    /** The tree by what it is, when it was named so: the newest of that kind. */
    of: z.optional(whichSchema),
    /** The number that was said wrong: what is changed is where it stands. */
    was: z.optional(within('number')),
    /** So many of several that were counted together; each change of some makes them a record of their own. */
    part: z.optional(wholeWithin('count')),
    /** How many they are in all: "one of the six", "both". */
    among: z.optional(wholeWithin('count')),
    /** Number of the plot on which they stand. */
    on: z.optional(ordinal),
    /** All heights that this person paced are worked out anew, with the pace in force. */
    paced: z.optional(z.literal(true)),
    /** Of the tree that was taken back just now, where one was: it comes back so. */
    back: z.optional(z.literal(true)),
    /** The last height belongs to that tree. */
    height: z.optional(z.literal(true)),
    /** What was said last was meant of this tree, and not of another (`of`). */
    meant: z.optional(z.strictObject({ tree: z.optional(ordinal), which: z.optional(whichSchema) })),
    /** Two trees have each other's: of the last two, or of these. Without `what` it is asked where several things differ. */
    swap: z.optional(
      z.strictObject({
        what: z.optional(z.enum(['height', 'diameter', 'species', 'all'])),
        trees: z.optional(z.tuple([ordinal, ordinal])),
        kinds: z.optional(z.tuple([speciesSchema, speciesSchema])),
      }),
    ),
    /** Which of several readings of the tree in hand the number is of. */
    nth: z.optional(z.union([ordinal, z.literal('middle')])),
    /** What the new value is; a bare number goes to whatever was last said or is in doubt. */
    number: z.optional(
      z.strictObject({ value: within('number'), unit: z.optional(z.enum([...lengthUnits, ...angleUnits])) }),
    ),
    distance: z.optional(distanceSchema),
    eye: z.optional(lengthSchema),
    pace: z.optional(lengthSchema),
    facts: z.optional(treeFactsSchema),
    /** Said after the height: "leans six feet toward me", "base four feet below me". */
    lean: z.optional(leanSchema),
    base: z.optional(baseSchema),
    /** The angle to the top. */
    top: z.optional(angleSchema),
    /** In which scale the angles of the last height were read. */
    scale: z.optional(z.enum(angleUnits)),
    /** A part of the last height by its name; `ofPole`, `ofTree`: its shadow or its reading, whichever there is. */
    measured: z.optional(
      z.strictObject({
        of: z.enum([
          /** How far off one stood: a length, or so many of the paces that it was told in. */
          'distance',
          'arm',
          'stick',
          'pole',
          'shadow',
          'poleShadow',
          'poleReads',
          'treeReads',
          'ofPole',
          'ofTree',
        ]),
        value: within('length'),
        unit: z.optional(z.enum(lengthUnits)),
      }),
    ),
    /** A leg of the walk by its number; the last one where only its bearing was said. */
    leg: z.optional(ordinal),
    ...bearingSaid,
    slope: z.optional(angleSchema),
    /** "Leg four the other way": the leg was walked against the bearing that was said. */
    reverse: z.optional(z.literal(true)),
  }),
  z.strictObject({
    kind: z.literal('answer'),
    answer: z.enum(['yes', 'no', 'keep', 'redo', 'repeat', 'dismiss']),
  }),
  /** Picks what a question offered: "percent", "centre", "the first one". */
  z.strictObject({
    kind: z.literal('pick'),
    what: z.enum([
      'deg',
      'pct',
      'topo',
      'centre',
      'face',
      'ground',
      'sight',
      'first',
      'second',
      'third',
      'neither',
      /** By a word that tells one of the options from the others: "white" of "white or black ash". */
      'named',
    ]),
    word: z.optional(nameSchema),
  }),
  /** A user word: `call sugar maple hard rock`. */
  z.strictObject({
    kind: z.literal('call'),
    word: wordOf('word'),
    species: z.optional(speciesSchema),
    mark: z.optional(wordOf('mark')),
  }),
  z.strictObject({ kind: z.literal('remark'), text: textOf('remark') }),
  /** The edge of an area: a walk round it begins, is back where it began, its area is taken; an edge comes from a file. */
  z.strictObject({
    kind: z.literal('traverse'),
    op: z.enum(['start', 'close', 'use', 'bring']),
    ...placeNamed,
  }),
  /** One straight line of it: which way, how far, how steep. What is missing is asked for. */
  z.strictObject({
    kind: z.literal('leg'),
    ...bearingSaid,
    distance: z.optional(distanceSchema),
    slope: z.optional(angleSchema),
  }),
  /** Plots laid out by chance: so many, or as many as an error needs; on a square grid unless lines are said. */
  z.strictObject({
    kind: z.literal('layout'),
    plots: z.optional(ordinal),
    percent: z.optional(within('percent')),
    pattern: z.optional(z.enum(['grid', 'lines'])),
    /** Over all strata of the stand, each by itself. */
    strata: z.optional(z.literal(true)),
    ...bearingSaid,
  }),
  /** Which way and how far to a planned plot, the next one unless it is named, or to where the walk began. */
  z.strictObject({ kind: z.literal('way'), to: z.optional(ordinal), start: z.optional(z.literal(true)) }),
  /** Where the person stands, for certain. */
  z.strictObject({
    kind: z.literal('place'),
    plot: z.optional(ordinal),
    start: z.optional(z.literal(true)),
    corner: z.optional(ordinal),
  }),
  /** Round an obstacle: so far square off the line, and after it so far back. */
  z.strictObject({ kind: z.literal('around'), side: z.enum(['left', 'right']), distance: distanceSchema }),
  /** What wood brings, of a species and a product where they were said. */
  z.strictObject({
    kind: z.literal('price'),
    /** The species alone. */
    facts: z.optional(z.strictObject({ species: z.optional(speciesSchema) })),
    product: z.optional(z.enum(products)),
    dollars: within('dollars'),
    per: z.enum(priceUnits),
    rule: z.optional(z.enum(logRuleKeys)),
  }),
  z.strictObject({
    kind: z.literal('control'),
    op: z.enum([
      'stop',
      'start',
      'quiet',
      'speak',
      'short',
      'full',
      'slower',
      'faster',
      'forget',
      'putOut',
      'pause',
      'resume',
    ]),
    /** The phone to put out, as it was called. */
    phone: z.optional(textOf('name')),
    /** The phone that was found and asked about, by its id: it is put out. */
    sure: z.optional(z.string().check(z.regex(/^[0-9a-f]{16}$/))),
  }),
]);
export type Note = z.infer<typeof noteSchema>;
export type NoteOf<K extends Note['kind']> = Extract<Note, { kind: K }>;

/** Kinds of notes that turn entries round: what was done is out, or back again. */
const turning: ReadonlySet<Note['kind']> = new Set(['scratch', 'undo', 'restore']);
export const turnsEntries = ({ kind }: Note): boolean => turning.has(kind);

/** The notes of one breath, in the order in which they were said. */
export type Notes = readonly [Note, ...Note[]];

/** So many notes at most are taken from one breath; nobody says more before an answer. */
export const mostNotes = 8;

/** One meaning the words may have had, with its share of belief (all candidates of one utterance sum to at most 1). */
export interface Candidate {
  /** One for each thing that was told in the breath. */
  readonly notes: Notes;
  readonly words: string;
  readonly posterior: number;
  /** Words that were not understood: the notes are all the rest, and are never kept without an answer. */
  readonly unread?: string;
}

/** One meaning of a single note of an utterance, with its share of belief. */
export interface NoteMeaning extends Omit<Candidate, 'notes'> {
  readonly note: Note;
}
