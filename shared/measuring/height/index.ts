/** Heights: a measurement becomes a height with an honest error; paces are calibrated; heights are combined. */

export { combine, combineValues } from './budget.ts';
export { measure } from './measure.ts';
export type * from './types.ts';
