/** Fresh identities in the page: UUID version 7 (RFC 9562, section 5.7). */

/** A UUIDv7 of this time, milliseconds since 1970. */
export function uuidv7(timeMs: number): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let rest = timeMs;
  for (let i = 5; i >= 0; i--) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (bytes[6]! & 0x0f);
  bytes[8] = 0x80 | (bytes[8]! & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
