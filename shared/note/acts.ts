/**
 * Acts: what an entry did to the book, with every target named. The book applies them without knowing any dialogue.
 * Ids of trees, plots, heights and stands are the ids of the entries that began them.
 */
import * as z from 'zod/mini';
import { keptNorths, priceUnits, products } from './land-words.ts';
import { idSchema, nameOf, sizes, textOf, wholeWithin, within, wordOf } from './limits.ts';
import { logRuleKeys } from './log-rules.ts';
import { bearingSchema, distanceSchema, measurementSchema, mostNotes, noteSchema, statuses } from './note.ts';
import { angleSchema, plotSizeSchema } from './quantities.ts';
import { settingActSchema } from './settings.ts';

const id = idSchema;
const lonLat = z.tuple([within('longitude'), within('latitude')]);

/** Facts of a tree in the book's own units: inches, feet. */
const treeFieldsSchema = z.strictObject({
  species: z.optional(z.nullable(wholeWithin('speciesCode'))),
  /** What it was called where that is no species alone and no genus: a group, "unknown hardwood". */
  called: z.optional(z.nullable(nameOf('name'))),
  /** Diameter outside bark at breast height, inches. */
  diameterIn: z.optional(z.nullable(within('diameterIn'))),
  logs: z.optional(z.nullable(within('logs'))),
  merchFt: z.optional(z.nullable(within('merchFt'))),
  status: z.optional(z.enum(statuses)),
  marks: z.optional(z.array(wordOf('mark')).check(z.maxLength(sizes.marks))),
  /** Marks that it has not after all: taken off those that were said before. */
  unmarked: z.optional(z.array(wordOf('mark')).check(z.maxLength(sizes.marks))),
  defectPct: z.optional(within('percent')),
  count: z.optional(wholeWithin('count')),
  formClass: z.optional(z.nullable(within('formClass'))),
  /** False: measured at the border and found out; not counted. */
  counted: z.optional(z.boolean()),
  /** True: at the border, and nobody can tell; counted as half a tree. */
  half: z.optional(z.boolean()),
  /** The plot that it belongs to, where that is not the one that was in hand when it was told. */
  plot: z.optional(id),
});
export type TreeFields = z.infer<typeof treeFieldsSchema>;

/** A leg of a walk as it was said, its bare lengths with their unit. */
const savedLegSchema = z.strictObject({
  bearing: bearingSchema,
  north: z.enum(keptNorths),
  distance: distanceSchema,
  slope: z.optional(angleSchema),
});
export type SavedLeg = z.infer<typeof savedLegSchema>;

const pointSchema = z.strictObject({ eastFt: within('placeFt'), northFt: within('placeFt') });

/** A planned plot, feet from where the walk began, true north up. */
const plannedSchema = z.strictObject({
  number: wholeWithin('ordinal'),
  at: pointSchema,
  toEdgeFt: within('placeFt'),
  crossesEdge: z.boolean(),
});
export type SavedPlot = z.infer<typeof plannedSchema>;

/** An edge that was brought in: rings of WGS 84 longitude and latitude, the outer one of each part first. */
const edgePartsSchema = z
  .array(
    z
      .array(z.array(lonLat).check(z.minLength(3), z.maxLength(sizes.corners)))
      .check(z.minLength(1), z.maxLength(sizes.rings)),
  )
  .check(
    z.minLength(1),
    z.maxLength(sizes.rings),
    z.refine(
      (parts) => parts.flat().reduce((sum, ring) => sum + ring.length, 0) <= sizes.cornersOfEdge,
      `expected at most ${sizes.cornersOfEdge} corners`,
    ),
  );
export type EdgeParts = z.infer<typeof edgePartsSchema>;

export const actSchema = z.discriminatedUnion('act', [
  z.strictObject({ act: z.literal('tree'), id, fields: treeFieldsSchema }),
  z.strictObject({ act: z.literal('amend'), target: id, fields: treeFieldsSchema }),
  /** A height for a tree (`tree` null: a height of no tree). `id` is the entry's own. */
  z.strictObject({ act: z.literal('height'), id, tree: z.nullable(id), measurement: measurementSchema }),
  /** The measurement of an earlier height becomes this one; null: the height is dropped. */
  z.strictObject({ act: z.literal('remeasure'), target: id, measurement: z.nullable(measurementSchema) }),
  /** A height belongs to this tree. */
  z.strictObject({ act: z.literal('assign'), target: id, tree: z.nullable(id) }),
  /** Nothing is in hand: the next facts begin a new tree. */
  z.strictObject({ act: z.literal('next') }),
  /** An earlier tree is in hand: what follows is about it. */
  z.strictObject({ act: z.literal('hand'), target: id }),
  z.strictObject({ act: z.literal('setting'), set: settingActSchema }),
  z.strictObject({
    act: z.literal('word'),
    word: wordOf('word'),
    species: z.optional(wholeWithin('speciesCode')),
    mark: z.optional(wordOf('mark')),
  }),
  z.strictObject({
    act: z.literal('plot'),
    id,
    number: wholeWithin('ordinal'),
    size: z.optional(plotSizeSchema),
    slopePct: z.optional(within('slopePct')),
    empty: z.optional(z.boolean()),
  }),
  z.strictObject({
    act: z.literal('plotAmend'),
    target: id,
    number: z.optional(wholeWithin('ordinal')),
    size: z.optional(plotSizeSchema),
    slopePct: z.optional(within('slopePct')),
    closed: z.optional(z.boolean()),
    empty: z.optional(z.boolean()),
  }),
  z.strictObject({ act: z.literal('stand'), id, name: nameOf('name'), acres: z.nullable(within('area')) }),
  z.strictObject({
    act: z.literal('stratum'),
    id,
    name: nameOf('name'),
    acres: z.nullable(within('area')),
  }),
  /** An area from a walk round it or from its edge on a map, once it was agreed to. */
  z.strictObject({
    act: z.literal('area'),
    of: z.enum(['stand', 'stratum']),
    target: id,
    acres: within('area'),
    /** Standard deviation. */
    sdAcres: z.nullable(within('area')),
    /** The part of it that is of paces, which areas walked by the same person share. */
    paceSdAcres: z.optional(within('area')),
    /** The walk that it is from; null: from an edge that was brought in. */
    walk: z.nullable(id),
  }),
  /** A walk round an area begins. */
  z.strictObject({ act: z.literal('traverse'), id, stand: z.nullable(id), stratum: z.nullable(id) }),
  z.strictObject({
    act: z.literal('leg'),
    id,
    walk: id,
    /** Its number in the walk. */
    number: wholeWithin('ordinal'),
    leg: savedLegSchema,
  }),
  z.strictObject({ act: z.literal('legAmend'), target: id, leg: savedLegSchema }),
  z.strictObject({ act: z.literal('walkEnd'), walk: id }),
  z.strictObject({
    act: z.literal('edge'),
    id,
    stand: z.nullable(id),
    stratum: z.nullable(id),
    parts: edgePartsSchema,
  }),
  z.strictObject({
    act: z.literal('plan'),
    id,
    stand: z.nullable(id),
    stratum: z.nullable(id),
    /** The walk or the edge in whose plane the plots lie. */
    ground: id,
    pattern: z.enum(['square', 'lines']),
    azimuth: within('azimuth'),
    /** What the places were drawn by: the same seed gives the same places. */
    seed: wholeWithin('seed'),
    plots: z.array(plannedSchema).check(z.minLength(1), z.maxLength(sizes.planned)),
  }),
  /** Where a device is: feet on the plane of a walk or an edge, as sure as `sdFt`. */
  z.strictObject({
    act: z.literal('place'),
    ground: id,
    at: pointSchema,
    sdFt: within('errorFt'),
    /** The planned plot that it is. */
    plot: z.optional(wholeWithin('ordinal')),
  }),
  /** A way was told from where the device is. */
  z.strictObject({
    act: z.literal('way'),
    ground: id,
    to: pointSchema,
    plot: z.optional(wholeWithin('ordinal')),
  }),
  /** Off the line of the way and back on it. */
  z.strictObject({ act: z.literal('around'), side: z.enum(['left', 'right']), feet: within('walkFt') }),
  z.strictObject({
    act: z.literal('price'),
    /** FIA codes; empty: all that no other price is for. */
    species: z.array(wholeWithin('speciesCode')).check(z.maxLength(sizes.targets)),
    product: z.nullable(z.enum(products)),
    dollars: within('dollars'),
    per: z.enum(priceUnits),
    rule: z.nullable(z.enum(logRuleKeys)),
  }),
  /** Takes back everything that these entries did. */
  z.strictObject({
    act: z.literal('retract'),
    targets: z.array(id).check(z.minLength(1), z.maxLength(sizes.targets)),
  }),
  /** Puts back everything that these entries did, as if they had never been taken back. */
  z.strictObject({
    act: z.literal('restore'),
    targets: z.array(id).check(z.minLength(1), z.maxLength(sizes.targets)),
  }),
  /** A doubt is settled: `kept` teaches the height curve, `mended` and `dropped` do not. */
  z.strictObject({
    act: z.literal('settle'),
    entry: id,
    code: textOf('code'),
    how: z.enum(['kept', 'mended', 'dropped']),
  }),
  z.strictObject({
    act: z.literal('remark'),
    text: textOf('remark'),
    tree: z.nullable(id),
    plot: z.nullable(id),
  }),
]);
export type Act = z.infer<typeof actSchema>;

/** What most likely went wrong, and what would follow if it is put right. */
const slipSchema = z.strictObject({
  /** Code of the slip: `stepsForPaces`, `teenTy`, `digit`, ... */
  slip: textOf('code'),
  posterior: z.number().check(z.minimum(0), z.maximum(1)),
  /** The height that the corrected note gives, feet; null where the slip is in a diameter. */
  feet: z.nullable(within('number')),
  /** The corrected note. */
  note: noteSchema,
});
export type Slip = z.infer<typeof slipSchema>;

export const doubtSchema = z.strictObject({
  code: textOf('code'),
  /** 0 (worth a word) to 1 (cannot be). At `askFrom` and above the tool asks before it counts the value. */
  strength: z.number().check(z.minimum(0), z.maximum(1)),
  sentence: textOf('sentence'),
  slips: z.array(slipSchema).check(z.maxLength(sizes.slips)),
  /** Id of the tree that it is about, where that is not the one of the entry. */
  about: z.optional(id),
});
export type Doubt = z.infer<typeof doubtSchema>;

/** An open question, and what each answer would do. */
export const questionSchema = z.strictObject({
  /** What is asked for: one of the options, a missing value, or a plain yes or no. */
  about: z.enum([
    'reading',
    'doubt',
    'species',
    'pace',
    'eye',
    'scale',
    'slope',
    'face',
    'diameter',
    'distance',
    'counting',
    'confirm',
    'bearing',
    'walked',
    /** How many paces a known length is. */
    'walk',
    'area',
    /** Whether a height that no error explains is of another tree than the one in hand: yes, or "same". */
    'another',
    /** A part was not understood: the rest is kept with what is said of that part, or with yes. */
    'rest',
  ]),
  text: textOf('sentence'),
  /** Answers that can be picked by name or number; each the note that it stands for. */
  options: z
    .array(
      z.strictObject({
        say: textOf('sentence'),
        note: noteSchema,
        /** Notes that follow it in the breath, where the breath was heard in several ways. */
        behind: z.optional(z.array(noteSchema).check(z.maxLength(mostNotes))),
      }),
    )
    .check(z.maxLength(sizes.options)),
  /** What is offered is a plot or a setting on which the next notes rest: it stays open behind them, for a late yes or no. */
  stays: z.optional(z.literal(true)),
  /** The note that waits for the answer. */
  pending: z.optional(noteSchema),
  /** Notes of the same breath that were said behind it: they wait for the answer, too. */
  behind: z.optional(z.array(noteSchema).check(z.maxLength(mostNotes))),
  /** Its target, where it has one. */
  target: z.optional(idSchema),
  /** Values already refused: never offered again. */
  refused: z.optional(z.array(textOf('sentence')).check(z.maxLength(sizes.refused))),
});
export type Question = z.infer<typeof questionSchema>;
