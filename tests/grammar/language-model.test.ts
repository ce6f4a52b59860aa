import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compile } from '../../grammar/automaton/compile.ts';
import { deserialize, serialize } from '../../grammar/automaton/serialize.ts';
import { withLanguageModel } from '../../grammar/decoding/language-model.ts';
import { numberSurprise } from '../../grammar/decoding/number-prior.ts';
import type { Description } from '../../grammar/description/model.ts';
import { createLexicon, phones, phonesOf } from '../../grammar/pronunciation/lexicon.ts';
import { createGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { unigramCosts } from '../../grammar/pronunciation/unigrams.ts';
import { search } from '../support/whole.ts';

/** Two things to say that differ in one vowel; the first is said 190 times in a thousand notes, the second 6 times. */
const pair: Description = {
  version: 'pair',
  rules: [
    { id: 'heights.stick', family: 'f', patterns: ['bat [now]'], sets: ['kind=next'] },
    { id: 'heights.ratio', family: 'f', patterns: ['bet [now | then | twice]'], sets: ['kind=again'] },
  ],
  fillers: [],
  freeWords: [],
};
const automaton = withLanguageModel(compile(pair), pair);

describe('what people say', () => {
  it('is a share: all that may follow a state, its end included, makes one', () => {
    const { arc, end } = automaton.arcWeights!;
    for (let state = 0; state < automaton.states; state++) {
      const mayEnd = automaton.finalFrom[state]! < automaton.finalFrom[state + 1]!;
      let sum = mayEnd ? Math.exp(-end[state]!) : 0;
      for (let a = automaton.arcFrom[state]!; a < automaton.arcFrom[state + 1]!; a++)
        sum += Math.exp(-arc[a]!);
      // Costs are kept in sixteenths.
      expect(sum).toBeGreaterThan(0.96);
      expect(sum).toBeLessThan(1.04);
    }
  });

  it('travels with the packed automaton', () => {
    const back = deserialize(serialize(automaton));
    expect(back.ok && back.value.arcWeights).toEqual(automaton.arcWeights);
  });

  it('settles what the sound leaves open, and nothing that the sound says clearly', () => {
    const graph = createGraph(automaton, createLexicon());
    const said = (share: number) => {
      const rows = [0, ...phonesOf('B'), 0, -1, 0, ...phonesOf('T'), 0];
      const logp = new Float32Array(rows.length * 40).fill(Math.log(1e-5));
      rows.forEach((id, t) => {
        if (id >= 0) logp[t * 40 + id] = Math.log(0.99);
        else {
          logp[t * 40 + phones.indexOf('AE')] = Math.log(share);
          logp[t * 40 + phones.indexOf('EH')] = Math.log(1 - share);
        }
      });
      return search(graph, logp).hypotheses[0]!.notes[0].kind;
    };
    expect(said(0.5)).toBe('next');
    expect(said(0.4)).toBe('next');
    expect(said(0.01)).toBe('again');
    expect(search(graph, new Float32Array(0)).hypotheses).toEqual([]);
  });

  it('makes words of the trade cheap where free words stand, and telephones dear', () => {
    const [the, ridge, telephone, unheardOf] = unigramCosts(
      ['the', 'ridge', 'telephone', 'xyzzy'],
      ['ridge', 'creek'],
    );
    expect(ridge).toBeLessThan(the!);
    expect(the).toBeLessThan(telephone!);
    expect(telephone).toBeLessThan(unheardOf!);
  });

  it('names that the book knows are expected more than names that anyone might give', () => {
    const words = ['hollow', 'ridge', 'wren', 'telephone'];
    const before = unigramCosts(words, ['hollow', 'ridge', 'wren']);
    const after = unigramCosts(words, ['hollow', 'ridge', 'wren'], ['hollow', 'telephone']);
    for (const known of [0, 3]) expect(after[known]).toBeLessThan(before[known]!);
    for (const other of [1, 2]) expect(after[other]).toBeGreaterThan(before[other]!);
    const shares = unigramCosts(['hollow', 'telephone'], [], ['hollow', 'telephone']);
    expect(Math.exp(-shares[0]!) + Math.exp(-shares[1]!)).toBeLessThanOrEqual(1);
  });
});

describe('usual numbers', () => {
  const paces = (count: number) =>
    numberSurprise({ kind: 'height', height: { method: 'stick', distance: { by: 'paces', count } } });

  it('eighty paces are unlikelier than eight, and cost no more than four nats', () => {
    expect(paces(8)).toBe(0);
    expect(paces(80)).toBeGreaterThan(3);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e6, noNaN: true }), (count) => {
        expect(paces(count)).toBeGreaterThanOrEqual(0);
        expect(paces(count)).toBeLessThanOrEqual(4);
      }),
    );
  });

  it('a plot of ten acres and a pace of fifteen inches are odd, a tenth of an acre and five feet are not', () => {
    const plot = (value: number) =>
      numberSurprise({ kind: 'plot', op: 'open', number: 8, size: { value, unit: 'acre', by: 'area' } });
    const pace = (value: number, unit: 'ft' | 'in') =>
      numberSurprise({ kind: 'setting', set: { what: 'pace', length: { value, unit } } });
    expect(plot(0.1)).toBe(0);
    expect(plot(10)).toBeGreaterThan(3);
    expect(pace(5.3, 'ft')).toBe(0);
    expect(pace(15.4, 'in')).toBeGreaterThan(2);
  });

  it('what a misheard word makes is odd: a top at three degrees, plot 810, a tally with a diameter, feet beside metres', () => {
    const angles = (top: number, scale?: 'deg' | 'pct') =>
      numberSurprise({
        kind: 'height',
        height: {
          method: 'angles',
          top,
          distance: { by: 'length', length: { value: 66, unit: 'ft' } },
          ...(scale && { scale }),
        },
      });
    expect(angles(42, 'deg')).toBe(0);
    expect(angles(90)).toBeLessThan(angles(90, 'deg') + 1e-9);
    expect(angles(3, 'deg')).toBeGreaterThan(2);
    expect(numberSurprise({ kind: 'plot', op: 'open', number: 12 })).toBe(0);
    expect(numberSurprise({ kind: 'plot', op: 'open', number: 1 })).toBe(0);
    expect(numberSurprise({ kind: 'plot', op: 'open', number: 810 })).toBeGreaterThan(3);
    const cherry = { species: 762, diameter: { value: 16, unit: 'in' } } as const;
    expect(numberSurprise({ kind: 'tree', facts: cherry })).toBe(0);
    expect(numberSurprise({ kind: 'tree', facts: { ...cherry, count: 7 } })).toBeGreaterThan(1);
    const sighted = (value: number, unit: 'ft' | 'm') =>
      numberSurprise({
        kind: 'height',
        height: {
          method: 'stick',
          distance: { by: 'length', length: { value: unit === 'm' ? 20 : 60, unit } },
          eye: { value },
        },
      });
    expect(sighted(5.2, 'ft')).toBe(0);
    expect(sighted(1.65, 'm')).toBe(0);
    expect(sighted(5.2, 'm')).toBeGreaterThan(1);
  });

  it('a bare number is taken in the unit that makes it usual; a said unit stands', () => {
    const tree = (value: number, unit?: 'in' | 'cm', girth?: true) =>
      numberSurprise({
        kind: 'tree',
        facts: { diameter: { value, ...(unit && { unit }), ...(girth && { girth }) } },
      });
    // Centimetres unsaid are rarer than inches: they cost a little.
    expect(tree(35)).toBeLessThan(0.5);
    expect(tree(35, 'cm')).toBe(0);
    expect(tree(44, 'in', true)).toBe(0);
    expect(tree(90, 'in')).toBeGreaterThan(2);
  });
});
