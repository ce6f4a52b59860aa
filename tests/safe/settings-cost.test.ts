/** Settings and taking them back cost what they touch, and leave every height as if the line had been read anew. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import type { Act } from '../../shared/note/acts.ts';
import { deviceId, type Entry } from '../../shared/note/journal.ts';
import type { Measurement } from '../../shared/note/note.ts';
import type { SettingAct } from '../../shared/note/settings.ts';
import { entryOf } from '../support/entries.ts';

const saying = (seq: number, device: string, acts: (id: string) => Act[]): Entry => {
  const entry = entryOf(seq, device);
  return { ...entry, acts: acts(entry.id) };
};
const setting = (seq: number, set: SettingAct): Entry =>
  saying(seq, 'd-one', () => [{ act: 'setting', set }]);

/** Processor seconds, which others on the machine do not lengthen much. */
function cost(work: () => void): number {
  const from = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
}

// Both took minutes when a setting was folded from the start and every height computed again.
test('4 500 small settings and their retractions, and 3 000 walks, are a matter of a moment', () => {
  const entries = [setting(1, { what: 'pace', feet: 5.2 })];
  for (let seq = 2; seq <= 2000; seq++) entries.push(entryOf(seq));
  const small: SettingAct[] = [
    { what: 'pace', feet: 5 },
    { what: 'voice', rate: 1.2 },
    { what: 'scatter', device: 'laser', feet: 1 },
    { what: 'attention', word: 'notebook' },
  ];
  for (let i = 0; i < 4500; i++) {
    const said = setting(2001 + 2 * i, small[i % small.length]!);
    entries.push(
      said,
      saying(2002 + 2 * i, 'd-one', () => [{ act: 'retract', targets: [said.id] }]),
    );
  }
  for (let i = 0; i < 3000; i++)
    entries.push(setting(20_000 + i, { what: 'walk', count: 19, of: 'paces', feet: 100 }));
  const book = new Book();
  expect(
    cost(() => {
      for (const entry of entries) book.apply(entry);
    }),
  ).toBeLessThan(15);
  expect(book.settingsOf(deviceId('d-one')).walks).toHaveLength(3000);
});

// A pace that is set and taken back gives two thousand heights a value and takes it again, each of four thousand times: the
// worst of what small entries can ask for. It took minutes when every one of them worked out what it touched at once.
test('2 000 heights that wait for a pace that is said and taken back 4 500 times are a matter of a moment', () => {
  const heights = Array.from({ length: 2000 }, (_, n) => entryOf(n + 1));
  const turns = Array.from({ length: 4500 }, (_, n) => {
    const said = setting(2001 + 2 * n, { what: 'pace', feet: 5 + (n % 3) / 10 });
    return [said, saying(2002 + 2 * n, 'd-one', () => [{ act: 'retract', targets: [said.id] }])];
  }).flat();
  const book = new Book();
  book.applyAll(heights);
  expect(cost(() => book.applyAll(turns))).toBeLessThan(10);
  expect(cost(() => book.replay())).toBeLessThan(10);
  expect([...book.heights()].every(({ feet }) => feet === null)).toBe(true);
});

// Each height was combined with all before it, by a system of as many equations: hours.
test('a tree of 2 000 heights is a matter of a moment, and has the height that they have together', () => {
  const tree = saying(1, 'd-one', (id) => [{ act: 'tree', id, fields: { diameterIn: 12 } }]);
  const heights = Array.from({ length: 2000 }, (_, n) =>
    saying(n + 2, 'd-one', (id) => [
      {
        act: 'height',
        id,
        tree: tree.id,
        measurement: { method: 'reading', device: 'laser', takes: [{ value: 59 + (n % 3) }] },
      },
    ]),
  );
  const book = new Book();
  expect(cost(() => book.applyAll([tree, ...heights]))).toBeLessThan(10);
  const record = book.tree(tree.id);
  expect(record?.heightFt).toBeCloseTo(60, 1);
  expect(record?.heights).toHaveLength(2000);
});

const devices = ['d-one', 'd-two'];
const set: fc.Arbitrary<SettingAct> = fc.constantFrom<SettingAct[]>(
  { what: 'pace', feet: 5 },
  { what: 'pace', feet: 5.5 },
  { what: 'walk', count: 20, of: 'paces', feet: 100 },
  { what: 'walk', count: 42, of: 'steps', feet: 100 },
  { what: 'counting', of: 'steps' },
  { what: 'eye', feet: 5 },
  { what: 'eye', feet: 5.4 },
  { what: 'units', units: 'metres' },
  { what: 'ground', shorter: 10 },
  { what: 'scatter', device: 'laser', feet: 2 },
  { what: 'deviation', error: 'walkPart', value: 0.05 },
  { what: 'person', name: 'linnet' },
  { what: 'person', name: 'robin' },
  { what: 'voice', quiet: true },
);
const measurements: Readonly<Record<'stick' | 'eyed' | 'laser', Measurement>> = {
  stick: { method: 'stick', distance: { by: 'paces', count: 9 } },
  eyed: { method: 'stick', distance: { by: 'paces', count: 9 }, eye: { value: 5.5 } },
  laser: { method: 'reading', device: 'laser', takes: [{ value: 60 }] },
};
type Measured = keyof typeof measurements;

const does: fc.Arbitrary<SettingAct | Measured | number> = fc.oneof(
  { weight: 3, arbitrary: set },
  { weight: 3, arbitrary: fc.constantFrom<Measured[]>('stick', 'eyed', 'laser') },
  { weight: 2, arbitrary: fc.nat(40) },
);
const step = fc.record({ device: fc.constantFrom(...devices), does });

test('every height is what it would be had the book been read anew, after each setting, retraction and restoring', () => {
  fc.assert(
    fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
      const book = new Book();
      const entries: Entry[] = [];
      for (const [at, { device, does }] of steps.entries()) {
        entries.push(
          saying(at + 1, device, (id) => {
            if (typeof does === 'object') return [{ act: 'setting', set: does }];
            if (typeof does === 'string')
              return [
                {
                  act: 'height',
                  id,
                  tree: null,
                  measurement: structuredClone(measurements[does as Measured]) as never,
                },
              ];
            const target = entries[does % Math.max(1, entries.length)]?.id ?? id;
            return [{ act: book.isRetracted(target) ? 'restore' : 'retract', targets: [target] }];
          }),
        );
        book.apply(entries.at(-1)!);
      }
      // Read anew without what was taken back: nothing is ever undone there.
      const plain = new Book();
      for (const entry of entries) {
        const acts = entry.acts.filter(({ act }) => act !== 'retract' && act !== 'restore');
        plain.apply({ ...entry, acts: book.isRetracted(entry.id) ? [] : acts });
      }
      const told = (of: Book) =>
        [...of.heights()].map(({ id, value, problem }) => ({
          id,
          feet: value?.feet,
          sd: value?.sdFeet,
          problem,
        }));
      expect(told(book)).toEqual(told(plain));
    }),
    { numRuns: 300 },
  );
});
