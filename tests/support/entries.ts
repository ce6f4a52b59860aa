/** Made-up entries for tests: seeded, all valid, some with every optional part. */
import { deviceId, type Entry } from '../../shared/note/journal.ts';

/** A UUIDv7-shaped id from two numbers, so that tests need no randomness. */
export function idOf(time: number, n: number): string {
  const hex = time.toString(16).padStart(12, '0').slice(-12);
  const tail = n.toString(16).padStart(12, '0').slice(-12);
  return `${hex.slice(0, 8)}-${hex.slice(8)}-7000-8000-${tail}`;
}

/** Entry number `seq` (from 1) of a device: a paced height, every third with what was heard, every fourth placed. */
export function entryOf(seq: number, device = 'd-one', at = 1_780_000_000_000): Entry {
  const time = at + seq;
  const salt = [...device].reduce((sum, letter) => sum * 31 + letter.charCodeAt(0), 7) % 65_536;
  const id = idOf(time, salt * 2 ** 24 + seq);
  const measurement = {
    method: 'stick' as const,
    distance: { by: 'paces' as const, count: 4 + (seq % 12) },
    eye: { value: 5.5 },
  };
  return {
    id,
    device: deviceId(device),
    seq,
    time,
    words: `${measurement.distance.count} paces, eye 5.5 — “même” ${seq}`,
    note: { kind: 'height', height: measurement },
    grammar: 'test',
    acts: [{ act: 'height', id, tree: null, measurement }],
    ...(seq % 3 === 0 && {
      heard: { margin: 0.25, posterior: 0.875, times: [{ word: 'eight', from: 0.1, to: 0.42 }] },
    }),
    ...(seq % 4 === 0 && { position: { latitude: 44.05, longitude: -71.29, accuracyMetres: 6 } }),
  };
}

export function entriesOf(count: number, device?: string, from = 1): Entry[] {
  return Array.from({ length: count }, (_, index) => entryOf(from + index, device));
}
