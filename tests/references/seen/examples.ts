/**
 * Worked examples with printed answers, each read in the source named: what was given, what is printed, and how it is
 * reckoned here. `within` is what the printed digits leave open.
 */
import { measure } from '../../../shared/measuring/height/index.ts';
import type { HeightSettings } from '../../../shared/measuring/height/types.ts';
import { doyleLog, scribnerFormulaLog } from '../../../shared/note/log-rules.ts';
import type { Measurement } from '../../../shared/note/note.ts';
import { basalAreaFt2 } from '../../../shared/totals/cubic.ts';
import { limitingDistance, plotRadiusFactor } from '../../../shared/totals/plots.ts';
import { regressionBoardFeet } from '../../../shared/totals/tree-volume.ts';

export interface Example {
  readonly topic: string;
  readonly given: string;
  readonly printed: number;
  readonly unit: string;
  readonly here: () => number;
  readonly within: number;
  readonly source: string;
}

const settings: HeightSettings = {
  pace: null,
  eye: { feet: 5.5, sdFeet: 0.1 },
  counting: 'paces',
  units: 'feet',
  groundShorter: 0,
  scatter: {},
};
const height = (measurement: Measurement): number => {
  const found = measure(measurement, settings);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value.feet;
};
const ft = (value: number) => ({ value, unit: 'ft' }) as const;
const away = (value: number) => ({ by: 'length', length: ft(value) }) as const;
const percent = (value: number) => ({ by: 'angle', angle: { value, unit: 'pct' } }) as const;

const larsen = 'Larsen, D.R. 2015, University of Missouri, teaching pages';
const leaflet = 'an instrument maker’s clinometer leaflet, pp. 12-15';
const woodcraft = 'a woodcraft manual of 1910';
const nativeTrees = 'Eastern Native Tree Society';

const tree = (rule: 'doyle' | 'scribner' | 'international', formClass: number, printed: number): Example => ({
  topic: `standing tree, ${rule}`,
  given: `24 in, 2.5 logs, form class ${formClass}`,
  printed,
  unit: 'bf',
  here: () => regressionBoardFeet(rule, 24, 2.5, formClass),
  within: 0.0006,
  source: larsen,
});

export const examples: readonly Example[] = [
  tree('international', 78, 519.665),
  tree('scribner', 78, 484.581),
  tree('doyle', 78, 428.942),
  tree('international', 82, 582.025),
  tree('scribner', 82, 542.73),
  tree('doyle', 82, 480.415),
  ...(
    [
      ['Doyle', 10, 36, doyleLog],
      ['Doyle', 28, 576, doyleLog],
      ['Scribner formula', 10, 55, scribnerFormulaLog],
      ['Scribner formula', 28, 559.4, scribnerFormulaLog],
    ] as const
  ).map(
    ([name, inches, printed, rule]): Example => ({
      topic: `log, ${name}`,
      given: `${inches} in, 16 ft`,
      printed,
      unit: 'bf',
      here: () => rule(inches, 16),
      within: 0.05,
      source: larsen,
    }),
  ),
  {
    topic: 'basal area',
    given: '10 in',
    printed: 0.545,
    unit: 'ft2',
    here: () => basalAreaFt2(10),
    within: 0.0006,
    source: "Service Forester's Handbook",
  },
  {
    topic: 'basal area',
    given: '16 in',
    printed: 1.395,
    unit: 'ft2',
    here: () => basalAreaFt2(16),
    within: 0.0015,
    source: "Service Forester's Handbook (factor .00545)",
  },
  {
    topic: 'basal area of a plot',
    given: '8 6 8 5 4 6 7 in, a tenth of an acre',
    printed: 15.8,
    unit: 'ft2/acre',
    here: () => 10 * [8, 6, 8, 5, 4, 6, 7].reduce((total, d) => total + basalAreaFt2(d), 0),
    within: 0.05,
    source: larsen,
  },
  {
    topic: 'quadratic mean diameter',
    given: '80 ft2 and 200 trees an acre',
    printed: 8.56,
    unit: 'in',
    here: () => Math.sqrt(80 / 200 / basalAreaFt2(1)),
    within: 0.005,
    source: larsen,
  },
  ...(
    [
      [5, 3.89],
      [10, 2.75],
      [20, 1.94],
    ] as const
  ).map(
    ([factor, printed]): Example => ({
      topic: 'plot radius factor',
      given: `factor ${factor}`,
      printed,
      unit: 'ft/in',
      here: () => plotRadiusFactor(factor),
      within: 0.006,
      source: 'an encyclopaedia extract on borderline trees',
    }),
  ),
  {
    topic: 'plot radius factor',
    given: 'factor 40',
    printed: 1.375,
    unit: 'ft/in',
    here: () => plotRadiusFactor(40),
    within: 0.0005,
    source: 'Iles, K., newsletter of a forestry consultancy, no. 12',
  },
  {
    topic: 'limiting distance',
    given: '12.5 in, 2.5 ft for an inch',
    printed: 31.25,
    unit: 'ft',
    here: () => limitingDistance((8.696 / 2.5) ** 2, 12.5),
    within: 0.005,
    source: 'a public lecture',
  },
  {
    topic: 'clinometer, percent',
    given: '50 ft; +124 and -16',
    printed: 70,
    unit: 'ft',
    here: () => height({ method: 'angles', distance: away(50), scale: 'pct', top: 124, base: percent(-16) }),
    within: 0.05,
    source: 'DeYoung, Forest Measurements, Open Oregon, 2.3',
  },
  {
    topic: 'clinometer, 66-foot scale',
    given: '66 ft; +41 and -9',
    printed: 50,
    unit: 'ft',
    here: () =>
      height({
        method: 'angles',
        distance: away(66),
        scale: 'topo',
        top: 41,
        base: { by: 'angle', angle: { value: -9, unit: 'topo' } },
      }),
    within: 0.05,
    source: 'DeYoung, Forest Measurements, 2.4',
  },
  {
    topic: 'clinometer, percent',
    given: '82 ft level; 48 %; eye 5 1/2 ft',
    printed: 44.5,
    unit: 'ft',
    here: () => height({ method: 'angles', distance: away(82), scale: 'pct', top: 48, eye: ft(5.5) }),
    within: 0.5,
    source: leaflet,
  },
  {
    topic: 'clinometer, percent',
    given: '82 ft; +41 and -13',
    printed: 44.5,
    unit: 'ft',
    here: () => height({ method: 'angles', distance: away(82), scale: 'pct', top: 41, base: percent(-13) }),
    within: 0.5,
    source: leaflet,
  },
  {
    topic: 'clinometer on a slope',
    given: '82 ft along 9 degrees; 29 % and -23 %',
    printed: 42,
    unit: 'ft',
    here: () =>
      height({
        method: 'angles',
        distance: { by: 'length', length: ft(82), slope: { value: 9, unit: 'deg' } },
        scale: 'pct',
        top: 29,
        base: percent(-23),
      }),
    within: 0.5,
    source: leaflet,
  },
  {
    topic: 'shadow',
    given: '10-ft pole 15 ft, tree 150 ft',
    printed: 100,
    unit: 'ft',
    here: () => height({ method: 'shadow', shadow: ft(150), pole: ft(10), poleShadow: ft(15) }),
    within: 0.001,
    source: woodcraft,
  },
  {
    topic: 'shadow',
    given: '3-ft stick 2 ft, tree 60 ft',
    printed: 90,
    unit: 'ft',
    here: () => height({ method: 'shadow', shadow: ft(60), pole: ft(3), poleShadow: ft(2) }),
    within: 0.001,
    source: 'a public page on measuring trees',
  },
  {
    topic: 'laid stick',
    given: '21 steps of 2 ft',
    printed: 42,
    unit: 'ft',
    here: () => height({ method: 'laid', distance: away(21 * 2) }),
    within: 0.001,
    source: 'a newspaper, 2021',
  },
  {
    topic: 'range, level part',
    given: '120 ft along the line of sight at 30 degrees',
    printed: 103.9,
    unit: 'ft',
    here: () => 120 * Math.cos(Math.PI / 6),
    within: 0.05,
    source: `${nativeTrees}, problem 2`,
  },
];
