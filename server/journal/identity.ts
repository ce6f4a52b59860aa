/** Fresh identities: UUID version 7 (RFC 9562, section 5.7), the time in front so that ids sort as they were made. */
import { randomBytes } from 'node:crypto';

/** A UUIDv7 of this time, milliseconds since 1970. `uuidv7(0)` begins `00000000-0000-7`. */
export function uuidv7(timeMs: number, random: Uint8Array = randomBytes(10)): string {
  const bytes = Buffer.alloc(16);
  bytes.writeUIntBE(timeMs, 0, 6);
  bytes.set(random, 6);
  bytes[6] = 0x70 | (bytes[6]! & 0x0f);
  bytes[8] = 0x80 | (bytes[8]! & 0x3f);
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
