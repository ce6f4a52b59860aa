/** Recordings of people, for evaluation only: the model was never trained on any of them. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Description } from '../../../grammar/description/model.ts';
import type { Print } from '../hearing.bench.ts';
import { load } from '../voices/clips.ts';
import { createEar } from '../voices/trials.ts';
import { nearestOf, phoneErrors, phonesOfText, wordsOf } from './bysound.ts';
import { recognisers } from './recognisers.ts';

const digitWords = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
const percent = (part: number, whole: number) => (whole === 0 ? 'none' : ((100 * part) / whole).toFixed(1));

/** STEMSAY_FEW=n takes every n-th recording. */
const few = (_: unknown, i: number): boolean => i % Number(process.env.STEMSAY_FEW ?? 1) === 0;

/** Half a second of silence before and after, 16 kHz. */
function padded(samples: Float32Array): Float32Array {
  const all = new Float32Array(samples.length + 16_000);
  all.set(samples, 8_000);
  return all;
}

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
  const clips = readdirSync(folder)
    .filter((name) => /^\d_\w+_\d+\.wav$/.test(name))
    .filter(few)
    .map((file) => {
      const [digit, speaker] = file.split('_') as [string, string];
      return { speaker, said: digitWords[Number(digit)]!, samples: load(join(folder, file)) };
    });
  const speakers = new Map<string, { right: number; all: number }>();
  const taken = new Map<string, number>();
  const phones: { phones: ArrayLike<number> }[] = [];
  for (const { speaker, said, samples } of clips) {
    const { found } = await ear.hear(samples);
    phones.push(found);
    const count = speakers.get(speaker) ?? { right: 0, all: 0 };
    count.all++;
    const heard = found.hypotheses[0]?.words[0]?.word;
    if (heard === said) count.right++;
    else
      taken.set(`${said}_as_${heard ?? 'nothing'}`, (taken.get(`${said}_as_${heard ?? 'nothing'}`) ?? 0) + 1);
    speakers.set(speaker, count);
  }
  for (const [i, count] of [...speakers.values()].entries())
    print(`human_digits.speaker_${i + 1}`, percent(count.right, count.all), '%');
  const right = [...speakers.values()].reduce((sum, count) => sum + count.right, 0);
  print(
    'human_digits',
    percent(right, clips.length),
    `% of ${clips.length} recordings of ${speakers.size} people`,
  );
  printPhones(print, 'human_digits', clips, phones);
  const worst = [...taken].sort((a, b) => b[1] - a[1]).slice(0, 5);
  for (const [pair, times] of worst) print(`human_digits.${pair}`, times, 'times');
  await besideOthers(print, 'human_digits', clips, digitWords);
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
  const numbers = [...new Set(rows.filter(({ set }) => set.startsWith('numbers')).map(({ text }) => text))];
  const ear = await createEar(wordList(numbers.length > 0 ? numbers : digitWords));
  for (const set of new Set(rows.map((row) => row.set))) {
    const clips = rows
      .filter((row) => row.set === set)
      .filter(few)
      .map(({ file, text }) => ({ said: text, samples: load(join(folder, file)) }));
    const heard: { phones: ArrayLike<number>; word: string | undefined }[] = [];
    for (const { samples } of clips) {
      const { found } = await ear.hear(samples);
      heard.push({
        phones: found.phones,
        word: found.hypotheses[0]?.words.map(({ word }) => word).join(' '),
      });
    }
    const at = `human.${set}`;
    printPhones(print, at, clips, heard);
    const isNumbers = set.startsWith('numbers');
    if (isNumbers) {
      const wrong = clips.flatMap(({ said }, i) =>
        said === heard[i]!.word ? [] : `${said} as ${heard[i]!.word}`,
      );
      const right = clips.length - wrong.length;
      print(`${at}.right`, percent(right, clips.length), `% against ${numbers.length} words`);
      if (process.env.STEMSAY_MISSES) console.error(`${at}: ${wrong.join('; ')}`);
    }
    await besideOthers(print, at, clips, isNumbers ? numbers : undefined);
  }
}

interface Clip {
  readonly said: string;
  readonly samples: Float32Array;
}

/** Phones that are wrong, over all clips of a set. */
function printPhones(
  print: Print,
  at: string,
  clips: readonly Clip[],
  heard: readonly { readonly phones: ArrayLike<number> }[],
): void {
  let errors = 0;
  let length = 0;
  for (const [i, { said }] of clips.entries()) {
    const best = phoneErrors(said, heard[i]!.phones);
    errors += best.errors;
    length += best.length;
  }
  print(`${at}.phone_error`, percent(errors, length), `% of ${length} phones, ${clips.length} recordings`);
}

/**
 * What general recognisers make of the same clips. Where each is one word of a list: one that can be told the list is
 * told it; of the others the word is right that they write, or, to be as kind as can be, the word of the list that
 * sounds nearest to it.
 */
async function besideOthers(
  print: Print,
  at: string,
  clips: readonly Clip[],
  list?: readonly string[],
): Promise<void> {
  // They were made for recordings that begin and end with rest: a clip cut close costs them every tenth word.
  const sounds = clips.map(({ samples }) => padded(samples));
  for (const { name, takesList, hear } of await recognisers()) {
    const free = await hear(sounds);
    const phones = free.map(({ text }) => ({ phones: phonesOfText(text) }));
    printPhones(print, `${at}.${name}`, clips, phones);
    if (process.env.STEMSAY_MISSES)
      for (const [i, { text }] of free.entries())
        console.error(`${at}.${name} | ${clips[i]!.said} | ${text}`);
    if (list === undefined) continue;
    const told = takesList ? await hear(sounds, list) : free;
    const percentOf = (right: (text: string, said: string) => boolean) =>
      percent(told.filter(({ text }, i) => right(text, clips[i]!.said)).length, clips.length);
    print(
      `${at}.${name}.written`,
      percentOf((text, said) => wordsOf(text).join(' ') === said),
      takesList ? '% of the same, told the list' : '% of the same',
    );
    print(
      `${at}.${name}.nearest`,
      percentOf((text, said) => nearestOf(list, phonesOfText(text)) === said),
      '%, or by the word of the list that sounds nearest',
    );
  }
}
