/** Typed text as words without their short endings, numbers with their values, and signs that say something. */
import { withoutAccents } from '../description/normalise.ts';
import type { Token } from './said-numbers.ts';

const split =
  /\d+[ -]\d+\/\d+(?![\d.])|\d+\/\d+(?![\d.])|(?:\d{1,3}(?:,\d{3})+(?!\d)|\d+)(?:\.\d+)?|\.\d+|[a-z\u00df-\u00f6\u00f8-\u024f]+(?:'[a-z\u00df-\u00f6\u00f8-\u024f]+)*|''|['"°%+=&?!,;:.()/^~#-]/gi;

const glyphs: Readonly<Record<string, string>> = {
  '½': ' 1/2',
  '¼': ' 1/4',
  '¾': ' 3/4',
  '’': "'",
  '‘': "'",
  '“': '"',
  '”': '"',
  '−': '-',
  '–': '-',
  '—': ' - ',
  '×': ' x ',
  '…': '. ',
};

const spelledOut: ReadonlyMap<string, readonly string[]> = new Map(
  Object.entries({
    "ain't": ['is', 'not'],
    "can't": ['can', 'not'],
    cannot: ['can', 'not'],
    cant: ['can', 'not'],
    "won't": ['will', 'not'],
    "isn't": ['is', 'not'],
    isnt: ['is', 'not'],
    "don't": ['do', 'not'],
    dont: ['do', 'not'],
    "doesn't": ['does', 'not'],
    "didn't": ['did', 'not'],
    "wasn't": ['was', 'not'],
    "aren't": ['are', 'not'],
    "weren't": ['were', 'not'],
    "hasn't": ['has', 'not'],
    "hadn't": ['had', 'not'],
    "wouldn't": ['would', 'not'],
    "couldn't": ['could', 'not'],
    "shouldn't": ['should', 'not'],
    "haven't": ['have', 'not'],
    thats: ['that', 'is'],
    whats: ['what', 'is'],
    theres: ['there', 'is'],
    its: ['its'],
    "let's": ['let', 'us'],
    "should've": ['should', 'have'],
    shoulda: ['should', 'have'],
    "shoulda'": ['should', 'have'],
    incher: ['inch'],
    inchers: ['inch'],
    wanna: ['want', 'to'],
    gonna: ['going', 'to'],
  }),
);

/** Short forms, with a dot behind them or without. */
const shortened: ReadonlyMap<string, readonly string[]> = new Map(
  Object.entries({
    yel: ['yellow'],
    yell: ['yellow'],
    wht: ['white'],
    blk: ['black'],
    sug: ['sugar'],
    nor: ['northern'],
    dist: ['distance'],
    hgt: ['height'],
    hts: ['heights'],
    dia: ['diameter'],
    approx: ['about'],
    tr: ['tree'],
    spec: ['specimen'],
    w: ['with'],
    wi: ['with'],
    o: ['of'],
  }),
);

const endings = new Map([
  ['m', 'am'],
  ['re', 'are'],
  ['ve', 'have'],
  ['ll', 'will'],
]);
/** Before these "'s" is "is". */
const pronouns = /^(?:that|it|he|she|there|what|who|here|how|where|this|everything|all|which|when|name)$/;

/** "N/ha", "m3/ha", "stems/ac": so much of an acre or a hectare; a factor of "2 m2/ha" is left as it is. */
const perArea =
  /\b(n|g|v|ba|vol|volume|stems?|trees?|tons?|tonnes?|cords?|bf|mbf|bdft|biomass|carbon|m3|ft3) ?\/ ?(ha|ac|acre|hectare)\b/gi;

/**
 * Tokens of a text: words without their short endings, numbers with their values, signs.
 *
 * Example: `tokensOf("I'm 5").map(({ text }) => text)` is i, am, 5.
 */
export function tokensOf(text: string): Token[] {
  const plain = text
    .normalize('NFC')
    .replace(/\bU\.S\.(?:A\.)?/g, 'US')
    .replace(/[½¼¾’‘“”−–—×…]/g, (glyph) => glyphs[glyph]!)
    .replace(/(?<=\d ?)(?:m²|m\^2|sq\.? ?m\b)/gi, 'm2')
    .replace(/\bscr (?=that|it|the)\b/gi, 'scratch ')
    .replace(perArea, '$1 per $2')
    // "Stand 3's finished" speaks of no feet.
    .replace(/(?<=\d)'s\b/gi, ' is')
    .replace(/\b(?:m3|m\^3|cu\.? ?m)\b/gi, 'cubic metres')
    .replace(/\b(?:ft3|ft\^3|cu\.? ?ft|cuft)\b/gi, 'cubic feet');
  const tokens: Token[] = [];
  let end = -1;
  let last = '';
  for (const match of plain.matchAll(split)) {
    const [found] = match;
    const dotted = found === '.' || found === '/';
    if (dotted && match.index === end && shortened.has(last)) continue;
    last = found.toLowerCase();
    const touches = match.index === end;
    end = match.index + found.length;
    const shared = { capital: /^\p{Lu}/u.test(found), touches };
    const written = found.toLowerCase();
    const lower = withoutAccents(written);
    if (/\d/.test(lower)) tokens.push({ ...shared, text: lower, value: typedValue(lower) });
    else if (/^[a-z]/.test(lower)) {
      const words = wordsOf(lower);
      const name = words.length === 1 && lower !== written ? { name: written } : {};
      // Of "I'm" only the first was written with a capital.
      tokens.push(
        ...words.map((text, at) => ({ ...shared, ...name, text, ...(at > 0 ? { capital: false } : {}) })),
      );
    } else {
      const sign = signOf(lower, plain[match.index - 1] ?? ' ', plain[end] ?? ' ');
      if (sign !== undefined) tokens.push({ ...shared, text: sign });
    }
  }
  return tokens;
}

/** A word without its short ending, which is a word of its own. */
function wordsOf(word: string): readonly string[] {
  const spelled = spelledOut.get(word) ?? shortened.get(word);
  if (spelled !== undefined) return spelled;
  const [, stem = word, ending] = /^(.+?)'(s|re|ve|ll|d|m|em)$/.exec(word) ?? [];
  if (ending === undefined) return [stem];
  return [stem, endings.get(ending) ?? (pronouns.test(stem) ? 'is' : `'${ending}`)];
}

/** A sign as it is read between what stands before and behind it; undefined where it says nothing. */
function signOf(sign: string, before: string, behind: string): string | undefined {
  if (sign === '-') {
    // Before a number it is minus; between letters it joins, between words it parts.
    if (/[\d.]/.test(behind)) return /[\w%°]/.test(before) ? undefined : '-';
    return before === ' ' && behind === ' ' ? ',' : undefined;
  }
  if (sign === '+' && !/[\d.]/.test(behind)) return 'and';
  // "Quittin'": a letter left out.
  if (sign === "'" && /[a-z]/i.test(before) && !/\w/.test(behind)) return undefined;
  return sign === '&' ? 'and' : sign;
}

function typedValue(text: string): number {
  const mixed = /^(\d+)[ -](\d+)\/(\d+)$/.exec(text);
  if (mixed !== null) return Number(mixed[1]) + Number(mixed[2]) / Number(mixed[3]);
  const part = /^(\d+)\/(\d+)$/.exec(text);
  if (part !== null) return Number(part[1]) / Number(part[2]);
  return Number(text.replaceAll(',', ''));
}
