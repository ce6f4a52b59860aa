/** Small general recognisers on the same clips of notes, and ours beside them. */
import { normalise } from '../../../grammar/description/normalise.ts';
import { TolerantReader } from '../../../grammar/reading/tolerant.ts';
import { noteKey } from '../../../shared/note/note-key.ts';
import type { Print } from '../hearing.bench.ts';
import { load } from '../voices/clips.ts';
import { type Ear, meanings, type Trial } from '../voices/trials.ts';
import { recognisers } from './recognisers.ts';
import { quantile } from './statistics.ts';

/** The clean notes of three voices, read as kindly to the general ones as can be. */
export async function general(print: Print, ear: Ear, trials: readonly Trial[]): Promise<void> {
  const rivals = await recognisers();
  if (rivals.length === 0) return print('general', 'not measured', '(STEMSAY_WHISPER is not set)');
  const tolerant = new TolerantReader(ear.graph);
  const voices = new Set(['joe', 'af_sky', 'bm_lewis']);
  const some = trials.filter(
    (t) => !Number.isFinite(t.decibels) && t.clip.set === 'usual' && t.readable && voices.has(t.clip.voice),
  );
  const sounds = some.map(({ clip }) => load(clip.file));
  const ours: number[] = [];
  for (const samples of sounds) {
    const { milliseconds: m } = await ear.hear(samples);
    ours.push(m.features + m.encoder + m.search);
  }
  const percent = (part: number) => ((100 * part) / some.length).toFixed(1);
  const right = some.filter((trial) => trial.right).length;
  print(
    'general.ours',
    percent(right),
    `% of ${some.length} notes, p50 ${quantile(ours, 0.5).toFixed(1)} ms`,
  );
  for (const rival of rivals) {
    const heard = await rival.hear(sounds);
    let exact = 0;
    let forgiving = 0;
    for (const [i, { text }] of heard.entries()) {
      const said = some[i]!.clip.text;
      const wanted = meanings(ear.reader, said);
      // The reading most generous to it: right when word for word or the nearest sentence of the grammar is.
      const readExactly = [...meanings(ear.reader, text).keys()].some((key) => wanted.has(key));
      const nearest = readExactly ? undefined : tolerant.read(normalise(text))[0];
      if (readExactly) exact++;
      if (readExactly || (nearest && wanted.has(noteKey(nearest.notes[0])))) forgiving++;
      if (process.env.STEMSAY_MISSES) console.error(`general.${rival.name} | ${said} | ${text}`);
    }
    const times = heard.map(({ milliseconds }) => milliseconds);
    const at = `general.${rival.name}`;
    print(`${at}.exact`, percent(exact), `% of the same, read word for word`);
    print(`${at}.forgiving`, percent(forgiving), '%, or by the nearest sentence of the grammar');
    print(`${at}.p50`, quantile(times, 0.5).toFixed(0), 'ms a clip');
    print(`${at}.p95`, quantile(times, 0.95).toFixed(0), 'ms');
    print(`${at}.times_slower`, (quantile(times, 0.5) / quantile(ours, 0.5)).toFixed(1), 'times ours');
    print(`${at}.points_less`, ((100 * (right - forgiving)) / some.length).toFixed(1), 'points below ours');
  }
}
