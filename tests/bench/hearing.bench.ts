/**
 * Hearing: notes right by meaning and word for word, clean and in noise, by voices that the model was never trained
 * on; what is kept of near misses, talk and noise; time and memory. Beside it, where the files are at hand:
 * - STEMSAY_HUMAN_DIGITS: folder of the Free Spoken Digit Dataset (CC BY-SA 4.0; files DIGIT_SPEAKER_TAKE.wav),
 *   heard against a list of ten words;
 * - STEMSAY_WHISPER: folder of a small general recogniser in the layout of the library (whisper-tiny.en), run
 *   through the same library on the same clips in the same run.
 * STEMSAY_MODEL measures another acoustic model, STEMSAY_FEW=n only every n-th clip.
 */
import { execFileSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { basename, dirname, join, sep } from 'node:path';
import { AutoProcessor, AutoTokenizer, env, WhisperForConditionalGeneration } from '@xenova/transformers';
import type { Description } from '../../grammar/model.ts';
import { normalise } from '../../grammar/normalise.ts';
import { noteKey } from '../../grammar/notekey.ts';
import { TolerantReader } from '../../grammar/tolerant.ts';
import { createHearing, spawnWorker } from '../../server/speech/hear.ts';
import { takeFrom } from '../../shared/book/session.ts';
import { belief, leastSpeechFrames, refuseBelow } from '../../shared/sound/belief.ts';
import { type Clip, load, ready } from './voices/clips.ts';
import { seeded, soundscapes } from './voices/noise.ts';
import { createEar, type Ear, meanings, quantile, runTrials, type Trial } from './voices/trials.ts';

export const name = 'hearing';

type Print = (name: string, value: number | string, unit: string) => void;
const clean = Number.POSITIVE_INFINITY;
const ratioName = (decibels: number) => (decibels === clean ? 'clean' : `${decibels}dB`);
const percent = (part: number, whole: number) => (whole === 0 ? 'none' : ((100 * part) / whole).toFixed(1));

/** What the recogniser would do with it: keep, ask or refuse. */
function fate({ found }: Pick<Trial, 'found'>): 'kept' | 'asked' | 'refused' {
  const best = found.hypotheses[0];
  if (!best || found.speechFrames < leastSpeechFrames) return 'refused';
  const believed = belief({ ...best, speechFrames: found.speechFrames });
  if (believed < refuseBelow) return 'refused';
  return Math.min(believed, best.posterior) >= takeFrom ? 'kept' : 'asked';
}

export async function run(print: Print): Promise<void> {
  const every = Number(process.env.STEMSAY_FEW ?? 1);
  const clips = ready((sentence) => console.error(sentence)).filter((_, i) => i % every === 0);
  const ear = await createEar();
  const trials = await runTrials(ear, clips, [clean, 10, 0]);
  printNotes(print, trials);
  printStrangers(print, trials);
  await printSoundscapes(print, ear);
  await printService(print, clips);
  await printDigits(print);
  await printGeneral(print, ear, trials);
}

function printNotes(print: Print, trials: readonly Trial[]): void {
  for (const set of ['usual', 'sampled'] as const) {
    const unread = trials.filter((trial) => trial.clip.set === set && !trial.readable);
    print(
      `${set}.not_in_grammar`,
      new Set(unread.map((trial) => trial.clip.text)).size,
      'sentences left out',
    );
    for (const decibels of [clean, 10, 0]) {
      const some = trials.filter((t) => t.clip.set === set && t.decibels === decibels && t.readable);
      const at = `${set}.${ratioName(decibels)}`;
      const wrongKept = some.filter((trial) => !trial.right && fate(trial) === 'kept');
      print(`${at}.by_meaning`, percent(some.filter((t) => t.right).length, some.length), '%');
      print(`${at}.word_for_word`, percent(some.filter((t) => t.wordForWord).length, some.length), '%');
      print(
        `${at}.right_and_kept`,
        percent(some.filter((t) => t.right && fate(t) === 'kept').length, some.length),
        '%',
      );
      print(`${at}.wrong_and_kept`, percent(wrongKept.length, some.length), `% of ${some.length}`);
    }
  }
  for (const voice of new Set(trials.map((trial) => trial.clip.voice))) {
    const some = trials.filter(
      (t) => t.clip.voice === voice && t.clip.set === 'usual' && t.decibels === clean,
    );
    print(`usual.clean.by_meaning.${voice}`, percent(some.filter((t) => t.right).length, some.length), '%');
  }
  if (process.env.STEMSAY_MISSES) {
    for (const trial of trials.filter(
      (t) => t.decibels === clean && !t.right && t.readable && /usual|sampled/.test(t.clip.set),
    )) {
      const heard = trial.found.hypotheses[0]?.words.map((word) => word.word).join(' ') ?? '-';
      console.error(`${trial.clip.voice} | ${trial.clip.text} | ${heard} | ${fate(trial)}`);
    }
  }
  for (const part of ['features', 'encoder', 'search'] as const) {
    const times = trials.map((trial) => trial.milliseconds[part]);
    print(`${part}.p50`, quantile(times, 0.5).toFixed(2), 'ms');
    print(`${part}.p95`, quantile(times, 0.95).toFixed(2), 'ms');
  }
  const three = trials.filter((trial) => trial.seconds > 2.5 && trial.seconds < 3.5);
  const whole = three.map(({ milliseconds: m }) => m.features + m.encoder + m.search);
  print('three_seconds.p50', quantile(whole, 0.5).toFixed(1), 'ms features + encoder + search');
  print('three_seconds.p95', quantile(whole, 0.95).toFixed(1), 'ms');
}

function printStrangers(print: Print, trials: readonly Trial[]): void {
  for (const set of ['near', 'talk'] as const) {
    for (const decibels of [clean, 10]) {
      const some = trials.filter((trial) => trial.clip.set === set && trial.decibels === decibels);
      for (const end of ['kept', 'asked'] as const) {
        print(
          `${set}.${ratioName(decibels)}.${end}`,
          percent(some.filter((trial) => fate(trial) === end).length, some.length),
          `% of ${some.length}`,
        );
      }
    }
  }
}

/** Three-second pieces of sound in which nobody speaks, at three levels. */
async function printSoundscapes(print: Print, ear: Ear): Promise<void> {
  const pieces = 20;
  for (const [scape, make] of Object.entries(soundscapes)) {
    let kept = 0;
    let asked = 0;
    for (let i = 0; i < pieces; i++) {
      const level = [0.003, 0.03, 0.2][i % 3]!;
      const found = await ear.hear(make(48000, seeded(100 + i)).map((sample) => sample * level));
      const end = fate(found);
      kept += end === 'kept' ? 1 : 0;
      asked += end === 'asked' ? 1 : 0;
    }
    print(`nobody.${scape}.kept`, kept, `of ${pieces} pieces of 3 s, ${asked} asked`);
  }
}

/** The service as the server uses it: from samples to candidates through the process that hears. */
async function printService(print: Print, clips: readonly Clip[]): Promise<void> {
  let pid = 0;
  const start = performance.now();
  const hearing = createHearing({
    spawn: (model) => {
      const child = spawnWorker(model);
      pid = child.pid ?? 0;
      return child;
    },
  });
  await hearing.ready;
  print('service.start', Math.round(performance.now() - start), 'ms until the first clip can be heard');
  const times: number[] = [];
  for (const clip of clips.slice(0, 200)) {
    const samples = load(clip.file);
    if (samples.length > 3.5 * 16000) continue;
    const before = performance.now();
    await hearing.hear(samples);
    times.push(performance.now() - before);
  }
  print('service.p50', quantile(times, 0.5).toFixed(1), 'ms from samples to candidates, clips up to 3.5 s');
  print('service.p95', quantile(times, 0.95).toFixed(1), 'ms');
  const kilobytes = Number(execFileSync('ps', ['-o', 'rss=', '-p', String(pid)], { encoding: 'utf8' }));
  print('service.memory', Math.round(kilobytes / 1024), 'MB resident');
  await hearing.close();
}

const digitWords = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

async function printDigits(print: Print): Promise<void> {
  const folder = process.env.STEMSAY_HUMAN_DIGITS;
  if (!folder) return print('human_digits', 'not measured', '(STEMSAY_HUMAN_DIGITS is not set)');
  const tenWords: Description = {
    version: 'digits',
    rules: [
      {
        id: 'tenWords',
        family: 'digits',
        sets: ['kind=number'],
        patterns: [`(${digitWords.map((word, value) => `${word} {value=${value}}`).join(' | ')})`],
      },
    ],
    fillers: [],
    freeWords: [],
  };
  const ear = await createEar(tenWords);
  const speakers = new Map<string, { right: number; all: number }>();
  for (const file of readdirSync(folder).filter((name) => /^\d_\w+_\d+\.wav$/.test(name))) {
    const [digit, speaker] = file.split('_') as [string, string];
    const { found } = await ear.hear(load(join(folder, file)));
    const count = speakers.get(speaker) ?? { right: 0, all: 0 };
    count.all++;
    if (found.hypotheses[0]?.words[0]?.word === digitWords[Number(digit)]) count.right++;
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
}

/** A general recogniser on the clean notes of one voice in two, and ours on the same clips. */
async function printGeneral(print: Print, ear: Ear, trials: readonly Trial[]): Promise<void> {
  const folder = process.env.STEMSAY_WHISPER;
  if (!folder) return print('general', 'not measured', '(STEMSAY_WHISPER is not set)');
  env.allowRemoteModels = false;
  env.useFSCache = false;
  env.localModelPath = dirname(folder) + sep;
  const id = basename(folder);
  const options = { quantized: true, local_files_only: true };
  const processor = await AutoProcessor.from_pretrained(id, options);
  const tokenizer = await AutoTokenizer.from_pretrained(id, options);
  const model = await WhisperForConditionalGeneration.from_pretrained(id, options);
  const tolerant = new TolerantReader(ear.graph);
  const voices = new Set(['joe', 'af_sky', 'bm_lewis']);
  const some = trials.filter(
    (t) => t.decibels === clean && t.clip.set === 'usual' && t.readable && voices.has(t.clip.voice),
  );
  const times: number[] = [];
  let exact = 0;
  let forgiving = 0;
  for (const { clip } of some) {
    const samples = load(clip.file);
    const before = performance.now();
    const { input_features } = await processor(samples);
    const tokens = await model.generate(input_features, { max_new_tokens: 60 });
    const text = tokenizer.decode(tokens[0], { skip_special_tokens: true }) as string;
    times.push(performance.now() - before);
    const wanted = meanings(ear.reader, clip.text);
    // The reading most generous to it: right when word for word or the nearest sentence of the grammar is.
    const readExactly = [...meanings(ear.reader, text)].some((key) => wanted.has(key));
    const nearest = readExactly ? undefined : tolerant.read(normalise(text))[0];
    if (readExactly) exact++;
    if (readExactly || (nearest && wanted.has(noteKey(nearest.note)))) forgiving++;
    if (process.env.STEMSAY_MISSES) console.error(`general | ${clip.text} | ${text}`);
  }
  const ours = some.map(({ milliseconds: m }) => m.features + m.encoder + m.search);
  const right = some.filter((trial) => trial.right).length;
  print(`general.${id}.exact`, percent(exact, some.length), `% of ${some.length} notes, read word for word`);
  print(
    `general.${id}.forgiving`,
    percent(forgiving, some.length),
    '%, or by the nearest sentence of the grammar',
  );
  print(`general.${id}.p50`, quantile(times, 0.5).toFixed(0), 'ms a clip');
  print(`general.${id}.p95`, quantile(times, 0.95).toFixed(0), 'ms');
  print(
    'general.ours',
    percent(right, some.length),
    `% of the same, p50 ${quantile(ours, 0.5).toFixed(1)} ms`,
  );
  print('general.times_faster', (quantile(times, 0.5) / quantile(ours, 0.5)).toFixed(1), 'times');
  print('general.points_more', ((100 * (right - forgiving)) / some.length).toFixed(1), 'points');
}
