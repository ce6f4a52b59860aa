/** What can be told apart of bearings and of prices: one list each, for the schemas, the phrases and the answers. */

/** Which north a bearing was said to be from. */
export const saidNorths = ['trueNorth', 'magneticNorth'] as const;
export type SaidNorth = (typeof saidNorths)[number];
/** The same as the book keeps it. */
export const keptNorths = ['true', 'magnetic'] as const;

/** What wood is sold as. */
export const products = ['saw', 'pulp', 'firewood'] as const;
export type Product = (typeof products)[number];

/** What a price is for: a thousand board feet, a cord, a ton, a cubic metre, a hundred cubic feet. */
export const priceUnits = ['thousand', 'cord', 'ton', 'tonne', 'cubicMetre', 'cunit'] as const;
export type PriceUnit = (typeof priceUnits)[number];
