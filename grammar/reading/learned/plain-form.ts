/**
 * The plain form of what was said, as the learned reader writes it: words of its own, and symbols copied from what was
 * said. Copied numbers, names and words cannot be made up.
 */
import { speciesByCode, spokenName } from '../../../shared/note/species.ts';
import type { QuantityUnit } from '../said-numbers.ts';
import type { InputSymbol } from './symbols.ts';

/** A word that is written, or the place of a symbol that is copied. */
export type WrittenSymbol = { readonly word: string } | { readonly copy: number };

/** How a unit is written: of one, of more. */
const unitWords = {
  ft: ['foot', 'feet'],
  m: ['metre', 'metres'],
  cm: ['cm', 'cm'],
  in: ['inch', 'inches'],
  chain: ['chain', 'chains'],
  yd: ['yard', 'yards'],
  deg: ['degree', 'degrees'],
  pct: ['percent', 'percent'],
  acre: ['acre', 'acres'],
  ha: ['hectare', 'hectares'],
  m2: ['square metre', 'square metres'],
  paces: ['pace', 'paces'],
  steps: ['step', 'steps'],
  logs: ['log', 'logs'],
} as const satisfies Record<QuantityUnit, readonly [one: string, more: string]>;

/** Words that are written behind a copied number: another unit than was said, none, or that it counts off ("second"). */
const unitMark = 'unit:';
const nthMark = 'nth';
/** A whole note that goes into a remark, is not for the book, or asks for help. */
export const specialMark = '@';

/** Two figures as feet and inches: "five eight". */
const feetAndInches = `${unitMark}ft+in`;

const isUnit = (unit: string): unit is QuantityUnit => Object.hasOwn(unitWords, unit);

const near = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6 * Math.max(1, Math.abs(b));

/** Numbers as they are written: at most four decimals. */
const figure = (value: number): string => String(Math.round(value * 1e4) / 1e4);

/** No half feet, but whole inches. */
const isFeetAndInches = (value: number): boolean =>
  !near(value * 10, Math.round(value * 10)) && near(value * 12, Math.round(value * 12));

function numberText(symbol: InputSymbol, mark: string | undefined): string {
  const { number, ordinal, text } = symbol;
  if (ordinal !== undefined) return mark === nthMark ? text : String(ordinal);
  if (number === undefined) return text;
  const said = mark?.startsWith(unitMark) === true ? mark.slice(unitMark.length) : (number.unit ?? '');
  const { value, sides, letter, pair } = number;
  if (mark === feetAndInches && pair !== undefined) return `${pair[0]}'${pair[1]}"`;
  if (sides !== undefined || letter !== undefined) return text;
  // A fraction of an acre is said, not reckoned.
  if ((said === 'acre' || said === 'ha') && value < 1 && number.unit === said) return text;
  if (said === 'ft' && isFeetAndInches(value)) return `${Math.floor(value)}'${Math.round((value % 1) * 12)}"`;
  return isUnit(said) ? `${figure(value)} ${unitWords[said][value === 1 ? 0 : 1]}` : figure(value);
}

/** The whole name, also where its parts stood apart. */
function nameOf({ species, text }: InputSymbol): string {
  const known = typeof species === 'number' ? speciesByCode(species) : undefined;
  return known === undefined ? text : spokenName(known.commonName);
}

const isMark = (word: string): boolean => word === nthMark || word.startsWith(unitMark);

/** Behind these words stands what is kept as it was said. */
const asSaid = /^(?:stand|stratum|call|crew)$/;

/** Behind it, where it begins a note, two copied symbols at a time are the first and the last of a stretch that is kept as it was said. */
const remarkWord = 'remark';

/** A stretch of what was said, in symbols, both ends in it. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

const beginsNote = (before: WrittenSymbol | undefined): boolean =>
  before === undefined || ('word' in before && before.word === ',');

/**
 * Stretches of remarks, by the place of their first step; those whose end is not written yet have none. A last symbol
 * before the first one makes a stretch of no words.
 */
export function stretchesOf(written: readonly WrittenSymbol[]): ReadonlyMap<number, Stretch> {
  const found = new Map<number, Stretch>();
  let begun: { readonly at: number; readonly from: number } | undefined;
  let within = false;
  written.forEach((one, at) => {
    if ('word' in one) {
      within = one.word === remarkWord && beginsNote(written[at - 1]);
      begun = undefined;
    } else if (!within) return;
    else if (begun === undefined) begun = { at, from: one.copy };
    else {
      found.set(begun.at, { from: begun.from, to: one.copy });
      begun = undefined;
    }
  });
  return found;
}

/** The plain form as text that the other readers read. */
export function plainText(written: readonly WrittenSymbol[], said: readonly InputSymbol[]): string {
  const words: string[] = [];
  const stretches = stretchesOf(written);
  let free = false;
  let kept = 0;
  written.forEach((one, at) => {
    if ('word' in one) {
      free ||= asSaid.test(one.word);
      if (!isMark(one.word)) words.push(one.word);
      return;
    }
    if (at < kept) return;
    const stretch = stretches.get(at);
    if (stretch !== undefined) {
      words.push(...said.slice(stretch.from, stretch.to + 1).map(({ text }) => text));
      kept = at + 2;
      return;
    }
    const symbol = said[one.copy]!;
    const next = written[at + 1];
    const mark = next !== undefined && 'word' in next && isMark(next.word) ? next.word : undefined;
    if (symbol.species !== undefined) words.push(free ? symbol.text : nameOf(symbol));
    else if (symbol.number === undefined && symbol.ordinal === undefined) {
      free ||= asSaid.test(symbol.text);
      words.push(symbol.text);
    } else words.push(free && mark === undefined ? symbol.text : numberText(symbol, mark));
  });
  return words
    .join(' ')
    .replace(/ ,/g, ',')
    .replace(/^[, ]+|[, ]+$/g, '');
}

/** One step of writing a plain form that is known: what may be written there. */
export interface WritingStep {
  readonly word?: string;
  readonly copies: readonly number[];
}

/** The symbol of a number that was said: of its unit rather than of another, one not yet copied rather than another. */
function numberAmong(
  target: InputSymbol,
  said: readonly InputSymbol[],
  used: ReadonlySet<number>,
): number | undefined {
  const value = target.number?.value ?? target.ordinal ?? Number.NaN;
  const places = [...said.keys()].filter((at) => {
    const { number, ordinal } = said[at]!;
    return near(number?.value ?? ordinal ?? Number.NaN, value);
  });
  const alike = (at: number): boolean => said[at]!.number?.unit === target.number?.unit;
  return (
    places.find((at) => !used.has(at) && alike(at)) ??
    places.find((at) => !used.has(at)) ??
    places.find(alike) ??
    places[0]
  );
}

/** The place of "five eight" where it is that many feet and inches. */
function feetAmong(
  { number }: InputSymbol,
  said: readonly InputSymbol[],
  used: ReadonlySet<number>,
): number | undefined {
  if (number?.unit !== 'ft') return undefined;
  return [...said.keys()].find((at) => {
    const pair = said[at]!.number?.pair;
    return (
      pair !== undefined &&
      !used.has(at) &&
      said[at]!.number?.unit === undefined &&
      near(pair[0] + pair[1] / 12, number.value)
    );
  });
}

/** How the plain form is written from what was said; undefined where it has a number or a name that was not said. */
export function stepsOf(
  plain: readonly InputSymbol[],
  said: readonly InputSymbol[],
): WritingStep[] | undefined {
  const steps: WritingStep[] = [];
  const used = new Set<number>();
  for (const [at, target] of plain.entries()) {
    const begins = at === 0 || plain[at - 1]!.is === 'break';
    if (begins && target.is === 'word' && target.text === remarkWord) {
      const kept = plain.slice(at + 1).filter(({ is }) => is !== 'break');
      return [...steps, { word: remarkWord, copies: [] }, ...remarkSteps(kept, said, used)];
    }
    if (target.is === 'break') {
      steps.push({ word: ',', copies: [] });
    } else if (target.is === 'word') {
      const copies = [...said.keys()].filter(
        (at) => said[at]!.is === 'word' && said[at]!.text === target.text,
      );
      steps.push({ word: target.text, copies });
    } else if (target.is === 'species') {
      steps.push(...nameSteps(target, said, used));
    } else {
      const number = numberSteps(target, said, used);
      if (number === undefined) return undefined;
      steps.push(...number);
    }
  }
  return steps;
}

/** Words that stand between those of a remark and belong to it all the same. */
const mostBetween = 4;

/** The stretches of what was said that a remark is made of; its own words where it has hardly any that were said. */
function remarkSteps(
  kept: readonly InputSymbol[],
  said: readonly InputSymbol[],
  used: ReadonlySet<number>,
): WritingStep[] {
  const places: number[] = [];
  for (const { text } of kept) {
    const after = places.at(-1) ?? -1;
    const is = (at: number): boolean => said[at]!.text === text && !used.has(at);
    const at = [...said.keys()].find((one) => one > after && is(one)) ?? [...said.keys()].find(is);
    if (at !== undefined && !places.includes(at)) places.push(at);
  }
  if (places.length * 3 < kept.length * 2)
    return kept.flatMap(({ text }) => text.split(' ').map((word) => ({ word, copies: [] })));
  places.sort((a, b) => a - b);
  const ends: number[] = [];
  for (const at of places) {
    const last = ends.at(-1);
    const between = last === undefined ? [] : said.slice(last + 1, at);
    const torn =
      last === undefined ||
      between.length > mostBetween ||
      between.some((_, nth) => used.has(last + 1 + nth));
    if (torn) ends.push(at, at);
    else ends[ends.length - 1] = at;
  }
  return ends.map((at) => ({ copies: [at] }));
}

/** A name as it was said; of a name in letters or in another tongue, its words. */
function nameSteps(target: InputSymbol, said: readonly InputSymbol[], used: Set<number>): WritingStep[] {
  const places = [...said.keys()].filter((at) => said[at]!.species === target.species);
  const at = places.find((place) => !used.has(place)) ?? places[0];
  if (at !== undefined) {
    used.add(at);
    return [{ copies: [at] }];
  }
  return target.text.split(' ').map((word) => {
    const copies = [...said.keys()].filter(
      (one) => said[one]!.text === word && said[one]!.number === undefined,
    );
    return { word, copies };
  });
}

/** Few are meant by other words: "both", "another". */
const mostMeant = 3;

function numberSteps(
  target: InputSymbol,
  said: readonly InputSymbol[],
  used: Set<number>,
): WritingStep[] | undefined {
  const { number, ordinal } = target;
  const sign = number?.sign;
  const signed: WritingStep[] = sign === undefined ? [] : [{ word: sign < 0 ? 'minus' : 'plus', copies: [] }];
  const feet = feetAmong(target, said, used);
  if (feet !== undefined) {
    used.add(feet);
    return [...signed, { copies: [feet] }, { word: feetAndInches, copies: [] }];
  }
  const at = numberAmong(target, said, used);
  if (at === undefined) {
    const value = number?.value ?? ordinal ?? Number.NaN;
    if (!Number.isInteger(value) || value < 1 || value > mostMeant) return undefined;
    const unit = number?.unit === undefined ? [] : unitWords[number.unit][value === 1 ? 0 : 1].split(' ');
    const words = [ordinal === undefined ? String(value) : target.text, ...unit];
    return [...signed, ...words.map((word) => ({ word, copies: [] }))];
  }
  used.add(at);
  const from = said[at]!;
  const steps: WritingStep[] = [...signed, { copies: [at] }];
  if (ordinal !== undefined) {
    if (from.ordinal !== undefined) steps.push({ word: nthMark, copies: [] });
    else return undefined;
  } else if (number?.unit !== undefined && number.unit !== from.number?.unit)
    steps.push({ word: `${unitMark}${number.unit}`, copies: [] });
  return steps;
}
