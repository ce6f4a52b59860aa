/** A small general recogniser through the same library on the same clips, and ours beside it. */
import { basename, dirname, sep } from 'node:path';
import { AutoProcessor, AutoTokenizer, env, WhisperForConditionalGeneration } from '@xenova/transformers';
import { normalise } from '../../../grammar/normalise.ts';
import { noteKey } from '../../../grammar/notekey.ts';
import { TolerantReader } from '../../../grammar/tolerant.ts';
import type { Print } from '../hearing.bench.ts';
import { load } from '../voices/clips.ts';
import { type Ear, meanings, type Trial } from '../voices/trials.ts';
import { quantile } from './statistics.ts';

/** The clean notes of three voices, read as kindly to it as can be. */
export async function general(print: Print, ear: Ear, trials: readonly Trial[]): Promise<void> {
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
    (t) => !Number.isFinite(t.decibels) && t.clip.set === 'usual' && t.readable && voices.has(t.clip.voice),
  );
  const times: number[] = [];
  const ours: number[] = [];
  let exact = 0;
  let forgiving = 0;
  for (const { clip } of some) {
    const samples = load(clip.file);
    const before = performance.now();
    const { input_features } = await processor(samples);
    const tokens = await model.generate(input_features, { max_new_tokens: 60 });
    const text = tokenizer.decode(tokens[0], { skip_special_tokens: true }) as string;
    times.push(performance.now() - before);
    const { milliseconds: m } = await ear.hear(samples);
    ours.push(m.features + m.encoder + m.search);
    const wanted = meanings(ear.reader, clip.text);
    // The reading most generous to it: right when word for word or the nearest sentence of the grammar is.
    const readExactly = [...meanings(ear.reader, text).keys()].some((key) => wanted.has(key));
    const nearest = readExactly ? undefined : tolerant.read(normalise(text))[0];
    if (readExactly) exact++;
    if (readExactly || (nearest && wanted.has(noteKey(nearest.note)))) forgiving++;
    if (process.env.STEMSAY_MISSES) console.error(`general | ${clip.text} | ${text}`);
  }
  const percent = (part: number) => ((100 * part) / some.length).toFixed(1);
  const right = some.filter((trial) => trial.right).length;
  print(`general.${id}.exact`, percent(exact), `% of ${some.length} notes, read word for word`);
  print(`general.${id}.forgiving`, percent(forgiving), '%, or by the nearest sentence of the grammar');
  print(`general.${id}.p50`, quantile(times, 0.5).toFixed(0), 'ms a clip');
  print(`general.${id}.p95`, quantile(times, 0.95).toFixed(0), 'ms');
  print('general.ours', percent(right), `% of the same, p50 ${quantile(ours, 0.5).toFixed(1)} ms`);
  print('general.times_faster', (quantile(times, 0.5) / quantile(ours, 0.5)).toFixed(1), 'times');
  print('general.points_more', ((100 * (right - forgiving)) / some.length).toFixed(1), 'points');
}
