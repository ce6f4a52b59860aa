/** Time and memory: the parts by themselves, and the process that hears. */
import { execFileSync } from 'node:child_process';
import { createHearing, spawnWorker } from '../../../server/speech/hear.ts';
import type { Print } from '../hearing.bench.ts';
import { type Clip, load } from '../voices/clips.ts';
import type { Ear } from '../voices/trials.ts';
import { quantile } from './statistics.ts';

/** Notes of 2.5 to 3.5 s, each heard anew. */
export async function speed(print: Print, ear: Ear, clips: readonly Clip[]): Promise<void> {
  const times: { features: number; encoder: number; search: number }[] = [];
  for (const clip of clips.filter(({ set }) => set === 'usual' || set === 'day')) {
    const samples = load(clip.file);
    const seconds = samples.length / 16000;
    if (seconds < 2.5 || seconds > 3.5) continue;
    times.push((await ear.hear(samples)).milliseconds);
    if (times.length === 200) break;
  }
  const parts = {
    features: times.map(({ features }) => features),
    encoder: times.map(({ encoder }) => encoder),
    search: times.map(({ search }) => search),
    three_seconds: times.map(({ features, encoder, search }) => features + encoder + search),
  };
  for (const [part, list] of Object.entries(parts)) {
    print(`${part}.p50`, quantile(list, 0.5).toFixed(2), `ms, notes of 2.5 to 3.5 s`);
    print(`${part}.p95`, quantile(list, 0.95).toFixed(2), 'ms');
  }
}

/** From samples to candidates as the server hears, then 500 notes in a row. */
export async function service(print: Print, clips: readonly Clip[], model: string): Promise<void> {
  let pid = 0;
  const start = performance.now();
  const hearing = createHearing({
    model,
    spawn: (folder) => {
      const child = spawnWorker(folder);
      pid = child.pid ?? 0;
      return child;
    },
  });
  await hearing.ready;
  print('service.start', Math.round(performance.now() - start), 'ms until the first clip can be heard');
  const short = clips.filter(({ set }) => set === 'usual' || set === 'day').slice(0, 200);
  const sounds = short.map(({ file }) => load(file)).filter((samples) => samples.length <= 3.5 * 16000);
  const times: number[] = [];
  const memory = () =>
    Number(execFileSync('ps', ['-o', 'rss=', '-p', String(pid)], { encoding: 'utf8' })) / 1024;
  let before = 0;
  for (let i = 0; i < 500 && sounds.length > 0; i++) {
    if (i === 100) before = memory();
    const began = performance.now();
    await hearing.hear(sounds[i % sounds.length]!);
    times.push(performance.now() - began);
  }
  print('service.p50', quantile(times, 0.5).toFixed(1), 'ms from samples to candidates, clips up to 3.5 s');
  print('service.p95', quantile(times, 0.95).toFixed(1), 'ms');
  print('service.memory', Math.round(memory()), 'MB resident');
  print('service.growth', (100 * (memory() / before - 1)).toFixed(1), '% from the 100th to the 500th note');
  await hearing.close();
}
