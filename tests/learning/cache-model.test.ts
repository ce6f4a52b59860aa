import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CacheModel, cacheDefaults, mostSaid, type SaidNote } from '../../grammar/decoding/cache-model.ts';
import { pathsOf } from '../../grammar/decoding/language-model.ts';
import { Search } from '../../grammar/decoding/search.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { seeded } from '../../shared/core/random.ts';
import { layerOutputs } from '../../shared/sound/output-layer.ts';
import { ownGraph } from '../support/own-graph.ts';

const graph = ownGraph();
const { automaton } = graph;
const base = automaton.arcWeights!;
const cache = new CacheModel(automaton, base);
const sampler = createSampler(parseDescription(grammar));
const stood = (...words: string[]): SaidNote[] => words.map((each) => ({ words: each, stood: true }));
const wrong = (...words: string[]): SaidNote[] => words.map((each) => ({ words: each, stood: false }));
/** What the likeliest way of saying these words costs. */
const costOf = (weights: typeof base, words: string) =>
  Math.min(
    ...pathsOf(automaton, words.split(' ')).map(
      (path) =>
        path.reduce((sum, arc) => sum + weights.arc[arc]!, 0) + weights.end[automaton.arcTo[path.at(-1)!]!]!,
    ),
  );
const day = stood(
  ...Array.from(
    { length: 30 },
    (_, i) => ['red oak sixteen inches', 'twelve paces', 'beech nine inches'][i % 3]!,
  ),
);

describe('what one person says', () => {
  test('becomes cheaper, the more often it was said', () => {
    const once = costOf(cache.weights(stood('red oak sixteen inches')), 'red oak sixteen inches');
    const often = costOf(cache.weights(day), 'red oak sixteen inches');
    expect(once).toBeLessThan(costOf(base, 'red oak sixteen inches'));
    expect(often).toBeLessThan(once);
  });

  test('makes its numbers and species cheaper where they were not said yet', () => {
    const weights = cache.weights(stood(...Array(8).fill('red oak sixteen inches'), 'beech nine inches'));
    expect(costOf(weights, 'beech sixteen inches')).toBeLessThan(costOf(base, 'beech sixteen inches'));
  });

  test('is each note of a breath, with or without a word between them', () => {
    const apart = cache.weights(stood('red oak sixteen inches', 'twelve paces'));
    for (const breath of [
      'red oak sixteen inches, twelve paces',
      'red oak sixteen inches twelve paces',
      'red oak sixteen inches then twelve paces',
    ]) {
      const together = cache.weights(stood(breath));
      // One note, where it is one: tree and distance are said as one, too.
      expect(costOf(together, 'red oak sixteen inches twelve paces')).toBeLessThan(
        costOf(base, 'red oak sixteen inches twelve paces'),
      );
    }
    expect(cache.weights(stood('two logs plot five')).arc).toEqual(
      cache.weights(stood('two logs', 'plot five')).arc,
    );
    expect(apart.arc).not.toEqual(base.arc);
  });

  test('is nothing where it is no note', () => {
    expect(cache.weights([])).toBe(base);
    expect(cache.weights(stood('the weather is fine', ''))).toBe(base);
  });

  test('counts against its words where it was corrected or taken back', () => {
    const weights = cache.weights([...day, ...wrong('elm nine inches', 'elm nine inches')]);
    expect(costOf(weights, 'elm nine inches')).toBeGreaterThan(costOf(cache.weights(day), 'elm nine inches'));
    const taken = cache.weights([...stood('beech nine inches'), ...wrong('beech nine inches')]);
    expect(costOf(taken, 'beech nine inches')).toBeGreaterThanOrEqual(
      costOf(base, 'beech nine inches') - 0.2,
    );
  });

  test('is forgotten when much else was said since', () => {
    const old = [...stood('quaking aspen nine inches'), ...Array(mostSaid).fill(stood('twelve paces')[0])];
    expect(cache.weights(old).arc).toEqual(cache.weights(old.slice(1)).arc);
  });
});

describe('the laws of it', () => {
  const noteWords = fc.integer({ min: 1, max: 1e6 }).map((seed) => sampler.sample(seeded(seed)).words);
  const notes = fc.array(fc.record({ words: noteWords, stood: fc.boolean() }), {
    minLength: 1,
    maxLength: 40,
  });
  const habit = fc.tuple(noteWords, fc.integer({ min: 1, max: 400 }), fc.boolean());

  test(`no word and no ending costs more than ${cacheDefaults.bound} nats above what it costs everybody`, () => {
    fc.assert(
      fc.property(notes, habit, (said, [words, times, isRight]) => {
        const all = [...said, ...Array<SaidNote>(times).fill({ words, stood: isRight })];
        const { arc, end } = cache.weights(all);
        let most = 0;
        for (let a = 0; a < arc.length; a++) most = Math.max(most, arc[a]! - base.arc[a]!);
        for (let s = 0; s < end.length; s++) most = Math.max(most, end[s]! - base.end[s]!);
        expect(most).toBeLessThanOrEqual(cacheDefaults.bound + 1e-4);
        expect(arc.every(Number.isFinite)).toBe(true);
      }),
      { numRuns: 25 },
    );
  });

  test('what may follow at a place stays as likely in all as it was', () => {
    fc.assert(
      fc.property(notes, (said) => {
        const weights = cache.weights(said);
        const whole = ({ arc, end }: typeof base, state: number) => {
          let sum =
            automaton.finalFrom[state]! < automaton.finalFrom[state + 1]! ? Math.exp(-end[state]!) : 0;
          for (let a = automaton.arcFrom[state]!; a < automaton.arcFrom[state + 1]!; a++)
            sum += Math.exp(-arc[a]!);
          return sum;
        };
        for (let state = 0; state < automaton.states; state++) {
          if (state === automaton.again) break;
          // The costs of everybody are kept in sixteenths of a nat.
          expect(Math.abs(whole(weights, state) - whole(base, state))).toBeLessThan(0.07);
        }
      }),
      { numRuns: 10 },
    );
  });

  test('a search that takes the weights in is the search that was made with them', () => {
    const random = seeded(4);
    const scores = Float32Array.from({ length: 80 * layerOutputs }, () => -6 * random());
    const weights = cache.weights(day);
    const made = new Search({ ...graph, automaton: { ...automaton, arcWeights: weights } });
    const told = new Search(graph);
    told.push(scores);
    told.finish();
    told.weigh(weights);
    told.reset();
    for (const search of [made, told]) search.push(scores);
    expect(told.finish()).toEqual(made.finish());
    told.weigh(base);
    told.reset();
    told.push(scores);
    const plain = new Search(graph);
    plain.push(scores);
    expect(told.finish()).toEqual(plain.finish());
  });
});
