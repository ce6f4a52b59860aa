/**
 * Pronunciations for training, as JSON: `node --import tsx server/speech/training/lexicon.ts > lexicon.json`.
 * All of CMUdict with its variants, stress removed, and before it every word of the grammar as the search expects it:
 * the net learns to write what is looked for.
 */
import { dictionary } from 'cmu-pronouncing-dictionary';
import { compile } from '../../../grammar/automaton/compile.ts';
import { grammar } from '../../../grammar/description/grammar.ts';
import { createLexicon, phones, tradeWords } from '../../../grammar/pronunciation/lexicon.ts';

const words: Record<string, string[][]> = Object.create(null);
for (const [name, said] of Object.entries(dictionary)) {
  const word = name.replace(/\(\d+\)$/, '');
  if (!/^[a-z']+$/.test(word)) continue;
  // A remark may follow the phones, behind a #.
  const variant = said
    .replace(/ *#.*$/, '')
    .replace(/\d/g, '')
    .split(' ');
  words[word] ??= [];
  const variants = words[word];
  if (!variants.some((other) => other.join(' ') === variant.join(' '))) variants.push(variant);
}
const lexicon = createLexicon();
for (const word of new Set([...compile(grammar).words, ...Object.keys(tradeWords)])) {
  if (words[word] !== undefined && !Object.hasOwn(tradeWords, word)) continue;
  const variants = lexicon.pronounce(word).map((each) => Array.from(each, (id) => phones[id]!));
  if (variants.length > 0) words[word] = variants;
}
console.log(JSON.stringify({ phones: phones.slice(1), words }));
