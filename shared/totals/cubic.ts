/** Cubic volume: basal areas of stems, and whole stems by a form factor. */

/** Square feet of basal area for one square inch of diameter squared: pi / (4 x 144). */
export const basalAreaFactor = Math.PI / 576;

/**
 * Basal area of a stem, square feet, from its diameter in inches.
 * Source: geometry; the Service Forester's Handbook prints 0.785 for 12 in. Example: `basalAreaFt2(12)` is 0.7854.
 */
export const basalAreaFt2 = (diameterIn: number): number => basalAreaFactor * diameterIn * diameterIn;
/**
 * Form factor of the composite cubic table: 0.42, whole stem of an average tree, cubic feet with bark.
 * From memory: Gevorkiantz & Olsen 1955, USDA Tech. Bull. 1104. The 31 black cherry of R's `trees` average 0.385.
 */
export const compositeFormFactor = 0.42;
