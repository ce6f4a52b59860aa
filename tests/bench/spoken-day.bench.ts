/**
 * A whole day of the ground, from the edge to the last plot, spoken by made voices (flite, espeak-ng) and heard by the
 * program's own ear, clean and at 10 dB. Two measures: each note alone, right by meaning; and the day told to a desk from
 * its first clip to its last, where what was not kept right at once is said again by the next voice, then typed.
 * `STEMSAY_FEW=n` takes only every n-th of the single notes; `STEMSAY_PART=notes` or `day` runs one of the two.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createLanguage } from '../../server/language/language.ts';
import { readWav, writeWav } from '../../server/speech/audio.ts';
import { createHearing } from '../../server/speech/hear.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import type { Print } from './hearing.bench.ts';
import { type Clip, cache, fileNameOf, load } from './voices/clips.ts';
import { dayLines, otherLines } from './voices/land-day.ts';
import { noisy, seeded, soundscapes } from './voices/noise.ts';
import { createEar, type Ear, meanings, noiseOf, runTrials, type Trial } from './voices/trials.ts';

export const name = 'spokenDay';

/** flite's awb was never heard in training; rms and slt were, with other sentences; espeak-ng has voices of its own. */
const voices = [
  ['flite', 'awb'],
  ['flite', 'rms'],
  ['flite', 'slt'],
  ['espeak', 'en-us'],
  ['espeak', 'en-gb'],
] as const;
const clean = Number.POSITIVE_INFINITY;

export async function run(print: Print): Promise<void> {
  const part = process.env.STEMSAY_PART;
  const ear = await createEar();
  if (part !== 'day') await notesAlone(print, ear);
  if (part === 'notes') return;
  for (const decibels of [clean, 10])
    for (const first of [0, 3])
      await wholeDay(print, { decibels, first, means: (text) => meanings(ear.reader, text) });
}

/** Each note by each voice, right by meaning. */
async function notesAlone(print: Print, ear: Ear): Promise<void> {
  const every = Number(process.env.STEMSAY_FEW ?? 1);
  const texts = [...new Set([...dayLines, ...otherLines])].filter((_, i) => i % every === 0);
  const clips = texts.flatMap((text) => voices.map((voice) => spoken(text, voice)));
  const trials = await runTrials(ear, clips, [clean, 10]);
  for (const decibels of [clean, 10]) {
    const at = trials.filter((trial) => trial.decibels === decibels);
    const label = decibels === clean ? 'clean' : '10dB';
    tell(print, `notes.${label}`, at);
    for (const [, voice] of voices)
      tell(
        print,
        `notes.${label}.${voice}`,
        at.filter(({ clip }) => clip.voice === voice),
      );
  }
  print('notes.readable', trials.filter(({ readable }) => readable).length, `of ${trials.length}`);
  if (!process.env.STEMSAY_MISSES) return;
  for (const { clip, decibels, right, found } of trials) {
    const heard = found.hypotheses[0]?.words.map(({ word }) => word).join(' ');
    if (!right) console.error(`${clip.voice} ${decibels}: ${clip.text} -> ${heard}`);
  }
}

function tell(print: Print, key: string, trials: readonly Trial[]): void {
  const right = trials.filter((trial) => trial.right).length;
  print(key, ((100 * right) / trials.length).toFixed(1), `% by meaning, ${right} of ${trials.length}`);
}

interface DayHow {
  readonly decibels: number;
  /** The voice of the day; the others help where it is not understood. */
  readonly first: number;
  readonly means: (text: string) => ReadonlyMap<string, unknown>;
}

/** The day told to a desk as sound: what the book came to, beside the same day typed. */
async function wholeDay(print: Print, { decibels, first, means }: DayHow): Promise<void> {
  const hearing = createHearing();
  await hearing.ready;
  const desk = await Desk.open({ store: new MemoryStore(), language: createLanguage(), hearing });
  const counts = { atOnce: 0, confirmed: 0, again: 0, typed: 0, wrong: 0 };
  for (const [i, text] of dayLines.entries()) {
    const wanted = means(text);
    const how = await say(desk, { text, i, first, decibels, wanted });
    counts[how]++;
  }
  const typed = await Desk.open({ store: new MemoryStore(), language: createLanguage() });
  for (const text of dayLines) await typed.note(text);
  const [heard, written] = [desk, typed].map(({ session: { book } }) => ({
    acres: [...book.stands.values()][0]?.acres ?? 0,
    plots: [...book.plots()].length,
    trees: [...book.trees()].length,
  }));
  const label = `day.${decibels === clean ? 'clean' : '10dB'}.${voices[first]![1]}`;
  const of = dayLines.length;
  for (const [key, count] of Object.entries(counts)) print(`${label}.${key}`, count, `of ${of} notes`);
  print(
    `${label}.book`,
    JSON.stringify(heard) === JSON.stringify(written) ? 'same' : 'other',
    `as typed: ${heard!.acres.toFixed(2)} acres, ${heard!.plots} plots, ${heard!.trees} trees (typed ${written!.acres.toFixed(2)}, ${written!.plots}, ${written!.trees})`,
  );
  await desk.close();
  await typed.close();
}

type How = 'atOnce' | 'confirmed' | 'again' | 'typed' | 'wrong';
interface Line {
  readonly text: string;
  readonly i: number;
  readonly first: number;
  readonly decibels: number;
  readonly wanted: ReadonlyMap<string, unknown>;
}

/** One line of the day: said, confirmed where it is asked about, said again twice by other voices, then typed. */
async function say(desk: Desk, { text, i, first, decibels, wanted }: Line): Promise<How> {
  for (let turn = 0; turn < 3; turn++) {
    const samples = load(spoken(text, voices[(first + turn) % voices.length]!).file);
    const loud = noisy(samples, decibels, seeded(i + 1 + 100 * turn), noiseOf(i)[1] ?? soundscapes.pink!);
    const told = await desk.sound(
      { samples: loud, seconds: loud.length / 16_000, warnings: [] },
      writeWav(loud),
    );
    const asked = told.answer.reply.startsWith('Did you say');
    if (asked) {
      const options = told.question?.options ?? [];
      const at = options.findIndex(({ note }) => wanted.has(noteKey(note)));
      if (at === 0) {
        await desk.note('yes');
        return turn === 0 ? 'confirmed' : 'again';
      }
      await desk.note('no');
      continue;
    }
    const note = told.entry?.note;
    if (note && wanted.has(noteKey(note))) return turn === 0 ? 'atOnce' : 'again';
    if (told.entry === null) continue;
    // Kept as something else: taken back, as a person would.
    await desk.note('undo');
    await desk.note(text);
    return 'wrong';
  }
  await desk.note(text);
  return 'typed';
}

/** The clip of a sentence by a voice, spoken where it is not there yet. */
function spoken(text: string, [engine, voice]: readonly [string, string]): Clip {
  const file = join(cache, 'land', voice, `${fileNameOf(text)}.wav`);
  if (!existsSync(file)) {
    mkdirSync(dirname(file), { recursive: true });
    const raw = `${file}.raw.wav`;
    if (engine === 'flite') execFileSync('flite', ['-voice', voice, '-t', text, raw]);
    else execFileSync('espeak-ng', ['-v', voice, '-w', raw, text]);
    const sound = readWav(readFileSync(raw));
    if (!sound.ok) throw new Error(`${raw}: ${sound.error.message}`);
    // A third of a second of rest before and after, as a listener cuts it.
    const padded = new Float32Array(sound.value.samples.length + 10_000);
    padded.set(sound.value.samples, 5000);
    writeFileSync(file, writeWav(padded));
    rmSync(raw);
  }
  return { set: 'day', text, engine, voice, speed: 1, file };
}
