/** What the fuzzer found (`npm run fuzz`), each as the case that it was, and a little of it run anew every time. */
import { describe, expect, test } from 'vitest';
import { readPcm16, readWav, writeWav } from '../../server/speech/audio.ts';
import { seeded } from '../../shared/core/random.ts';
import { jsonOf } from '../fuzz/mutate.ts';
import { targets } from '../fuzz/targets.ts';

test('a sound at full scale stays from -1 to 1 at every rate', () => {
  const square = Float32Array.from({ length: 4800 }, (_, i) => (i % 32 < 16 ? 1 : -1));
  for (const rate of [8000, 11_025, 22_050, 44_100, 48_000]) {
    for (const read of [
      readWav(writeWav(square, rate)),
      readPcm16(writeWav(square, rate).subarray(44), rate),
    ]) {
      const samples = read.ok ? read.value.samples : [];
      expect(samples.length).toBeGreaterThan(0);
      expect(samples.every((one) => Math.abs(one) <= 1)).toBe(true);
    }
  }
});

describe('a thousand inputs break no promise of', () => {
  test.each(['sound', 'wire', 'socket', 'json', 'csv', 'rows'] as const)('%s', async (name) => {
    const { fuzz, seeds } = targets[name]();
    const random = seeded(2026);
    const pick = (n: number) => Math.floor(random() * n);
    for (let n = 0; n < 1000; n++) {
      const bytes = [...seeds[pick(seeds.length)]!];
      for (let changes = pick(24); changes >= 0; changes--)
        bytes.splice(pick(bytes.length + 1), pick(2), pick(256));
      await fuzz(Uint8Array.from(bytes));
    }
  });
  test('the reader of documents, of which most stay documents', () => {
    const random = seeded(1);
    let documents = 0;
    for (let n = 0; n < 1000; n++) {
      const bytes = Uint8Array.from({ length: 40 }, () => Math.floor(random() * 256));
      try {
        JSON.parse(jsonOf(bytes, [{ a: [1, 2, { b: 'c' }] }]));
        documents++;
      } catch {}
    }
    expect(documents).toBeGreaterThan(500);
  });
});
