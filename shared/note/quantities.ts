/** Quantities as they are said: a value, and a unit where one was named. */
import * as z from 'zod/mini';
import { angleUnits, areaUnits, lengthUnits } from '../core/units.ts';
import { within } from './limits.ts';

/** A length as said. Without a unit it is in the book's unit of that quantity. Feet and inches: feet. */
export const lengthSchema = z.strictObject({
  value: within('length'),
  unit: z.optional(z.enum(lengthUnits)),
});
export type Length = z.infer<typeof lengthSchema>;

/** An angle from horizontal, positive upwards: degrees, percent, or feet in 66 feet (`topo`). */
export const angleSchema = z.strictObject({ value: within('angle'), unit: z.optional(z.enum(angleUnits)) });
export type Angle = z.infer<typeof angleSchema>;

const sizes = [
  z.strictObject({ by: z.literal('area'), value: within('area'), unit: z.enum(areaUnits) }),
  z.strictObject({
    by: z.literal('radius'),
    length: z.strictObject({ value: within('plotRadius'), unit: z.optional(z.enum(lengthUnits)) }),
  }),
  /** Basal area factor; `unit` ft2 per acre unless metric. */
  z.strictObject({
    by: z.literal('factor'),
    value: within('areaFactor'),
    unit: z.optional(z.enum(['ft2/acre', 'm2/ha'])),
  }),
  /** Every tree of the stand is measured. */
  z.strictObject({ by: z.literal('tally') }),
] as const;
/** As the book keeps it. */
export const plotSizeSchema = z.discriminatedUnion('by', sizes);
export type PlotSize = z.infer<typeof plotSizeSchema>;
/** As it is said: of a plot with corners its two sides, in one unit, which are kept as the area. */
export const plotSizeSaidSchema = z.discriminatedUnion('by', [
  ...sizes,
  z.strictObject({
    by: z.literal('sides'),
    sides: z.tuple([within('plotRadius'), within('plotRadius')]),
    unit: z.optional(z.enum(lengthUnits)),
  }),
]);
export type PlotSizeSaid = z.infer<typeof plotSizeSaidSchema>;
