/**
 * Compass and pace work over many seeds: slips of a leg that are named first, errors said beside errors simulated, and
 * whether every point of a stand is equally likely to be a plot. `STEMSAY_SEEDS=n` for another number of seeds than ten.
 */
import { seeded } from '../../shared/core/random.ts';
import { chiSquareTail } from '../../shared/core/statistics.ts';
import type { PlanePoint } from '../../shared/land/error-ellipse.ts';
import { layOutPlots } from '../../shared/land/layout.ts';
import { isInside, type Outline, outlineOf } from '../../shared/land/polygon.ts';
import { simulatedErrors, walks } from '../land/simulated-walks.ts';
import { type Measuring, measured } from '../land/slipped-walks.ts';

export const name = 'land';
type Print = (name: string, value: number | string, unit: string) => void;

const seeds = Number(process.env.STEMSAY_SEEDS ?? 10);
const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

export async function run(print: Print): Promise<void> {
  for (const by of ['paced', 'taped'] as const) slips(by, print);
  errors(print);
  inclusion(print);
}

/** Each seed is a thousand traverses with one slip that spoils the closing. */
function slips(by: Measuring, print: Print): void {
  const first: number[] = [];
  const leg: number[] = [];
  const three: number[] = [];
  for (let seed = 1; seed <= seeds; seed++) {
    const { all } = measured(by, 7 + 1000 * seed);
    first.push((100 * all.first) / all.told);
    leg.push((100 * all.leg) / all.told);
    three.push((100 * all.three) / all.told);
  }
  const middle = mean(first);
  // Counts of independent traverses: 95 percent of the mean of all.
  const half = 1.96 * Math.sqrt((middle * (100 - middle)) / (1000 * seeds));
  print(
    `slips.${by}.first`,
    middle.toFixed(1),
    `% (95 % ${(middle - half).toFixed(1)} to ${(middle + half).toFixed(1)})`,
  );
  print(`slips.${by}.first.lowest`, Math.min(...first).toFixed(1), '%');
  print(`slips.${by}.first.highest`, Math.max(...first).toFixed(1), '%');
  print(`slips.${by}.leg`, mean(leg).toFixed(1), '%');
  print(`slips.${by}.amongThree`, mean(three).toFixed(1), '%');
}

/** The worst of all seeds: the error said over that of 20 000 walks. */
function errors(print: Print): void {
  for (const title of Object.keys(walks)) {
    let [area, closing] = [0, 0];
    for (let seed = 1; seed <= seeds; seed++) {
      const found = simulatedErrors(walks[title]!, 19 + seed);
      area = Math.max(area, Math.abs(found.saidAreaSd / found.areaSd - 1));
      closing = Math.max(closing, Math.abs(found.saidClosingFt / found.closingFt - 1));
    }
    const key = title.replace(/[^a-z]+(.)/g, (_, letter: string) => letter.toUpperCase());
    print(`errors.${key}.area.worst`, (100 * area).toFixed(2), '% off');
    print(`errors.${key}.closing.worst`, (100 * closing).toFixed(2), '% off');
  }
}

const at = (eastFt: number, northFt: number): PlanePoint => ({ eastFt, northFt });
/** A made-up stand with a bay and a hole, and a strip that most grids miss. */
const stands: Readonly<Record<string, Outline>> = {
  bay: {
    parts: [
      {
        ...outlineOf([at(0, 0), at(900, 100), at(700, 800), at(350, 300), at(100, 700)]).parts[0]!,
        holes: [[at(600, 300), at(600, 450), at(720, 450)]],
      },
    ],
  },
  strip: outlineOf([at(0, 0), at(4, 0), at(16, 3000), at(0, 3000)]),
};
const layouts = [
  { stand: 'bay', pattern: 'square', count: 'exact', bearing: 30, plots: 12 },
  { stand: 'bay', pattern: 'lines', count: 'exact', bearing: 30, plots: 12 },
  { stand: 'bay', pattern: 'square', count: 'expected', bearing: 30, plots: 12 },
  { stand: 'strip', pattern: 'square', count: 'exact', bearing: 0, plots: 5 },
] as const;

/** One plot of each layout is drawn, so that counts of cells are independent; 2 500 layouts a seed, all seeds together. */
function inclusion(print: Print): void {
  for (const { stand, plots, ...of } of layouts) {
    const outline = stands[stand]!;
    const [across, up] = stand === 'bay' ? [900 / 6, 800 / 6] : [16, 120];
    const cell = ({ eastFt, northFt }: PlanePoint): string =>
      `${Math.floor(eastFt / across)} ${Math.floor(northFt / up)}`;
    const areas = rasterOf(outline, stand === 'bay' ? [2, 2] : [0.1, 10], cell);
    const all = [...areas.values()].reduce((sum, n) => sum + n, 0);
    const found = new Map<string, number>();
    const random = seeded(11);
    let [drawn, offGrid] = [0, 0];
    for (let seed = 1; seed <= 2500 * seeds; seed++) {
      const made = layOutPlots({
        ...of,
        areas: [{ name: null, outline, plots }],
        seed: seed * 104729 + 5,
        edgeFt: 0,
        edgeRule: 'mirage',
        start: null,
      });
      if (!made.ok) throw new Error(made.error);
      offGrid += made.value.grids[0]!.offGrid;
      const most = of.count === 'exact' ? plots : 2 * plots;
      const one = made.value.plots[Math.floor(random() * most)];
      if (one === undefined) continue;
      found.set(cell(one.at), (found.get(cell(one.at)) ?? 0) + 1);
      drawn++;
    }
    let [square, cells] = [0, 0];
    for (const [key, area] of areas) {
      const expected = (drawn * area) / all;
      if (expected < 5) continue;
      square += ((found.get(key) ?? 0) - expected) ** 2 / expected;
      cells++;
    }
    const key = `inclusion.${stand}.${of.count}.${of.pattern}`;
    print(
      key,
      chiSquareTail(square, cells - 1).toFixed(3),
      `p (chi-square ${square.toFixed(1)} on ${cells - 1}, ${drawn} layouts)`,
    );
    print(`${key}.offGrid`, ((100 * offGrid) / (2500 * seeds * plots)).toFixed(2), '% of plots');
  }
}

/** How many points of a fine raster lie in each cell of a stand. */
function rasterOf(
  outline: Outline,
  [eastStep, northStep]: readonly [number, number],
  cell: (at: PlanePoint) => string,
): Map<string, number> {
  const areas = new Map<string, number>();
  for (let east = eastStep / 2; east < 900; east += eastStep) {
    if (outline === stands.strip && east > 16) break;
    for (let north = northStep / 2; north < 3000; north += northStep) {
      const point = at(east, north);
      if (isInside(outline, point)) areas.set(cell(point), (areas.get(cell(point)) ?? 0) + 1);
    }
  }
  return areas;
}
