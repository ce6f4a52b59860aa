/** Conversions against their exact definitions (NIST SP 811 Appendix B: foot 0.3048 m, acre 43 560 ft2). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  acresToHectares,
  angleToTangent,
  areaToAcres,
  diameterToInches,
  eyeToFeet,
  feetToMetres,
  hectaresPerAcre,
  kilogramsPerPound,
  lengthToFeet,
  lengthUnitOf,
  lengthUnits,
  metresPerFoot,
  squareFeetPerAcre,
  tangentToDegrees,
} from '../../shared/core/units.ts';

describe('units', () => {
  it.each([
    // From memory: NIST SP 811, Appendix B.8, all exact.
    [1, 'ft', 0.3048],
    [1, 'in', 0.0254],
    [1, 'yd', 0.9144],
    [1, 'chain', 20.1168],
    [100, 'cm', 1],
    [1, 'm', 1],
  ] as const)('%d %s is exactly its metres', (value, unit, metres) => {
    expect(feetToMetres(lengthToFeet({ value, unit }, 'ft'))).toBeCloseTo(metres, 14);
  });

  it('an acre is ten square chains and 0.40468564224 hectares', () => {
    expect(10 * lengthToFeet({ value: 1, unit: 'chain' }, 'ft') ** 2).toBeCloseTo(squareFeetPerAcre, 8);
    expect((squareFeetPerAcre * metresPerFoot ** 2) / 10000).toBeCloseTo(hectaresPerAcre, 14);
    expect(areaToAcres({ value: 1, unit: 'ha' }, 'feet')).toBeCloseTo(2.4710538, 7);
    expect(areaToAcres({ value: 3 }, 'metres')).toBeCloseTo(7.4131614, 6);
    expect(areaToAcres({ value: 12 }, 'feet')).toBe(12);
  });

  it('a pound is exactly 0.45359237 kilograms, ten thousand square metres are a hectare (NIST SP 811, from memory)', () => {
    expect(kilogramsPerPound).toBe(0.45359237);
    expect(areaToAcres({ value: 10_000, unit: 'm2' }, 'feet')).toBeCloseTo(2.4710538, 7);
    expect(acresToHectares(10)).toBeCloseTo(4.0468564224, 12);
    expect([lengthUnitOf('feet'), lengthUnitOf('metres')]).toEqual(['ft', 'm']);
  });

  it('an eye height is feet from 3 to 8, inches from 40 to 90, centimetres from 100 to 230', () => {
    const told = (value: number): number | null => {
      const feet = eyeToFeet({ value });
      return feet.ok ? feet.value : null;
    };
    expect([told(3), told(8)]).toEqual([3, 8]);
    for (const inches of [40, 90]) expect(told(inches)).toBeCloseTo(inches / 12, 12);
    for (const cm of [100, 230]) expect(told(cm)).toBeCloseTo(cm / 30.48, 12);
    for (const none of [39, 91, 99, 231]) expect(told(none)).toBeNull();
  });

  it('a length keeps its unit whatever the book counts in', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e4, noNaN: true }),
        fc.constantFrom(...lengthUnits),
        (value, unit) => {
          expect(lengthToFeet({ value, unit }, 'm')).toBe(lengthToFeet({ value, unit }, 'ft'));
          expect(lengthToFeet({ value }, unit)).toBe(lengthToFeet({ value, unit }, 'ft'));
        },
      ),
    );
  });

  it.each([
    [{ value: 5.5 }, 5.5],
    [{ value: 1.65 }, 5.413],
    [{ value: 66 }, 5.5],
    [{ value: 165 }, 5.413],
    [{ value: 64, unit: 'in' as const }, 5.333],
    [{ value: 1.5, unit: 'm' as const }, 4.921],
  ])('an eye height tells its unit by its size: %o', (eye, feet) => {
    const result = eyeToFeet(eye);
    expect(result.ok && result.value).toBeCloseTo(feet, 3);
  });

  it.each([
    [{ value: 20 }, 'found 20 without a unit'],
    [{ value: 95 }, 'found 95 without a unit'],
    [{ value: 5.5, unit: 'm' as const }, 'found 18.04 feet'],
    [{ value: 0 }, 'found 0 without a unit'],
    [{ value: 0.2 }, 'found 0.66 feet'],
  ])('an eye height that no one has is refused with a sentence: %o', (eye, part) => {
    const result = eyeToFeet(eye);
    expect(result.ok).toBe(false);
    expect(!result.ok && result.error).toContain(part);
  });

  it('a girth is pi diameters', () => {
    // 44 in round: 44 / pi = 14.006 in through.
    expect(diameterToInches({ value: 44, girth: true }, 'feet')).toBeCloseTo(14.0056, 4);
    expect(diameterToInches({ value: 30 }, 'metres')).toBeCloseTo(11.811, 3);
    expect(diameterToInches({ value: 14.2, unit: 'in' }, 'metres')).toBe(14.2);
  });

  it('percent, degrees and the 66-foot scale are three words for one angle', () => {
    expect(angleToTangent(100, 'pct')).toBe(1);
    expect(angleToTangent(66, 'topo')).toBe(1);
    expect(tangentToDegrees(angleToTangent(33, 'deg'))).toBeCloseTo(33, 12);
    expect(angleToTangent(-12, 'deg')).toBeCloseTo(-0.21256, 5);
  });
});
