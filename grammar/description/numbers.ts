/**
 * Numbers, lengths, angles and areas as people say them, written as rules in the notation of `model.ts`. They are
 * data like every other rule: reading, speaking, sampling and the exports know no number word but these.
 *
 * ## The parts that a pattern may name
 *
 * | part | says | tag that takes it |
 * |---|---|---|
 * | `<digit>` | one digit, zero to nine | `{x=#}` |
 * | `<count>` | 0 to 9999: "a hundred and six", "one twenty", "one oh five", "one four two", "double two" | `{x=#}` |
 * | `<number>` | a count with decimals or halves, quarters, thirds, eighths: "twelve point oh five", "two and a half", "a half" | `{x=#}` |
 * | `<decimalPair>` | "fourteen two" = 14.2, "twenty two four" = 22.4 | `{x=#}` |
 * | `<pair>` | "five six": value 5.6, pair [5, 6]; "five eleven": 5.11, [5, 11] | `{value=#}{pair=##}` |
 * | `<feetPair>` | "five six" as an eye height: 5.5 with unit ft | `{eye=#u}` |
 * | `<length>` | number and unit, feet and inches, "a chain": unit always said | `{x=#u}` |
 * | `<lengthOrNumber>` | the same, or the bare number | `{x=#u}` |
 * | `<diameter>` | number or decimal pair with inches or centimetres | `{x=#u}` |
 * | `<diameterOrNumber>` | the same, or the bare number or decimal pair | `{x=#u}` |
 * | `<angle>` | number with degrees (deg) or percent (pct) | `{x=#u}` |
 * | `<angleOrNumber>` | the same, or the bare number | `{x=#u}` |
 * | `<area>` | number with acres (acre) or hectares (ha): "a tenth acre", "quarter of an acre" | `{x=#u}` |
 * | `<areaOrNumber>` | the same, or the bare number | `{x=#u}` |
 * | `<word+>` | free words, one or more | `{x=@}` |
 *
 * `#u` sets `x.value` and, when a unit was said, `x.unit`; `#` sets x and drops the unit. `#-` and `#-u` negate
 * (write `(minus <angle> {base.angle=#-u} | [plus] <angle> {base.angle=#u})`). Units are `ft in m cm chain yd deg pct acre ha`.
 * Every part takes a sampling range: `<length:10..120>`. Any rule or part may be repeated: `<take+>`, one or more.
 * `<height/distance>` is the rule `distance` with all its paths put under `height` (`height.distance.count`); so one
 * rule serves `height.distance` and the `distance` of a change: `<distance>` there.
 */
import { unitTable } from '../../shared/core/units.ts';
import type { Rule } from './model.ts';

/** Number words by value; a second spelling after the first is read, never spoken. */
export const ones = ['one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
export const teens = [
  'ten',
  'eleven',
  'twelve',
  'thirteen',
  'fourteen',
  'fifteen',
  'sixteen',
  'seventeen',
  'eighteen',
  'nineteen',
];
export const tens = ['twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'];
const zeros = ['oh', 'zero'];

/** Fractions by their denominator: the ones that follow "and", and those of an acre. */
export const fractions: readonly { readonly over: number; readonly one: string; readonly many: string }[] = [
  { over: 2, one: 'half', many: 'halves' },
  { over: 4, one: 'quarter', many: 'quarters' },
  { over: 3, one: 'third', many: 'thirds' },
  { over: 8, one: 'eighth', many: 'eighths' },
];
export const plotFractions: typeof fractions = [
  { over: 5, one: 'fifth', many: 'fifths' },
  { over: 10, one: 'tenth', many: 'tenths' },
  { over: 20, one: 'twentieth', many: 'twentieths' },
  { over: 25, one: 'twenty fifth', many: 'twenty fifths' },
  { over: 40, one: 'fortieth', many: 'fortieths' },
  { over: 50, one: 'fiftieth', many: 'fiftieths' },
  { over: 100, one: 'hundredth', many: 'hundredths' },
  { over: 500, one: 'five hundredth', many: 'five hundredths' },
];

/** Unit words: the plural that is spoken, the singular that is spoken, then what is also read. */
export const unitWords: Readonly<Record<string, readonly string[]>> = Object.fromEntries(
  Object.entries(unitTable)
    .filter(([, { words }]) => words.length > 0)
    .map(([unit, { words }]) => [unit, words]),
);

const each = (words: readonly string[], tag: (index: number) => string): string =>
  words.map((word, index) => `${word} ${tag(index)}`).join(' | ');
const unit = (name: string, more = ''): string =>
  each([...new Set(unitWords[name])], () => `{unit ${name}}${more}`);
const units = (...names: string[]): string => names.map((name) => unit(name)).join(' | ');
const vowel = (word: string): string => (/^[aeiou]/.test(word) ? 'an' : 'a');

/** Fractions after "and": the article or the numerator is plain, the last word carries the value. */
function fractionPart(): string[] {
  return fractions.flatMap(({ over, one, many }) => [
    `(${vowel(one)} | one) ${one} {part ${1 / over}}`,
    ...ones
      .slice(1, over - 1)
      .flatMap((word, index) =>
        gcd(index + 2, over) === 1 ? [`${word} ${many} {part ${(index + 2) / over}}`] : [],
      ),
  ]);
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}

/** The rules of all number parts. Names with a dot are pieces of parts and not meant for patterns elsewhere. */
export const numberRules: readonly Rule[] = [
  { id: 'n.ones', patterns: [each(ones, (i) => `{add ${i + 1}}`)] },
  { id: 'n.teens', patterns: [each(teens, (i) => `{add ${i + 10}}`)] },
  { id: 'n.tens', patterns: [each(tens, (i) => `{add ${i * 10 + 20}}`)] },
  { id: 'n.below100', patterns: ['<n.ones> | <n.teens> | <n.tens> [<n.ones>]'] },
  { id: 'n.oneTwo', patterns: [each(ones.slice(0, 2), (i) => `{add ${i + 1}}`)] },
  {
    id: 'n.shifted',
    patterns: [
      each(teens, (i) => `{shift ${i + 10}}`),
      `(${each(tens, (i) => `{shift ${i * 10 + 20}}`)}) [<n.ones>]`,
    ],
  },
  {
    id: 'n.append',
    patterns: [each(ones, (i) => `{append ${i + 1}}`), each(zeros, () => '{append 0}')],
  },
  {
    id: 'n.double',
    patterns: [
      `double (${each(ones, (i) => `{append ${i + 1}} {append ${i + 1}}`)} | ${each(zeros, () => '{append 0} {append 0}')})`,
    ],
  },
  { id: 'n.spelled', patterns: ['<n.append> | <n.double>'] },
  {
    id: 'n.decimal',
    patterns: [each(ones, (i) => `{decimal ${i + 1}}`), each(zeros, () => '{decimal 0}')],
  },
  {
    id: 'n.decimals',
    patterns: [
      '<n.decimal+>',
      // The decimals that are said as one number; others are said digit by digit.
      'twenty {decimal 2} five {decimal 5} | seventy {decimal 7} five {decimal 5} | fifty {decimal 5}',
    ],
  },
  { id: 'n.fraction', patterns: fractionPart() },
  {
    id: 'n.fractionAlone',
    patterns: [
      'half {part 0.5} | quarter {part 0.25}',
      ...fractions.flatMap(({ over, one, many }) => [
        `(${vowel(one)} {add 1} | one {add 1}) ${one} {over ${over}}`,
        ...(over > 2
          ? [`(${each(ones.slice(1, over - 1), (i) => `{add ${i + 2}}`)}) ${many} {over ${over}}`]
          : []),
      ]),
    ],
  },
  {
    id: 'n.plotFraction',
    patterns: plotFractions.flatMap(({ over, one, many }) => [
      `${one} {part ${1 / over}}`,
      `(${vowel(one)} {add 1} | one {add 1}) ${one} {over ${over}}`,
      `(${each(ones.slice(1), (i) => `{add ${i + 2}}`)}) ${many} {over ${over}}`,
    ]),
  },
  {
    id: 'n.lastDigit',
    patterns: [each(ones, (i) => `{point} {decimal ${i + 1}}`), each(zeros, () => '{point} {decimal 0}')],
  },
  {
    id: 'n.inches',
    patterns: [
      `(${each([...ones, 'ten', 'eleven'], (i) => `{add ${i + 1}}`)}) [and <n.fraction> | point {point} <n.decimals>]`,
      each(zeros, () => '{add 0}'),
    ],
  },
  {
    id: 'digit',
    patterns: [each(ones, (i) => `{add ${i + 1}}`), each(zeros, () => '{add 0}')],
  },
  {
    id: 'count',
    patterns: [
      '<n.below100>',
      '(<n.ones> | <n.teens> | a {add 1}) hundred {times 100} [[and] <n.below100>]',
      '(<n.ones> | a {add 1}) thousand {times 1000} [[and] <n.below100> | <n.ones> hundred {times 100} [[and] <n.below100>]]',
      '<n.oneTwo> <n.shifted>',
      '<n.ones> (<n.append> <n.spelled+> | <n.double> [<n.spelled+>])',
      '<n.double> [<n.spelled+>]',
      'zero {add 0} | nought {add 0}',
    ],
  },
  {
    id: 'number',
    patterns: [
      '<count>',
      '[<count> | oh {add 0}] point {point} <n.decimals>',
      '<count> and <n.fraction>',
      '<n.fractionAlone>',
    ],
  },
  { id: 'decimalPair', patterns: ['(<n.ones> | <n.teens> | <n.tens> <n.ones>) <n.lastDigit>'] },
  {
    id: 'pair',
    patterns: [
      '<decimalPair>',
      `(${each(ones.slice(2), (i) => `{add ${i + 3}}`)}) (ten {point} {decimal 1} {decimal 0} | eleven {point} {decimal 1} {decimal 1})`,
    ],
  },
  {
    id: 'feetPair',
    patterns: [
      `(${each(ones.slice(3, 7), (i) => `{add ${i + 4}}`)}) (${each(
        [...ones, 'ten', 'eleven'],
        (i) => `{feet} {add ${i + 1}} {unit ft}`,
      )} | ${each(zeros, () => '{feet} {add 0} {unit ft}')})`,
    ],
  },
  { id: 'n.length', patterns: [units('m', 'cm', 'in', 'chain', 'yd')] },
  { id: 'n.feet', patterns: [`(${unit('ft', ' {feet}')}) [[and] <n.inches> [inches | inch]]`] },
  {
    id: 'length',
    patterns: [
      '<number> (<n.feet> | <n.length>)',
      'a {add 1} (foot {unit ft} | metre {unit m} | meter {unit m} | chain {unit chain} | yard {unit yd})',
      'half {part 0.5} a (metre {unit m} | meter {unit m} | chain {unit chain})',
    ],
  },
  { id: 'lengthOrNumber', patterns: ['<number>', '<length>'] },
  { id: 'diameter', patterns: [`(<number> | <decimalPair>) (${units('in', 'cm')})`] },
  { id: 'diameterOrNumber', patterns: ['<number> | <decimalPair>', '<diameter>'] },
  { id: 'angle', patterns: [`<number> (${units('deg', 'pct')})`] },
  { id: 'angleOrNumber', patterns: ['<number>', '<angle>'] },
  {
    id: 'area',
    patterns: [
      `<number> (${units('acre', 'ha')})`,
      `(<n.plotFraction> | <n.fractionAlone>) [of] [an | a] (acre {unit acre} | hectare {unit ha})`,
    ],
  },
  { id: 'areaOrNumber', patterns: ['<number>', '<area>'] },
];
