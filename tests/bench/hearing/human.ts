/** Recordings of people, for evaluation only: the model was never trained on any of them. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createLexicon } from '../../../grammar/lexicon.ts';
import type { Description } from '../../../grammar/model.ts';
import { normalise } from '../../../grammar/normalise.ts';
import type { Print } from '../hearing.bench.ts';
import { load } from '../voices/clips.ts';
import { createEar } from '../voices/trials.ts';

const digitWords = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
const percent = (part: number, whole: number) => (whole === 0 ? 'none' : ((100 * part) / whole).toFixed(1));

/** A language of single words, each its own note. */
const wordList = (words: readonly string[]): Description => ({
  version: 'words',
  rules: [
    {
      id: 'words',
      family: 'words',
      sets: ['kind=number'],
      patterns: [`(${words.map((word, value) => `${word} {value=${value}}`).join(' | ')})`],
    },
  ],
  fillers: [],
  freeWords: [],
});

/** Single digits against a list of ten words. */
export async function digits(print: Print): Promise<void> {
  const folder = process.env.STEMSAY_HUMAN_DIGITS;
  if (!folder) return print('human_digits', 'not measured', '(STEMSAY_HUMAN_DIGITS is not set)');
  const ear = await createEar(wordList(digitWords));
  const speakers = new Map<string, { right: number; all: number }>();
  const taken = new Map<string, number>();
  for (const file of readdirSync(folder).filter((name) => /^\d_\w+_\d+\.wav$/.test(name))) {
    const [digit, speaker] = file.split('_') as [string, string];
    const { found } = await ear.hear(load(join(folder, file)));
    const count = speakers.get(speaker) ?? { right: 0, all: 0 };
    count.all++;
    const heard = found.hypotheses[0]?.words[0]?.word;
    const said = digitWords[Number(digit)]!;
    if (heard === said) count.right++;
    else
      taken.set(`${said}_as_${heard ?? 'nothing'}`, (taken.get(`${said}_as_${heard ?? 'nothing'}`) ?? 0) + 1);
    speakers.set(speaker, count);
  }
  let right = 0;
  let all = 0;
  for (const [i, count] of [...speakers.values()].entries()) {
    print(`human_digits.speaker_${i + 1}`, percent(count.right, count.all), '%');
    right += count.right;
    all += count.all;
  }
  print('human_digits', percent(right, all), `% of ${all} recordings of ${speakers.size} people`);
  const worst = [...taken].sort((a, b) => b[1] - a[1]).slice(0, 5);
  for (const [pair, times] of worst) print(`human_digits.${pair}`, times, 'times');
}

interface Recording {
  readonly file: string;
  readonly text: string;
  readonly set: string;
}

/**
 * A folder with `recordings.jsonl` ({file, text, set} a line): phone error against the nearest pronunciations of the
 * text, and for recordings of one number word, which of all those words was heard.
 */
export async function people(print: Print): Promise<void> {
  const folder = process.env.STEMSAY_HUMAN;
  if (!folder || !existsSync(join(folder, 'recordings.jsonl')))
    return print('human', 'not measured', '(STEMSAY_HUMAN is not set; voices/people.py makes such a folder)');
  const rows = readFileSync(join(folder, 'recordings.jsonl'), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Recording);
  const lexicon = createLexicon();
  const numbers = [...new Set(rows.filter(({ set }) => set.startsWith('numbers')).map(({ text }) => text))];
  const ear = await createEar(wordList(numbers.length > 0 ? numbers : digitWords));
  for (const set of new Set(rows.map((row) => row.set))) {
    let errors = 0;
    let length = 0;
    let right = 0;
    const some = rows.filter((row) => row.set === set);
    const wrong: string[] = [];
    for (const { file, text } of some) {
      const { found } = await ear.hear(load(join(folder, file)));
      const sounds = normalise(text)
        .split(' ')
        .map((word) => lexicon.pronounce(word));
      const best = phoneErrors(sounds, found.phones);
      errors += best.errors;
      length += best.length;
      const heard = found.hypotheses[0]?.words.map(({ word }) => word).join(' ');
      if (heard === text) right++;
      else wrong.push(`${text} as ${heard}`);
    }
    print(
      `human.${set}.phone_error`,
      percent(errors, length),
      `% of ${length} phones, ${some.length} recordings`,
    );
    if (set.startsWith('numbers')) {
      print(`human.${set}.right`, percent(right, some.length), `% against ${numbers.length} words`);
      if (process.env.STEMSAY_MISSES) console.error(`human.${set}: ${wrong.join('; ')}`);
    }
  }
}

/** Fewest substitutions, insertions and deletions of phones over all variants of the words; silence is free. */
function phoneErrors(
  sounds: readonly (readonly ArrayLike<number>[])[],
  heard: ArrayLike<number>,
): { errors: number; length: number } {
  // Cost and reference length at each place of what was heard, word by word.
  let row = Array.from({ length: heard.length + 1 }, (_, j) => ({ errors: j, length: 0 }));
  for (const variants of sounds) {
    if (variants.length === 0) continue;
    const ends = variants.map((variant) => {
      let now = row;
      for (let i = 0; i < variant.length; i++) {
        const next = [{ errors: now[0]!.errors + 1, length: now[0]!.length + 1 }];
        for (let j = 1; j <= heard.length; j++) {
          const same = variant[i] === heard[j - 1] ? 0 : 1;
          const options = [
            { errors: now[j - 1]!.errors + same, length: now[j - 1]!.length + 1 },
            { errors: now[j]!.errors + 1, length: now[j]!.length + 1 },
            { errors: next[j - 1]!.errors + 1, length: next[j - 1]!.length },
          ];
          next.push(options.reduce((a, b) => (b.errors < a.errors ? b : a)));
        }
        now = next;
      }
      return now;
    });
    row = row.map((_, j) => ends.map((end) => end[j]!).reduce((a, b) => (b.errors < a.errors ? b : a)));
  }
  return row[heard.length]!;
}
