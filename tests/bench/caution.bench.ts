/**
 * Chooses `caution.noise` of shared/sound/confidence.ts: how much less a note is believed in noise. Eleven days by five voices of
 * the training that no bench reports, clean to -3 dB and more of it the noisier, with both profiles; near misses by the same
 * voices. A note kept wrong costs as much as so many questions: the choice is the cheapest, in half nats, also with each voice
 * left out.
 *
 * What became of the clips is kept in the cache: STEMSAY_VOICES=slt,rms hears the days of these voices only, STEMSAY_VOICES=none
 * none, and the choice is printed from all that were heard.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createReader } from '../../grammar/reading/exact.ts';
import { loadAcousticModel } from '../../server/speech/acoustic.ts';
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';
import { cautionAt, confidenceWeights } from '../../shared/sound/confidence.ts';
import { ownGraph } from '../support/own-graph.ts';
import { clean, soundsOf } from './profiles/person-sounds.ts';
import { type BenchParts, hearWithBoth, type Outcome } from './profiles/person-trials.ts';
import { type Clip, cache, ready } from './voices/clips.ts';
import { cautionClips, cautionDays, type PersonClips } from './voices/person.ts';
import { meanings, measuredModel } from './voices/trials.ts';

export const name = 'caution';

const folder = join(cache, 'caution');
/** Questions that a note kept wrong costs, by judgement; the program's choice is that of the middle one. */
const prices = [10, 20, 30, 50, 100] as const;
/** Nats at full noise. */
const choices = Array.from({ length: 15 }, (_, i) => -i / 2);
/** Ratios at which notes are heard, and how many noises each; near misses are heard once at three of them. */
const ratios = [
  [clean, 1],
  [10, 1],
  [5, 1],
  [0, 3],
  [-3, 2],
] as const;
const nearRatios = [clean, 10, 0];

type Print = (name: string, value: number | string, unit: string) => void;

export async function run(print: Print): Promise<void> {
  const wanted = process.env.STEMSAY_VOICES?.split(',');
  const model = await loadAcousticModel(measuredModel());
  const shipped = model.outputLayer;
  if (shipped === null) throw new Error('the model does not tell its last layer');
  const graph = ownGraph();
  const parts: BenchParts = { model, shipped, graph, reader: createReader(graph.automaton) };
  mkdirSync(folder, { recursive: true });
  const heard: { readonly voice: string; readonly outcomes: readonly Outcome[] }[] = [];
  for (const [day, [, voice, turn]] of cautionDays.entries()) {
    const file = join(folder, `${voice}-${turn}.json`);
    if (!wanted || wanted.includes(voice))
      writeFileSync(file, JSON.stringify(await hearDay(parts, cautionClips(day), turn)));
    if (existsSync(file)) heard.push({ voice, outcomes: JSON.parse(readFileSync(file, 'utf8')) });
  }
  const all = heard.flatMap(({ outcomes }) => outcomes);
  for (const noise of choices) printChoice(print, all, noise);
  for (const price of prices) {
    print(`cheapest.${price}`, cheapest(all, price), 'nats at full noise');
    for (const voice of new Set(heard.map((one) => one.voice))) {
      const others = heard.filter((one) => one.voice !== voice).flatMap(({ outcomes }) => outcomes);
      if (others.length === 0) continue;
      print(`cheapest.${price}.without.${voice}`, cheapest(others, price), 'nats at full noise');
    }
  }
  print('in_use', cautionAt(1) - cautionAt(0), 'nats at full noise');
}

async function hearDay(parts: BenchParts, clips: PersonClips, turn: number): Promise<Outcome[]> {
  const readable = ({ text }: Clip) => meanings(parts.reader, text).size > 0;
  const there = (list: readonly Clip[]) => ready((sentence) => console.error(sentence), [...list]);
  const notes = there(clips.test).filter(readable);
  const near = there(clips.near).filter((clip) => !readable(clip));
  const day = [];
  for (const [decibels, noises] of ratios)
    for (let k = 0; k < noises; k++)
      day.push(...(await soundsOf(parts.model, notes, [decibels], turn + 2 * k)));
  return hearWithBoth(parts, there(clips.learn).filter(readable), [
    ['day', day],
    ['near', await soundsOf(parts.model, near, nearRatios, turn)],
  ]);
}

const weights = Object.values(confidenceWeights);

/** Whether it would be kept by the sound alone where full noise takes so many nats of belief. */
function isKept({ measures, posterior, noise }: Outcome, caution: number): boolean {
  if (measures === null) return false;
  const sum = measures.reduce((total, measure, k) => total + measure * weights[k]!, 0);
  const belief = 1 / (1 + Math.exp(-sum - cautionAt(0) - caution * noise));
  return Math.min(belief, posterior) >= takeHeardFrom;
}

/** Questions about what was heard rightly, and notes kept wrong. */
function costsOf(outcomes: readonly Outcome[], caution: number): { asked: number; wrong: number } {
  let asked = 0;
  let wrong = 0;
  for (const outcome of outcomes) {
    const kept = isKept(outcome, caution);
    if (outcome.rightBySound && !kept) asked++;
    if (!outcome.rightBySound && kept) wrong++;
  }
  return { asked, wrong };
}

function cheapest(outcomes: readonly Outcome[], price: number): number {
  const costs = choices.map((caution) => {
    const { asked, wrong } = costsOf(outcomes, caution);
    return asked + price * wrong;
  });
  return choices[costs.indexOf(Math.min(...costs))]!;
}

function printChoice(print: Print, all: readonly Outcome[], caution: number): void {
  const { asked, wrong } = costsOf(all, caution);
  print(`at.${caution}`, asked, `right ones asked about, ${wrong} kept wrong, of ${all.length}`);
  for (const [decibels] of ratios) {
    const some = all.filter((one) => (one.decibels ?? clean) === decibels);
    const at = `at.${caution}.${decibels === clean ? 'clean' : `${decibels}dB`}`;
    const kept = some.filter((one) => isKept(one, caution));
    const count = (list: readonly Outcome[], set: string, right: boolean) =>
      list.filter((one) => one.set === set && one.rightBySound === right).length;
    const notes = some.filter(({ set }) => set === 'day').length;
    print(
      `${at}.kept_right`,
      count(kept, 'day', true),
      `and ${count(kept, 'day', false)} wrong of ${notes} notes, ${count(kept, 'near', false)} of ${some.length - notes} near misses`,
    );
  }
}
