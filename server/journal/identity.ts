/** Fresh identities: the only chance in the books' folder comes from the platform here. */
import { uuidv7 } from '../../shared/core/uuid.ts';
import { type DeviceId, deviceId } from '../../shared/note/journal.ts';

/** A fresh UUIDv7 of this time, milliseconds since 1970. */
export const freshId = (timeMs: number): string => uuidv7(timeMs, chance(10));

/** What the entries of one program in one book are signed with: `d-3f9a0c1b2e`; of an imported table `table-3f9a0c1b2e`. */
export const freshDevice = (kind: 'd' | 'table' = 'd'): DeviceId =>
  deviceId(`${kind}-${Buffer.from(chance(5)).toString('hex')}`);

const chance = (bytes: number): Uint8Array<ArrayBuffer> => crypto.getRandomValues(new Uint8Array(bytes));
