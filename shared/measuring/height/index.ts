/** Heights: a measurement becomes a height with an honest error; paces are calibrated; heights are combined. */

export {
  type Deviation,
  type DeviationName,
  type Deviations,
  deviationNames,
  deviations,
  usualDeviations,
} from '../../note/deviations.ts';
export { type Combined, combine, meanOf } from './budget.ts';
export { stemLength, tipOffset } from './formulas.ts';
export { measure } from './measure.ts';
export { type PaceModel, paceModel, type Walk } from './pace.ts';
export { usualScatter } from './takes.ts';
export type * from './types.ts';
