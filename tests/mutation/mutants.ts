/**
 * Mutants of a source: copies with one small thing changed, each of which a test should notice. Numbers a quarter up and a
 * fifth down (small whole ones by one), comparisons by their edge, signs, ands and ors, least and most, yes and no. What
 * stands in comments, texts, patterns and types is left alone.
 */

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

/** All mutants of a source, in its order. `only`: lines that hold one of these words; without any, all lines. */
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
