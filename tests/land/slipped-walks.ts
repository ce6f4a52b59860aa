/** Traverses that are walked, and said, by chance: with a slip of each kind, for test and bench. */

import { seeded } from '../../shared/core/random.ts';
import { azimuthOf, quadrantWords, type SaidBearing } from '../../shared/land/bearing.ts';
import type { Leg, SaidLeg } from '../../shared/land/leg.ts';
import { weighLegs } from '../../shared/land/leg-slips.ts';
import { misclosureOf } from '../../shared/land/traverse.ts';
import { azimuth, normal, paced, read, settings, taped, walker } from './support.ts';

export type Measuring = 'paced' | 'taped';

/** A walk round a made-up stand of four to eight corners as it would be written down without a slip. */
function walkRound(random: () => number, by: Measuring): SaidLeg[] {
  const n = 4 + Math.floor(random() * 5);
  const across = 400 + 700 * random();
  const corners = Array.from({ length: n }, (_, i) => {
    const turn = (2 * Math.PI * (i + 0.6 * (random() - 0.5))) / n;
    const feet = across * (0.6 + 0.6 * random());
    return { eastFt: feet * Math.sin(turn), northFt: feet * Math.cos(turn) };
  });
  const quadrants = random() < 0.5;
  const pace = normal(random);
  return corners.map((from, i): SaidLeg => {
    const to = corners[(i + 1) % n]!;
    const [east, north] = [to.eastFt - from.eastFt, to.northFt - from.northFt];
    const said = read(taped(azimuth(0), Math.hypot(east, north)));
    const degrees = azimuthOf(
      Math.round((Math.atan2(east, north) * 180) / Math.PI + said.azimuthSd * normal(random)),
    );
    const bearing = quadrants ? inQuadrant(degrees) : azimuth(degrees);
    if (by === 'taped') return taped(bearing, Math.round(said.feet + said.feetSd * normal(random)));
    const count = said.feet / walker.pace!.feet;
    const one = read(paced(azimuth(0), count));
    const walked = one.feet + one.paceFt * pace + 0.045 * one.feet * normal(random);
    return paced(bearing, Math.max(5, Math.round(walked / walker.pace!.feet)));
  });
}

function inQuadrant(degrees: number): SaidBearing {
  const words = quadrantWords(degrees).split(' ');
  if (words[0] === 'due') return { by: 'due', towards: words[1] as 'north' };
  return {
    by: 'quadrant',
    from: words[0] as 'north',
    degrees: Number(words[1]),
    towards: words[2] as 'east',
  };
}

/** What goes wrong, written without the table: what is said in place of a leg, or null where it cannot go wrong so. */
const wrongs: Readonly<Record<string, (leg: SaidLeg, random: () => number) => SaidLeg | null>> = {
  'ten paces dropped': (leg) =>
    withNumber(leg, (n) => (leg.distance.by === 'paces' && n > 12 ? n - 10 : null)),
  'ten paces doubled': (leg) => withNumber(leg, (n) => (leg.distance.by === 'paces' ? n + 10 : null)),
  'digits exchanged': (leg) =>
    withNumber(leg, (n) => {
      const [a, b, ...rest] = String(n);
      return b === undefined || a === b || b === '0' ? null : Number([b, a, ...rest].join(''));
    }),
  'teen for ty': (leg) =>
    withNumber(leg, (n) => {
      const rest = n % 100;
      if (rest >= 13 && rest <= 19) return n - rest + 10 * (rest - 10);
      return rest >= 30 && rest % 10 === 0 ? n - rest + 10 + rest / 10 : null;
    }),
  'bearing reversed': ({ bearing, ...leg }) => {
    if (bearing.by === 'azimuth') return { ...leg, bearing: azimuth((bearing.degrees + 180) % 360) };
    if (bearing.by === 'due') return null;
    const from = bearing.from === 'north' ? 'south' : 'north';
    const towards = bearing.towards === 'east' ? 'west' : 'east';
    return { ...leg, bearing: { ...bearing, from, towards } };
  },
  'north for south': ({ bearing, ...leg }) =>
    bearing.by !== 'quadrant'
      ? null
      : { ...leg, bearing: { ...bearing, from: bearing.from === 'north' ? 'south' : 'north' } },
  'east for west': ({ bearing, ...leg }) =>
    bearing.by !== 'quadrant'
      ? null
      : { ...leg, bearing: { ...bearing, towards: bearing.towards === 'east' ? 'west' : 'east' } },
  'bearing off by ten': (leg, random) => withDegrees(leg, (n) => n + (random() < 0.5 ? 10 : -10)),
  'bearing off by a hundred': (leg, random) => withDegrees(leg, (n) => n + (random() < 0.5 ? 100 : -100)),
};

function withNumber(leg: SaidLeg, to: (n: number) => number | null): SaidLeg | null {
  const { distance } = leg;
  const next = to(distance.by === 'length' ? distance.length.value : distance.count);
  if (next === null) return null;
  return distance.by === 'length'
    ? { ...leg, distance: { ...distance, length: { ...distance.length, value: next } } }
    : { ...leg, distance: { ...distance, count: next } };
}

function withDegrees(leg: SaidLeg, to: (n: number) => number): SaidLeg | null {
  const { bearing } = leg;
  if (bearing.by === 'due') return null;
  const degrees = to(bearing.degrees);
  const most = bearing.by === 'azimuth' ? 360 : 90;
  return degrees < 0 || degrees > most ? null : { ...leg, bearing: { ...bearing, degrees } };
}

export interface Tally {
  told: number;
  leg: number;
  first: number;
  three: number;
}

/** A thousand traverses with one slip each whose closing it spoils; how often the leg, and the leg as it was, come first. */
export function measured(by: Measuring, seed: number): { all: Tally; of: Map<string, Tally> } {
  const random = seeded(seed);
  const all: Tally = { told: 0, leg: 0, first: 0, three: 0 };
  const of = new Map<string, Tally>();
  const names = Object.keys(wrongs);
  while (all.told < 1000) {
    const said = walkRound(random, by);
    if (!misclosureOf(said.map((leg) => read(leg))).explained) continue;
    const name = names[Math.floor(random() * names.length)]!;
    const at = Math.floor(random() * said.length);
    const wrong = wrongs[name]!(said[at]!, random);
    if (wrong === null) continue;
    const legs: Leg[] = said.with(at, wrong).map((leg) => read(leg));
    if (misclosureOf(legs).explained) continue;
    const { causes } = weighLegs(legs, settings);
    const right = read(said[at]!);
    const hits = causes.map((cause) => {
      const meant = read(cause.meant);
      return cause.leg === at + 1 && meant.azimuth === right.azimuth && meant.feet === right.feet;
    });
    const own = of.get(name) ?? { told: 0, leg: 0, first: 0, three: 0 };
    of.set(name, own);
    for (const tally of [all, own]) {
      tally.told++;
      if (causes[0]?.leg === at + 1) tally.leg++;
      if (hits[0]) tally.first++;
      if (hits.slice(0, 3).includes(true)) tally.three++;
    }
  }
  return { all, of };
}

const percent = (part: number, of: number): string => `${((100 * part) / of).toFixed(1)} %`;
export const told = (name: string, { told: n, leg, first, three }: Tally): string =>
  `${name}: ${n} traverses; leg right ${percent(leg, n)}, slip first ${percent(first, n)}, among three ${percent(three, n)}`;
