/** More than can be taken in hand: nothing of it was kept, and it may be asked again in a moment. */
export class BusyError extends Error {
  override readonly name = 'BusyError';
}
