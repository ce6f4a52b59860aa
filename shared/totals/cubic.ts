/** Cubic volume: of logs (Huber, Smalian, Newton), of solids of revolution, and of whole stems by a form factor. */

/** Square feet of basal area for one square inch of diameter squared: pi / (4 x 144). */
export const basalAreaFactor = Math.PI / 576;

/**
 * Basal area of a stem, square feet, from its diameter in inches.
 * Source: geometry; the Service Forester's Handbook prints 0.785 for 12 in. Example: `basalAreaFt2(12)` is 0.7854.
 */
export const basalAreaFt2 = (diameterIn: number): number => basalAreaFactor * diameterIn * diameterIn;

/** Huber: middle area times length. Any consistent units. */
export const huber = (middleArea: number, length: number): number => middleArea * length;

/** Smalian: mean of the end areas times length. Reads high on butt swell. */
export const smalian = (baseArea: number, topArea: number, length: number): number =>
  ((baseArea + topArea) / 2) * length;

/** Newton: (base + 4 middle + top) / 6 times length; exact for cylinder, paraboloid, cone and neiloid. */
export const newton = (baseArea: number, middleArea: number, topArea: number, length: number): number =>
  ((baseArea + 4 * middleArea + topArea) / 6) * length;

/** Share of base area times height that each solid fills. */
const solids = { cylinder: 1, paraboloid: 1 / 2, cone: 1 / 3, neiloid: 1 / 4 } as const;
export type Solid = keyof typeof solids;

/** Volume of a solid of revolution from its base area and height, any consistent units. */
export const solidVolume = (solid: Solid, baseArea: number, height: number): number =>
  solids[solid] * baseArea * height;

/**
 * Form factor of the composite cubic table: 0.42, whole stem of an average tree, cubic feet with bark.
 * From memory: Gevorkiantz & Olsen 1955, USDA Tech. Bull. 1104. The 31 black cherry of R's `trees` average 0.385.
 */
export const compositeFormFactor = 0.42;

/**
 * Cubic feet of a whole stem: form factor times basal area times height (inches, feet).
 * Example: `stemCubicFeet(14, 70)` is 31.43.
 */
export const stemCubicFeet = (
  diameterIn: number,
  heightFt: number,
  formFactor: number = compositeFormFactor,
): number => formFactor * basalAreaFt2(diameterIn) * heightFt;
