/** Doubts about what was said: the stand's own curve, the slips, and the question that follows. */
export { askFrom, type DoubtContext, doubtsOf } from './doubts.ts';
export { type Accepted, type SecondLook, secondLook } from './second-look.ts';
