/**
 * The CTC search on the project's own clips, phone probabilities from the acoustic model that comes with it: time of
 * push and finish with n-best, stretched to three seconds, what the beam loses, and how fast the graph is built.
 */
import { readFileSync } from 'node:fs';
import { compile } from '../../grammar/compile.ts';
import { grammar } from '../../grammar/grammar.ts';
import { createGraph, createLexicon, Search } from '../../grammar/hearing.ts';
import { normalise } from '../../grammar/normalise.ts';
import { noteKey } from '../../grammar/notekey.ts';
import { createReader } from '../../grammar/read.ts';
import { readWav } from '../../server/audio.ts';
import { loadAcousticModel } from '../../server/speech/acoustic.ts';
import { ownModel } from '../../server/speech/hear.ts';

export const name = 'search';

const rounds = 12;

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const automaton = compile(grammar);
  const exact = createReader(automaton);
  const lexicon = createLexicon();
  const build: number[] = [];
  let graph = createGraph(automaton, lexicon, grammar.freeWords);
  for (let i = 0; i < 5; i++) {
    const began = performance.now();
    graph = createGraph(automaton, lexicon, grammar.freeWords);
    build.push(performance.now() - began);
  }
  const median = (list: readonly number[]) => quantile(list, 0.5);
  print('graph.states', automaton.states, '');
  print('graph.arcs', automaton.arcTo.length, '');
  print('graph.nodes', graph.phone.length, '');
  print('graph.build', median(build), 'ms');

  const folder = new URL('../clips/', import.meta.url);
  const model = await loadAcousticModel(ownModel);
  const clips: { text: string; logp: Float32Array; frames: number }[] = [];
  for (const line of readFileSync(new URL('clips.jsonl', folder), 'utf8').trim().split('\n')) {
    const { file, text } = JSON.parse(line) as { file: string; text: string };
    const sound = readWav(readFileSync(new URL(file.split('/').at(-1)!, folder)));
    if (!sound.ok) throw new Error(`${file}: ${JSON.stringify(sound.error)}`);
    const { logp, frames } = await model.run(sound.value.samples);
    clips.push({ text, logp, frames });
  }

  const search = new Search(graph);
  const push: number[] = [];
  const finish: number[] = [];
  const partial: number[] = [];
  const per3s: number[] = [];
  let right = 0;
  for (const { text, logp, frames } of clips) {
    let least = Number.POSITIVE_INFINITY;
    for (let round = 0; round < rounds; round++) {
      search.reset();
      const began = performance.now();
      search.push(logp, frames);
      const pushed = performance.now();
      const { hypotheses } = search.finish();
      const done = performance.now();
      if (round === 0) {
        const meant = exact.read(normalise(text));
        const best = hypotheses[0];
        if (meant.ok && best && meant.value.some(({ note }) => noteKey(note) === noteKey(best.note))) right++;
        continue;
      }
      push.push(pushed - began);
      finish.push(done - pushed);
      least = Math.min(least, done - began);
      search.partial();
      partial.push(performance.now() - done);
    }
    per3s.push((least * 150) / frames);
  }
  print('clips', clips.length, '');
  print('clips.right', right, '');
  print('push.p50', quantile(push, 0.5), 'ms');
  print('finish.p50', quantile(finish, 0.5), 'ms');
  print('partial.p50', quantile(partial, 0.5), 'ms');
  print('all-per-3s.p50-of-best', quantile(per3s, 0.5), 'ms');
  print('all-per-3s.p95-of-best', quantile(per3s, 0.95), 'ms');

  for (const beam of [14, 20, 30]) {
    const narrow = new Search(graph, { beam });
    const wide = new Search(graph, { beam: 60 });
    let differ = 0;
    for (const { logp, frames } of clips) {
      narrow.reset();
      wide.reset();
      narrow.push(logp, frames);
      wide.push(logp, frames);
      const a = narrow.finish();
      const b = wide.finish();
      if (Math.abs(a.margin - b.margin) > 1e-9) differ++;
    }
    print(`beam-${beam}.other-best-than-beam-60`, differ, `of ${clips.length}`);
  }
}

function quantile(list: readonly number[], q: number): number {
  const sorted = [...list].sort((a, b) => a - b);
  return Number(sorted[Math.floor(q * (sorted.length - 1))]!.toFixed(3));
}
