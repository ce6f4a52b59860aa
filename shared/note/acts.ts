/**
 * Acts: what an entry did to the book, with every target named. The book applies them without knowing any dialogue.
 * Ids of trees, plots, heights and stands are the ids of the entries that began them.
 */
import { z } from 'zod';
import { deviationNames } from './deviations.ts';
import { priceUnits, products } from './land-words.ts';
import { nameOf, sizes, textOf, wholeWithin, within, wordOf } from './limits.ts';
import { logRuleKeys } from './log-rules.ts';
import {
  angleSchema,
  bearingSchema,
  distanceSchema,
  measurementSchema,
  mostNotes,
  noteSchema,
  plotSizeSchema,
  statuses,
} from './note.ts';

const id = z.uuid();
const lonLat = z.tuple([z.number().min(-180).max(180), z.number().min(-90).max(90)]);

/** Facts of a tree in the book's own units: inches, feet. */
const treeFieldsSchema = z.strictObject({
  species: wholeWithin('speciesCode').nullable().optional(),
  /** What it was called where that is no species alone and no genus: a group, "unknown hardwood". */
  called: nameOf('name').nullable().optional(),
  /** Diameter outside bark at breast height, inches. */
  diameterIn: within('diameterIn').nullable().optional(),
  logs: within('logs').nullable().optional(),
  merchFt: within('merchFt').nullable().optional(),
  status: z.enum(statuses).optional(),
  marks: z.array(wordOf('mark')).max(sizes.marks).optional(),
  defectPct: within('percent').optional(),
  count: wholeWithin('count').optional(),
  formClass: within('formClass').nullable().optional(),
  /** False: measured at the border and found out; not counted. */
  counted: z.boolean().optional(),
});
export type TreeFields = z.infer<typeof treeFieldsSchema>;

/** Which north a bearing is from, as the book keeps it. */
const compassNorths = ['true', 'magnetic'] as const;

/** A leg of a walk as it was said, its bare lengths with their unit. */
const savedLegSchema = z.strictObject({
  bearing: bearingSchema,
  north: z.enum(compassNorths),
  distance: distanceSchema,
  slope: angleSchema.optional(),
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

export const actSchema = z.discriminatedUnion('act', [
  z.strictObject({ act: z.literal('tree'), id, fields: treeFieldsSchema }),
  z.strictObject({ act: z.literal('amend'), target: id, fields: treeFieldsSchema }),
  /** A height for a tree (`tree` null: a height of no tree). `id` is the entry's own. */
  z.strictObject({ act: z.literal('height'), id, tree: id.nullable(), measurement: measurementSchema }),
  /** The measurement of an earlier height becomes this one; null: the height is dropped. */
  z.strictObject({ act: z.literal('remeasure'), target: id, measurement: measurementSchema.nullable() }),
  /** A height belongs to this tree. */
  z.strictObject({ act: z.literal('assign'), target: id, tree: id.nullable() }),
  /** Nothing is in hand: the next facts begin a new tree. */
  z.strictObject({ act: z.literal('next') }),
  z.strictObject({
    act: z.literal('setting'),
    set: z.discriminatedUnion('what', [
      z.strictObject({ what: z.literal('pace'), feet: within('paceFt') }),
      z.strictObject({
        what: z.literal('walk'),
        count: within('walkPaces'),
        of: z.enum(['paces', 'steps']),
        feet: within('walkFt'),
      }),
      z.strictObject({ what: z.literal('counting'), of: z.enum(['paces', 'steps']) }),
      z.strictObject({ what: z.literal('eye'), feet: within('eyeFt') }),
      z.strictObject({ what: z.literal('units'), units: z.enum(['feet', 'metres']) }),
      z.strictObject({ what: z.literal('ground'), shorter: within('groundShorter') }),
      z.strictObject({
        what: z.literal('scatter'),
        device: z.enum(['laser', 'sonic', 'tape', 'other']),
        feet: within('sdFt'),
      }),
      z.strictObject({
        what: z.literal('deviation'),
        error: z.enum(deviationNames),
        value: within('deviation'),
      }),
      z.strictObject({ what: z.literal('logRule'), rule: z.enum(logRuleKeys) }),
      z.strictObject({ what: z.literal('formClass'), value: within('formClass') }),
      z.strictObject({ what: z.literal('edge'), method: z.enum(['mirage', 'walkthrough', 'none']) }),
      z.strictObject({ what: z.literal('slopeMethod'), method: z.enum(['onSlope', 'horizontal']) }),
      z.strictObject({ what: z.literal('declination'), degrees: within('declination') }),
      z.strictObject({ what: z.literal('north'), north: z.enum(compassNorths) }),
      z.strictObject({ what: z.literal('person'), name: nameOf('name') }),
      z.strictObject({ what: z.literal('attention'), word: textOf('word') }),
      /** "Here 'fir' means balsam fir." */
      z.strictObject({
        what: z.literal('nickname'),
        nickname: nameOf('name'),
        species: wholeWithin('speciesCode'),
      }),
      z.strictObject({
        what: z.literal('voice'),
        quiet: z.boolean().optional(),
        rate: within('rate').optional(),
        listening: z.boolean().optional(),
      }),
    ]),
  }),
  z.strictObject({
    act: z.literal('word'),
    word: wordOf('word'),
    species: wholeWithin('speciesCode').optional(),
    mark: wordOf('mark').optional(),
  }),
  z.strictObject({
    act: z.literal('plot'),
    id,
    number: wholeWithin('ordinal'),
    size: plotSizeSchema.optional(),
    slopePct: within('slopePct').optional(),
    empty: z.boolean().optional(),
  }),
  z.strictObject({
    act: z.literal('plotAmend'),
    target: id,
    number: wholeWithin('ordinal').optional(),
    size: plotSizeSchema.optional(),
    slopePct: within('slopePct').optional(),
    closed: z.boolean().optional(),
    empty: z.boolean().optional(),
  }),
  z.strictObject({ act: z.literal('stand'), id, name: nameOf('name'), acres: within('area').nullable() }),
  z.strictObject({
    act: z.literal('stratum'),
    id,
    name: nameOf('name'),
    acres: within('area').nullable(),
  }),
  /** An area from a walk round it or from its edge on a map, once it was agreed to. */
  z.strictObject({
    act: z.literal('area'),
    of: z.enum(['stand', 'stratum']),
    target: id,
    acres: within('area'),
    /** Standard deviation. */
    sdAcres: within('area').nullable(),
    /** The part of it that is of paces, which areas walked by the same person share. */
    paceSdAcres: within('area').optional(),
    /** The walk that it is from; null: from an edge that was brought in. */
    walk: id.nullable(),
  }),
  /** A walk round an area begins. */
  z.strictObject({ act: z.literal('traverse'), id, stand: id.nullable(), stratum: id.nullable() }),
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
  /** An edge that was brought in: rings of WGS 84 longitude and latitude, the outer one of each part first. */
  z.strictObject({
    act: z.literal('edge'),
    id,
    stand: id.nullable(),
    stratum: id.nullable(),
    parts: z
      .array(z.array(z.array(lonLat).min(3).max(sizes.corners)).min(1).max(sizes.rings))
      .min(1)
      .max(sizes.rings),
  }),
  z.strictObject({
    act: z.literal('plan'),
    id,
    stand: id.nullable(),
    stratum: id.nullable(),
    /** The walk or the edge in whose plane the plots lie. */
    ground: id,
    pattern: z.enum(['square', 'lines']),
    azimuth: within('azimuth'),
    /** What the places were drawn by: the same seed gives the same places. */
    seed: wholeWithin('seed'),
    plots: z.array(plannedSchema).min(1).max(sizes.planned),
  }),
  /** Where a device is: feet on the plane of a walk or an edge, as sure as `sdFt`. */
  z.strictObject({
    act: z.literal('place'),
    ground: id,
    at: pointSchema,
    sdFt: within('errorFt'),
    /** The planned plot that it is. */
    plot: wholeWithin('ordinal').optional(),
  }),
  /** A way was told from where the device is. */
  z.strictObject({
    act: z.literal('way'),
    ground: id,
    to: pointSchema,
    plot: wholeWithin('ordinal').optional(),
  }),
  /** Off the line of the way and back on it. */
  z.strictObject({ act: z.literal('around'), side: z.enum(['left', 'right']), feet: within('walkFt') }),
  z.strictObject({
    act: z.literal('price'),
    /** FIA codes; empty: all that no other price is for. */
    species: z.array(wholeWithin('speciesCode')).max(sizes.targets),
    product: z.enum(products).nullable(),
    dollars: within('dollars'),
    per: z.enum(priceUnits),
    rule: z.enum(logRuleKeys).nullable(),
  }),
  /** Takes back everything that these entries did. */
  z.strictObject({ act: z.literal('retract'), targets: z.array(id).min(1).max(sizes.targets) }),
  /** Puts back everything that these entries did, as if they had never been taken back. */
  z.strictObject({ act: z.literal('restore'), targets: z.array(id).min(1).max(sizes.targets) }),
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
    tree: id.nullable(),
    plot: id.nullable(),
  }),
]);
export type Act = z.infer<typeof actSchema>;

/** What most likely went wrong, and what would follow if it is put right. */
const slipSchema = z.strictObject({
  /** Code of the slip: `stepsForPaces`, `teenTy`, `digit`, ... */
  slip: textOf('code'),
  posterior: z.number().min(0).max(1),
  /** The height that the corrected note gives, feet; null where the slip is in a diameter. */
  feet: within('number').nullable(),
  /** The corrected note. */
  note: noteSchema,
});
export type Slip = z.infer<typeof slipSchema>;

export const doubtSchema = z.strictObject({
  code: textOf('code'),
  /** 0 (worth a word) to 1 (cannot be). At `askFrom` and above the tool asks before it counts the value. */
  strength: z.number().min(0).max(1),
  sentence: textOf('sentence'),
  slips: z.array(slipSchema).max(sizes.slips),
  /** Id of the tree that it is about, where that is not the one of the entry. */
  about: id.optional(),
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
    'area',
  ]),
  text: textOf('sentence'),
  /** Answers that can be picked by name or number; each the note that it stands for. */
  options: z
    .array(
      z.strictObject({
        say: textOf('sentence'),
        note: noteSchema,
        /** Notes that follow it in the breath, where the breath was heard in several ways. */
        behind: z.array(noteSchema).max(mostNotes).optional(),
      }),
    )
    .max(sizes.options),
  /** The note that waits for the answer. */
  pending: noteSchema.optional(),
  /** Notes of the same breath that were said behind it: they wait for the answer, too. */
  behind: z.array(noteSchema).max(mostNotes).optional(),
  /** Its target, where it has one. */
  target: z.uuid().optional(),
  /** Values already refused: never offered again. */
  refused: z.array(textOf('sentence')).max(sizes.refused).optional(),
});
export type Question = z.infer<typeof questionSchema>;
