/** Entries at the edge of every limit, made from the schema itself: a new act or limit is in it by itself. All are valid. */
import { join } from 'node:path';
import * as z from 'zod/mini';
import { numberLimit, type Schema } from '../../../grammar/description/fields.ts';
import { Desk } from '../../../server/desk/desk.ts';
import { openStore } from '../../../server/journal/sqlite.ts';
import { Book } from '../../../shared/book/book.ts';
import { seeded } from '../../../shared/core/random.ts';
import { actSchema } from '../../../shared/note/acts.ts';
import { type Entry, entrySchema } from '../../../shared/note/journal.ts';
import { limits } from '../../../shared/note/limits.ts';
import { noteSchema } from '../../../shared/note/note.ts';
import { reportPieces } from '../../../shared/report/page/page.ts';
import { reportOf } from '../../../shared/report/page/report.ts';
import { entryOf, idOf } from '../../support/entries.ts';
import { fakeLanguage } from '../../support/fakes.ts';
import { folder, type Row } from './row.ts';

/** Milliseconds of processor time that one entry may cost at most, to be taken in or in anything that is asked afterwards. */
const most = 1000;
const perBook = 1000;
const first = 1_780_000_000_000;
const texts = ['a', 'red oak', '__proto__', 'constructor', 'é—“x”', '<b>&amp;', '=1+1', '\u202e', ' y'];
const sizes = [0, 0.5, 1, 2, 3.5, 16, 66, 90, 89.999999, 1e-3, 1e3, 1e5, 1e6];

type Pick = (n: number) => number;

/** A value of a schema, at an end of each of its limits more often than not; what a refinement refuses comes out too. */
function edgeOf(schema: Schema, pick: Pick, id: () => string): unknown {
  const { def } = schema._zod;
  const one = <T>(of: readonly T[]): T => of[pick(of.length)]!;
  const inner = (of: Schema) => edgeOf(of, pick, id);
  switch (def.type) {
    case 'union':
      return inner(one(def.options!));
    case 'object': {
      const fields: [string, unknown][] = [];
      for (const [key, field] of Object.entries(def.shape!)) {
        const optional = field._zod.def.type === 'optional';
        if (!optional || pick(2) === 0) fields.push([key, inner(field)]);
      }
      return Object.fromEntries(fields);
    }
    case 'optional':
      return inner(def.innerType!);
    case 'nullable':
      return pick(4) === 0 ? null : inner(def.innerType!);
    case 'array': {
      const whole = longestOf(schema, 3);
      const length = pick(60) === 0 ? whole : Math.min(whole, 1 + pick(3));
      return Array.from({ length }, () => inner(def.element!));
    }
    case 'tuple':
      return def.items!.map(inner);
    case 'enum':
      return one(Object.values(def.entries!));
    case 'literal':
      return one(def.values!);
    case 'boolean':
      return pick(2) === 0;
    case 'number': {
      const { low, high, whole } = numberLimit(def);
      const [least, largest] = [Math.max(low, -1e9), Math.min(high, 1e15)];
      const value = one([least, largest, (least + largest) / 2, one(sizes), -one(sizes)]);
      const within = Math.min(Math.max(value, least), largest);
      return whole ? Math.round(within) : within;
    }
    case 'string': {
      if (def.format === 'guid' || def.format === 'uuid') return id();
      const text = one(texts);
      return pick(8) === 0 ? text.repeat(longestOf(schema, 80) / text.length) : text;
    }
    default:
      throw new Error(`no values for ${def.type}`);
  }
}

/** The most items or characters that a schema takes, by its check. */
function longestOf({ _zod: { def } }: Schema, otherwise: number): number {
  for (const { _zod } of def.checks ?? []) {
    const of = _zod.def as { readonly check: string; readonly maximum?: number };
    if (of.check === 'max_length' && of.maximum !== undefined) return of.maximum;
  }
  return otherwise;
}

/** Said beside what every entry has; `seen` is a record, which no value is made for here. */
const besides = z.omit(entrySchema, {
  id: true,
  device: true,
  seq: true,
  time: true,
  words: true,
  note: true,
  acts: true,
  grammar: true,
  seen: true,
});

/** As many valid entries as are asked for, with ids of each other; every other book of a few kinds of act only. */
function edgeEntries(count: number, pick: Pick): Entry[] {
  const made: Entry[] = [];
  const all: readonly Schema[] = actSchema._zod.def.options;
  const kinds = pick(2) === 0 ? all : Array.from({ length: 1 + pick(3) }, () => all[pick(all.length)]!);
  while (made.length < count) {
    const seq = made.length + 1;
    const base = entryOf(seq, ['d-one', 'd-two', 'constructor'][pick(3)]!);
    const ids = () => idOf(first + 1 + pick(seq + 4), 0);
    const id = idOf(first + seq, 0);
    const read = entrySchema.safeParse({
      ...base,
      ...(pick(4) === 0 ? (edgeOf(besides, pick, ids) as object) : {}),
      id,
      time: pick(2000) === 0 ? limits.time[pick(2) === 0 ? 'least' : 'most'] : base.time,
      note: edgeOf(noteSchema, pick, ids),
      acts: Array.from({ length: 1 + pick(3) }, () => {
        const act = edgeOf(kinds[pick(kinds.length)]!, pick, ids) as Record<string, unknown>;
        return 'id' in act && pick(8) > 0 ? { ...act, id } : act;
      }),
    });
    if (read.success) made.push(read.data);
  }
  return made;
}

const cpuMs = (since?: NodeJS.CpuUsage): number => {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1000;
};

/** What each thing that is done with a book cost at most: for one entry to be taken in, of a whole book else. */
type Slowest = Record<'entry' | 'open' | 'totals' | 'report' | 'files', number>;

async function throughAll(file: string, entries: readonly Entry[], slowest: Slowest): Promise<number> {
  const took = async <T>(what: keyof Slowest, work: () => T | Promise<T>): Promise<T> => {
    const from = process.cpuUsage();
    const done = await work();
    slowest[what] = Math.max(slowest[what], cpuMs(from));
    return done;
  };
  const book = new Book();
  for (const entry of entries) await took('entry', () => book.apply(entry));
  const store = openStore(file);
  if (!store.ok) throw new Error(store.error.sentence);
  await store.value.append(entries);
  const desk = await took('open', () => Desk.open({ store: store.value, language: fakeLanguage }));
  const answers = await took('totals', () => desk.totals());
  const page = await took('report', () => {
    const report = reportOf({ book: desk.session.book, answers, made: first });
    let text = '';
    for (const piece of reportPieces(report)) text += piece;
    return text;
  });
  const files = await took('files', () => (['csv', 'geojson', 'json'] as const).map((as) => desk.export(as)));
  const said = [page, ...files, ...answers.map(({ reply }) => reply)];
  const odd = said.filter((text) => /\bNaN\b|\bInfinity\b|\[object/.test(text)).length;
  const { entries: kept } = await desk.store.since(0);
  const gone = entries.length - kept.length;
  const aside = desk.aside.length;
  await desk.close();
  return odd + gone + aside;
}

/**
 * A hundred thousand of them, or STEMSAY_EDGES, in books of a thousand, each taken in, opened, added up, reported and written as
 * files.
 */
export async function edges(): Promise<Row[]> {
  const count = Number(process.env.STEMSAY_EDGES ?? 100_000);
  const random = seeded(11);
  const pick: Pick = (n) => Math.floor(random() * n);
  const slowest: Slowest = { entry: 0, open: 0, totals: 0, report: 0, files: 0 };
  let lost = 0;
  for (let done = 0; done < count; done += perBook)
    lost += await throughAll(join(folder, `edges-${done}.book`), edgeEntries(perBook, pick), slowest);
  const ms = (what: keyof Slowest) => `${slowest[what].toFixed(0)} ms`;
  const row = (fault: string, spoiled: number): Row => ({
    fault,
    rounds: count,
    acknowledged: count,
    lost: spoiled,
    told: 'nothing: kept, counted, and told in words that say something',
  });
  return [
    row(`one entry is taken in (at most ${ms('entry')} of processor time)`, slowest.entry > most ? 1 : 0),
    row(
      `their books of ${perBook} are opened (at most ${ms('open')}), added up (${ms('totals')}), reported (${ms('report')}) and written as files (${ms('files')})`,
      lost,
    ),
  ];
}
