/**
 * Verifies a book from the outside: the file, the schema of every entry, the order and numbering of each device, that
 * acts name what exists, and that the words still mean what was kept.
 */
import { isDeepStrictEqual } from 'node:util';
import { asideSentences } from '../../shared/book/aside.ts';
import { Book } from '../../shared/book/book.ts';
import { mostEntriesBefore, wordsBefore } from '../../shared/dialogue/told-before.ts';
import type { Act } from '../../shared/note/acts.ts';
import type { Entry } from '../../shared/note/journal.ts';
import type { KeptStore } from '../journal/store.ts';
import type { Language } from '../language/language.ts';

interface Checked {
  readonly entries: number;
  readonly devices: number;
  /** Entries whose words were read again. */
  readonly reread: number;
  /** Entries that another version of the grammar read: their words may rightly mean something else now. */
  readonly notCompared: number;
  /** One sentence each. */
  readonly problems: readonly string[];
}

export async function checkBook(store: KeptStore, language: Language): Promise<Checked> {
  const problems = (await store.integrity()).map((line) => `The book itself is damaged: ${line}`);
  const byDevice = new Map<string, Entry[]>();
  const known = new Set<string>();
  const all: Entry[] = [];
  for await (const { cursor, entry, problem } of store.rows()) {
    if (problem !== null)
      problems.push(`Row ${cursor} is ${entry === null ? 'no entry' : 'not as it was'}: ${problem}.`);
    if (entry === null) continue;
    all.push(entry);
    known.add(entry.id);
    const own = byDevice.get(entry.device);
    if (own) own.push(entry);
    else byDevice.set(entry.device, [entry]);
  }
  const book = new Book();
  book.applyAll(all);
  problems.push(...asideSentences(book));
  for (const [device, entries] of byDevice) problems.push(...interning(device, entries));
  const places = new Map([...byDevice.values()].flatMap((own) => own.map(({ id }, at) => [id, at] as const)));
  let reread = 0;
  let notCompared = 0;
  for (const entry of all) {
    for (const target of targetsOf(entry)) {
      if (!known.has(target)) problems.push(`${name(entry)} names ${target}, which is not in the book.`);
    }
    if (entry.grammar !== language.tongue.version) {
      notCompared++;
      continue;
    }
    const told = toldBefore(entry, byDevice.get(entry.device) ?? [], places, language);
    reread++;
    problems.push(...otherwiseRead(entry, told, language));
  }
  return { entries: all.length, devices: byDevice.size, reread, notCompared, problems };
}

/** How the words of an entry are read now, where that is not what was kept. */
function otherwiseRead(entry: Entry, told: readonly string[], language: Language): string[] {
  const readIn = (metric: boolean) => language.read(entry.words, { told, metric });
  const read = readIn(false);
  // Which units held is not known here: it may have been either.
  if (isMeant(read, entry) || isMeant(readIn(true), entry)) return [];
  return [
    read.ok
      ? `${name(entry)}, "${entry.words}", was kept with another meaning than it has now.`
      : `${name(entry)}, "${entry.words}", can no longer be read: ${read.error}`,
  ];
}

const isMeant = (read: ReturnType<Language['read']>, { breath, note }: Entry): boolean =>
  read.ok && read.value.some(({ notes }) => isDeepStrictEqual(notes[breath?.at ?? 0], note));

/** What stood before the breath of an entry when it was read. `own`: what its device did, in order; `places`: by id there. */
function toldBefore(
  { id, breath }: Entry,
  own: readonly Entry[],
  places: ReadonlyMap<string, number>,
  { tongue }: Language,
): string[] {
  const at = places.get(breath?.id ?? id) ?? 0;
  const newestFirst = own.slice(Math.max(0, at - mostEntriesBefore), at).toReversed();
  return wordsBefore(newestFirst, (note) => tongue.speak(note));
}

const name = (entry: Entry): string => `Entry ${entry.seq} of ${entry.device}`;

/** From 1, without gaps or doubles, and later in time each. */
function interning(device: string, entries: Entry[]): string[] {
  const problems: string[] = [];
  const sorted = entries.toSorted((a, b) => a.seq - b.seq);
  let expected = 1;
  let time = -1;
  for (const entry of sorted) {
    if (entry.seq > expected) {
      const gap = entry.seq - expected;
      problems.push(
        `Device ${device}: ${gap === 1 ? `entry ${expected} is` : `entries ${expected} to ${entry.seq - 1} are`} missing.`,
      );
    } else if (entry.seq < expected) problems.push(`Device ${device}: two entries have number ${entry.seq}.`);
    if (entry.time <= time) problems.push(`${name(entry)} is not later than the one before it.`);
    expected = entry.seq + 1;
    time = entry.time;
  }
  return problems;
}

/** Ids of other entries that an entry leans on. */
function targetsOf(entry: Entry): string[] {
  const targets = entry.acts.flatMap(ofAct);
  if (entry.settles !== undefined) targets.push(entry.settles);
  return targets.filter((target) => target !== entry.id);
}

function ofAct(act: Act): string[] {
  switch (act.act) {
    case 'amend':
    case 'remeasure':
    case 'plotAmend':
      return [act.target];
    case 'height':
      return act.tree === null ? [] : [act.tree];
    case 'retract':
    case 'restore':
      return act.targets;
    case 'assign':
      return act.tree === null ? [act.target] : [act.target, act.tree];
    case 'settle':
      return [act.entry];
    case 'remark':
      return [act.tree, act.plot].filter((id) => id !== null);
    default:
      return [];
  }
}
