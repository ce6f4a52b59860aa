/**
 * Acts: what an entry did to the book, with every target named. The book applies them without knowing any dialogue.
 * Ids of trees, plots, heights and stands are the ids of the entries that began them.
 */
import * as z from 'zod/mini';
import { nameOf, sizes, textOf, wholeWithin, within, wordOf } from './limits.ts';
import { measurementSchema, mostNotes, noteSchema, plotSizeSchema, statuses } from './note.ts';
import { settingActSchema } from './settings.ts';

const id = z.uuid();

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
  defectPct: z.optional(within('percent')),
  count: z.optional(wholeWithin('count')),
  formClass: z.optional(z.nullable(within('formClass'))),
  /** False: measured at the border and found out; not counted. */
  counted: z.optional(z.boolean()),
});
export type TreeFields = z.infer<typeof treeFieldsSchema>;

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
  /** The note that waits for the answer. */
  pending: z.optional(noteSchema),
  /** Notes of the same breath that were said behind it: they wait for the answer, too. */
  behind: z.optional(z.array(noteSchema).check(z.maxLength(mostNotes))),
  /** Its target, where it has one. */
  target: z.optional(z.uuid()),
  /** Values already refused: never offered again. */
  refused: z.optional(z.array(textOf('sentence')).check(z.maxLength(sizes.refused))),
});
export type Question = z.infer<typeof questionSchema>;
