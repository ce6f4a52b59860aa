/**
 * `npm run demo [-- BOOK]`: a made-up wood, told note by note through the same desk as everything else, then ten notes
 * with their answers. With a file name the book is kept there, for `npx stemsay report --book BOOK` or the page.
 */

import { seeded } from '../../shared/core/random.ts';
import type { Entry } from '../../shared/note/journal.ts';
import { Desk, MemoryStore } from '../desk/desk.ts';
import { openStore } from '../journal/sqlite.ts';
import { createLanguage } from '../language/language.ts';

type Position = NonNullable<Entry['position']>;

/** A note of the morning; where it was said, for those that begin a plot. */
interface DemoNote {
  readonly words: string;
  readonly position?: Position;
}

/** Invented species of Alder Hollow: share, thinnest and thickest, how tall a thick one is. */
const species = [
  { name: 'red oak', share: 0.35, from: 9, to: 21, tall: 82 },
  { name: 'red maple', share: 0.3, from: 6, to: 15, tall: 70 },
  { name: 'sugar maple', share: 0.2, from: 7, to: 18, tall: 76 },
  { name: 'beech', share: 0.15, from: 6, to: 16, tall: 72 },
] as const;

/** Plots of each stratum, and how many trees they have at least and at most. */
const strata = [
  { words: 'stratum ridge, 7 acres', plots: [1, 2, 3, 4, 5, 6], fewest: 4, most: 8, slope: 18 },
  { words: 'stratum bottom, 5 acres', plots: [7, 8, 9, 10, 11], fewest: 6, most: 11, slope: null },
] as const;
const emptyPlot = 4;

/** What happened besides: slips that were noticed, answers, corrections. By the plot at whose end it was said. */
const happenings: Readonly<Record<number, readonly string[]>> = {
  2: ['red oak 15.1, 2 logs', '26 paces', 'yes'],
  3: ['make that 5 logs', 'make that 1 log', 'beech 12.2', 'forty paces', 'fourteen'],
  5: ['sugar maple 13.4, dead', 'red maple 31.5', 'no, it was 13.5', 'next tree'],
  6: ['red maple 12.3', 'laser 61, 64, 83', 'keep it'],
  8: ['beech 9.4', 'scratch that', 'sugar maple 15.2, 1 log', 'top 72 percent, base minus 6, 90 feet'],
  9: ['red oak 18.3, 2 logs, 10 percent defect', '13 paces', 'make that fourteen paces'],
  10: ['red maple 10.5', 'ninety paces'],
};

/** Where an invented plot is: two lines through the wood, 180 feet from plot to plot. */
function positionOf(plot: number, random: () => number): Position {
  const [line, along] = plot <= 6 ? [0, plot] : [1, 13 - plot];
  const [east, north] = [along * 55 + line * 18, line * 78 + along * 9];
  return {
    latitude: 44.2 + (north + 6 * random()) / 111_100,
    longitude: -71.4 + (east + 6 * random()) / 79_700,
    accuracyMetres: Math.round(30 + 60 * random()) / 10,
  };
}

/** The notes of an invented morning before the ten that are shown: eleven plots, a height on every third tree. */
export function* morningNotes(seed = 7): Generator<DemoNote> {
  const random = seeded(seed);
  yield* said(
    'this is crew robin',
    'stand alder hollow, 12 acres',
    '19 paces in 100 feet',
    '20 paces in 104 feet',
    'eye height 5 foot 4',
  );
  let count = 0;
  for (const stratum of strata) {
    yield { words: stratum.words };
    for (const plot of stratum.plots) {
      yield { words: `plot ${plot}, tenth acre`, position: positionOf(plot, random) };
      if (plot === emptyPlot) {
        yield { words: 'empty plot' };
        continue;
      }
      if (stratum.slope !== null) yield { words: `slope ${stratum.slope} percent` };
      const trees = stratum.fewest + Math.floor(random() * (stratum.most - stratum.fewest + 1));
      for (let tree = 0; tree < trees; tree++) yield* said(...treeNotes(random, count++ % 3 === 0));
      yield* said(...(happenings[plot] ?? []), 'close plot');
    }
  }
}

function* said(...lines: readonly string[]): Generator<DemoNote> {
  for (const words of lines) yield { words };
}

function treeNotes(random: () => number, measured: boolean): string[] {
  const kind = speciesAt(random());
  const inches = Math.round((kind.from + (kind.to - kind.from) * random() ** 1.4) * 10) / 10;
  const logs = inches >= 11 ? `, ${inches >= 16 ? '2 logs' : '1 log'}` : '';
  const tree = `${kind.name} ${inches}${logs}`;
  if (!measured) return [tree];
  const feet = 4.5 + (kind.tall - 4.5) * (1 - Math.exp(-inches / 6)) * (0.93 + 0.14 * random());
  const way = random();
  if (way < 0.15) return [tree, `laser ${Math.round(feet)}`];
  if (way < 0.4) {
    return [tree, `top ${Math.round(((feet - 5.3) / 80) * 100)} percent, base minus 7, 80 feet`];
  }
  return [tree, `${Math.max(3, Math.round(((feet - 5.33) / 5.23) * 2) / 2)} paces`];
}

function speciesAt(draw: number): (typeof species)[number] {
  let upTo = 0;
  for (const each of species) {
    upTo += each.share;
    if (draw < upTo) return each;
  }
  return species[0];
}

/** The ten notes that are shown with their answers. */
export const shownNotes: readonly DemoNote[] = [
  { words: 'plot twelve, tenth acre', position: positionOf(12, () => 0.5) },
  ...said(
    'red oak sixteen two, two logs',
    'thirty paces',
    'thirteen',
    'how sure are you',
    'beech, centre at thirty six point nine feet, in or out',
    'close plot',
    'basal area',
    'volume per acre by doyle',
    'how many more plots for fifteen percent',
  ),
];

const msPerNote = 90_000;

export async function demo(print: (line: string) => void, file?: string): Promise<void> {
  let store = new MemoryStore() as Parameters<typeof Desk.open>[0]['store'];
  if (file !== undefined) {
    const opened = openStore(file);
    if (!opened.ok) throw new Error(opened.error.sentence);
    store = opened.value;
  }
  const morning = [...morningNotes()];
  // As if the morning had just ended: two notes in three minutes.
  const began = Date.now() - (morning.length + shownNotes.length) * msPerNote;
  let told = 0;
  const now = (): number => began + told * msPerNote;
  const desk = await Desk.open({ store, language: createLanguage(), now });
  for (const { words, position } of morning) {
    const { answer } = await desk.note(words, position);
    if (answer.state === 'refused')
      throw new Error(`The demo's note "${words}" was refused: ${answer.reply}`);
    told++;
  }
  print(`Alder Hollow, an invented wood: ${morning.length} notes are in the book. Ten more:`);
  for (const { words, position } of shownNotes) {
    const { answer } = await desk.note(words, position);
    told++;
    print(`\n${words}\n  ${answer.reply}`);
  }
  await desk.session.journal.close();
}

if (process.argv[1]?.endsWith('demo.ts')) await demo((line) => console.log(line), process.argv[2]);
