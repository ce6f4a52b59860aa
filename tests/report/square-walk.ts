/** A square of ten chains, 10 acres, walked a little wrong: the second leg is two paces long. */
export const squareWalk = [
  'my pace is five and a half feet',
  'new stand mill lot',
  'start a traverse',
  'bearing 0, 120 paces',
  'bearing 90, 122 paces',
  'bearing 180, 120 paces',
  'bearing 270, 120 paces',
  'back at the start',
] as const;
