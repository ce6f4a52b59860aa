/**
 * The evaluation clips: sentences.json spoken by six voices that the acoustic model was never trained on. Made once
 * by `synthesise.py`, kept in .cache, the same on every run.
 *
 * Sentences: `usual` are examples of the grammar's rules, `day` is a day's work written apart from the grammar
 * (`day.ts`), `sampled` were drawn by the grammar's sampler (seed 11), `near` are notes with one word replaced or put
 * in, `talk` is made-up talk of people in a wood; `stress` are the lists of `stress.ts`. They are frozen, so that
 * grammars and models can be compared.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readWav } from '../../../server/speech/audio.ts';
import { drawDay } from './day.ts';
import nearMisses from './near.json' with { type: 'json' };
import { seeded } from './noise.ts';
import replies from './replies.json' with { type: 'json' };
import sentences from './sentences.json' with { type: 'json' };
import { stressLists } from './stress.ts';
import { drawTalk } from './talk.ts';
import tuning from './tuning.json' with { type: 'json' };

const folder = fileURLToPath(new URL('.', import.meta.url));
export const cache = fileURLToPath(new URL('../../../.cache/voices', import.meta.url));

export type ClipSet = keyof typeof sentences | 'day' | 'stress' | 'tuning' | 'own' | 'person';
export interface Clip {
  readonly set: ClipSet;
  /** The list of a stress sentence. */
  readonly list?: string;
  readonly text: string;
  readonly engine: string;
  readonly voice: string;
  readonly speed: number;
  readonly file: string;
}

const voices = [
  ['flite', 'awb'],
  ['piper', 'joe'],
  ['kokoro', 'af_sky'],
  ['kokoro', 'am_eric'],
  ['kokoro', 'bm_lewis'],
  ['kokoro', 'bf_lily'],
] as const;
/** Voices between two of those: as little known to the model, and more of them. */
const mixtures = [
  ['kokoro', 'af_sky+bm_lewis'],
  ['kokoro', 'am_eric+bf_lily'],
  ['kokoro', 'af_sky+am_eric'],
  ['kokoro', 'bm_lewis+bf_lily'],
] as const;
const speeds = [0.9, 1, 1.1, 1.2];

/** For talk and the tool's own replies any voice will do. */
const anyVoices = [...voices.slice(0, 2), ['flite', 'slt'], ['flite', 'rms']] as const;
/** Sentences of a day's work, each by two voices. */
const daySentences = 350;

/** Every clip: old notes by all voices, new ones by two; the others by two and every third of them by a third. */
export function plan(): Clip[] {
  const clips: Clip[] = [];
  let random = seeded(7);
  const add = (set: ClipSet, text: string, [engine, voice]: readonly [string, string], list?: string) => {
    const name = fileNameOf(text);
    const speed = speeds[Math.floor(random() * speeds.length)]!;
    const file = join(cache, 'clips', voice, `${name}.wav`);
    clips.push({ set, text, engine, voice, speed, file, ...(list ? { list } : {}) });
  };
  for (const voice of voices) for (const text of sentences.usual) add('usual', text, voice);
  for (const voice of voices.slice(0, 2)) {
    for (const text of sentences.near) add('near', text, voice);
    for (const text of sentences.talk) add('talk', text, voice);
  }
  for (const set of ['near', 'talk'] as const) {
    sentences[set].forEach((text, i) => {
      if (i % 3 === 0) add(set, text, voices[2 + ((i / 3) % 4)]!);
    });
  }
  random = seeded(8);
  for (const voice of voices) for (const text of sentences.sampled) add('sampled', text, voice);
  random = seeded(9);
  const both = [...voices, ...mixtures];
  [...new Set(drawDay(600, 21))].slice(0, daySentences).forEach((text, i) => {
    add('day', text, both[i % both.length]!);
    add('day', text, both[(i + 1 + (Math.floor(i / both.length) % (both.length - 1))) % both.length]!);
  });
  nearMisses.forEach((text) => {
    for (const voice of voices.slice(0, 2)) add('near', text, voice);
  });
  let turn = 0;
  for (const [list, texts] of Object.entries(stressLists))
    for (const text of texts)
      for (const voice of [...voices.slice(0, 2), voices[2 + (turn++ % 4)]!, mixtures[turn % 4]!])
        add('stress', text, voice, list);
  drawTalk(400, 41).forEach((text, i) => {
    add('talk', text, anyVoices[i % anyVoices.length]!);
  });
  replies.forEach((text, i) => {
    add('own', text, anyVoices[i % anyVoices.length]!);
  });
  // The same words may be drawn for two sets; a clip is spoken once.
  return clips;
}

/** Voices that the model was trained on. */
const knownVoices = [
  ['flite', 'kal16'],
  ['flite', 'rms'],
  ['flite', 'slt'],
  ['kokoro', 'bf_emma'],
  ['kokoro', 'am_michael'],
] as const;

/** Clips on which limits and weights are chosen: other sentences, and voices that the model was trained on. */
export function planOfTuning(): Clip[] {
  const random = seeded(10);
  return tuning.flatMap((text, i) =>
    [knownVoices[i % 3]!, knownVoices[(i + 1) % 3]!, knownVoices[3 + (i % 2)]!].map(
      ([engine, voice]): Clip => {
        const name = fileNameOf(text);
        const speed = speeds[Math.floor(random() * speeds.length)]!;
        return {
          set: 'tuning',
          text,
          engine,
          voice,
          speed,
          file: join(cache, 'clips', voice, `${name}.wav`),
        };
      },
    ),
  );
}

/**
 * The clips that exist after those that are missing were made, which takes about half an hour the first time. With
 * STEMSAY_SPEAK=no, or without the voices (`prepare.sh`), the clips that are there already.
 */
export function ready(print: (sentence: string) => void, all = plan()): Clip[] {
  const missing = all.filter((clip) => !existsSync(clip.file));
  const python = join(cache, 'venv', 'bin', 'python');
  if (missing.length > 0 && process.env.STEMSAY_SPEAK !== 'no') {
    if (existsSync(python)) {
      print(`${missing.length} clips are spoken first; this may take half an hour`);
      mkdirSync(cache, { recursive: true });
      const manifest = join(cache, 'manifest.jsonl');
      writeFileSync(manifest, missing.map((clip) => JSON.stringify(clip)).join('\n'));
      execFileSync('nice', ['-n', '15', python, join(folder, 'synthesise.py'), manifest], {
        stdio: 'inherit',
      });
    } else {
      print(
        `${missing.length} clips are missing: run tests/bench/voices/prepare.sh to be able to speak them`,
      );
    }
  }
  return all.filter((clip) => existsSync(clip.file));
}

/** File names may be no longer than this. */
const longestName = 120;
export const fileNameOf = (text: string): string =>
  text
    .replace(/[^a-z0-9]+/gi, '-')
    .toLowerCase()
    .slice(0, longestName);

export function load(file: string): Float32Array {
  const sound = readWav(readFileSync(file));
  if (!sound.ok) throw new Error(`${file}: ${sound.error.message}`);
  return sound.value.samples;
}
