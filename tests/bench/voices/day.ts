/**
 * What a crew says in a day's work, written by hand and apart from the grammar: ways of saying things with numbers as
 * they come up in a wood. Evaluation sentences are drawn from here, so that nothing of the grammar's own weights
 * decides what it is measured on. Common practice, no source.
 */
import { seeded } from '../../../shared/core/random.ts';

type Random = () => number;
const pick = <T>(random: Random, list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
const between = (random: Random, low: number, high: number) => low + Math.floor(random() * (high - low + 1));

const ones =
  ' one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const tens = '  twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');
/** 1 to 199 as people say them. */
const say = (n: number): string => {
  if (n >= 100) return n === 100 ? 'one hundred' : n < 110 ? `one oh ${say(n - 100)}` : `one ${say(n - 100)}`;
  return n < 20
    ? ones[n]!
    : [tens[Math.floor(n / 10)]!, n % 10 === 0 ? '' : ones[n % 10]!].filter(Boolean).join(' ');
};

const species = (
  'red oak,white oak,red maple,sugar maple,beech,white pine,hemlock,yellow birch,white ash,black cherry,red pine,paper birch,' +
  'balsam fir,red spruce,basswood,hickory,black walnut,tulip poplar,quaking aspen,elm,douglas fir,ponderosa pine,western hemlock'
).split(',');

/** Middle-heavy draws: a sum of three dice. */
const around = (random: Random, low: number, high: number) =>
  Math.round(low + ((random() + random() + random()) / 3) * (high - low));

const parts: Readonly<Record<string, (random: Random) => string>> = {
  paces: (r) => {
    const n = around(r, 4, 24);
    const half = r() < 0.3 ? ' and a half' : '';
    return `${say(n)}${half} paces`;
  },
  eye: (r) =>
    pick(r, [
      'eye five and a half',
      'eye five six',
      'eye five foot six',
      'eye five foot four',
      'eye five point two',
      'eye height five and a half',
      'eye six feet',
      'eye five feet',
      'eye five eight',
    ]),
  feet: (r) => `${say(around(r, 25, 120))} feet`,
  metres: (r) =>
    r() < 0.5
      ? `${say(around(r, 8, 35))} metres`
      : `${say(around(r, 8, 35))} point ${say(between(r, 1, 9))} metres`,
  species: (r) => pick(r, species),
  inches: (r) => {
    const n = around(r, 4, 30);
    return r() < 0.5 ? `${say(n)} inches` : `${say(n)} point ${say(between(r, 1, 9))} inches`;
  },
  logs: (r) =>
    pick(r, [
      'one log',
      'two logs',
      'two and a half logs',
      'one and a half logs',
      'three logs',
      'half a log',
    ]),
  mark: (r) => pick(r, ['forked', 'dead', 'hollow', 'broken top', 'leaning', 'crooked', 'rotten']),
  top: (r) => say(around(r, 20, 60)),
  base: (r) => say(between(r, 1, 12)),
  percent: (r) => say(around(r, 30, 110)),
  plot: (r) => say(between(r, 1, 30)),
  small: (r) => say(between(r, 2, 30)),
};

/** How often in a hundred, and the ways. */
const ways: readonly (readonly [number, readonly string[]])[] = [
  [
    16,
    ['<paces> <eye>', '<paces>', '<paces> <eye>', 'stick <paces>', '<eye> <paces>', 'stick <paces> <eye>'],
  ],
  [5, ['<feet> <eye>', 'taped <feet>', 'taped <metres>', '<feet> taped <eye>', 'taped <feet> <eye>']],
  [4, ['stick spans <feet>', 'spans <paces>', 'stick spans the tree at <paces>']],
  [
    18,
    [
      '<species> <inches>',
      '<species> <small> inches',
      '<species> <inches> <logs>',
      '<species> <inches> <mark>',
      '<species>',
      'next tree <species> <inches>',
    ],
  ],
  [4, ['<species> <inches> <paces>', '<species> <small> inches <logs> <paces>']],
  [5, ['<logs>', '<mark>', 'diameter <inches>', 'girth <small> inches', 'ten percent defect', 'no defect']],
  [
    8,
    [
      'top <top> degrees base minus <base> <feet>',
      'top <top> base minus <base> <feet>',
      'top <percent> percent base minus <base> <feet>',
      'topo <percent> base minus <base> one chain',
      'top <percent> percent base plus <base> at <feet>',
    ],
  ],
  [4, ['laser <percent>', 'laser <percent> feet', 'takes <percent> <percent> <percent>']],
  [5, ['next tree', 'same again', 'next', 'another one']],
  [
    6,
    [
      'plot <plot>',
      'plot <plot> tenth acre',
      'plot <plot> factor ten',
      'close plot',
      'empty plot',
      'slope <small> percent',
    ],
  ],
  [
    7,
    [
      'scratch that',
      'make that <paces>',
      'no <small>',
      'make that <small>',
      'change species to <species>',
      'scratch that',
    ],
  ],
  [6, ['keep it', 'yes', 'no', 'measure again', 'say again', 'keep it']],
  [
    9,
    [
      'how many trees',
      'basal area',
      'how sure are you',
      'why',
      'mean height of <species>',
      'tallest tree',
      'any doubts',
      'how many more plots for ten percent',
      'this plot',
      'trees per acre',
      'volume per acre',
      'last height',
    ],
  ],
  [
    3,
    [
      'my pace is five point three feet',
      '<small> paces in one hundred feet',
      'eye height five foot six',
      'units feet',
      'metric',
      'my pace is five point one feet',
    ],
  ],
];

/** Sentences as drawn, with the numbers and names that `seed` gives; some come twice. */
export const drawDay = (count: number, seed: number): string[] => drawn(count, seeded(seed), ways, parts);

type Ways = typeof ways;

function drawn(count: number, random: Random, some: Ways, how: typeof parts): string[] {
  const total = some.reduce((sum, [often]) => sum + often, 0);
  return Array.from({ length: count }, () => {
    const roll = random() * total;
    let upTo = 0;
    const way = some.find(([often]) => {
      upTo += often;
      return roll < upTo;
    });
    const [, patterns] = way ?? some[0]!;
    return pick(random, patterns).replace(/<(\w+)>/g, (_, part: string) => how[part]!(random));
  });
}

/** Of five species of a stand, how often in a hundred each is met: the commonest makes up half of it. */
const standShares = [48, 24, 14, 9, 5] as const;

/**
 * What one person says in a day in one stand: of every way of saying things the one or two that are this person's own,
 * one eye height, five species of which one is common. Common practice, no source; who it is follows from `person`,
 * what is said from `seed`.
 */
export function drawPersonsDay(count: number, person: number, seed: number): string[] {
  const habit = seeded(person);
  const own = (list: readonly string[]) => {
    const one = pick(habit, list);
    const other = pick(habit, list);
    // The first is said two times in three.
    return [one, one, other];
  };
  const mine: Ways = ways.map(([often, patterns]) =>
    // Buttons and questions are short words that everybody needs all of; the others are a matter of habit.
    patterns.some((pattern) => pattern.includes('<'))
      ? ([often, own(patterns)] as const)
      : ([often, patterns] as const),
  );
  const eye = parts.eye!(habit);
  const stand: string[] = [];
  while (stand.length < standShares.length) {
    const one = pick(habit, species);
    if (!stand.includes(one)) stand.push(one);
  }
  const met = (random: Random): string => {
    const roll = random() * 100;
    let upTo = 0;
    const at = standShares.findIndex((share) => {
      upTo += share;
      return roll < upTo;
    });
    return stand[Math.max(0, at)]!;
  };
  return drawn(count, seeded(seed), mine, { ...parts, eye: () => eye, species: met });
}
