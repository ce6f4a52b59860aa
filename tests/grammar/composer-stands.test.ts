/** Stands as people call them, and what they plan there; sentences of our own wood. What each means is worked by hand. */
import { describe, expect, test } from 'vitest';
import { speakOnlyTyped } from '../../grammar/writing/speak-typed.ts';
import type { Note, NoteOf } from '../../shared/note/note.ts';
import { speaker } from '../support/language.ts';
import { keptOf } from '../support/typed.ts';

const stand = (name: string, rest: Omit<NoteOf<'stand'>, 'kind' | 'name'> = {}): Note => ({
  kind: 'stand',
  name,
  ...rest,
});
const remark = (text: string): Note => ({ kind: 'remark', text });
const plan = (count: number): Note => ({ kind: 'plot', op: 'plan', count });
const least = (value?: number, unit?: 'in' | 'cm'): Note => ({
  kind: 'plot',
  op: 'least',
  ...(value === undefined ? {} : { diameter: { value, ...(unit ? { unit } : {}) } }),
});
const acres = (value: number) => ({ area: { value, unit: 'acre' as const } });

describe('a stand by its number, with what grows there', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['stand 6, lowland ash and alder, 12 acres', [stand('6', acres(12)), remark('lowland ash and alder')]],
    [
      'new stand, number 8, old beech and lime, nine acres',
      [stand('8', acres(9)), remark('old beech and lime')],
    ],
    ["we're in stand 5, upland softwoods", [stand('5'), remark('upland softwoods')]],
    ['moving to stand 7', [stand('7')]],
    ["we're in stand eleven now", [stand('11')]],
    ["we're in Tarn Wood, compartment 9c", [stand('tarn wood 9c')]],
    ['compartment 21', [stand('21')]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test('a single kind behind it may be a tree whose size is to come: it is asked', () => {
    expect(keptOf('stand 4, beech')).toBeUndefined();
  });

  test('a plot by its number, a tree by its number and a number alone are no stand', () => {
    for (const said of ['plot 6, tenth acre', 'tree 6', 'number 6', 'back to 6', 'back to tree 6'])
      expect(keptOf(said)?.some(({ kind }) => kind === 'stand') ?? false, said).toBe(false);
  });
});

describe('a stand that was named before', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['back to stand 6', [stand('6', { back: true })]],
    ['done with stand 6, back to 2', [stand('6', { done: true }), stand('2', { back: true })]],
    ["ok stand 6's finished", [stand('6', { done: true })]],
    [
      'back to Tarn Wood, plot five',
      [stand('tarn wood', { back: true }), { kind: 'plot', op: 'open', number: 5 }],
    ],
    ['going back to compartment 9c', [stand('9c', { back: true })]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('what is planned', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['planning 14 points here', [plan(14)]],
    ['want nine plots in this one', [plan(9)]],
    ['six plots planned', [plan(6)]],
    ['make it 22 points then', [plan(22)]],
    ['15 points instead of 12', [plan(15)]],
    ['nothing under 4 inches', [least(4, 'in')]],
    ['everything six centimetres and up', [least(6, 'cm')]],
    ["don't bother with anything under nine centimetres", [least(9, 'cm')]],
    ['trees below three inches are left out', [least(3, 'in')]],
    ['minimum dbh is 5', [least(5)]],
    ['measure every tree', [least()]],
    ['plot 2, everything four inches and up', [{ kind: 'plot', op: 'open', number: 2 }, least(4, 'in')]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test('what was taken, what is asked and what is laid out by chance is no plan', () => {
    for (const said of [
      'we did 9 points',
      'nine points done',
      'how many points left',
      'lay out nine plots',
      'plot nine',
    ])
      expect(
        (keptOf(said) ?? []).some((note) => note.kind === 'plot' && note.op === 'plan'),
        said,
      ).toBe(false);
  });

  test('no limit is made of what is dead below it or what grows under it', () => {
    for (const said of [
      'everything under five inches is dead',
      'nothing over twelve here',
      'beech five inches and ash',
    ])
      expect(
        (keptOf(said) ?? []).some((note) => note.kind === 'plot' && note.op === 'least'),
        said,
      ).toBe(false);
  });
});

test('what only typing can tell is read as it is spoken', () => {
  const speak = (note: Note): string => speakOnlyTyped(note, speaker.speak) ?? '';
  for (const note of [
    plan(14),
    least(4, 'in'),
    least(7, 'cm'),
    least(),
    stand('6', { back: true }),
    stand('6', { done: true }),
  ])
    expect(keptOf(speak(note)), speak(note)).toEqual([note]);
});
