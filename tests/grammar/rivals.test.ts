import { describe, expect, test } from 'vitest';
import { CacheModel, type SaidNote } from '../../grammar/decoding/cache-model.ts';
import { withConfidence } from '../../grammar/decoding/confidence.ts';
import { Rivals } from '../../grammar/decoding/rivals.ts';
import { Search } from '../../grammar/decoding/search.ts';
import { phones } from '../../grammar/pronunciation/lexicon.ts';
import { firstArc } from '../../grammar/pronunciation/phone-graph.ts';
import { seeded } from '../../shared/core/random.ts';
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';
import { besideRivals } from '../../shared/sound/confidence.ts';
import { ownGraph } from '../support/own-graph.ts';

const graph = ownGraph();
const { automaton, lexicon } = graph;
const base = automaton.arcWeights!;
const stood = (...words: string[]): SaidNote[] => words.map((each) => ({ words: each, stood: true }));
const person = new CacheModel(automaton, base).weights(
  stood(...Array<string>(20).fill('twelve paces'), 'red oak sixteen inches'),
);
const chains = new CacheModel(automaton, base).weights(stood(...Array<string>(20).fill('twelve chains')));
const outputs = phones.length;

/**
 * Scores of a network that hears these words phone by phone, a blank behind each. `instead`: another phone, so many nats less
 * likely, at the first phone of that name in the last word.
 */
function spoken(
  words: string,
  instead?: readonly [phone: string, rival: string, nats: number],
): Float32Array {
  const sounds = words.split(' ').map((word) => [...lexicon.pronounce(word)[0]!]);
  const last = sounds.at(-1)!;
  const at = instead ? sounds.flat().length - last.length + last.indexOf(phones.indexOf(instead[0])) : -1;
  const rows = sounds.flat().flatMap((id, i) => {
    const row = (likely: number, other?: number, nats = 0): number[] => {
      const scores = Array<number>(outputs).fill(-14);
      scores[likely] = 0;
      if (other !== undefined) scores[other] = -nats;
      const whole = Math.log(scores.reduce((sum, score) => sum + Math.exp(score), 0));
      return scores.map((score) => score - whole);
    };
    const heard = i === at && instead ? row(id, phones.indexOf(instead[1]), instead[2]) : row(id);
    return [heard, heard, row(0)];
  });
  return Float32Array.from([...Array(2).fill(rows.at(-1)), ...rows, rows.at(-1)].flat());
}

function heard(scores: Float32Array, weights = person) {
  const search = new Search(graph);
  search.weigh(weights);
  search.push(scores);
  return search.finish();
}

const clip = { seconds: 2, noise: 0 };
const beliefIn = (found: ReturnType<typeof heard>) => {
  const judged = withConfidence(found, clip);
  return judged.ok ? judged.value.candidates[0]!.posterior : 0;
};

describe('a word that may have been a common one of no note', () => {
  test('is asked about though it is heard without loss, where the other is nearly as likely and the word is odd there', () => {
    const change = ['Z', 'JH', 0.1] as const;
    const odd = heard(spoken('sixteen chains', change));
    const usual = heard(spoken('sixteen chains', change), chains);
    for (const { hypotheses } of [usual, odd])
      expect(hypotheses[0]!.words.map(({ word }) => word)).toEqual(['sixteen', 'chains']);
    // "change" is as likely by the sound for both: what is said all day is believed, what was never said is not.
    expect(besideRivals(1, usual.rival)).toBe(1);
    expect(besideRivals(1, odd.rival)).toBeLessThan(takeHeardFrom);
    const clear = heard(spoken('sixteen paces'));
    expect(beliefIn(clear)).toBeGreaterThan(takeHeardFrom);
    expect(beliefIn({ ...clear, rival: odd.rival })).toBeLessThan(takeHeardFrom);
  });

  test('has one nat more of odds for each nat that the other is likelier, both frames together', () => {
    const odds = [3, 2, 1].map((nats) => heard(spoken('sixteen paces', ['S', 'JH', nats])).rival);
    expect(odds[1]! - odds[0]!).toBeCloseTo(odds[2]! - odds[1]!, 0);
    expect(odds[1]!).toBeGreaterThan(odds[0]! + 0.9);
  });

  test('is looked for only where it is known what the person says', () => {
    const scores = spoken('sixteen paces', ['S', 'JH', 0.1]);
    expect(heard(scores, base).rival).toBe(Number.NEGATIVE_INFINITY);
    expect(heard(scores).rival).toBeGreaterThan(Number.NEGATIVE_INFINITY);
  });
});

/** CTC forward algorithm as in Graves and others 2006, section 4.1, plain, over one word with blanks around and between. */
function likelihood(sound: Uint8Array, prob: Float64Array, frames: number): number {
  const labels = [0, ...[...sound].flatMap((phone) => [phone, 0])];
  let alpha: number[] = labels.map((_, s) => (s === 0 ? 1 : 0));
  for (let t = 0; t < frames; t++) {
    const before = alpha;
    alpha = labels.map((label, s) => {
      // Before the first frame only the place before the first label is taken.
      let sum = before[s]!;
      if (s > 0) sum += before[s - 1]!;
      if (s > 1 && label !== 0 && label !== labels[s - 2]) sum += before[s - 2]!;
      return sum * prob[t * outputs + label]!;
    });
  }
  return alpha.at(-1)! + alpha.at(-2)!;
}

test('the odds are those of the best rival by the plain forward algorithm over every word of the lexicon', () => {
  const rivals = new Rivals(graph);
  for (let seed = 1; seed <= 12; seed++) {
    const random = seeded(seed);
    const frames = 10;
    const prob = Float64Array.from({ length: frames * outputs }, () => Math.exp(-5 * random()));
    for (let t = 0; t < frames; t++) {
      const row = prob.subarray(t * outputs, (t + 1) * outputs);
      row.set(row.map((one) => one / Math.max(...row)));
    }
    const { start } = automaton;
    const word = automaton.wordId.get('paces')!;
    const state = [...Array(automaton.states).keys()].find(
      (one) =>
        one !== start &&
        automaton.finalFrom[one] === automaton.finalFrom[one + 1] &&
        firstArc(automaton, one, word) < automaton.arcFrom[one + 1]! &&
        firstArc(automaton, one, 0) === automaton.arcFrom[one + 1]!,
    )!;
    const path = { arc: firstArc(automaton, state, word), word, node: 0, from: 0, to: frames };
    const accepted = (spelling: string): boolean => {
      const id = automaton.wordId.get(spelling);
      if (id === undefined || id === 0) return false;
      for (let arc = automaton.arcFrom[state]!; arc < automaton.arcFrom[state + 1]!; arc++) {
        const to = automaton.arcTo[arc]!;
        if (automaton.arcWord[arc] === id && automaton.finalFrom[to]! < automaton.finalFrom[to + 1]!)
          return true;
      }
      return false;
    };
    const own = new Set(lexicon.pronounce('paces').map(String));
    const sounds = new Map<string, { sound: Uint8Array; taken: boolean }>();
    for (const spelling of new Set([...lexicon.words, ...automaton.words.slice(1)]))
      for (const sound of lexicon.pronounce(spelling)) {
        const known = sounds.get(String(sound));
        sounds.set(String(sound), { sound, taken: (known?.taken ?? false) || accepted(spelling) });
      }
    let ours = 0;
    let theirs = 0;
    for (const [key, { sound, taken }] of sounds) {
      const fit = likelihood(sound, prob, frames);
      if (own.has(key)) ours += fit;
      else if (!taken) theirs = Math.max(theirs, fit);
    }
    const expected = Math.min(5, Math.max(-16, Math.log(theirs / ours)));
    expect(rivals.odds([{ path, from: 0, to: frames, cost: 0 }], { prob, frames })).toBeCloseTo(expected, 2);
  }
});
