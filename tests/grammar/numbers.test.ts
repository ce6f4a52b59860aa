/** Numbers as people say and type them, read through a rule that takes any of them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compile } from '../../grammar/automaton/compile.ts';
import type { Description } from '../../grammar/description/model.ts';
import { normalise } from '../../grammar/description/normalise.ts';
import { sayCount, sayNumber } from '../../grammar/description/spell-numbers.ts';
import { createReader } from '../../grammar/reading/exact.ts';

const parts = ['number', 'length', 'decimalPair', 'feetPair', 'angle', 'area', 'diameterOrNumber'];
const description: Description = {
  version: 'numbers',
  rules: [
    ...parts.map((part) => ({
      id: `say.${part}`,
      family: 'test',
      patterns: [`${part.toLowerCase()} <${part}> {=#u}`],
    })),
    { id: 'say.pair', family: 'test', patterns: ['pair <pair> {value=#} {pair=##}'] },
    { id: 'say.minus', family: 'test', patterns: ['signed (minus <angle> {=#-u} | [plus] <angle> {=#u})'] },
  ],
  fillers: [],
  freeWords: [],
};
const reader = createReader(compile(description));

function said(words: string): unknown {
  const read = reader.read(words);
  if (!read.ok) return read.error.message;
  expect(read.value, words).toHaveLength(1);
  return read.value[0]!.notes[0];
}

describe('a number in words', () => {
  test.each([
    ['eight', 8],
    ['zero', 0],
    ['forty two', 42],
    ['one hundred six', 106],
    ['a hundred and six', 106],
    ['one oh five', 105],
    ['one twenty', 120],
    ['one twenty two', 122],
    ['one four two', 142],
    ['double two', 22],
    ['one double two', 122],
    ['twelve hundred', 1200],
    ['nine thousand nine hundred and ninety nine', 9999],
    ['twelve point oh five', 12.05],
    ['point five', 0.5],
    ['oh point two five', 0.25],
    ['one four point two', undefined],
    ['one four two point two', 142.2],
    ['two and a half', 2.5],
    ['two and one half', 2.5],
    ['a half', 0.5],
    ['three quarters', 0.75],
    ['a third', 1 / 3],
    ['fourteen and three eighths', 14.375],
    ['five eighths', 0.625],
    ['one point one', 1.1],
    ['eight point three', 8.3],
  ])('"%s" is %d', (words, value) => {
    if (value === undefined) expect(said(`number ${words}`)).toMatch(/^Expected/);
    else expect(said(`number ${words}`)).toEqual({ value });
  });

  test.each([
    ['length five foot six', 5.5, 'ft'],
    ['length five feet and six inches', 5.5, 'ft'],
    ['length five foot five', 5 + 5 / 12, 'ft'],
    ['length five foot six and a half inches', 5 + 6.5 / 12, 'ft'],
    ['length sixty six feet', 66, 'ft'],
    ['length a chain', 1, 'chain'],
    ['length half a chain', 0.5, 'chain'],
    ['length one chain', 1, 'chain'],
    ['length twelve point eight meters', 12.8, 'm'],
    ['length forty yards', 40, 'yd'],
    ['length thirty centimetres', 30, 'cm'],
    ['feetpair five six', 5.5, 'ft'],
    ['feetpair six oh', 6, 'ft'],
    ['decimalpair fourteen two', 14.2, undefined],
    ['decimalpair twenty two four', 22.4, undefined],
    ['diameterornumber sixteen two inches', 16.2, 'in'],
    ['angle thirty percent', 30, 'pct'],
    ['angle thirty per cent', 30, 'pct'],
    ['signed minus four degrees', -4, 'deg'],
    ['signed plus four degrees', 4, 'deg'],
    ['area a tenth of an acre', 0.1, 'acre'],
    ['area tenth acre', 0.1, 'acre'],
    ['area one twenty fifth of a hectare', 0.04, 'ha'],
    ['area forty acres', 40, 'acre'],
    ['area half an acre', 0.5, 'acre'],
  ])('"%s" is %d %s', (words, value, unit) => {
    expect(said(words)).toEqual(unit === undefined ? { value } : { value, unit });
  });

  test('a pair keeps both numbers', () => {
    expect(said('pair five six')).toEqual({ value: 5.6, pair: [5, 6] });
    expect(said('pair five eleven')).toEqual({ value: 5.11, pair: [5, 11] });
  });

  test('every count from 0 to 9999 is spelled as it is read', () => {
    for (let count = 0; count <= 9999; count++)
      expect(said(`number ${sayCount(count)}`)).toEqual({ value: count });
  });

  test('every decimal is the double that its digits name', () => {
    fc.assert(
      fc.property(fc.nat(9999), fc.stringMatching(/^\d{1,6}$/), (whole, decimals) => {
        const value = Number(`${whole}.${decimals}`);
        expect(said(`number ${sayNumber(value)}`)).toEqual({ value });
        expect(said(`number ${whole}.${decimals}`)).toEqual({ value });
      }),
      { numRuns: 2000 },
    );
  });
});

describe('what is typed means what is said', () => {
  test.each([
    ['8 paces, eye 5.5', 'eight paces, eye five point five'],
    ['5\'6"', 'five feet six inches'],
    ["5' 6”", 'five feet six inches'],
    ["5'5''", 'five feet five inches'],
    ['12.5m', 'twelve point five metres'],
    ['12.5 m.', 'twelve point five metres'],
    ['32%', 'thirty two percent'],
    ['14 1/2', 'fourteen and one half'],
    ['14-1/2', 'fourteen and one half'],
    ['14½ in', 'fourteen and one half inches'],
    ['14 7/16', 'fourteen point four three seven five'],
    ['42°', 'forty two degrees'],
    ['-4', 'minus four'],
    ['−4°', 'minus four degrees'],
    ['+8', 'plus eight'],
    ['base -4, 66 ft', 'base minus four, sixty six feet'],
    ['1/10 acre', 'one tenth acre'],
    ['0.1 ac', 'zero point one acres'],
    ['12.05', 'twelve point oh five'],
    ['1,200 ft', 'one thousand two hundred feet'],
    ['takes 92, 97, 90', 'takes ninety two, ninety seven, ninety'],
    ['11.4; 1.5 logs.', 'eleven point four, one point five logs'],
    ['beech 14. 8 paces.', 'beech fourteen, eight paces'],
    ['14 in at 38.6 ft, in or out?', 'fourteen inches at thirty eight point six feet, in or out'],
    ['centre at 36.9 in or out', 'centre at thirty six point nine in or out'],
    ["What's the Basal-Area?", "what's the basal area"],
    ['How many TREES', 'how many trees'],
    ['sixty-six feet', 'sixty six feet'],
    ['plot #7', 'plot seven'],
    ['', ''],
  ])('"%s" is "%s"', (typed, words) => {
    expect(normalise(typed)).toBe(words);
  });

  test('typed and said numbers read the same', () => {
    fc.assert(
      fc.property(fc.nat(9999), fc.constantFrom('ft', 'in', 'm', 'cm', 'yd'), (tenths, unit) => {
        const value = tenths / 10;
        expect(said(`length ${value} ${unit}`)).toEqual({ value, unit });
        expect(said(`length ${value}${unit}`)).toEqual({ value, unit });
      }),
      { numRuns: 500 },
    );
  });

  test('feet and inches with a mark are the feet plus a twelfth of the inches', () => {
    for (let feet = 1; feet < 9; feet++) {
      for (let inches = 0; inches < 12; inches++) {
        expect(said(`length ${feet}'${inches}"`)).toEqual({ value: feet + inches / 12, unit: 'ft' });
      }
    }
  });
});
