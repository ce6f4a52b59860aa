/** Heights: a measurement becomes a height with an honest error; paces are calibrated; heights are combined. */

export { usualDeviations } from '../../note/deviations.ts';
export { combine, meanOf } from './budget.ts';
export { stemLength, tipOffset } from './formulas.ts';
export { measure } from './measure.ts';
export { paceModel } from './pace.ts';
export { usualScatter } from './takes.ts';
export type * from './types.ts';
