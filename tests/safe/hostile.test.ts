/** Looks for entries that the schema takes and that hurt: extreme values at every place, through book, totals and files. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { numberLimit, type Schema } from '../../grammar/description/fields.ts';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { actSchema } from '../../shared/note/acts.ts';
import { type Entry, entrySchema } from '../../shared/note/journal.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { reportPage } from '../../shared/report/page/page.ts';
import { reportOf } from '../../shared/report/page/report.ts';
import { entryOf, idOf } from '../support/entries.ts';
import { fakeLanguage } from '../support/fakes.ts';

const ids = Array.from({ length: 8 }, (_, n) => idOf(1_780_000_000_000, n));
const texts = [
  'a',
  'red oak',
  '__proto__',
  'constructor',
  'é—“x”',
  '<b>&amp;',
  '=1+1',
  'x'.repeat(80),
  '\u202e',
  ' y',
];
const strange = [0, 0.5, 1, 2, 3.5, 16, 66, 90, 89.999999, 1e-3, 1e-9, 5e-324, 1e3, 1e5, 1e6, 1e9];

/** Values of a schema, most of them at its ends; what a refinement refuses is left out at the end. */
function valuesOf(schema: Schema): fc.Arbitrary<unknown> {
  const { def } = schema._zod;
  switch (def.type) {
    case 'union':
      return fc.oneof(...def.options!.map(valuesOf));
    case 'object': {
      const required = Object.keys(def.shape!).filter((key) => def.shape![key]!._zod.def.type !== 'optional');
      const fields = Object.fromEntries(
        Object.entries(def.shape!).map(([key, field]) => [
          key,
          valuesOf(
            field._zod.def.innerType && field._zod.def.type === 'optional' ? field._zod.def.innerType : field,
          ),
        ]),
      );
      return fc.record(fields, { requiredKeys: required, noNullPrototype: true });
    }
    case 'optional':
      return valuesOf(def.innerType!);
    case 'nullable':
      return fc.option(valuesOf(def.innerType!), { nil: null });
    case 'array':
      return fc.array(valuesOf(def.element!), { minLength: 1, maxLength: 3 });
    case 'tuple':
      return fc.tuple(...def.items!.map(valuesOf));
    case 'enum':
      return fc.constantFrom(...Object.values(def.entries!));
    case 'literal':
      return fc.constantFrom(...def.values!);
    case 'boolean':
      return fc.boolean();
    case 'number': {
      const limit = numberLimit(def);
      const [low, high] = [Math.max(limit.low, -1e9), Math.min(limit.high, 1e9)];
      const inside = [low, high, (low + high) / 2, ...strange, ...strange.map((value) => -value)]
        .map((value) => (limit.whole ? Math.round(value) : value))
        .filter((value) => value >= low && value <= high);
      return fc.constantFrom(...inside);
    }
    case 'string':
      return fc.constantFrom(...(def.format === 'guid' || def.format === 'uuid' ? ids : texts));
    default:
      throw new Error(`no values for ${def.type}`);
  }
}

const act = valuesOf(actSchema);
const note = valuesOf(noteSchema);

const entries = fc
  .array(
    fc.record({
      acts: fc.array(act, { minLength: 1, maxLength: 3 }),
      note,
      device: fc.constantFrom('d-one', 'd-two', 'constructor'),
    }),
    {
      minLength: 1,
      maxLength: 8,
    },
  )
  .map((made) =>
    made.flatMap(({ acts, note, device }, at): Entry[] => {
      const base = entryOf(at + 1, device);
      const read = entrySchema.safeParse({ ...base, id: ids[at], note, acts });
      return read.success ? [read.data] : [];
    }),
  );

test('a book of whatever the schema takes is opened, told, exported and reported in words that say something', async () => {
  let taken = 0;
  const failures = new Set<string>();
  await fc.assert(
    fc.asyncProperty(entries, async (all) => {
      taken += all.length;
      const store = new MemoryStore();
      await store.append(all);
      const desk = await Desk.open({ store, language: fakeLanguage });
      for (const sentence of desk.aside) failures.add(sentence.replace(/^.*figure: /, ''));
      const said = [
        ...desk.totals().flatMap(({ reply, detail }) => [reply, detail ?? '']),
        ...desk.doubts().map(({ sentence }) => sentence),
        desk.export('csv'),
        desk.export('geojson'),
        desk.export('json'),
        reportPage(reportOf({ book: desk.session.book, answers: desk.totals(), made: 1_780_000_000_000 })),
      ];
      for (const text of said) expect(text).not.toMatch(/\bNaN\b|\bInfinity\b|\bundefined\b|\[object/);
      await desk.close();
    }),
    { numRuns: Number(process.env.STEMSAY_RUNS ?? 150) },
  );
  expect([...failures]).toEqual([]);
  expect(taken).toBeGreaterThan(100);
});
