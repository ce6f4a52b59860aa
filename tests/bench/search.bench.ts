/**
 * The CTC search on the project's own clips, phone probabilities from the acoustic model that comes with it: time of
 * push and finish with n-best, stretched to three seconds, clean and in noise, what the beam loses, and how fast the
 * graph is built.
 */
import { readFileSync } from 'node:fs';
import { Search, searchDefaults } from '../../grammar/decoding/search.ts';
import { normalise } from '../../grammar/description/normalise.ts';
import type { PhoneGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { createReader, type Reader } from '../../grammar/reading/exact.ts';
import { places } from '../../server/program/places.ts';
import { type AcousticModel, loadAcousticModel } from '../../server/speech/acoustic.ts';
import { readWav } from '../../server/speech/audio.ts';
import { noteKey, notesKey } from '../../shared/note/note-key.ts';
import { spokenNotes } from '../support/joined-clips.ts';
import { ownGraph } from '../support/own-graph.ts';
import { noisy, seeded } from './voices/noise.ts';

export const name = 'search';

const rounds = 12;

type Print = (name: string, value: number | string, unit: string) => void;

export async function run(print: Print): Promise<void> {
  const build: number[] = [];
  let graph = ownGraph();
  for (let i = 0; i < 5; i++) {
    const began = performance.now();
    graph = ownGraph();
    build.push(performance.now() - began);
  }
  const { automaton } = graph;
  const exact = createReader(automaton);
  const median = (list: readonly number[]) => quantile(list, 0.5);
  print('graph.states', automaton.states, '');
  print('graph.arcs', automaton.arcTo.length, '');
  print('graph.nodes', graph.phone.length, '');
  print('graph.places', graph.places, '');
  print('graph.build', median(build), 'ms, compiled automaton at hand');

  const folder = new URL('../clips/', import.meta.url);
  const model = await loadAcousticModel(places.model);
  const clips: { text: string; decibels: number; logp: Float32Array; frames: number }[] = [];
  for (const line of readFileSync(new URL('clips.jsonl', folder), 'utf8').trim().split('\n')) {
    const { file, text } = JSON.parse(line) as { file: string; text: string };
    const sound = readWav(readFileSync(new URL(file.split('/').at(-1)!, folder)));
    if (!sound.ok) throw new Error(`${file}: ${JSON.stringify(sound.error)}`);
    for (const decibels of [Number.POSITIVE_INFINITY, 10, 0]) {
      const { logp, frames } = await model.run(noisy(sound.value.samples, decibels, seeded(clips.length)));
      clips.push({ text, decibels, logp, frames });
    }
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
        if (
          meant.ok &&
          best &&
          meant.value.some(({ notes: [note] }) => noteKey(note) === noteKey(best.notes[0]))
        )
          right++;
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

  await breaths(print, model, graph, exact);

  // What a beam loses against one that is twice as wide as the program's.
  const wide = new Search(graph, { beam: 2 * searchDefaults.beam });
  const hear = (search: Search, logp: Float32Array, frames: number) => {
    search.reset();
    search.push(logp, frames);
    return search.finish().hypotheses[0];
  };
  const widest = clips.map(({ logp, frames }) => hear(wide, logp, frames));
  for (const beam of [searchDefaults.beam - 4, searchDefaults.beam, searchDefaults.beam + 4]) {
    const narrow = new Search(graph, { beam });
    for (const decibels of [Number.POSITIVE_INFINITY, 10, 0]) {
      let differ = 0;
      let of = 0;
      clips.forEach((clip, i) => {
        if (clip.decibels !== decibels) return;
        const [a, b] = [hear(narrow, clip.logp, clip.frames), widest[i]];
        of++;
        if ((a && noteKey(a.notes[0])) !== (b && noteKey(b.notes[0]))) differ++;
      });
      const at = decibels === Number.POSITIVE_INFINITY ? 'clean' : `${decibels}dB`;
      print(`beam-${beam}.${at}.other-meaning-than-beam-${2 * searchDefaults.beam}`, differ, `of ${of}`);
    }
  }
}

/** One note alone and two in one breath: how many come first with their meaning, with the way back and without it. */
async function breaths(print: Print, model: AcousticModel, graph: PhoneGraph, reader: Reader): Promise<void> {
  const clips = spokenNotes(reader);
  for (const joint of [searchDefaults.joint, Number.POSITIVE_INFINITY])
    for (const decibels of [Number.POSITIVE_INFINITY, 10, 0]) {
      const at = decibels === Number.POSITIVE_INFINITY ? 'clean' : `${decibels}dB`;
      const search = new Search(graph, { joint });
      for (const [name, some] of [
        ['one', clips.alone],
        ['two', clips.joined],
      ] as const) {
        let right = 0;
        let time = 0;
        for (const [i, { samples, meant }] of some.entries()) {
          const { logp, frames } = await model.run(noisy(samples, decibels, seeded(i)));
          search.reset();
          const began = performance.now();
          search.push(logp, frames);
          const best = search.finish().hypotheses[0];
          time += ((performance.now() - began) * 150) / frames;
          if (best && meant.has(notesKey(best.notes))) right++;
        }
        const label = `breath.${joint === Number.POSITIVE_INFINITY ? 'no-way-back' : 'way-back'}.${at}.${name}`;
        print(`${label}.right`, right, `of ${some.length}`);
        print(`${label}.per-3s`, Number((time / some.length).toFixed(2)), 'ms');
      }
    }
}

function quantile(list: readonly number[], q: number): number {
  const sorted = [...list].sort((a, b) => a - b);
  return Number(sorted[Math.floor(q * (sorted.length - 1))]!.toFixed(3));
}
