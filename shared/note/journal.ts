/**
 * The journal: entries only ever added, never changed. State is the fold of the entries in their total order.
 * An entry holds what was said (`words`, `note`) and what it did (`acts`), decided once, when it was said, with its
 * targets named; so a replay, a late arrival or a newer program never re-decides it.
 */
import * as z from 'zod/mini';
import type { Moment } from '../core/moment.ts';
import { actSchema, doubtSchema, questionSchema } from './acts.ts';
import { idSchema, sizes, textOf, wholeWithin, within } from './limits.ts';
import { mostNotes, type Note, noteSchema } from './note.ts';

export const journalFormat = 2;

export const positionSchema = z.strictObject({
  latitude: z.number().check(z.minimum(-90), z.maximum(90)),
  longitude: z.number().check(z.minimum(-180), z.maximum(180)),
  accuracyMetres: within('accuracyMetres'),
});

export const heardSchema = z.strictObject({
  /** Worst word's margin against the free phone path, natural log units; larger is worse. */
  margin: within('margin'),
  posterior: z.number().check(z.minimum(0), z.maximum(1)),
  /** Reference of the stored clip, where one was kept. */
  clip: z.optional(textOf('code')),
  /** Word times in seconds. */
  times: z.optional(
    z
      .array(z.strictObject({ word: textOf('word'), from: within('seconds'), to: within('seconds') }))
      .check(z.maxLength(sizes.wordTimes)),
  ),
});
export type Heard = z.infer<typeof heardSchema>;

/** Not the one name that a record of JSON cannot hold. */
export const deviceSchema = textOf('device')
  .check(z.regex(/^(?!__proto__$)./su, 'expected the name of a device'))
  .brand<'DeviceId'>();
/** The name of a device. Of a kind of its own, since it stands beside ids of entries in many calls. */
export type DeviceId = z.infer<typeof deviceSchema>;

/** A name as that of a device; throws where it can be none. */
export const deviceId = (name: string): DeviceId => deviceSchema.parse(name);

export const entrySchema = z.strictObject({
  /** UUIDv7. */
  id: idSchema,
  device: deviceSchema,
  /** Per device, from 1, without gaps. */
  seq: wholeWithin('seq'),
  /**
   * Its place in the order: milliseconds since 1970, at least one more than any entry its device had seen (a hybrid
   * logical clock). Only the order follows it.
   */
  time: wholeWithin('time'),
  /** What the device's clock showed, milliseconds since 1970, where that is not `time`: days and hours follow it. */
  clock: z.optional(wholeWithin('time')),
  /** Minutes by which the device's clock was ahead of universal time; missing: none, or not recorded. */
  zone: z.optional(z.int().check(z.minimum(-840), z.maximum(840))),
  words: textOf('words'),
  note: noteSchema,
  /** What it came to as a note, where that is another one: the note that a "yes" confirmed, a distance said anew. */
  means: z.optional(noteSchema),
  /**
   * Of several notes in one breath, which one this is: the id of the first one's entry, its place from 0, and how many
   * were said. The entries of a breath share words, clip and what was heard. Absent: the only one.
   */
  breath: z.optional(
    z.strictObject({
      id: idSchema,
      at: z.number().check(z.int(), z.minimum(0), z.maximum(mostNotes - 1)),
      of: z.int().check(z.minimum(2), z.maximum(mostNotes)),
    }),
  ),
  grammar: textOf('code'),
  acts: z.array(actSchema).check(z.maxLength(sizes.acts)),
  /** The question that the answer to this entry put. */
  asks: z.optional(questionSchema),
  /** The entry whose question this one answered or dismissed. */
  settles: z.optional(idSchema),
  doubts: z.optional(z.array(doubtSchema).check(z.maxLength(sizes.doubts))),
  heard: z.optional(heardSchema),
  position: z.optional(positionSchema),
  person: z.optional(textOf('name')),
  /**
   * Of other devices, the number of the latest entry that this one had when it spoke, where that is news since its
   * last entry: so it can be told which of two statements knew of the other.
   */
  seen: z.optional(
    z
      .record(deviceSchema, wholeWithin('seq'))
      .check(
        z.refine((seen) => Object.keys(seen).length <= sizes.seen, `expected at most ${sizes.seen} devices`),
      ),
  ),
});
export type Entry = z.infer<typeof entrySchema>;

/** An entry that no book can hold: nothing of what came with it was kept. */
export class UnfitError extends Error {
  override readonly name = 'UnfitError';
}

/** What is wrong with an entry, for the end of a sentence: "merchFt: expected from 0.01 to 10000 feet"; null: nothing. */
function unfit(entry: unknown): string | null {
  const read = entrySchema.safeParse(entry);
  if (read.success) return null;
  const issue = read.error.issues[0];
  const field = issue?.path.findLast((part) => typeof part === 'string') ?? 'entry';
  return `${String(field)}: ${issue?.message ?? 'not an entry'}`;
}

/**
 * The entries as their schema has them, all or none: what a journal writes must read back, and JSON makes null of NaN.
 *
 * @throws UnfitError
 */
export function fitting(entries: readonly Entry[]): Entry[] {
  return entries.map((entry) => {
    const read = entrySchema.safeParse(entry);
    if (read.success) return read.data;
    throw new UnfitError(`No book can hold that (${unfit(entry)}). Nothing of it was kept.`);
  });
}

/** When an entry was said, by the clock and in the zone of its own device, whatever other devices had said before. */
export const momentOf = ({
  time,
  clock = time,
  zone = 0,
}: Pick<Entry, 'time' | 'clock' | 'zone'>): Moment & { readonly zone: number } => ({
  time: clock,
  zone,
});

/** The note that an entry stands for in the conversation after it. */
export const meantBy = (entry: Entry): Note => entry.means ?? entry.note;

/**
 * The total order of entries, the same on every device.
 * @internal for tests: the book keeps it in its own rows (`book/entry-log.ts`)
 */
export function compareEntries(a: Entry, b: Entry): number {
  return a.time - b.time || (a.device < b.device ? -1 : a.device > b.device ? 1 : a.seq - b.seq);
}

/** Where entries are kept. All implementations pass `tests/journal.contract.ts`. */
export interface Journal {
  /**
   * Adds entries that are not there yet (by id); resolves only when they are durable. Returns how many were new
   * and the cursor after them. A second append of the same entry is not an error.
   */
  append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }>;
  /** Entries received after the cursor (0: all), in order of receipt, at most `limit`. */
  since(cursor: number, limit?: number): Promise<{ entries: Entry[]; cursor: number }>;
  /**
   * An entry that is there, at once: whoever has read it need not hold it. Missing where entries are read from afar.
   * @throws where it cannot be read any more
   */
  recall?(id: string): Entry;
  close(): Promise<void>;
}

/** A journal that forgets when the program ends. */
export class MemoryJournal implements Journal {
  readonly #entries: Entry[] = [];
  readonly #ids = new Set<string>();

  async append(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    const checked = fitting(entries);
    let added = 0;
    for (const entry of checked) {
      if (this.#ids.has(entry.id)) continue;
      this.#ids.add(entry.id);
      this.#entries.push(entry);
      added++;
    }
    return { added, cursor: this.#entries.length };
  }

  async since(
    cursor: number,
    limit = Number.POSITIVE_INFINITY,
  ): Promise<{ entries: Entry[]; cursor: number }> {
    const entries = this.#entries.slice(cursor, cursor + limit);
    return { entries: structuredClone(entries), cursor: cursor + entries.length };
  }

  async close(): Promise<void> {}
}

/** Id of the tree that an entry began, mended or measured; null where it is about none. */
export function treeOfEntry({ acts }: Pick<Entry, 'acts'>): string | null {
  for (const act of acts) {
    if (act.act === 'tree') return act.id;
    if (act.act === 'amend') return act.target;
    if (act.act === 'height') return act.tree;
  }
  return null;
}
