/** The sentences for what two devices said of one thing while neither knew of the other. */

import { measure } from '../measuring/height/index.ts';
import type { Doubt, SavedLeg } from '../note/acts.ts';
import type { DeviceId } from '../note/journal.ts';
import { measurementSchema } from '../note/note.ts';
import type { TreeRecord } from '../totals/types.ts';
import { legWords } from '../wording/ground.ts';
import * as wording from '../wording/wording.ts';
import { type Conflict, gone } from './conflicts.ts';
import type { Settings } from './settings.ts';

/** What of the book these sentences name; the book itself stands after this file. */
interface NamedRecords {
  tree(id: string | null): { readonly id: string; readonly number: number } | null;
  height(id: string | null): { readonly tree: string | null } | null;
  plot(id: string | null): { readonly number: number } | null;
  entry(id: string): { readonly words: string } | null | undefined;
  settingsOf(device: DeviceId): Settings;
}

/** Worth a look, never a question: both people are out, and the book has a value that counts. */
const strength = 0.4;

const sideNames: Readonly<Record<string, string>> = {
  species: 'species',
  diameterIn: 'diameter',
  logs: 'logs',
  merchFt: 'merchantable height',
  status: 'state',
  defectPct: 'defect',
  count: 'count',
  formClass: 'form class',
  counted: 'place, in or out,',
  plot: 'plot',
  measurement: 'height',
  size: 'size',
  slope: 'slope',
  area: 'area',
  meaning: 'meaning',
};

export function conflictDoubt(book: NamedRecords, conflict: Conflict): Doubt {
  const { side, earlier, later } = conflict;
  const what = nameOf(book, conflict);
  const doubt = (sentence: string): Doubt => ({ code: 'twoDevices', strength, sentence, slips: [] });
  if (side === gone) {
    const scratched =
      later.value === true
        ? 'changed on one device and then scratched'
        : 'scratched on one device and then changed';
    return doubt(
      `${wording.sentence(what)} was ${scratched} on another that did not know it. It is out; say it again if it stands.`,
    );
  }
  if (side === 'answer')
    return doubt(
      `${what} was answered on two devices that had not met: "${earlier.value}", then "${later.value}". Look what stands, and scratch one.`,
    );
  const name = sideNames[side] ?? (side.startsWith('price') ? 'price' : side);
  const [one, other] = [earlier, later].map(({ value, device }) => shown(book, side, value, device));
  return doubt(
    `The ${name} of ${what} was said on two devices that had not met: ${one}, then ${other}. The later one holds.`,
  );
}

/** The tree that a crossing is about; null where it is about something else, or the tree is gone. */
export function treeOfConflict(book: NamedRecords, { thing }: Pick<Conflict, 'thing'>): string | null {
  return (book.tree(thing) ?? book.tree(book.height(thing)?.tree ?? null))?.id ?? null;
}

function nameOf(book: NamedRecords, { thing }: Conflict): string {
  const tree = book.tree(treeOfConflict(book, { thing }));
  if (tree !== null) return `tree ${tree.number}`;
  const plot = book.plot(thing);
  if (plot) return `plot ${plot.number}`;
  if (thing === 'book') return 'the book';
  const entry = book.entry(thing);
  if (entry) return `"${entry.words}"`;
  const [kind, ...name] = thing.split(' ');
  return kind === 'word' ? `"${name.join(' ')}"` : `${kind} ${wording.sentence(name.join(' '))}`;
}

/** A value as the reply to it would have worded it, in the units of who said it. */
function shown(book: NamedRecords, side: string, value: unknown, device: DeviceId): string {
  const settings = book.settingsOf(device);
  const { units } = settings;
  if (value === null) return 'none';
  if (side.startsWith('leg')) return legWords(value as SavedLeg);
  if (side.startsWith('price')) {
    const [dollars, per] = value as readonly [number, string];
    return `${dollars} dollars a ${per === 'cubicMetre' ? 'cubic metre' : per}`;
  }
  switch (side) {
    case 'species':
      return wording.speciesName(value as TreeRecord['species']);
    case 'meaning': {
      const [species, mark] = value as readonly [number | undefined, string | undefined];
      return species === undefined ? (mark ?? 'a word') : wording.speciesName(species);
    }
    case 'tree':
      return `tree ${book.tree(value as string)?.number ?? 'scratched since'}`;
    case 'diameterIn':
      return wording.diameter(value as number, units);
    case 'merchFt':
      return wording.length(value as number, units);
    case 'logs':
      return wording.logs(value as number);
    case 'counted':
      return value === true ? 'in' : 'out';
    case 'area':
      return wording.area(value as number, units);
    case 'size':
      return wording.plotSize({ size: value } as Parameters<typeof wording.plotSize>[0], units);
    case 'measurement': {
      const height = measure(measurementSchema.parse(value), settings);
      return height.ok ? wording.length(height.value.feet, units, height.value.sdFeet) : 'one that waits';
    }
    case 'declination':
      return `${wording.digits(value as number, 1)} degrees`;
    case 'plot':
      return 'another';
    case 'defectPct':
    case 'slope':
      return `${wording.digits(value as number, 0)} percent`;
    default:
      return String(value);
  }
}
