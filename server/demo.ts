/**
 * `npm run demo [-- BOOK]`: a made-up wood, told note by note through the same desk as everything else, then ten notes
 * with their answers. With a file name the book is kept there, for `npx stemsay report --book BOOK` or the page.
 */
import { seeded } from '../shared/seeded.ts';
import { Desk, MemoryStore } from './desk.ts';
import { createLanguage } from './language.ts';
import { openStore } from './store.ts';

/** Invented species of Alder Hollow: share, thinnest and thickest, how tall a thick one is. */
const species = [
  { name: 'red oak', share: 0.35, from: 9, to: 21, tall: 82 },
  { name: 'red maple', share: 0.3, from: 6, to: 15, tall: 70 },
  { name: 'sugar maple', share: 0.2, from: 7, to: 18, tall: 76 },
  { name: 'beech', share: 0.15, from: 6, to: 16, tall: 72 },
] as const;

function speciesAt(draw: number): (typeof species)[number] {
  let upTo = 0;
  for (const each of species) {
    upTo += each.share;
    if (draw < upTo) return each;
  }
  return species[0];
}

/** The notes of an invented morning before the ten that are shown: five plots, a height on every third tree. */
export function* morningNotes(seed = 7): Generator<string> {
  const random = seeded(seed);
  yield 'stand alder hollow, 12 acres';
  yield '19 paces in 100 feet';
  yield '20 paces in 104 feet';
  yield 'eye height 5 foot 4';
  let count = 0;
  for (let plot = 1; plot <= 5; plot++) {
    yield `plot ${plot}, tenth acre`;
    const trees = 3 + Math.floor(random() * 6);
    for (let tree = 0; tree < trees; tree++) {
      const kind = speciesAt(random());
      const inches = Math.round((kind.from + (kind.to - kind.from) * random() ** 1.4) * 10) / 10;
      const logs = inches >= 11 ? `, ${inches >= 16 ? '2 logs' : '1 log'}` : '';
      yield `${kind.name} ${inches}${logs}`;
      if (count++ % 3 === 0) {
        const feet = 4.5 + (kind.tall - 4.5) * (1 - Math.exp(-inches / 6)) * (0.95 + 0.1 * random());
        yield `${Math.max(3, Math.round(((feet - 5.33) / 5.23) * 2) / 2)} paces`;
      }
    }
    yield 'close plot';
  }
}

/** The ten notes that are shown with their answers. */
export const shownNotes = [
  'plot six, tenth acre',
  'red oak sixteen two, two logs',
  'thirty paces',
  'thirteen',
  'how sure are you',
  'beech, centre at thirty six point nine feet, in or out',
  'close plot',
  'basal area',
  'volume per acre by doyle',
  'how many more plots for fifteen percent',
] as const;

export async function demo(print: (line: string) => void, file?: string): Promise<void> {
  let store = new MemoryStore() as Parameters<typeof Desk.open>[0]['store'];
  if (file !== undefined) {
    const opened = openStore(file);
    if (!opened.ok) throw new Error(opened.error.sentence);
    store = opened.value;
  }
  const desk = await Desk.open({ store, language: createLanguage() });
  let told = 0;
  for (const words of morningNotes()) {
    const { answer } = await desk.note(words);
    if (answer.state !== 'kept') throw new Error(`The demo's note "${words}" was not kept: ${answer.reply}`);
    told++;
  }
  print(`Alder Hollow, an invented wood: ${told} notes are in the book. Ten more:`);
  for (const words of shownNotes) {
    const { answer } = await desk.note(words);
    print(`\n${words}\n  ${answer.reply}`);
  }
  await desk.session.journal.close();
}

if (process.argv[1]?.endsWith('demo.ts')) await demo((line) => console.log(line), process.argv[2]);
