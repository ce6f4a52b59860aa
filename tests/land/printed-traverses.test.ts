/** Worked traverses in print, each with its source and year (`tests/references/seen/traverses.ts`), beside ours. */
import { describe, expect, test } from 'vitest';
import {
  type Printed,
  type PrintedTraverse,
  printedTraverses,
  yearWords,
} from '../references/seen/traverses.ts';
import { closedAsPrinted } from './printed-traverses.ts';

const title = (traverse: PrintedTraverse): string => `${traverse.source} (${yearWords(traverse)})`;

describe('what a page prints of a traverse is what it comes to here', () => {
  test.each(printedTraverses.map((traverse) => [title(traverse), traverse] as const))('%s', (_, traverse) => {
    const ours = closedAsPrinted(traverse);
    const told = Object.entries(traverse.printed).map(([what, { value, within }]) => {
      const here = ours[what as Printed];
      expect(Math.abs(here - value), `${what}: ${here} here, ${value} printed`).toBeLessThanOrEqual(within);
      return `${what} ${Number(here.toPrecision(8))} (printed ${value})`;
    });
    console.log(`${title(traverse)}\n  ${traverse.name}: ${told.join(', ')}`);
  });

  test('each names a source and its year, or says that none is printed', () => {
    for (const traverse of printedTraverses) {
      expect(traverse.source.length).toBeGreaterThan(10);
      expect(yearWords(traverse)).toMatch(/^\d{4}|^no year printed/);
    }
    expect(printedTraverses.filter(({ year }) => year !== null).length).toBeGreaterThanOrEqual(2);
  });

  test('the compass rule: adjusted lengths and azimuths of example 29-7, which prints them to 0.001 m and a second', () => {
    // Same course as examples 29-4 and 29-6. Printed: 372.457 at 0 45 25.85, 165.146 at 94 00 38.77, 242.274 at 183 00 39.5,
    // 196.913 at 232 50 37.2, from coordinates that are rounded to 0.001 m (a second over 165 m is 0.0008 m).
    const metres = printedTraverses.find(({ source }) => source.includes('examples 29-4'))!;
    const { rows } = closedAsPrinted(metres);
    const printed = [
      [372.457, 0, 45, 25.85],
      [165.146, 94, 0, 38.77],
      [242.274, 183, 0, 39.5],
      [196.913, 232, 50, 37.2],
    ] as const;
    for (const [i, [length, degrees, minutes, seconds]] of printed.entries()) {
      expect(Math.abs(rows[i]!.feet - length)).toBeLessThan(0.0015);
      expect(Math.abs(rows[i]!.azimuth - degrees - minutes / 60 - seconds / 3600) * 3600).toBeLessThan(2);
    }
  });

  test('the compass rule: adjusted lengths and azimuths of the second problem, to 0.001 ft and a tenth of a second', () => {
    const second = printedTraverses.find(({ source }) => source.endsWith('Traverse Adjustment (2)'))!;
    const { rows } = closedAsPrinted(second);
    const printed = [
      [639.15, 226, 54, 36.6],
      [523.715, 359, 59, 50.8],
      [409.544, 235, 2, 42.5],
      [815.901, 79, 34, 50.5],
    ] as const;
    for (const [i, [length, degrees, minutes, seconds]] of printed.entries()) {
      expect(Math.abs(rows[i]!.feet - length)).toBeLessThan(0.001);
      // Its latitudes and departures are rounded to 0.001 ft: over 410 feet that is half a second.
      expect(Math.abs(rows[i]!.azimuth - degrees - minutes / 60 - seconds / 3600) * 3600).toBeLessThan(0.7);
    }
  });
});
