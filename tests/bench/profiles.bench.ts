/**
 * Profiles of a voice and of what it says: one person's day, by each of the six voices that the model was never trained
 * on, with neither, either and both profiles after 10, 20, 40 and 80 notes of it; near misses by the same voice, notes
 * drawn evenly from the grammar that this person would never say, and, for the hardest voice, talk and the tool's own
 * replies. Learning is the program's own, with its judgement whether a profile is used.
 *
 * The counts of every voice are kept in `profiles/results.json`, from which the figures of all voices are printed; a run
 * that finds other counts says so. STEMSAY_VOICES=awb,joe runs these voices only, STEMSAY_VOICES=none none; STEMSAY_WRITE=yes
 * writes the file; STEMSAY_TUNING=yes runs the voices of the tuning instead.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createReader } from '../../grammar/reading/exact.ts';
import { loadAcousticModel } from '../../server/speech/acoustic.ts';
import { ownGraph } from '../support/own-graph.ts';
import { countsOf, type PersonCounts, printVoices, type VoiceResult } from './profiles/counts.ts';
import { clean, soundsOf } from './profiles/person-sounds.ts';
import { type Outcome, runPerson } from './profiles/person-trials.ts';
import { printReliability } from './profiles/reliability.ts';
import { type Clip, cache, plan, ready } from './voices/clips.ts';
import { heldOutVoices, personClips, tuningVoices } from './voices/person.ts';
import { measuredModel } from './voices/trials.ts';

export const name = 'profiles';

const resultsFile = fileURLToPath(new URL('./profiles/results.json', import.meta.url));
/** What became of every clip, for the fit of confidence: too much to be committed. */
const outcomesFolder = join(cache, 'profiles');
/** Who also hears talk and the tool's own replies, with the profiles on. */
const hardest = 'awb';

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const tell = (sentence: string) => console.error(sentence);
  const isTuning = process.env.STEMSAY_TUNING !== undefined;
  const kept: Record<string, VoiceResult> =
    !isTuning && existsSync(resultsFile) ? JSON.parse(readFileSync(resultsFile, 'utf8')) : {};
  const wanted = process.env.STEMSAY_VOICES?.split(',');
  const folder = measuredModel();
  const model = await loadAcousticModel(folder);
  const shipped = model.outputLayer;
  if (shipped === null) throw new Error(`the model in ${folder} does not tell its last layer`);
  const graph = ownGraph();
  const parts = { model, shipped, graph, reader: createReader(graph.automaton) };
  const measured = new Set<string>();
  const voices = [...heldOutVoices, ...tuningVoices];
  for (const [turn, voice] of voices.entries()) {
    if (tuningVoices.includes(voice as (typeof tuningVoices)[number]) !== isTuning) continue;
    if (wanted && !wanted.includes(voice[1])) continue;
    const clips = personClips(voice, turn);
    const there = new Set(ready(tell, [...clips.learn, ...clips.test, ...clips.near]));
    const some = (list: readonly Clip[]) => list.filter((clip) => there.has(clip));
    const own = { ...clips, learn: some(clips.learn), test: some(clips.test), near: some(clips.near) };
    const mine = ready(tell, plan()).filter((clip) => clip.voice === voice[1]);
    const odd = mine.filter(({ set }) => set === 'sampled').slice(0, 40);
    const others = voice[1] === hardest ? mine.filter(({ set }) => set === 'talk' || set === 'own') : [];
    const result = await runPerson(parts, own, odd, await soundsOf(model, others, [clean]));
    mkdirSync(outcomesFolder, { recursive: true });
    writeFileSync(join(outcomesFolder, `${voice[1]}.json`), JSON.stringify(result.outcomes));
    const counts = countsOf(result);
    compare(print, voice[1], kept[voice[1]]?.counts, counts);
    measured.add(voice[1]);
    kept[voice[1]] = { seed: 500 + turn, counts, ...timesOf(result) };
  }
  if (process.env.STEMSAY_WRITE && !isTuning) {
    // Another run may have written other voices meanwhile.
    const others = existsSync(resultsFile) ? JSON.parse(readFileSync(resultsFile, 'utf8')) : {};
    const mine = Object.fromEntries(Object.entries(kept).filter(([voice]) => measured.has(voice)));
    writeFileSync(resultsFile, `${JSON.stringify({ ...others, ...mine }, null, 1)}\n`);
  }
  printVoices(print, kept);
  const outcomes = Object.fromEntries(
    Object.keys(kept).flatMap((voice) => {
      const file = join(outcomesFolder, `${voice}.json`);
      return existsSync(file) ? [[voice, JSON.parse(readFileSync(file, 'utf8')) as Outcome[]]] : [];
    }),
  );
  printReliability(print, outcomes);
}

const timesOf = ({ lessons, noteMs }: Awaited<ReturnType<typeof runPerson>>) => ({
  lessons: lessons.map(({ learnt, layer, clips, gains, before, after, seconds }) => ({
    learnt,
    used: layer !== null,
    clips,
    gain: mean(gains.map(({ worth }) => worth)),
    before,
    after,
    processorSeconds: Math.round(seconds * 10) / 10,
  })),
  noteMs: Math.round(noteMs * 10) / 10,
});

/** Rounded, so that another machine finds the same. */
const mean = (some: readonly number[]): number =>
  Math.round((1000 * some.reduce((sum, one) => sum + one, 0)) / Math.max(1, some.length)) / 1000;

/** Whether this run found what the file says. */
function compare(
  print: (name: string, value: number | string, unit: string) => void,
  voice: string,
  before: PersonCounts | undefined,
  now: PersonCounts,
): void {
  if (before === undefined) return;
  const differ = Object.keys(now).filter((key) => JSON.stringify(before[key]) !== JSON.stringify(now[key]));
  print(`${voice}.other_than_before`, differ.length, `of ${Object.keys(now).length} counts`);
  for (const key of differ)
    print(`${voice}.${key}`, JSON.stringify(now[key]), `before: ${JSON.stringify(before[key])}`);
}
