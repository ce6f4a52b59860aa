/**
 * Worked closed traverses that were read in published material, each with its source, the year that it prints, and what it
 * prints. `year` null: the page prints none; `seen` is then the day on which it was looked at. Legs in the page's own unit of
 * length; bearings as azimuths of degrees, or "N 45 30 0 E".
 */
export interface PrintedTraverse {
  readonly name: string;
  readonly source: string;
  readonly year: string | null;
  /** The day on which it was looked at; null: seen earlier, and the day was not noted. */
  readonly seen: string | null;
  readonly unit: 'ft' | 'm' | 'chain';
  readonly legs: readonly (readonly [bearing: string | number, length: number])[];
  /** What is printed, in the unit of the page; `within` is half of its last digit, or what its rounded terms add up to. */
  readonly printed: Partial<Record<Printed, { readonly value: number; readonly within: number }>>;
}

/** What a page may print of a traverse. */
export type Printed = 'latitude' | 'departure' | 'misclosure' | 'oneIn' | 'perimeter' | 'area';

const dms = (degrees: number, minutes = 0, seconds = 0): number => degrees + minutes / 60 + seconds / 3600;
const mahun = 'J. Mahun, Open Access Surveying Library, Traverse Computations';

export const printedTraverses: readonly PrintedTraverse[] = [
  {
    name: 'tract of six sides, two bearings sought so that it closes',
    source:
      'notebook of Roger B. Farquhar, example 2 of unknown bearings (transcribed from the original); answer: S 40 29 E, S 47 W',
    year: '1852 to 1853',
    seen: '2026-11-27',
    unit: 'chain',
    legs: [
      ['S 40 29 0 E', 31.8],
      ['N 54 0 0 E', 2.08],
      ['N 29 15 0 E', 2.21],
      ['N 28 45 0 E', 35.35],
      ['N 57 0 0 W', 20.9],
      ['S 47 0 0 W', 31.3],
    ],
    // The answers are given to a minute and to a degree's half: 31 chains turned by a minute are 0.009 chains.
    printed: {
      latitude: { value: 0, within: 0.02 },
      departure: { value: 0, within: 0.02 },
      misclosure: { value: 0, within: 0.02 },
    },
  },
  {
    name: 'five courses, closing and area by double meridian distances',
    source:
      'Univ. of Memphis, CIVL 1112 Surveying, Traverse Calculations (figures and first and last course read in a public repository that cites it; the three courses between from memory)',
    year: null,
    seen: '2026-11-27',
    unit: 'ft',
    legs: [
      ['S 6 15 0 W', 189.53],
      ['S 29 38 0 E', 175.18],
      ['N 81 18 0 W', 197.78],
      ['N 12 24 0 W', 142.39],
      ['N 42 59 0 E', 234.58],
    ],
    printed: {
      misclosure: { value: 0.182, within: 0.0005 },
      oneIn: { value: 5175, within: 0.5 },
      // Printed to ten square feet, and as 0.834 acre.
      area: { value: 36320, within: 5 },
    },
  },
  {
    name: 'five courses by azimuth, a textbook',
    source:
      'C. D. Ghilani and P. R. Wolf, Elementary Surveying, 13th edition, chapters 10 and 12 (from memory, not seen)',
    year: '2012',
    seen: null,
    unit: 'ft',
    legs: [
      [dms(126, 55, 17), 647.25],
      [dms(178, 18, 58), 203.03],
      [dms(15, 31, 54), 720.35],
      [dms(284, 35, 20), 610.24],
      [dms(206, 9, 41), 285.13],
    ],
    printed: {
      perimeter: { value: 2466, within: 0.005 },
      misclosure: { value: 0.08, within: 0.005 },
      departure: { value: 0.026, within: 0.001 },
      // To a hundred square feet, as the book rounds its area.
      area: { value: 272_600, within: 50 },
    },
  },
  {
    name: 'four sides in metres',
    source:
      'National Programme on Technology Enhanced Learning, course 105107122 Surveying, examples 29-4 and 29-6 (the second azimuth is printed 94 42 for the 94 03 of its own latitude and departure)',
    year: null,
    seen: '2026-11-27',
    unit: 'm',
    legs: [
      [dms(0, 42), 372.222],
      [dms(94, 3), 164.988],
      [dms(183, 4), 242.438],
      [dms(232, 51), 197.145],
    ],
    printed: {
      perimeter: { value: 976.793, within: 0.0005 },
      latitude: { value: -0.606, within: 0.001 },
      departure: { value: -0.983, within: 0.001 },
    },
  },
  {
    name: 'four bearings, first problem',
    source: `${mahun}, solution to Traverse Adjustment (1)`,
    year: null,
    seen: '2026-11-27',
    unit: 'ft',
    legs: [
      ['S 36 0 0 E', 379.25],
      ['S 75 23 18 W', 408.9],
      ['N 14 43 29 W', 298.65],
      ['N 63 59 20 E', 276.55],
    ],
    // Sums of four values that are each rounded to 0.001; the departures are printed to 0.002 of their sines.
    printed: {
      perimeter: { value: 1363.35, within: 0.005 },
      latitude: { value: 0.15, within: 0.002 },
      departure: { value: -0.128, within: 0.002 },
    },
  },
  {
    name: 'four azimuths, second problem',
    source: `${mahun}, solution to Traverse Adjustment (2)`,
    year: null,
    seen: '2026-11-27',
    unit: 'ft',
    legs: [
      [dms(226, 54, 23), 639.15],
      [0, 523.69],
      [dms(235, 2, 29), 409.54],
      [dms(79, 35, 2), 815.93],
    ],
    printed: {
      perimeter: { value: 2388.31, within: 0.005 },
      latitude: { value: -0.115, within: 0.002 },
      departure: { value: 0.107, within: 0.002 },
      misclosure: { value: 0.157, within: 0.001 },
      oneIn: { value: 15_200, within: 60 },
    },
  },
  {
    name: 'four bearings, the worked example',
    source: `${mahun}, chapters G and I`,
    year: null,
    seen: '2026-11-27',
    unit: 'ft',
    legs: [
      ['S 68 5 35 W', 472.68],
      ['N 19 46 0 W', 216.13],
      ['N 45 55 20 E', 276.52],
      ['S 54 59 15 E', 382.24],
    ],
    printed: {
      perimeter: { value: 1347.57, within: 0.005 },
      latitude: { value: 0.083, within: 0.002 },
      departure: { value: 0.075, within: 0.002 },
    },
  },
  {
    name: 'six courses that close badly',
    source: '"Sample Traverse Computations", document 279716815 of a document library, no author printed',
    year: null,
    seen: '2026-11-27',
    unit: 'ft',
    legs: [
      ['N 5 30 0 E', 495.85],
      ['N 46 2 0 E', 850.62],
      ['S 67 38 0 E', 855.45],
      ['S 12 25 0 E', 1020.87],
      ['S 83 44 0 W', 1117.26],
      ['N 55 9 0 W', 660.08],
    ],
    printed: {
      perimeter: { value: 5000.13, within: 0.005 },
      latitude: { value: 16.8171, within: 0.00006 },
      departure: { value: 18.0737, within: 0.00006 },
      misclosure: { value: 24.6876, within: 0.00006 },
      area: { value: 1_715_250.0494, within: 0.5 },
    },
  },
  {
    name: 'four courses in metres, the compass rule',
    source:
      '"Compass rule: adjustment of bearing and distance of a closed traverse", document 493615208 of a document library, no author printed',
    year: null,
    seen: null,
    unit: 'm',
    legs: [
      ['N 76 0 0 E', 80.4],
      ['S 36 0 0 E', 46.3],
      ['S 61 0 0 W', 72.8],
      ['N 38 0 0 W', 68.0],
    ],
    printed: { latitude: { value: 0.285, within: 0.002 }, departure: { value: -0.311, within: 0.002 } },
  },
];

/** "1852 to 1853", or that the page prints no year and when it was looked at. */
export function yearWords({ year, seen }: PrintedTraverse): string {
  if (year !== null) return year;
  return `no year printed, ${seen === null ? 'seen, the day was not noted' : `looked at on ${seen}`}`;
}
