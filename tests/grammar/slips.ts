/**
 * Sentences of the grammar with one slip in them, and what the tolerant reader makes of each: for the bench and for
 * choosing the limits of `decide`.
 */
import { compile } from '../../grammar/automaton/compile.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createLexicon, phones } from '../../grammar/pronunciation/lexicon.ts';
import { createGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { decide } from '../../grammar/reading/decide.ts';
import { decisionLimits } from '../../grammar/reading/edit-costs.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { TolerantReader, type TolerantReading } from '../../grammar/reading/tolerant.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteKey } from '../../shared/note/note-key.ts';

export type SlipKind = 'phone' | 'dropped word' | 'doubled word';

/** What the reader found for one slipped sentence. */
export interface Trial {
  readonly kind: SlipKind;
  readonly said: string;
  readonly slipped: string;
  readonly readings: readonly TolerantReading[];
  /** Index of the true meaning among the readings, -1 when it is not among them. */
  readonly truth: number;
  /** The slip spells another sentence of the grammar: nobody could know. */
  readonly apart: boolean;
  /** Written words before the one that was dropped. */
  readonly at: number;
  readonly milliseconds: number;
}

export function createSlips() {
  const automaton = compile(grammar);
  const sampler = createSampler(parseDescription(grammar));
  const exact = createReader(automaton);
  const lexicon = createLexicon();
  const graph = createGraph(automaton, lexicon, { free: grammar.freeWords });
  const reader = new TolerantReader(graph, { fillers: grammar.fillers });
  const names = phones.slice(1);

  /** One phone becomes another, goes, or comes in. */
  const slipPhone = (sounds: number[], below: (n: number) => number): void => {
    const at = below(sounds.length);
    const draw = below(3);
    const other = 1 + ((sounds[at]! - 1 + 1 + below(names.length - 1)) % names.length);
    if (draw === 0) sounds.splice(at, 1, other);
    else if (draw === 1) sounds.splice(at, 1);
    else sounds.splice(at, 0, 1 + below(names.length));
  };

  /** A word goes, or is said twice; where one went, -1 for nowhere. */
  const slipWord = (words: string[], at: number, kind: SlipKind): number => {
    if (kind === 'dropped word') words.splice(at, 1);
    else words.splice(at, 0, words[at]!);
    return kind === 'dropped word' ? at : -1;
  };

  /** `count` trials of one kind; the seed fixes sentences and slips. */
  return function trials(kind: SlipKind, count: number, seed: number): Trial[] {
    const random = seeded(seed);
    const below = (n: number) => Math.floor(random() * n);
    const list: Trial[] = [];
    while (list.length < count) {
      const said = sampler.sample(random).words;
      const meant = exact.read(said);
      if (!meant.ok) continue;
      const words = said.split(' ');
      const truths = new Set(meant.value.map((reading) => noteKey(reading.notes[0])));
      let slipped: string;
      let readings: readonly TolerantReading[];
      let began: number;
      let apart = false;
      let droppedAt = -1;
      if (kind === 'phone') {
        const sounds = words.flatMap((word) => {
          const variants = lexicon.pronounce(word);
          return [...variants[below(variants.length)]!];
        });
        slipPhone(sounds, below);
        if (sounds.length === 0) continue;
        slipped = sounds.map((id) => phones[id]).join(' ');
        began = performance.now();
        readings = reader.readPhones(sounds);
      } else {
        const at = below(words.length);
        droppedAt = slipWord(words, at, kind);
        if (words.length === 0) continue;
        slipped = words.join(' ');
        const again = exact.read(slipped);
        apart = again.ok && !again.value.some((reading) => truths.has(noteKey(reading.notes[0])));
        began = performance.now();
        // As the program reads: exact first.
        readings = again.ok ? again.value : reader.read(slipped);
      }
      const milliseconds = performance.now() - began;
      const truth = readings.findIndex((reading) => truths.has(noteKey(reading.notes[0])));
      const other = readings.some((reading) => reading.cost < 1e-6 && !truths.has(noteKey(reading.notes[0])));
      list.push({ kind, said, slipped, readings, truth, apart: apart || other, at: droppedAt, milliseconds });
    }
    return list;
  };
}

export interface Tally {
  right: number;
  askedRightly: number;
  askedWrongly: number;
  refused: number;
  wrong: number;
  apart: number;
}

/** Counts what `decide` makes of the trials. */
export function tally(list: readonly Trial[], limits = decisionLimits): Tally {
  const sum: Tally = { right: 0, askedRightly: 0, askedWrongly: 0, refused: 0, wrong: 0, apart: 0 };
  for (const trial of list) {
    if (trial.apart) {
      sum.apart++;
      continue;
    }
    const decision = decide(trial.readings, limits);
    if (decision.kind === 'refuse') sum.refused++;
    else if (decision.kind === 'ask') {
      if (trial.truth >= 0 && trial.truth < decision.readings.length) sum.askedRightly++;
      else sum.askedWrongly++;
    } else if (decision.kind === 'missing') {
      if (decision.at === trial.at) sum.askedRightly++;
      else sum.askedWrongly++;
    } else if (trial.truth === 0) sum.right++;
    else sum.wrong++;
  }
  return sum;
}
