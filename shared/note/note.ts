/**
 * The note: what one utterance means, typed. It carries no time, no identity and nothing that the words did
 * not say: a missing unit stays missing until the book supplies it. Every field is reached by a tag of the
 * grammar, whose path is the field's path here (`distance.count`, `eye.value`, `eye.unit`).
 *
 * Law: reading what `speak` says of a note gives that note.
 */
import { z } from 'zod';
import { angleUnits, areaUnits, lengthUnits } from '../core/units.ts';
import { deviationNames, deviationUnits } from './deviations.ts';
import { priceUnits, products, saidNorths } from './land-words.ts';
import { nameOf, sizes, textOf, wholeWithin, within, wordOf } from './limits.ts';
import { logRuleKeys } from './log-rules.ts';
import { breakdowns, questions } from './question-topics.ts';

const nameSchema = nameOf('name');
const ordinal = wholeWithin('ordinal');
const areaSchema = z.strictObject({ value: within('area'), unit: z.enum(areaUnits).optional() });
const diameterSaid = within('diameterSaid');

/** A length as said. Without a unit it is in the book's unit of that quantity. Feet and inches: feet. */
const lengthSchema = z.strictObject({ value: within('length'), unit: z.enum(lengthUnits).optional() });
export type Length = z.infer<typeof lengthSchema>;

/** An angle from horizontal, positive upwards: degrees, percent, or feet in 66 feet (`topo`). */
export const angleSchema = z.strictObject({ value: within('angle'), unit: z.enum(angleUnits).optional() });
export type Angle = z.infer<typeof angleSchema>;

/** How far the eye stands from the stem. `slope` makes a length a distance along that slope. */
export const distanceSchema = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('paces'), count: within('paces') }),
  z.strictObject({ by: z.literal('steps'), count: within('paces') }),
  z.strictObject({
    by: z.literal('length'),
    length: lengthSchema,
    /** True when "taped" was said; otherwise the length was just stated. */
    taped: z.literal(true).optional(),
    slope: angleSchema.optional(),
    /** Whether that is the slope of the ground or of the line from the eye to the base, once it was asked. */
    slopeOf: z.enum(['ground', 'sight']).optional(),
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
const bearingSaid = { bearing: bearingSchema.optional(), north: z.enum(saidNorths).optional() };

/** A stand or a stratum by its name; the one in hand where none is named. */
const placeNamed = { stand: nameSchema.optional(), stratum: nameSchema.optional() };

const leanSchema = z.strictObject({
  /** Horizontal distance from the stem to the point under the tip, or the lean's angle from vertical. */
  length: lengthSchema.optional(),
  angle: angleSchema.optional(),
  direction: z.enum(['toward', 'away', 'left', 'right']).optional(),
});
export type Lean = z.infer<typeof leanSchema>;

const sighted = { eye: lengthSchema.optional(), base: baseSchema.optional(), lean: leanSchema.optional() };

/** One way of getting a height, with what was said of it. */
export const measurementSchema = z.discriminatedUnion('method', [
  /** Stick as long as the reach, held upright at eye level, so 45 degrees: height = distance + eye. */
  z.strictObject({ method: z.literal('stick'), distance: distanceSchema, ...sighted }),
  /** The stick spans base to top: no eye height. `stick` and `arm` when they differ. */
  z.strictObject({
    method: z.literal('spans'),
    distance: distanceSchema,
    stick: lengthSchema.optional(),
    arm: lengthSchema.optional(),
    lean: leanSchema.optional(),
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
    scale: z.enum(angleUnits).optional(),
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
    device: z.enum(['laser', 'sonic', 'tape', 'other']).optional(),
    takes: z.array(lengthSchema).min(1).max(sizes.takes),
    /** Standard deviation of one take, feet, where it came with the value, as from a table. */
    sdFeet: within('sdFt').optional(),
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
  species: speciesSchema.optional(),
  /** Dbh; `girth` when a plain tape went round the stem (divide by pi). */
  diameter: z
    .strictObject({
      value: diameterSaid,
      unit: z.enum(['in', 'cm']).optional(),
      girth: z.literal(true).optional(),
    })
    .optional(),
  /** Sixteen-foot logs, in halves. */
  logs: within('logs').optional(),
  /** Merchantable height. */
  merch: lengthSchema.optional(),
  status: z.enum(statuses).optional(),
  /** A word from the book's list of marks: forked, hollow, broken top, ... */
  marks: z.array(wordOf('mark')).max(sizes.marks).optional(),
  /** Percent of the volume lost to defect. */
  defect: within('percent').optional(),
  /** So many trees alike. */
  count: wholeWithin('count').optional(),
  /** Girard form class, percent. */
  formClass: within('formClass').optional(),
});
export type TreeFacts = z.infer<typeof treeFactsSchema>;

export const plotSizeSchema = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('area'), value: within('area'), unit: z.enum(areaUnits) }),
  z.strictObject({
    by: z.literal('radius'),
    length: z.strictObject({ value: within('plotRadius'), unit: z.enum(lengthUnits).optional() }),
  }),
  /** Basal area factor; `unit` ft2 per acre unless metric. */
  z.strictObject({
    by: z.literal('factor'),
    value: within('areaFactor'),
    unit: z.enum(['ft2/acre', 'm2/ha']).optional(),
  }),
  /** Every tree of the stand is measured. */
  z.strictObject({ by: z.literal('tally') }),
]);
export type PlotSize = z.infer<typeof plotSizeSchema>;

/** A tree named by what it is: "the beech", "the fourteen inch one". */
const whichSchema = z.strictObject({
  species: speciesSchema.optional(),
  diameter: diameterSaid.optional(),
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
] as const;

/** What a question is narrowed to. */
const scopeSchema = z.strictObject({
  species: speciesSchema.optional(),
  plot: z.union([z.literal('this'), ordinal]).optional(),
  stratum: nameSchema.optional(),
  day: z.enum(['today', 'yesterday']).optional(),
  person: nameSchema.optional(),
  status: z.enum(statuses).optional(),
});
export type Scope = z.infer<typeof scopeSchema>;

export const noteSchema = z.discriminatedUnion('kind', [
  /** A height of the tree in hand. */
  z.strictObject({ kind: z.literal('height'), height: measurementSchema }),
  /** Facts of a tree; with a species or a count it begins a new one, else it adds to the one in hand. */
  z.strictObject({ kind: z.literal('tree'), facts: treeFactsSchema, height: measurementSchema.optional() }),
  z.strictObject({ kind: z.literal('next') }),
  /** A tree like the last one. */
  z.strictObject({ kind: z.literal('again'), count: z.number().int().min(2).max(99).optional() }),
  z.strictObject({
    kind: z.literal('number'),
    value: within('number'),
    /** "five six": read as feet and inches for an eye height, as 5.6 for a diameter. */
    pair: z.tuple([within('number'), within('number')]).optional(),
    unit: z.enum([...lengthUnits, ...angleUnits]).optional(),
  }),
  z.strictObject({
    kind: z.literal('setting'),
    set: z.discriminatedUnion('what', [
      z.strictObject({ what: z.literal('pace'), length: lengthSchema }),
      /** A calibration walk: so many paces (or steps) over a known distance. */
      z.strictObject({
        what: z.literal('walk'),
        count: within('paces'),
        of: z.enum(['paces', 'steps']),
        length: lengthSchema,
      }),
      z.strictObject({ what: z.literal('counting'), of: z.enum(['paces', 'steps']) }),
      z.strictObject({ what: z.literal('eye'), length: lengthSchema }),
      z.strictObject({ what: z.literal('units'), units: z.enum(['feet', 'metres']) }),
      /** Stated allowance on the pace for brush or slope: percent shorter. */
      z.strictObject({ what: z.literal('ground'), shorter: within('groundShorter') }),
      z.strictObject({
        what: z.literal('scatter'),
        device: z.enum(['laser', 'sonic', 'tape', 'other']),
        length: lengthSchema,
      }),
      /** What is supposed about an error of hand, eye or tool, in its unit; a percent as a percent. */
      z.strictObject({
        what: z.literal('deviation'),
        error: z.enum(deviationNames),
        value: within('deviationSaid'),
        unit: z.enum(deviationUnits).optional(),
      }),
      z.strictObject({ what: z.literal('logRule'), rule: z.enum(logRuleKeys) }),
      z.strictObject({ what: z.literal('formClass'), value: within('formClass') }),
      z.strictObject({ what: z.literal('edge'), method: z.enum(['mirage', 'walkthrough', 'none']) }),
      z.strictObject({ what: z.literal('slopeMethod'), method: z.enum(['onSlope', 'horizontal']) }),
      /** Degrees by which the needle points east of true north; west is negative. */
      z.strictObject({ what: z.literal('declination'), value: within('declination') }),
      /** Which north the bearings are from that are said without one. */
      z.strictObject({ what: z.literal('north'), north: z.enum(saidNorths) }),
      z.strictObject({ what: z.literal('person'), name: nameSchema }),
      z.strictObject({ what: z.literal('attention'), word: textOf('word') }),
    ]),
  }),
  z.strictObject({
    kind: z.literal('plot'),
    op: z.enum(['open', 'close', 'reopen', 'renumber', 'empty', 'slope', 'size']),
    number: ordinal.optional(),
    /** The new number. */
    to: ordinal.optional(),
    size: plotSizeSchema.optional(),
    slope: angleSchema.optional(),
  }),
  z.strictObject({
    kind: z.literal('borderline'),
    facts: treeFactsSchema.optional(),
    distance: lengthSchema,
    to: z.enum(['centre', 'face']).optional(),
    slope: angleSchema.optional(),
  }),
  z.strictObject({
    kind: z.literal('stand'),
    name: nameSchema,
    area: areaSchema.optional(),
  }),
  z.strictObject({
    kind: z.literal('stratum'),
    name: nameSchema,
    area: areaSchema.optional(),
  }),
  z.strictObject({
    kind: z.literal('ask'),
    about: z.enum(questions),
    /** What help is asked about: "shadow", "plots". */
    topic: nameSchema.optional(),
    scope: scopeSchema.optional(),
    /** Each with its own value. */
    by: z.enum(breakdowns).optional(),
    /** The quantity whose error, or whose plots, are asked for. */
    of: z.enum(questions).optional(),
    /** Tree by its number. */
    tree: ordinal.optional(),
    which: whichSchema.optional(),
    /** How many of the last. */
    count: ordinal.optional(),
    /** Confidence, percent. */
    confidence: z.number().min(50).max(99.9).optional(),
    rule: z.enum(logRuleKeys).optional(),
    percent: within('percent').optional(),
    diameter: z.strictObject({ value: diameterSaid, unit: z.enum(['in', 'cm']).optional() }).optional(),
  }),
  /** Taking back or changing what was said. Without a target: the last thing, or the question in hand. */
  z.strictObject({
    kind: z.literal('scratch'),
    count: ordinal.optional(),
    tree: ordinal.optional(),
    plot: ordinal.optional(),
    leg: ordinal.optional(),
    /** The newest of these. */
    what: z.enum(scratchable).optional(),
    /** The newest tree of that kind. */
    of: whichSchema.optional(),
  }),
  /** Turns round the last thing that was done, a taking back as well. */
  z.strictObject({ kind: z.literal('undo') }),
  /** Puts back what was taken back: a tree, a plot, or the last thing. */
  z.strictObject({
    kind: z.literal('restore'),
    tree: ordinal.optional(),
    plot: ordinal.optional(),
    leg: ordinal.optional(),
  }),
  z.strictObject({
    kind: z.literal('change'),
    /** Tree number, when one was named. */
    tree: ordinal.optional(),
    /** The tree by what it is, when it was named so: the newest of that kind. */
    of: whichSchema.optional(),
    /** The number that was said wrong: what is changed is where it stands. */
    was: within('number').optional(),
    /** The last height belongs to that tree. */
    height: z.literal(true).optional(),
    /** What the new value is; a bare number goes to whatever was last said or is in doubt. */
    number: z
      .strictObject({ value: within('number'), unit: z.enum([...lengthUnits, ...angleUnits]).optional() })
      .optional(),
    distance: distanceSchema.optional(),
    eye: lengthSchema.optional(),
    pace: lengthSchema.optional(),
    facts: treeFactsSchema.optional(),
    /** Said after the height: "leans six feet toward me", "base four feet below me". */
    lean: leanSchema.optional(),
    base: baseSchema.optional(),
    /** A leg of the traverse by its number; the last one where only its bearing was said. */
    leg: ordinal.optional(),
    ...bearingSaid,
    slope: angleSchema.optional(),
    /** "Leg four the other way": the leg was walked against the bearing that was said. */
    reverse: z.literal(true).optional(),
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
    ]),
  }),
  /** A user word: `call sugar maple hard rock`. */
  z.strictObject({
    kind: z.literal('call'),
    word: wordOf('word'),
    species: speciesSchema.optional(),
    mark: wordOf('mark').optional(),
  }),
  z.strictObject({ kind: z.literal('remark'), text: textOf('remark') }),
  /** The walk round an area: it begins, it is back where it began, its area is taken for the stand or stratum. */
  z.strictObject({ kind: z.literal('traverse'), op: z.enum(['start', 'close', 'use']), ...placeNamed }),
  /** One straight line of it: which way, how far, how steep. What is missing is asked for. */
  z.strictObject({
    kind: z.literal('leg'),
    ...bearingSaid,
    distance: distanceSchema.optional(),
    slope: angleSchema.optional(),
  }),
  /** Plots laid out by chance: so many, or as many as an error needs; on a square grid unless lines are said. */
  z.strictObject({
    kind: z.literal('layout'),
    plots: ordinal.optional(),
    percent: within('percent').optional(),
    pattern: z.enum(['grid', 'lines']).optional(),
    ...bearingSaid,
  }),
  /** Which way and how far to a planned plot, the next one unless it is named, or to where the walk began. */
  z.strictObject({ kind: z.literal('way'), to: ordinal.optional(), start: z.literal(true).optional() }),
  /** Where the person stands, for certain. */
  z.strictObject({
    kind: z.literal('place'),
    plot: ordinal.optional(),
    start: z.literal(true).optional(),
    corner: ordinal.optional(),
  }),
  /** Round an obstacle: so far square off the line, and after it so far back. */
  z.strictObject({ kind: z.literal('around'), side: z.enum(['left', 'right']), distance: distanceSchema }),
  /** What wood brings, of a species and a product where they were said. */
  z.strictObject({
    kind: z.literal('price'),
    /** The species alone. */
    facts: z.strictObject({ species: speciesSchema.optional() }).optional(),
    product: z.enum(products).optional(),
    dollars: within('dollars'),
    per: z.enum(priceUnits),
    rule: z.enum(logRuleKeys).optional(),
  }),
  z.strictObject({
    kind: z.literal('control'),
    op: z.enum(['stop', 'start', 'quiet', 'speak', 'slower', 'faster']),
  }),
]);
export type Note = z.infer<typeof noteSchema>;
export type NoteOf<K extends Note['kind']> = Extract<Note, { kind: K }>;

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
}

/** One meaning of a single note of an utterance, with its share of belief. */
export interface NoteMeaning extends Omit<Candidate, 'notes'> {
  readonly note: Note;
}
