/** The pace from walks and from what was said of it, reckoned by hand from its definition. */
import { describe, expect, it } from 'vitest';
import { leastPaceFeet, paceModel } from '../../shared/measuring/height/pace.ts';
import { saidSd } from '../../shared/measuring/height/sight.ts';

const paces = (count: number, feet: number, time?: number) => ({
  count,
  of: 'paces' as const,
  feet,
  ...(time === undefined ? {} : { time }),
});
/** Part of its length that one walk may err: rounding of the count, 1 percent from walk to walk, 0.2 of the line. */
const partOf = (count: number, countSd = saidSd(count)): number => Math.hypot(countSd / count, 0.01, 0.002);
const sdOfOne = (count: number, feet: number): number => {
  // One walk tells nothing of the scatter: (4 + 0) / (4 + 1 - 1) = 1.
  return (feet / count) * partOf(count);
};

describe('a pace from one walk', () => {
  it('is feet over paces, with the rounding of the count, the scatter of walks and the line', () => {
    const pace = paceModel([paces(19, 100)])!;
    expect(pace.feet).toBeCloseTo(100 / 19, 12);
    expect(pace.sdFeet).toBeCloseTo(sdOfOne(19, 100), 12);
    expect(pace).toMatchObject({ walks: 1, drift: null, looksLikeSteps: false });
  });

  it('of single steps is that of half as many paces, their rounding halved with them', () => {
    const pace = paceModel([{ count: 38, of: 'steps', feet: 100 }])!;
    expect(pace.feet).toBeCloseTo(100 / 19, 12);
    expect(pace.sdFeet).toBeCloseTo((100 / 19) * partOf(19, saidSd(38) / 2), 12);
    // Whoever counts single steps means them by "paces", too.
    expect(paceModel([paces(38, 100)], null, 'steps')!.feet).toBeCloseTo(100 / 19, 12);
  });

  it('and a stated one is their mean, weighed by one over the variance', () => {
    const [a, b] = [1 / sdOfOne(20, 100) ** 2, 1 / (5.4 * 0.03) ** 2];
    const pace = paceModel([paces(20, 100)], 5.4)!;
    expect(pace.feet).toBeCloseTo((5 * a + 5.4 * b) / (a + b), 12);
    expect(pace.sdFeet).toBeCloseTo(1 / Math.sqrt(a + b), 12);
    expect(pace.walks).toBe(1);
  });
});

describe('a pace from several walks', () => {
  it('is all feet over all paces, its scatter pooled with an expected one worth four walks', () => {
    const pace = paceModel([paces(20, 100), paces(20, 104)])!;
    expect(pace.feet).toBeCloseTo(5.1, 12);
    const part = partOf(20);
    const expected = 5.1 * Math.hypot(part / 2, part / 2);
    const squares = 2 * (0.1 / (5.1 * part)) ** 2;
    expect(pace.sdFeet).toBeCloseTo(expected * Math.sqrt((4 + squares) / 5), 12);
    expect(pace.walks).toBe(2);
  });

  it('does not ask what was said of it', () => {
    const walks = [paces(20, 100), paces(20, 104)];
    expect(paceModel(walks, 9)).toEqual(paceModel(walks));
  });

  it('leaves out walks of nothing', () => {
    const one = paceModel([paces(20, 100)]);
    expect(paceModel([paces(20, 100), paces(0, 100), paces(20, 0), paces(-5, 100), paces(20, -100)])).toEqual(
      one,
    );
    expect(paceModel([paces(0.4, 2)])!.feet).toBeCloseTo(5, 12);
    expect(paceModel([paces(0.5, 0.9)])!.feet).toBeCloseTo(1.8, 12);
    expect(paceModel([paces(0, 100)])).toBeNull();
  });
});

describe('a pace that drifts', () => {
  it('is told when the last walk lies further from the earlier ones than one time in a hundred: 2.576 sd', () => {
    const at = (feet: number) => {
      const earlier = paceModel([paces(20, 100), paces(20, 100)])!;
      const later = paceModel([paces(20, feet)])!;
      const sds = Math.abs(later.feet - earlier.feet) / Math.hypot(later.sdFeet, earlier.sdFeet);
      return { sds, drift: paceModel([paces(20, 100), paces(20, 100), paces(20, feet)])!.drift };
    };
    let [told, not] = [0, 0];
    for (let feet = 80; feet < 125; feet += 0.25) {
      const { sds, drift } = at(feet);
      expect(drift !== null, `${feet}`).toBe(sds > 2.5758);
      if (drift) {
        told++;
        expect(drift.sds).toBeCloseTo(sds, 12);
        expect(drift.earlierFeet).toBeCloseTo(5, 12);
        expect(drift.laterFeet).toBeCloseTo(feet / 20, 12);
      } else not++;
    }
    expect(Math.min(told, not)).toBeGreaterThan(10);
  });

  it('goes by when the walks were walked, not by how they lie', () => {
    const walks = [paces(20, 130, 3), paces(20, 100, 1), paces(20, 100, 2)];
    expect(paceModel(walks)!.drift!.laterFeet).toBeCloseTo(6.5, 12);
  });
});

describe('a pace that was only said', () => {
  it('is taken as said, and nothing is none', () => {
    expect(paceModel([], 5.2)).toMatchObject({ feet: 5.2, walks: 0 });
    expect(paceModel([], 0.5)).toMatchObject({ feet: 0.5 });
    for (const none of [0, -1, Number.NaN, Number.POSITIVE_INFINITY, null])
      expect(paceModel([], none)).toBeNull();
  });

  it('looks like single steps below 3.4 feet: charts of paces end at 4.1, one of steps has 2.75 (Hill, FOR-47)', () => {
    expect(leastPaceFeet).toBe(3.4);
    expect([2.75, 3.39, 3.4, 3.41, 4.1].map((feet) => paceModel([], feet)!.looksLikeSteps)).toEqual([
      true,
      true,
      false,
      false,
      false,
    ]);
  });
});
