import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { slotErrors } from '../bench/hearing/slots.ts';
import { mcnemar, quantile, shareOf } from '../bench/hearing/statistics.ts';
import { babble, noisy, seeded } from '../bench/voices/noise.ts';

describe('how hearing is measured', () => {
  it("McNemar's exact test is the two-sided binomial test of the clips that only one model got right", () => {
    // By hand: 2 * (1/2)^5; and 2 * (1 + 10 + 45) / 1024.
    expect(mcnemar(0, 5)).toBeCloseTo(0.0625, 12);
    expect(mcnemar(8, 2)).toBeCloseTo(112 / 1024, 12);
    expect(mcnemar(7, 7)).toBe(1);
    expect(mcnemar(0, 0)).toBe(1);
    fc.assert(
      fc.property(fc.nat(12), fc.nat(12), (a, b) => {
        let as = 0;
        for (let coins = 0; coins < 2 ** (a + b); coins++) {
          let heads = 0;
          for (let bits = coins; bits > 0; bits >>= 1) heads += bits & 1;
          if (Math.min(heads, a + b - heads) <= Math.min(a, b)) as++;
        }
        expect(mcnemar(a, b)).toBeCloseTo(Math.min(1, as / 2 ** (a + b)), 9);
      }),
      { numRuns: 8 },
    );
  });

  it('the interval of a share widens when clips share their sentence', () => {
    const hits = Array.from({ length: 200 }, (_, i) => i % 10 !== 0);
    const alone = shareOf(
      hits,
      hits.map((_, i) => String(i)),
    );
    const bySentence = shareOf(
      hits,
      hits.map((_, i) => String(i % 20)),
    );
    expect(alone.percent).toBeCloseTo(90, 9);
    // Normal approximation: 1.96 * sqrt(0.9 * 0.1 / 200) = 4.2 points either way.
    expect(alone.high - alone.low).toBeGreaterThan(6);
    expect(alone.high - alone.low).toBeLessThan(11);
    expect(bySentence.high - bySentence.low).toBeGreaterThan(alone.high - alone.low);
  });

  it('a wrong number is one slot wrong, another note is all', () => {
    const paces = (count: number) =>
      ({ kind: 'height', height: { method: 'stick', distance: { by: 'paces', count } } }) as const;
    expect(slotErrors(paces(8), paces(8))).toEqual({ wrong: 0, all: 4 });
    expect(slotErrors(paces(8), paces(80))).toEqual({ wrong: 1, all: 4 });
    expect(slotErrors(paces(8), undefined)).toEqual({ wrong: 4, all: 4 });
    expect(slotErrors({ kind: 'next' }, { kind: 'again' })).toEqual({ wrong: 1, all: 1 });
  });

  it('noise is laid over at the ratio that is asked for', () => {
    const tone = Float32Array.from({ length: 16000 }, (_, t) => 0.3 * Math.sin(t / 5));
    const power = (list: Float32Array) => list.reduce((sum, x) => sum + x * x, 0) / list.length;
    for (const make of [undefined, (n: number, r: () => number) => babble(n, r, [tone])]) {
      const mixed = noisy(tone, 10, seeded(1), make);
      const noise = mixed.map((sample, t) => sample - tone[t]!);
      expect(10 * Math.log10(power(tone) / power(noise))).toBeCloseTo(10, 1);
    }
  });

  it('a quantile is a value of the list', () => {
    expect(quantile([3, 1, 2], 0.5)).toBe(2);
    expect(quantile([3, 1, 2], 0.99)).toBe(3);
  });
});
