/**
 * Pronunciations for training, as JSON: `node --import tsx server/speech/training/lexicon.ts > lexicon.json`.
 * All of CMUdict with its variants, stress removed, and the project's own trade words before it.
 */
import { dictionary } from 'cmu-pronouncing-dictionary';
import { phones, tradeWords } from '../../../grammar/pronunciation/lexicon.ts';

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
for (const [word, variants] of Object.entries(tradeWords))
  words[word] = variants.map((each) => each.split(' '));
console.log(JSON.stringify({ phones: phones.slice(1), words }));
