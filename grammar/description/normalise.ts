/**
 * Typed text to canonical words: case, punctuation, digits, fractions, signs and unit symbols become the words that
 * the automaton knows, so that typing and speaking share one reader.
 */
import { sayCount, sayDecimals, sayFraction, sayNumber } from './spell-numbers.ts';

/** Typed units, only directly after a number, with the word that is spoken for them. */
const typedUnits: ReadonlyMap<string, string> = new Map([
  ["'", 'feet'],
  ['ft', 'feet'],
  ['"', 'inches'],
  ['in', 'inches'],
  ['ins', 'inches'],
  ['m', 'metres'],
  ['cm', 'centimetres'],
  ['ch', 'chains'],
  ['yd', 'yards'],
  ['yds', 'yards'],
  ['°', 'degrees'],
  ['deg', 'degrees'],
  ['%', 'percent'],
  ['pct', 'percent'],
  ['ac', 'acres'],
  ['ha', 'hectares'],
]);

/** Short forms that people type, wherever they stand. Common practice, no source. */
const shortForms: ReadonlyMap<string, string> = new Map([
  ['deg', 'degrees'],
  ['pct', 'percent'],
  ['perc', 'percent'],
  ['ht', 'height'],
  ['hgt', 'height'],
  ['dia', 'diameter'],
  ['diam', 'diameter'],
  ['circ', 'circumference'],
  ['dist', 'distance'],
  ['bot', 'bottom'],
  ['def', 'defect'],
  ['fc', 'form class'],
  ['approx', 'about'],
  ['hick', 'hickory'],
]);

/** Two letters for a species, read only before its diameter: "ro 14.2". Common practice, no source. */
const shortSpecies: ReadonlyMap<string, string> = new Map([
  ['ro', 'red oak'],
  ['wo', 'white oak'],
  ['bo', 'black oak'],
  ['yp', 'yellow poplar'],
  ['rm', 'red maple'],
  ['sm', 'sugar maple'],
  ['yb', 'yellow birch'],
  ['pb', 'paper birch'],
  ['bc', 'black cherry'],
  ['wa', 'white ash'],
  ['ab', 'american beech'],
  ['eh', 'eastern hemlock'],
  ['wp', 'white pine'],
  ['rp', 'red pine'],
  ['rs', 'red spruce'],
  ['bf', 'balsam fir'],
]);

/** Words behind which text stands as it was typed. */
const textBehind = /^(remark|note|call)$/;

const glyphs: Readonly<Record<string, string>> = {
  '½': ' 1/2',
  '¼': ' 1/4',
  '¾': ' 3/4',
  '⅓': ' 1/3',
  '⅔': ' 2/3',
  '⅛': ' 1/8',
  '⅜': ' 3/8',
  '⅝': ' 5/8',
  '⅞': ' 7/8',
  '’': "'",
  '‘': "'",
  '′': "'",
  '“': '"',
  '”': '"',
  '″': '"',
  '−': '-',
  '–': '-',
  '—': ' - ',
  '⁄': '/',
  '×': ' ',
  º: '°',
  '\u00a0': ' ',
};

/** "100 m²", "400 m2", "250 sq m", not "2 m2/ha". */
const squareMetres = /(?<=\d) ?(?:m(?:²|2|\^2)|sqm|sq\.? ?(?:m|metres|meters))(?![a-z0-9]| ?\/| per )/g;

/** A quadrant bearing as it is written: "n40e", "S 12.5° W". */
const quadrant = /\b([ns]) ?(\d{1,3}(?:\.\d+)?)°? ?([ew])\b/g;
const compassWords: ReadonlyMap<string, string> = new Map([
  ['n', 'north'],
  ['s', 'south'],
  ['e', 'east'],
  ['w', 'west'],
]);

/** A number (mixed fraction, fraction, decimal or whole), a word, a sign or symbol, or what parts two things. */
const pieces =
  /(\d+)[ -](\d+)\/(\d+)(?![\d.])|(\d+)\/(\d+)(?![\d.])|(\d{1,3}(?:,\d{3})+(?!\d)|\d+)(?:\.(\d+))?|\.(\d+)|[a-z]+(?:'[a-z]+)*|''|['"°%+#&=-]|[,;]|\.(?=\s)/g;

/**
 * Text with points for decimal commas: one digit behind a comma, or two behind a single digit, with no blank between and
 * no list around. "Oak 34,5 at 1,52, then 26,26,23" has two of them.
 */
const decimalPoints = (text: string): string =>
  text.replace(
    /(?<![\d.,])(?:\d+,(?=\d(?![\d.,]*\d))|\d,(?=\d\d(?![\d.,]*\d))|\d+,(?=\d\d ?(?:m|met(?:re|er)s?|ha|hectares?)\b))/g,
    (part) => `${part.slice(0, -1)}.`,
  );

const tallied =
  /(?<=[a-z][ ,])(\d{1,2}(?:\.\d)?)\/([1-6])(?![\d./])(?! ?(?:in|ins|inch|inches|"|ac|acres?|ha|cm|ft|feet|foot|m|of)\b)( [a-z])?/gi;

/**
 * What is written in signs and means something else than its figures: decimal commas, a diameter and its logs behind a name
 * as tallies write them ("SM 12/1": nobody has twelve over one inches), money.
 * Example: `asWritten('ro 14/2 wo 12/1')` is `'ro 14, 2 logs, wo 12, 1 log'`.
 */
export const asWritten = (text: string): string =>
  decimalPoints(text)
    .replace(tallied, (whole, size: string, logs: string, behind = '') =>
      Number(size) >= 2 * Number(logs) && Number(size) >= 6
        ? `${size}, ${logs} log${logs === '1' ? '' : 's'}${behind === '' ? '' : `,${behind}`}`
        : whole,
    )
    .replace(/[$€£] ?(\d[\d,.]*)(?= ?(?:an?|per|the|\/) ?[a-z])/gi, '$1 dollars')
    .replace(
      /(\d|dollars) ?\/ ?(mbf|thousand|cord|tonne|ton)\b/gi,
      (_, money: string, per: string) => `${money} a ${per === 'mbf' ? 'thousand' : per}`,
    );

/** Letters that are no letter with an accent, and what stands for them. Common practice, no source. */
const otherLetters: Readonly<Record<string, string>> = {
  ı: 'i',
  ø: 'o',
  ł: 'l',
  đ: 'd',
  ð: 'd',
  þ: 'th',
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  Ø: 'O',
  Ł: 'L',
  Đ: 'D',
  Ð: 'D',
  Þ: 'Th',
  Æ: 'Ae',
  Œ: 'Oe',
};

/** Letters without their accents. Example: `withoutAccents('inês')` is `'ines'`. */
export const withoutAccents = (text: string): string =>
  /^[ -~]*$/.test(text)
    ? text
    : text
        .normalize('NFD')
        .replace(/(?<=[a-z])\p{Mn}/giu, '')
        .normalize('NFC')
        .replace(/[ıøłđðþßæœØŁĐÐÞÆŒ]/g, (letter) => otherLetters[letter] ?? letter);

/**
 * Canonical words of typed or recognised text, single spaces between; a comma stays behind its word, where a number
 * ends for certain. Examples: `8 paces, eye 5.5` is "eight paces, eye five point five"; `5'6"` is "five feet six inches";
 * `-4°` is "minus four degrees"; `14 1/2` is "fourteen and one half".
 */
export function normalise(text: string): string {
  const lower = withoutAccents(asWritten(text).toLowerCase())
    .replace(squareMetres, ' square metres')
    .replace(/([½¼¾⅓⅔⅛⅜⅝⅞])(?=\d)/g, '$1 ')
    .replace(/[½¼¾⅓⅔⅛⅜⅝⅞’‘′“”″−–—⁄×º\u00a0]/g, (glyph) => glyphs[glyph] ?? glyph)
    .replace(quadrant, (_, from: string, degrees: string, towards: string) =>
      [compassWords.get(from), degrees, compassWords.get(towards)].join(' '),
    );
  const words: string[] = [];
  let afterNumber = false;
  let end = -1;
  for (const match of lower.matchAll(pieces)) {
    const piece = match[0];
    const at = match.index;
    if (/^[,;.]$/.test(piece)) {
      partBehind(words);
      afterNumber = false;
      continue;
    }
    const touches = at === end;
    const near = touches || (at === end + 1 && lower[end] === ' ');
    end = at + piece.length;
    if (/\d/.test(piece)) {
      words.push(typedNumber(match));
      afterNumber = true;
      continue;
    }
    const symbol = piece === "''" ? '"' : piece;
    const behind = lower.slice(end);
    const unit = afterNumber && near ? unitOf(symbol, behind) : undefined;
    afterNumber = false;
    const word = unit ?? wordOf(symbol, behind, touches, words[0]);
    if (word !== undefined) words.push(word);
  }
  return words.join(' ').replace(/,$/, '');
}

/** A comma behind the last word, if it has none yet. */
function partBehind(words: string[]): void {
  const last = words.length - 1;
  if (last >= 0 && !words[last]!.endsWith(',')) words[last] += ',';
}

/** "In" is inches behind a number, but not in "in or out". */
const unitOf = (symbol: string, behind: string): string | undefined =>
  symbol === 'in' && /^ or out/.test(behind) ? undefined : typedUnits.get(symbol);

/** The word for a sign, a symbol or a short form; undefined where it says nothing. */
function wordOf(
  symbol: string,
  behind: string,
  touches: boolean,
  first: string | undefined,
): string | undefined {
  if (symbol === '+' || symbol === '-') {
    const signs = !touches && /^\s?[\d.]/.test(behind);
    if (!signs) return undefined;
    return symbol === '-' ? 'minus' : 'plus';
  }
  if (symbol === '&') return 'and';
  if (symbol === '=') return 'is';
  if (!/^[a-z]/.test(symbol)) return undefined;
  const short = textBehind.test(first ?? '') ? undefined : shortForms.get(symbol);
  const name = first === undefined && /^ [\d.]/.test(behind) ? shortSpecies.get(symbol) : undefined;
  return name ?? short ?? symbol;
}

function typedNumber(match: RegExpMatchArray): string {
  const [, mixedWhole, mixedTop, mixedBottom, top, bottom, whole, after, alone] = match;
  const decimals = after ?? alone;
  if (mixedBottom !== undefined)
    return fraction(Number(mixedWhole), Number(mixedTop), Number(mixedBottom), match[0]);
  if (bottom !== undefined) return fraction(0, Number(top), Number(bottom), match[0]);
  const value = Number((whole ?? '0').replaceAll(',', ''));
  return (decimals === undefined ? sayCount(value) : sayDecimals(value, decimals)) ?? match[0];
}

function fraction(whole: number, top: number, bottom: number, typed: string): string {
  const spoken = sayFraction(top, bottom);
  if (spoken !== undefined) return whole === 0 ? spoken : `${sayCount(whole)} and ${spoken}`;
  return (bottom === 0 ? undefined : sayNumber(whole + top / bottom)) ?? typed;
}
