/**
 * Spells numbers in words, the canonical way: for speaking notes, for typed digits and for samples. Each spelling
 * is one that the rules of `numbers.ts` read back to the same value.
 */
import { fractions, ones, plotFractions, teens, tens, unitWords } from './numbers.ts';

/** A number as one part of a pattern says it. */
export interface Said {
  readonly value: number;
  readonly unit?: string | undefined;
  readonly pair?: readonly [number, number] | undefined;
}

/** 0 to 9999 as a cardinal ("one hundred six"), larger ones digit by digit; undefined for what is no count. */
export function sayCount(value: number): string | undefined {
  if (!Number.isInteger(value) || value < 0 || value > Number.MAX_SAFE_INTEGER) return undefined;
  if (value > 9999) {
    return [...String(value)].map((digit) => sayDigit(Number(digit))).join(' ');
  }
  if (value < 100) return below100[value];
  const parts: string[] = [];
  const thousands = Math.floor(value / 1000);
  const hundreds = Math.floor((value % 1000) / 100);
  if (thousands > 0) parts.push(ones[thousands - 1]!, 'thousand');
  if (hundreds > 0) parts.push(ones[hundreds - 1]!, 'hundred');
  if (value % 100 > 0) parts.push(below100[value % 100]!);
  return parts.join(' ');
}

const below100 = Array.from({ length: 100 }, (_, value) => {
  if (value === 0) return 'zero';
  if (value < 10) return ones[value - 1]!;
  if (value < 20) return teens[value - 10]!;
  const ten = tens[Math.floor(value / 10) - 2]!;
  return value % 10 === 0 ? ten : `${ten} ${ones[(value % 10) - 1]}`;
});

/** A digit within a number: "oh" for zero. */
function sayDigit(digit: number): string {
  return digit === 0 ? 'oh' : ones[digit - 1]!;
}

/** "one half", "three quarters", "three hundredths"; undefined for denominators that nobody says. */
export function sayFraction(numerator: number, denominator: number): string | undefined {
  const word = [...fractions, ...plotFractions].find(({ over }) => over === denominator);
  if (word === undefined || numerator < 1 || numerator >= Math.min(denominator, 10)) return undefined;
  return `${ones[numerator - 1]} ${numerator === 1 ? word.one : word.many}`;
}

/**
 * Any finite number from 0: whole, "and a half", decimals digit by digit, or thirds and eighths when the decimals
 * would run on. Undefined for negative and for very large or small ones.
 * Example: `sayNumber(12.05)` is "twelve point oh five".
 */
export function sayNumber(value: number): string | undefined {
  if (!(value >= 0) || value > 1e15) return undefined;
  if (Number.isInteger(value)) return sayCount(value);
  const whole = Math.floor(value);
  if (value === whole + 0.5) return whole === 0 ? 'a half' : `${sayCount(whole)} and a half`;
  const text = String(value);
  if (text.includes('e')) return undefined;
  const decimals = text.slice(text.indexOf('.') + 1);
  if (decimals.length > 4) {
    const fraction = sayWithFraction(value);
    if (fraction !== undefined) return fraction;
    // More digits than a double's mantissa holds would not be read back exactly.
    if (Number(text.replace('.', '')) > Number.MAX_SAFE_INTEGER) return undefined;
  }
  return sayDecimals(whole, decimals);
}

/** "five and three eighths": halves, quarters, thirds and eighths only. */
function sayWithFraction(value: number): string | undefined {
  const whole = Math.floor(value);
  for (const { over } of fractions) {
    for (let numerator = 1; numerator < over; numerator++) {
      if (whole + numerator / over !== value) continue;
      const fraction = sayFraction(numerator, over);
      if (fraction !== undefined) return whole === 0 ? fraction : `${sayCount(whole)} and ${fraction}`;
    }
  }
  return undefined;
}

/** A whole number and decimals as digits, trailing zeros kept: "twelve point five oh". */
export function sayDecimals(whole: number, decimals: string): string | undefined {
  const before = sayCount(whole);
  if (before === undefined) return undefined;
  return `${before} point ${[...decimals].map((digit) => sayDigit(Number(digit))).join(' ')}`;
}

/** Unit word after a number: the singular after one, a half and other fractions below one. */
function sayUnit(unit: string, value: number): string | undefined {
  const words = unitWords[unit];
  return words === undefined ? undefined : value <= 1 && value > 0 ? words[1] : words[0];
}

/**
 * Wordings of a value that a number part may have, the usual one first. Which of them a part really has is for the
 * part's own rule to say.
 * Example: the first for `{ value: 5.5, unit: 'ft' }` is "five and a half feet".
 */
export function wordings(said: Said): string[] {
  const { value, unit, pair } = said;
  if (!(value >= 0)) return [];
  const found: (string | undefined)[] = [];
  if (pair !== undefined) {
    found.push(`${sayCount(pair[0])} ${pair[1] < 10 ? sayDigit(pair[1]) : sayCount(pair[1])}`);
    return found.filter((words) => words !== undefined);
  }
  const number = sayNumber(value);
  const half = sayDecimalsOf(value);
  const long = String(value).length > 6;
  if (unit === undefined) {
    found.push(
      number,
      half,
      sayDecimalPair(value),
      value >= 100 && value < 1000 ? sayDigits(value) : undefined,
    );
  } else {
    const fraction = sayAreaFraction(value);
    if (fraction !== undefined) found.push(`${fraction} ${sayUnit(unit, 1)}`);
    if (long) found.push(sayFeetAndInches(value));
    for (const spoken of [number, half, sayWithFraction(value), sayDecimalPair(value)]) {
      if (spoken !== undefined) for (const word of unitForms(unit, value)) found.push(`${spoken} ${word}`);
    }
    found.push(sayFeetAndInches(value), sayFeetPair(value));
  }
  return found.filter((words) => words !== undefined);
}

/** The unit's words, the form that fits the number first. */
function unitForms(unit: string, value: number): readonly string[] {
  const words = unitWords[unit] ?? [];
  const fitting = sayUnit(unit, value);
  return fitting === undefined ? words : [fitting, ...words.filter((word) => word !== fitting)];
}

function sayDecimalsOf(value: number): string | undefined {
  const text = String(value);
  if (text.includes('e') || Number(text.replace('.', '')) > Number.MAX_SAFE_INTEGER) return undefined;
  if (Number.isInteger(value)) return sayDecimals(value, '0');
  return sayDecimals(Math.floor(value), text.slice(text.indexOf('.') + 1));
}

function sayDigits(value: number): string | undefined {
  return Number.isInteger(value)
    ? [...String(value)].map((digit) => sayDigit(Number(digit))).join(' ')
    : undefined;
}

function sayDecimalPair(value: number): string | undefined {
  const tenths = Math.round(value * 10);
  const whole = Math.floor(tenths / 10);
  if (whole < 1 || whole > 99) return undefined;
  const hundredths = Math.round((value - Math.floor(value)) * 100);
  if (tenths / 10 !== value) {
    return hundredths > 9 && Number(`${Math.floor(value)}.${hundredths}`) === value
      ? `${sayCount(Math.floor(value))} ${sayCount(hundredths)}`
      : undefined;
  }
  return `${sayCount(whole)} ${sayDigit(tenths % 10)}`;
}

function sayFeetPair(value: number): string | undefined {
  const inches = Math.round((value % 1) * 12);
  const feet = Math.floor(value);
  if (feet > 9 || feet + inches / 12 !== value) return undefined;
  return `${sayCount(feet)} ${inches === 0 ? 'oh' : sayCount(inches)}`;
}

function sayAreaFraction(value: number): string | undefined {
  if (value === 0.5 || value === 0.25) return value === 0.5 ? 'half' : 'quarter';
  return plotFractions.find(({ over }) => 1 / over === value)?.one;
}

/** "five foot six and a half": whole feet with inches in eighths; undefined when the inches come out otherwise. */
function sayFeetAndInches(value: number): string | undefined {
  const feet = Math.floor(value);
  const eighths = Math.round((value - feet) * 96);
  const inches = Math.floor(eighths / 8);
  if (feet + eighths / 8 / 12 !== value) {
    const exact = (value - feet) * 12;
    // Decimals as they are read, thirds as they are added to the whole inches.
    const thirds = [1 / 3, 2 / 3].map((third) => Math.floor(exact) + third);
    const decimals = [1, 10, 100, 1e3, 1e4, 1e5, 1e6].map((parts) => Math.round(exact * parts) / parts);
    const inch = [...decimals.slice(0, 4), ...thirds, ...decimals.slice(4)].find(
      (candidate) => feet + candidate / 12 === value && candidate < 12,
    );
    const spoken = inch === undefined ? undefined : sayNumber(inch);
    return spoken === undefined ? undefined : `${sayCount(feet)} foot ${spoken}`;
  }
  if (inches < 1 || inches > 11) return undefined;
  const rest = eighths % 8;
  const over = rest % 4 === 0 ? 2 : rest % 2 === 0 ? 4 : 8;
  const fraction = rest === 0 ? '' : ` and ${rest === 4 ? 'a half' : sayFraction((rest * over) / 8, over)}`;
  const whole = sayCount(feet);
  return whole === undefined ? undefined : `${whole} foot ${sayCount(inches)}${fraction}`;
}
