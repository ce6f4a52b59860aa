/** Doubts about what was said: the stand's own curve, the slips, and the question that follows. */
export { HeightCurve, type Pair } from './curve.ts';
export { askFrom, type DoubtContext, doubtsOf, type Subject } from './doubts.ts';
export { type Accepted, type SecondLook, secondLook } from './second-look.ts';
