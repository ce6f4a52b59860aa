/**
 * Mutants of a source: copies with one small thing changed, each of which a test should notice. Numbers a quarter up and a
 * fifth down (small whole ones by one), comparisons by their edge, signs, ands and ors, least and most, yes and no. What
 * stands in comments, texts, patterns and types is left alone.
 */

import { seeded } from '../../shared/core/random.ts';

export interface Mutant {
  /** Line from 1. */
  readonly line: number;
  /** What it changes: "0.5 -> 0.625". */
  readonly change: string;
  readonly from: number;
  readonly to: number;
  readonly instead: string;
}

const swaps: Readonly<Record<string, string>> = {
  '<': '<=',
  '<=': '<',
  '>': '>=',
  '>=': '>',
  '===': '!==',
  '!==': '===',
  '&&': '||',
  '||': '&&',
  '+': '-',
  '-': '+',
  '*': '/',
  '/': '*',
};

const patterns: readonly (readonly [RegExp, (text: string) => readonly string[]])[] = [
  [/(?<![\w.$#'])\d[\d_]*(?:\.\d+)?(?:e[+-]?\d+)?(?![\w'])/g, numbersNear],
  [/(?<= )(?:<=?|>=?|===|!==|&&|\|\||[-+*/])(?= )/g, (text) => [swaps[text]!]],
  // A sign before a name, a bracket or a number.
  [/(?<=[([]|[=,:?(] |return )-(?=[\w(])/g, () => ['']],
  [/\bMath\.(?:min|max)\b/g, (text) => [text === 'Math.min' ? 'Math.max' : 'Math.min']],
  [/\b(?:true|false)\b(?!;? *})/g, (text) => [text === 'true' ? 'false' : 'true']],
];

function numbersNear(text: string): readonly string[] {
  const value = Number(text.replaceAll('_', ''));
  if (Number.isInteger(value) && value <= 3) return [String(value + 1)];
  return [String(1.25 * value), String(0.8 * value)];
}

/** All mutants of a source, in its order. */
export function mutantsOf(source: string): Mutant[] {
  const code = blanked(source);
  const found: Mutant[] = [];
  for (const [pattern, near] of patterns) {
    for (const match of code.matchAll(pattern)) {
      const [text] = match;
      for (const instead of near(text)) {
        const line = source.slice(0, match.index).split('\n').length;
        found.push({
          line,
          change: `${text} -> ${instead}`,
          from: match.index,
          to: match.index + text.length,
          instead,
        });
      }
    }
  }
  return found.sort((a, b) => a.from - b.from);
}

/** So many of them, the same ones every time, in their order; all where there are no more. */
export function drawn(mutants: readonly Mutant[], most: number): readonly Mutant[] {
  const next = seeded(18);
  const places = mutants.map((_, place) => ({ place, lot: next() })).sort((a, b) => a.lot - b.lot);
  const chosen = new Set(places.slice(0, most).map(({ place }) => place));
  return mutants.filter((_, place) => chosen.has(place));
}

/** A mutant that is given: text that stands once in the source, and what is put there. */
export function given(source: string, find: string, instead: string): Mutant {
  const from = source.indexOf(find);
  if (from < 0 || source.includes(find, from + 1)) throw new Error(`not once in the source: ${find}`);
  const line = source.slice(0, from).split('\n').length;
  return { line, change: `${find} -> ${instead}`, from, to: from + find.length, instead };
}

export const mutated = (source: string, { from, to, instead }: Mutant): string =>
  source.slice(0, from) + instead + source.slice(to);

/** The source with everything that is not code as blanks, so that places stay. */
function blanked(source: string): string {
  const blank = (text: string): string => text.replace(/[^\n]/g, ' ');
  return source
    .replace(/\/\*[\s\S]*?\*\/|(?<![:'"`\\])\/\/[^\n]*/g, blank)
    .replace(/'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`/g, blank)
    .replace(/(?<=[(,=:[] ?)\/(?![ *])(?:[^/\\\n[]|\\.|\[(?:[^\]\\]|\\.)*\])+\/[a-z]*/g, blank)
    .replace(/^(?:import|export type|type|interface|export interface) [\s\S]*?(?:;|^\})$/gm, blank);
}
