/** Makes inputs out of the bytes of a fuzzer: bare text, or a good document with some of its values replaced. */

/** Takes numbers from bytes as long as there are any, then zeros. */
export class Bytes {
  #at = 0;

  constructor(private readonly data: Uint8Array) {}

  get left(): number {
    return this.data.length - this.#at;
  }

  byte(): number {
    return this.data[this.#at++] ?? 0;
  }

  /** A whole number below n, n up to 65 536. */
  below(n: number): number {
    return n < 2 ? 0 : (this.byte() * 256 + this.byte()) % n;
  }

  rest(most = this.left): Uint8Array {
    const part = this.data.subarray(this.#at, this.#at + most);
    this.#at += part.length;
    return part;
  }

  text(most = this.left): string {
    return new TextDecoder().decode(this.rest(most));
  }
}

const strange: readonly unknown[] = [
  null,
  true,
  '',
  'a',
  '__proto__',
  'constructor',
  '\u0000',
  '\ud800',
  'x'.repeat(3000),
  [],
  {},
  -1,
  0,
  -0,
  0.1,
  1e-320,
  1e308,
  2 ** 53,
  -(2 ** 31),
  1e21,
  '1e5',
  'ffffffff-ffff-7fff-bfff-ffffffffffff',
];

type Place = { readonly in: Record<string, unknown> | unknown[]; readonly key: string | number };

function placesOf(value: unknown, into: Place[] = []): Place[] {
  if (typeof value !== 'object' || value === null) return into;
  for (const key of Object.keys(value)) {
    into.push({ in: value as Record<string, unknown>, key });
    placesOf((value as Record<string, unknown>)[key], into);
  }
  return into;
}

/** A copy of one of the documents with up to eight of its values replaced, left out, doubled or moved. */
export function mutated(bytes: Bytes, documents: readonly unknown[]): unknown {
  const document = structuredClone(documents[bytes.below(documents.length)]);
  for (let n = bytes.byte() % 9; n > 0 && bytes.left > 0; n--) {
    const places = placesOf(document);
    const place = places[bytes.below(places.length)];
    if (place === undefined) break;
    const at = place.in as Record<string, unknown>;
    const other = places[bytes.below(places.length)]!;
    switch (bytes.byte() % 6) {
      case 0:
        at[place.key] = strange[bytes.below(strange.length)];
        break;
      case 1:
        if (Array.isArray(place.in)) place.in.splice(Number(place.key), 1);
        else delete at[place.key];
        break;
      case 2:
        at[place.key] = structuredClone((other.in as Record<string, unknown>)[other.key]);
        break;
      case 3:
        at[place.key] = (bytes.below(65_536) - 32_768) / 10 ** (bytes.byte() % 5);
        break;
      case 4:
        at[place.key] = bytes.text(bytes.byte() % 64);
        break;
      case 5:
        if (Array.isArray(place.in)) place.in.push(structuredClone(place.in[Number(place.key)]));
        else at[bytes.text(bytes.byte() % 12)] = at[place.key];
        break;
    }
  }
  return document;
}

/** Bare text of the bytes, or a mutated document as JSON, spoiled again now and then. */
export function jsonOf(data: Uint8Array, documents: readonly unknown[]): string {
  const bytes = new Bytes(data);
  const how = bytes.byte();
  if (how % 4 === 0) return bytes.text();
  const text = JSON.stringify(mutated(bytes, documents));
  if (how % 16 !== 1) return text;
  const at = bytes.below(Math.min(65_536, text.length));
  return text.slice(0, at) + bytes.text(8) + text.slice(at + (bytes.byte() % 8));
}
