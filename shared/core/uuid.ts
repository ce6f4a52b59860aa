/** Identities: UUID version 7 (RFC 9562, section 5.7), the time in front so that ids sort as they were made. */

const randomBytes = 10;

/**
 * A UUIDv7 of this time, milliseconds since 1970 (0 to 2^48 - 1), with ten random bytes that are handed in.
 *
 * @example uuidv7(0, new Uint8Array(10)) // '00000000-0000-7000-8000-000000000000'
 */
export function uuidv7(timeMs: number, random: Uint8Array): string {
  if (random.length < randomBytes)
    throw new RangeError(`expected ${randomBytes} bytes, found ${random.length}`);
  const bytes = new Uint8Array(16);
  let rest = timeMs;
  for (let i = 5; i >= 0; i--) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes.set(random.subarray(0, randomBytes), 6);
  bytes[6] = 0x70 | (bytes[6]! & 0x0f);
  bytes[8] = 0x80 | (bytes[8]! & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
