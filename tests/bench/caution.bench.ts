/**
 * Chooses two limits of shared/sound/confidence.ts on eleven days by five voices of the training that no bench reports, clean to
 * -3 dB and more of it the noisier, with both profiles. `caution.noise`, how much less a note is believed in noise: a note kept
 * wrong costs as much as so many questions, and the choice is the cheapest, in half nats, also with each voice left out.
 * `rivals.from`, the odds of a common word from which a note is asked: what each limit asks of notes that are right, and keeps of
 * 1 800 near misses (`foreign.ts`).
 *
 * What became of the clips is kept in the cache: STEMSAY_VOICES=slt,rms hears the days of these voices only, STEMSAY_VOICES=none
 * none, and the choice is printed from all that were heard.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createReader } from '../../grammar/reading/exact.ts';
import { loadAcousticModel } from '../../server/speech/acoustic.ts';
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';
import { besideRivals, cautionAt, confidenceWeights } from '../../shared/sound/confidence.ts';
import { ownGraph } from '../support/own-graph.ts';
import { clean, soundsOf } from './profiles/person-sounds.ts';
import { type BenchParts, hearWithBoth, type Outcome } from './profiles/person-trials.ts';
import { type Clip, cache, ready } from './voices/clips.ts';
import { foreignClips } from './voices/foreign.ts';
import { cautionClips, cautionDays } from './voices/person.ts';
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
const foreignRatios = [clean, 10];
/** Nats of odds of a rival from which is asked. */
const rivalLimits = [0, 1, 2, 2.5, 3, 3.5, 4, 5, 6, 8, Number.POSITIVE_INFINITY];

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
    if (!wanted || wanted.includes(voice)) writeFileSync(file, JSON.stringify(await hearDay(parts, day)));
    if (existsSync(file)) heard.push({ voice, outcomes: JSON.parse(readFileSync(file, 'utf8')) });
  }
  const all = heard.flatMap(({ outcomes }) => outcomes);
  for (const limit of rivalLimits) printLimit(print, all, limit);
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

async function hearDay(parts: BenchParts, which: number): Promise<Outcome[]> {
  const clips = cautionClips(which);
  const who = cautionDays[which]!;
  const [engine, , turn] = who;
  const readable = ({ text }: Clip) => meanings(parts.reader, text).size > 0;
  const there = (list: readonly Clip[]) => ready((sentence) => console.error(sentence), [...list]);
  const notes = there(clips.test).filter(readable);
  const near = there(clips.near).filter((clip) => !readable(clip));
  // The others speak too slowly for so many.
  const foreign = engine === 'flite' ? there(foreignClips(parts.graph, parts.reader, who)) : [];
  const day = [];
  for (const [decibels, noises] of ratios)
    for (let k = 0; k < noises; k++)
      day.push(...(await soundsOf(parts.model, notes, [decibels], turn + 2 * k)));
  return hearWithBoth(parts, there(clips.learn).filter(readable), [
    ['day', day],
    ['near', await soundsOf(parts.model, near, nearRatios, turn)],
    ['foreign', await soundsOf(parts.model, foreign, foreignRatios, turn)],
  ]);
}

const weights = Object.values(confidenceWeights);

/** Whether it would be kept by the sound alone where full noise takes so many nats of belief, and a rival of such odds is asked. */
function isKept({ measures, posterior, noise, rival }: Outcome, caution: number, limit?: number): boolean {
  if (measures === null) return false;
  const sum = measures.reduce((total, measure, k) => total + measure * weights[k]!, 0);
  const belief = 1 / (1 + Math.exp(-sum - cautionAt(0) - caution * noise));
  const odds = rival ?? Number.NEGATIVE_INFINITY;
  const beside = limit === undefined ? besideRivals(belief, odds) : odds < limit ? belief : 0;
  return Math.min(beside, posterior) >= takeHeardFrom;
}

/** Questions about what was heard rightly, and notes kept wrong. */
function costsOf(outcomes: readonly Outcome[], caution: number): { asked: number; wrong: number } {
  let asked = 0;
  let wrong = 0;
  for (const outcome of outcomes) {
    if (outcome.set === 'foreign') continue;
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
  const notForeign = all.filter(({ set }) => set !== 'foreign');
  print(`at.${caution}`, asked, `right ones asked about, ${wrong} kept wrong, of ${notForeign.length}`);
  for (const [decibels] of ratios) {
    const some = notForeign.filter((one) => (one.decibels ?? clean) === decibels);
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

function printLimit(print: Print, all: readonly Outcome[], limit: number): void {
  const caution = cautionAt(1) - cautionAt(0);
  for (const [decibels] of ratios) {
    const some = all.filter((one) => (one.decibels ?? clean) === decibels);
    const kept = some.filter((one) => isKept(one, caution, limit));
    const count = (list: readonly Outcome[], sets: readonly string[], right?: boolean) =>
      list.filter((one) => sets.includes(one.set) && (right === undefined || one.rightBySound === right))
        .length;
    const near = ['near', 'foreign'];
    print(
      `rivals.${limit}.${decibels === clean ? 'clean' : `${decibels}dB`}.kept_right`,
      count(kept, ['day'], true),
      `and ${count(kept, ['day'], false)} wrong of ${count(some, ['day'])} notes, ${count(kept, near)} of ${count(some, near)} near misses`,
    );
  }
}
