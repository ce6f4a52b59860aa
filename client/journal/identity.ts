/** Fresh identities: the random part of a UUIDv7 comes from the platform. */
import { uuidv7 } from '../../shared/core/uuid.ts';

/** A fresh UUIDv7 of this time, milliseconds since 1970. */
export const freshPageId = (timeMs: number): string =>
  uuidv7(timeMs, crypto.getRandomValues(new Uint8Array(10)));
