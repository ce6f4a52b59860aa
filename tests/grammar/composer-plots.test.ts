/** Plots as people call, size, open and close them; sentences of our own wood. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { speakOnlyTyped } from '../../grammar/writing/speak-typed.ts';
import type { Note, NoteOf } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { speaker } from '../support/language.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

type PlotNote = NoteOf<'plot'>;
const plot = (op: PlotNote['op'], rest: Omit<PlotNote, 'kind' | 'op'> = {}): PlotNote => ({
  kind: 'plot',
  op,
  ...rest,
});
const factor = (value: number, unit?: 'm2/ha'): PlotNote['size'] => ({
  by: 'factor',
  value,
  ...(unit ? { unit } : {}),
});
const sides = (one: number, other: number, unit?: 'm'): PlotNote['size'] => ({
  by: 'sides',
  sides: [one, other],
  ...(unit ? { unit } : {}),
});
const beech: Note = { kind: 'tree', facts: { species: 'beech', diameter: { value: 12 } } };

describe('a plot by other words, its number behind them', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['point one', [plot('open', { number: 1 })]],
    ['pt 2, beech 12', [plot('open', { number: 2 }), beech]],
    ['S3. beech 12', [plot('open', { number: 3 }), beech]],
    ['P7 beech 12', [plot('open', { number: 7 }), beech]],
    ['sample four, beech 12', [plot('open', { number: 4 }), beech]],
    ['plot B', [plot('open', { number: 2 }), { kind: 'remark', text: 'plot b' }]],
    ["plot one's pegged, away we go", [plot('open', { number: 1 })]],
    ["that's us, next peg", [plot('close'), plot('open')]],
    ['close, pl 6', [plot('close'), plot('open', { number: 6 })]],
    ['open plot two again, I forgot a tree', [plot('reopen', { number: 2 })]],
    ['nought in sample six', [plot('empty', { number: 6 })]],
    ['nothing grows on this plot', [plot('empty')]],
    ['plot four has no trees whatsoever', [plot('empty', { number: 4 })]],
    [
      'plot seven, no trees, all bracken',
      [plot('empty', { number: 7 }), { kind: 'remark', text: 'all bracken' }],
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('its size as it is said', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['square plot, twenty by twenty, number one', [plot('open', { number: 1, size: sides(20, 20) })]],
    ['plot 1 was 25x25', [plot('size', { number: 1, size: sides(25, 25) })]],
    [
      'finish, the following plot is a rectangle ten by thirty',
      [plot('close'), plot('open', { size: sides(10, 30) })],
    ],
    ['mark out a plot, thirty by thirty metres', [plot('open', { size: sides(30, 30, 'm') })]],
    ['wedge prism, two square metres', [plot('size', { size: factor(2, 'm2/ha') })]],
    ['new point with the fifteen prism', [plot('open', { size: factor(15) })]],
    ['variable plot two, BAF 10', [plot('open', { number: 2, size: factor(10) })]],
    ['stop 1 was BAF 10 not 15', [plot('size', { number: 1, size: factor(10) })]],
    ['plot 2 was the twenty prism', [plot('size', { number: 2, size: factor(20) })]],
    [
      'plot three was a circle of nine metres',
      [plot('size', { number: 3, size: { by: 'radius', length: { value: 9, unit: 'm' } } })],
    ],
    [
      "I'll be doing point oh four hectare plots in Kestrel Spur",
      [
        { kind: 'stand', name: 'kestrel spur' },
        plot('size', { size: { by: 'area', value: 0.04, unit: 'ha' } }),
      ],
    ],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test('a gauge that nobody named is asked about', () => {
    expect(keptOf('I should have kept the ten on this point')).toBeUndefined();
    const read = understandTyped('I should have kept the ten on this point');
    expect(read.ok && read.value[0]?.notes).toEqual([plot('size', { size: factor(10) })]);
  });

  test('"nothing but" is not nothing', () => {
    expect(JSON.stringify(keptOf('plot six, nothing but small stuff') ?? [])).not.toContain('empty');
  });

  test('of "3 x beech 14" only the three is counted', () => {
    expect(JSON.stringify(keptOf('3 x beech 14') ?? [])).not.toContain('"count":14');
  });

  // Geometry: the area of a rectangle is the product of its sides; 43 560 square feet to the acre (NIST SP 811, App. B.8).
  test('two sides are kept as their area, in the units of the book', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 6, max: 60 }),
        fc.integer({ min: 6, max: 60 }),
        fc.boolean(),
        async (one, other, metric) => {
          const { session } = await converse();
          const tell = (note: Note) =>
            session.tell({ words: '', candidates: [{ notes: [note], words: '', posterior: 1 }] });
          await tell({ kind: 'setting', set: { what: 'units', units: metric ? 'metres' : 'feet' } });
          await tell(plot('open', { number: 1, size: sides(one, other) }));
          const [kept] = [...session.book.plots()];
          const size = kept?.size;
          const expected = metric ? one * other : (one * other) / 43560;
          if (size === undefined || size === null) return;
          expect(size.by).toBe('area');
          expect(size.by === 'area' && size.unit).toBe(metric ? 'm2' : 'acre');
          expect(size.by === 'area' ? size.value : Number.NaN).toBeCloseTo(expected, metric ? 3 : 5);
        },
      ),
      { numRuns: 25 },
    );
  });

  test('is offered in words', () => {
    const speak = (note: Note) => speaker.speak(note);
    expect(speakOnlyTyped(plot('open', { number: 2, size: sides(20, 30, 'm') }), speak)).toBe(
      'plot two, twenty by thirty metres',
    );
    expect(speakOnlyTyped(plot('size', { number: 1, size: sides(25, 25) }), speak)).toBe(
      'plot one was twenty five by twenty five',
    );
  });
});

describe('where no plot is open', () => {
  test('closing says what to say, and holds up nothing that comes behind it', async () => {
    const { session } = await converse();
    const tell = async (words: string) => {
      const read = understandTyped(words);
      if (!read.ok) throw new Error(read.error);
      return (await session.tell({ words, candidates: read.value })).answer;
    };
    expect((await tell('close it out')).reply).toBe('No plot is open. Say plot 1 to begin it.');
    expect((await tell('done here, on to the next one')).reply).toMatch(/^No plot is open\. Plot 1\./);
    await tell('close it out');
    expect((await tell('close plot one')).reply).toBe('Plot 1 was closed already.');
  });
});
