/**
 * Chooses the notes that a person reads aloud so that the tool learns the voice: grammar/learning/readings.ts. Run:
 * `npx tsx tests/grammar/make/readings.ts`. Of what people say in a day, again and again
 * the one that brings most of what is not covered yet: phones (three times each), pairs of phones, number words
 * (twice), words that are taken for each other; for each word that it costs to read.
 */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createLexicon } from '../../../grammar/pronunciation/lexicon.ts';
import { createReader } from '../../../grammar/reading/exact.ts';
import { heardLanguage } from '../../../server/speech/recognizer.ts';
import { drawPersonsDay } from '../../bench/voices/day.ts';

const wanted = 20;
/** Persons whose days are drawn from. */
const variants = 60;
const numbers = new Set(
  (
    'one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen ' +
    'eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred half point minus'
  ).split(' '),
);
/** Taken for each other by some voices. */
const confusable = new Set(
  'forked four no beech eight elm fir third fifteen fifty sixteen sixty nine five'.split(' '),
);

const reader = createReader(heardLanguage().automaton);
const lexicon = createLexicon();
const candidates = [
  ...new Set(Array.from({ length: variants }, (_, seed) => drawPersonsDay(40, seed + 1, seed + 1)).flat()),
]
  .map((words) => words.replace(/ +/g, ' ').trim())
  // What is read aloud has no comma to be read, names nothing of a book and is not long.
  .filter((words) => !words.includes(',') && words.split(' ').length >= 3 && words.split(' ').length <= 9)
  .filter((words) => {
    const read = reader.read(words);
    return (
      read.ok && !/"(name|text|word|stand|stratum|person)":"/.test(JSON.stringify(read.value[0]!.notes[0]))
    );
  });

/** What a note brings, each with how often it is wanted and what once of it is worth. */
function bringsOf(words: string): [string, number, number][] {
  const list = words.split(' ');
  const phones = list.flatMap((word) => [...(lexicon.pronounce(word)[0] ?? [])]);
  return [
    ...phones.map((phone): [string, number, number] => [`p${phone}`, 4, 1]),
    ...phones.slice(1).map((phone, i): [string, number, number] => [`${phones[i]}-${phone}`, 1, 0.7]),
    ...list.filter((word) => numbers.has(word)).map((word): [string, number, number] => [word, 2, 4]),
    ...list
      .filter((word) => confusable.has(word))
      .map((word): [string, number, number] => [`c${word}`, 2, 2]),
  ];
}

const have = new Map<string, number>();
const chosen: string[] = [];
while (chosen.length < wanted) {
  let best = '';
  let most = 0;
  for (const words of candidates) {
    const mine = new Map<string, number>();
    let worth = 0;
    for (const [what, times, each] of bringsOf(words)) {
      const count = (have.get(what) ?? 0) + (mine.get(what) ?? 0);
      if (count < times) worth += each / (count + 1);
      mine.set(what, (mine.get(what) ?? 0) + 1);
    }
    const perWord = worth / (words.split(' ').length + 2);
    if (perWord > most && !chosen.includes(words)) {
      most = perWord;
      best = words;
    }
  }
  chosen.push(best);
  for (const [what] of bringsOf(best)) have.set(what, (have.get(what) ?? 0) + 1);
}
const file = fileURLToPath(new URL('../../../grammar/learning/readings.ts', import.meta.url));
writeFileSync(
  file,
  `/** Notes to read aloud, so that a voice is learnt at once. Chosen by tests/grammar/make/readings.ts for cover of phones, numbers and pairs. */
export const readings: readonly string[] = ${JSON.stringify(chosen, null, 2)};
`,
);
execFileSync('npx', ['biome', 'check', '--write', file]);
console.log(chosen.join('\n'), chosen.join(' ').split(' ').length, 'words');
