/**
 * Numbers among typed words, however they are written: "14.2", "fourteen two", "one oh five", "two and a half", "a quarter",
 * "5'6"", "a metre twelve", each with its unit. The words are those of the description's number parts.
 */
import { fractions, ones, plotFractions, teens, tens, unitWords } from '../description/numbers.ts';

/** A typed word, number or sign, in lower case. */
export interface Token {
  readonly text: string;
  /** A word as it was written, in lower case, where that has accents. */
  readonly name?: string;
  /** Of a number in digits. */
  readonly value?: number;
  /** Written with a capital. */
  readonly capital: boolean;
  /** The sign or space before it: nothing stands between it and the token before. */
  readonly touches: boolean;
}

export type QuantityUnit =
  | 'ft'
  | 'm'
  | 'cm'
  | 'in'
  | 'chain'
  | 'yd'
  | 'deg'
  | 'pct'
  | 'acre'
  | 'ha'
  | 'm2'
  | 'paces'
  | 'steps'
  | 'logs';

export interface Quantity {
  readonly value: number;
  readonly unit?: QuantityUnit;
  /** "fourteen two", "five six": 14.2 or five and six. */
  readonly pair?: readonly [number, number];
  readonly sign?: 1 | -1;
  /** "Twenty by thirty": both; the value is the first. */
  readonly sides?: readonly [number, number];
  /** The letter that stands for it, of a plot. */
  readonly letter?: string;
  /** Tokens that it takes. */
  readonly length: number;
}

const small = new Map<string, number>([
  ...ones.map((word, i) => [word, i + 1] as const),
  ...teens.map((word, i) => [word, i + 10] as const),
]);
const ten = new Map(tens.map((word, i) => [word, i * 10 + 20] as const));
const digits = new Map<string, number>([
  ...ones.map((word, i) => [word, i + 1] as const),
  ['oh', 0],
  ['zero', 0],
  ['nought', 0],
]);
const parts = new Map<string, number>(
  fractions.flatMap(({ over, one, many }) => [
    [one, over],
    [many, over],
  ]),
);
const areaParts = new Map<string, number>(
  plotFractions.flatMap(({ over, one, many }) => [
    [one, over],
    [many, over],
  ]),
);

const units = new Map<string, QuantityUnit>([
  ...Object.entries(unitWords).flatMap(([unit, words]) =>
    words.map((word) => [word, unit as QuantityUnit] as const),
  ),
  ['ft', 'ft'],
  ["'", 'ft'],
  ['"', 'in'],
  ["''", 'in'],
  ['in', 'in'],
  ['ins', 'in'],
  ['inch', 'in'],
  ['m', 'm'],
  ['cm', 'cm'],
  ['cms', 'cm'],
  ['ch', 'chain'],
  ['yd', 'yd'],
  ['yds', 'yd'],
  ['°', 'deg'],
  ['deg', 'deg'],
  ['degs', 'deg'],
  ['%', 'pct'],
  ['pct', 'pct'],
  ['percent', 'pct'],
  ['percents', 'pct'],
  ['ac', 'acre'],
  ['ha', 'ha'],
  ['pace', 'paces'],
  ['paces', 'paces'],
  ['p', 'paces'],
  ['step', 'steps'],
  ['steps', 'steps'],
  ['log', 'logs'],
  ['logs', 'logs'],
  ['sawlog', 'logs'],
  ['sawlogs', 'logs'],
  ['l', 'logs'],
]);
/** Units that are other words where nobody typed the number in digits. */
const onlyTyped = new Set(['in', 'm', 'ch', "'", '"', "''", 'ac', 'p', 'ins', 'l']);
const beforeUnit = new Set([
  'of',
  'my',
  'his',
  'her',
  'full',
  'big',
  'good',
  'single',
  'long',
  'saw',
  'double',
  'more',
]);

/** Units that are told in another: an are is 100 square metres, a decare 1000. Source: the names of the metric system. */
const scaledUnits: ReadonlyMap<string, { readonly unit: QuantityUnit; readonly times: number }> = new Map(
  (
    [
      ['mm millimetre millimetres millimeter millimeters', 'cm', 0.1],
      ['ares', 'm2', 100],
      ['decare decares dekar daa', 'm2', 1000],
    ] as const
  ).flatMap(([words, unit, times]) => words.split(' ').map((word) => [word, { unit, times }] as const)),
);

type Word = (at: number) => string;
const wordOf =
  (tokens: readonly Token[]): Word =>
  (at) =>
    tokens[at]?.text ?? '';

/** The number that begins at a token; undefined where none does. */
export function numberAt(tokens: readonly Token[], from: number): Quantity | undefined {
  const word = wordOf(tokens);
  const signed = /^(?:[+-]|minus|negative|plus)$/.test(word(from));
  const plain = valueAt(tokens, signed ? from + 1 : from);
  if (plain === undefined) return undefined;
  const typed = tokens[plain.to - 1]?.value !== undefined;
  const measured = unitBehind(tokens, plain.to, typed);
  const { unit, times = 1 } = measured;
  if (plain.area && unit !== 'acre' && unit !== 'ha') return undefined;
  // "Five foot six", "one metre sixty five", "a chain and a half".
  const more =
    unit !== undefined && goesOn.has(unit) ? moreBehind(tokens, measured.to, unit, typed) : undefined;
  return {
    value: round(plain.value * times) + (more?.value ?? 0),
    ...(unit === undefined ? {} : { unit }),
    ...(plain.pair === undefined || unit === 'logs' ? {} : { pair: plain.pair }),
    ...(signed ? { sign: /^(?:-|minus|negative)$/.test(word(from)) ? (-1 as const) : (1 as const) } : {}),
    length: (more?.to ?? measured.to) - from,
  };
}

/** Less is counted, not measured, on both sides of a "by". */
const leastSide = 5;

/** "Twenty by thirty metres", "25x25": the sides of a plot; undefined where no number goes on so. */
export function sidesAt(tokens: readonly Token[], from: number): Quantity | undefined {
  const one = numberAt(tokens, from);
  if (one === undefined || !/^(?:by|x)$/.test(tokens[from + one.length]?.text ?? '')) return undefined;
  const other = numberAt(tokens, from + one.length + 1);
  if (other === undefined || one.sign !== undefined || other.sign !== undefined) return undefined;
  const unit = other.unit ?? one.unit;
  const isSide = unit === undefined || unit === 'ft' || unit === 'm' || unit === 'yd' || unit === 'chain';
  const apart = one.unit !== undefined && other.unit !== undefined && one.unit !== other.unit;
  if (!isSide || apart || ((one.value < leastSide || other.value < leastSide) && unit !== 'chain'))
    return undefined;
  return {
    value: one.value,
    sides: [one.value, other.value],
    ...(unit === undefined ? {} : { unit }),
    length: one.length + 1 + other.length,
  };
}

const goesOn: ReadonlySet<QuantityUnit> = new Set<QuantityUnit>(['ft', 'm', 'chain', 'logs', 'paces']);
/** Units that may stand behind a word more: "eight of my paces", "three saw logs". */
const looseUnits: ReadonlySet<QuantityUnit> = new Set<QuantityUnit>(['paces', 'steps', 'logs', 'acre', 'ha']);

/** The unit behind a number, and where it ends. */
function unitBehind(
  tokens: readonly Token[],
  at: number,
  typed: boolean,
): { unit?: QuantityUnit; times?: number; to: number } {
  const word = wordOf(tokens);
  if (/^(?:square|sq)$/.test(word(at)) && /^(?:metres?|meters?|m)$/.test(word(at + 1)))
    return { unit: 'm2', to: at + 2 };
  if (typed && word(at) === 'sqm') return { unit: 'm2', to: at + 1 };
  if (word(at) === 'per' && word(at + 1) === 'cent') return { unit: 'pct', to: at + 2 };
  let behind = at;
  if (
    /^(?:sixteen|16)$/.test(word(at)) &&
    word(at + 1) === 'foot' &&
    /^(?:logs?|saw|sawlogs?)$/.test(word(at + 2))
  )
    behind += 2;
  else if (word(at) === 'of' && /^an?$/.test(word(at + 1))) behind += 2;
  // "Half a metre".
  else if (/^(?:half|quarter|third)$/.test(word(at - 1)) && /^an?$/.test(word(at))) behind += 1;
  else while (behind < at + 3 && beforeUnit.has(word(behind))) behind++;
  const scaled = scaledUnits.get(word(behind));
  if (scaled !== undefined) return { ...scaled, to: behind + 1 };
  const found = unitOf(tokens, behind, typed);
  // A double step is a pace.
  const double = found === 'steps' && tokens.slice(at, behind).some(({ text }) => text === 'double');
  const unit = double ? 'paces' : found;
  if (unit === undefined || (behind > at && !looseUnits.has(unit))) return { to: at };
  return squared(tokens, behind, unit);
}

/** The unit at a place, or so many square metres: "400 m2", "2 m2/ha" of a gauge. */
function squared(
  tokens: readonly Token[],
  at: number,
  unit: QuantityUnit,
): { unit: QuantityUnit; to: number } {
  const word = wordOf(tokens);
  const square = unit === 'm' && word(at + 1) === '2' && tokens[at + 1]?.touches === true;
  if (!square) return { unit, to: at + 1 };
  const perHectare = /^(?:\/|per|a)$/.test(word(at + 2)) && /^(?:ha|hectare|hectares)$/.test(word(at + 3));
  return { unit: 'm2', to: at + (perHectare ? 4 : 2) };
}

function unitOf(tokens: readonly Token[], at: number, typed: boolean): QuantityUnit | undefined {
  const token = tokens[at];
  if (token === undefined) return undefined;
  if (onlyTyped.has(token.text)) {
    // What somebody puts in quotes stands for no inches.
    const quotes =
      /^["']/.test(token.text) &&
      !token.touches &&
      tokens.slice(at + 1).some(({ text }) => text === token.text);
    if (!typed || quotes) return undefined;
    // "WO 19 2L": no litres.
    if (token.text === 'l' && !token.touches) return undefined;
    if (token.text === 'in' && /^(?:or|the|this|that|it|here|plot)$/.test(tokens[at + 1]?.text ?? ''))
      return undefined;
  }
  return units.get(token.text);
}

/** What stands behind a unit and belongs to the same length. */
function moreBehind(
  tokens: readonly Token[],
  at: number,
  unit: QuantityUnit,
  typed: boolean,
): { value: number; to: number } | undefined {
  const word = wordOf(tokens);
  const part = andPart(word, at);
  if (part !== undefined && part.value < 1) return part;
  if (word(at) === 'and' && word(at + 1) === 'half') return { value: 0.5, to: at + 2 };
  if (unit !== 'ft' && unit !== 'm') return undefined;
  const joined = word(at) === 'and';
  const next = valueAt(tokens, joined ? at + 1 : at);
  if (next === undefined) return undefined;
  const inDigits = tokens[next.to - 1]?.value !== undefined;
  const follows = unitOf(tokens, next.to, inDigits);
  const to = next.to + (follows === undefined ? 0 : 1);
  if (unit === 'm') {
    const hundredths = (follows === undefined || follows === 'cm') && !typed && !inDigits && !joined;
    return hundredths && Number.isInteger(next.value) && next.value < 100
      ? { value: next.value / 100, to }
      : undefined;
  }
  if (next.value >= 12 || (follows !== undefined && follows !== 'in')) return undefined;
  // "5'6": what touches; in words what has no unit of its own, or inches.
  // "4 foot 2 around".
  const around =
    /^(?:around|round|girth)$/.test(word(next.to)) ||
    // "Girth 11 foot 4": a stem has no other number behind that.
    tokens.slice(Math.max(0, at - 5), at).some(({ text }) => /^(?:girth|circumference)$/.test(text));
  // "30 foot 6 away": nothing stands behind it of which the six could be.
  const ends = word(at - 1) === 'foot' && /^(?:|[,.;:?!]|and|away|off|out|back|to)$/.test(word(next.to));
  const apart = typed && inDigits && !tokens[at]!.touches && !around && !ends;
  return follows === undefined && (apart || joined) ? undefined : { value: next.value / 12, to };
}

interface Plain {
  value: number;
  to: number;
  pair?: readonly [number, number];
  /** A fraction that only areas have. */
  area?: boolean;
}

/** The value without sign and unit. */
function valueAt(tokens: readonly Token[], from: number): Plain | undefined {
  const word = wordOf(tokens);
  const typed = tokens[from]?.value;
  if (typed !== undefined) {
    // "20 1/2" is one token; "18 and a half" goes on in words.
    const half = Number.isInteger(typed) ? andPart(word, from + 1) : undefined;
    return half === undefined ? { value: typed, to: from + 1 } : { value: typed + half.value, to: half.to };
  }
  // "Log and a half", "chain and a half": the unit stands before.
  if (/^(?:log|chain)$/.test(word(from)) && andPart(word, from + 1)?.value === 0.5)
    return { value: 1, to: from };
  const alone = partAlone(word, from);
  if (alone !== undefined) return alone;
  const whole = wholeAt(word, from);
  const decimals = decimalsAt(word, whole?.to ?? from);
  if (whole === undefined) return decimals;
  if (decimals !== undefined) return { value: round(whole.value + decimals.value), to: decimals.to };
  const half = andPart(word, whole.to);
  if (half !== undefined) return { value: whole.value + half.value, to: half.to };
  const many = areaParts.get(word(whole.to));
  if (many !== undefined && whole.value < many && /^(?:of|an?|acres?|hectares?)$/.test(word(whole.to + 1)))
    return { value: whole.value / many, to: whole.to + 1, area: true };
  return (
    (whole.pairable ? pairAt(word, whole.value, whole.to) : undefined) ?? { value: whole.value, to: whole.to }
  );
}

/** "Fourteen two", "twenty two four", "five eleven": what stands behind the whole number. */
function pairAt(word: Word, value: number, at: number): Plain | undefined {
  const last = digits.get(word(at)) ?? (/^(?:ten|eleven)$/.test(word(at)) ? small.get(word(at)) : undefined);
  if (last === undefined || (last > 9 && value > 9)) return undefined;
  const behind = word(at + 1);
  // "Seventeen one log": the last belongs to what it counts.
  const counts = /^(?:logs?|paces?|steps?|sawlogs?|stems?|percent|and|saw|sixteen|hundred|point)$/;
  if (small.has(behind) || ten.has(behind) || counts.test(behind)) return undefined;
  return { value: round(value + last / (last < 10 ? 10 : 100)), to: at + 1, pair: [value, last] };
}

const round = (value: number): number => Math.round(value * 1e6) / 1e6;

function partAlone(word: Word, from: number): Plain | undefined {
  const article = /^(?:an?|one)$/.test(word(from)) ? 1 : 0;
  const name = word(from + article);
  const over = parts.get(name);
  const ofArea = /^(?:of|an?|acres?|hectares?|ac)$/.test(word(from + article + 1));
  if (over !== undefined && (article === 1 || name === 'half' || (name === 'quarter' && ofArea)))
    return { value: 1 / over, to: from + article + 1 };
  const area = areaParts.get(name);
  if (area !== undefined && ofArea) return { value: 1 / area, to: from + article + 1, area: true };
  if (article === 0) return undefined;
  // "A chain", "a metre twelve", "a log and a half": the article is the number.
  if (word(from) !== 'one' && /^(?:chain|metre|meter|foot|yard|log)$/.test(name))
    return { value: 1, to: from + 1 };
  return undefined;
}

function andPart(word: (at: number) => string, at: number): { value: number; to: number } | undefined {
  if (word(at) !== 'and' && word(at) !== 'plus') return undefined;
  if (/^(?:an?|one)$/.test(word(at + 1)) && parts.has(word(at + 2)))
    return { value: 1 / (parts.get(word(at + 2)) ?? 1), to: at + 3 };
  const top = small.get(word(at + 1)) ?? digitOf(word(at + 1));
  // "Twenty four and three tenths", of whatever is measured.
  if (/^(?:an?|one)$/.test(word(at + 1)) && word(at + 2) === 'tenth') return { value: 0.1, to: at + 3 };
  if (top !== undefined && top < 10 && word(at + 2) === 'tenths') return { value: top / 10, to: at + 3 };
  if (top !== undefined && top < 8 && parts.has(word(at + 2)) && /s$/.test(word(at + 2)))
    return { value: top / (parts.get(word(at + 2)) ?? 1), to: at + 3 };
  return undefined;
}

const digitOf = (text: string): number | undefined => (/^[1-9]$/.test(text) ? Number(text) : undefined);

function decimalsAt(word: (at: number) => string, at: number): { value: number; to: number } | undefined {
  if (word(at) !== 'point' && word(at) !== 'comma') return undefined;
  let text = '';
  let to = at + 1;
  for (;;) {
    const tenth = ten.get(word(to));
    if (tenth !== undefined && text === '') {
      const one = digits.get(word(to + 1));
      text = one === undefined || one === 0 ? String(tenth) : String(tenth + one);
      to += one === undefined || one === 0 ? 1 : 2;
      break;
    }
    const digit = digits.get(word(to));
    if (digit === undefined) break;
    text += String(digit);
    to++;
  }
  return text === '' ? undefined : { value: Number(`0.${text}`), to };
}

interface Whole {
  readonly value: number;
  readonly to: number;
  /** A digit behind it is a tenth. */
  readonly pairable: boolean;
}

/** "A hundred and six", "one twenty", "one oh five", "forty two". */
function wholeAt(word: Word, from: number): Whole | undefined {
  const first = word(from) === 'a' ? 1 : small.get(word(from));
  if (word(from) === 'hundred') return hundredsAt(word, from + 1, 1);
  if (first !== undefined && word(from + 1) === 'hundred') return hundredsAt(word, from + 2, first);
  if (first !== undefined && word(from + 1) === 'thousand') return thousandsAt(word, from, first);
  if (word(from) === 'a') return undefined;
  const shifted = first !== undefined && first < 3 ? shiftedAt(word, from + 1, first) : undefined;
  if (shifted !== undefined) return shifted;
  const plain = belowHundred(word, from);
  return plain === undefined ? undefined : { ...plain, pairable: plain.value > 0 };
}

function belowHundred(word: Word, at: number): { value: number; to: number } | undefined {
  const tenth = ten.get(word(at));
  if (tenth === undefined) {
    const one = small.get(word(at)) ?? (/^(?:zero|nought)$/.test(word(at)) ? 0 : undefined);
    return one === undefined ? undefined : { value: one, to: at + 1 };
  }
  const one = small.get(word(at + 1));
  return one !== undefined && one < 10 ? { value: tenth + one, to: at + 2 } : { value: tenth, to: at + 1 };
}

/** What stands behind so many hundreds. */
function hundredsAt(word: Word, at: number, many: number): Whole {
  const rest = belowHundred(word, word(at) === 'and' ? at + 1 : at);
  return { value: many * 100 + (rest?.value ?? 0), to: rest?.to ?? at, pairable: false };
}

/** "One thousand two hundred", "two thousand and fifty"; "a thousand two" is what a price is for, and two of something. */
function thousandsAt(word: Word, from: number, many: number): Whole {
  const at = from + 2;
  const hundreds = small.get(word(at));
  const rest =
    hundreds !== undefined && word(at + 1) === 'hundred'
      ? hundredsAt(word, at + 2, hundreds)
      : word(from) === 'a'
        ? undefined
        : belowHundred(word, word(at) === 'and' ? at + 1 : at);
  return { value: many * 1000 + (rest?.value ?? 0), to: rest?.to ?? at, pairable: false };
}

/** "One twenty", "one oh five". */
function shiftedAt(word: Word, at: number, many: number): Whole | undefined {
  const digit = /^(?:oh|zero)$/.test(word(at)) ? digits.get(word(at + 1)) : undefined;
  if (digit !== undefined && digit > 0) return { value: many * 100 + digit, to: at + 2, pairable: false };
  const shifted = belowHundred(word, at);
  return shifted === undefined || shifted.value < 10
    ? undefined
    : { value: many * 100 + shifted.value, to: shifted.to, pairable: false };
}
